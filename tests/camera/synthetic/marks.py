"""Draw on faces what work leaves there: scratches, pen dots, punch marks, scribed lines, tape."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from .coverage import Points
from .plates import Plate
from .rims import turned
from .scenes import Mark
from .surfaces import Colour

INK: Colour = (0.02, 0.02, 0.04)
BLUE_INK: Colour = (0.02, 0.04, 0.30)
RED_INK: Colour = (0.45, 0.02, 0.02)


def line(points: Points, width: float) -> Points:
    """The outline of a stroke of a width along points."""
    way = np.gradient(points, axis=0)
    aside = np.column_stack([-way[:, 1], way[:, 0]])
    aside *= width / 2 / np.maximum(np.linalg.norm(aside, axis=1, keepdims=True), 1e-9)
    out: Points = np.concatenate([points + aside, (points - aside)[::-1]])
    return out


def blot(at: tuple[float, float], diameter: float, rng: np.random.Generator) -> Points:
    """A dot by hand: not quite round."""
    turns = np.linspace(0, 2 * math.pi, 60, endpoint=False)
    radius = np.full(60, diameter / 2)
    for k in range(2, 7):
        radius += diameter * 0.04 * rng.normal() * np.cos(k * turns + rng.uniform(0, 7))
    return radius[:, None] * np.column_stack([np.cos(turns), np.sin(turns)]) + np.array(at)


def scratches(plate: Plate, count: int, rng: np.random.Generator) -> Iterator[Mark]:
    """Thin lines, a little bent, some lighter and some darker than the face."""
    for _ in range(count):
        start = rng.uniform((0, 0), plate.size)
        length, way = rng.exponential(15) + 2, rng.uniform(0, 360)
        t = np.linspace(0, 1, 20)
        run = np.column_stack([rng.normal(0, 0.06) * length * t * (1 - t) * 4, length * t])
        outline = line(turned(run, way) + start, rng.uniform(0.02, 0.09))
        tone = float(rng.choice([0.15, 0.9]))
        yield Mark((outline,), (tone, tone, tone), rng.uniform(0.2, 0.8))


def pen_dots(plate: Plate, count: int, rng: np.random.Generator) -> Iterator[Mark]:
    """Dots of a felt pen anywhere."""
    for at in free_places(plate, count, rng):
        colour = (INK, BLUE_INK, RED_INK)[rng.integers(3)]
        yield Mark((blot(at, rng.uniform(0.8, 2.5), rng),), colour, 0.9)


def punch_marks(plate: Plate, count: int, rng: np.random.Generator) -> Iterator[Mark]:
    """Dimples of a centre punch: dark, with a bright crescent and a lip."""
    way = rng.uniform(0, 2 * math.pi)
    shift = np.array([math.cos(way), math.sin(way)])
    for at in free_places(plate, count, rng):
        wide = rng.uniform(0.7, 1.4)
        yield Mark((blot(at, wide * 1.3, rng),), (0.7, 0.7, 0.7), 0.4)
        yield Mark((blot(at, wide, rng),), (0.06, 0.06, 0.06), 0.9)
        lit = np.array(at) + shift * wide * 0.22
        yield Mark((blot((lit[0], lit[1]), wide * 0.45, rng),), (0.9, 0.9, 0.9), 0.8)


def scribed_crosses(plate: Plate, rng: np.random.Generator, reach: float = 8.0) -> Iterator[Mark]:
    """The lines by which the holes were marked out, each with its bright flank."""
    for hole in plate.holes:
        for way in (0.0, 90.0):
            t = np.linspace(-1, 1, 12)[:, None] * (reach + hole.radius)
            run = turned(np.column_stack([np.zeros(12), t[:, 0]]), way)
            middle = np.array(hole.at) + rng.normal(0, 0.15, 2)
            yield Mark((line(run + middle, 0.11),), (0.10, 0.10, 0.10), 0.8)
            flank = turned(np.array([[0.09, 0.0]]), way)
            yield Mark((line(run + middle + flank, 0.07),), (0.95, 0.95, 0.95), 0.6)


def pencil_crosses(plate: Plate, rng: np.random.Generator, reach: float = 8.0) -> Iterator[Mark]:
    """The same in pencil: wider, fainter, by hand."""
    for hole in plate.holes:
        for way in (0.0, 90.0):
            t = np.linspace(-1, 1, 12) * (reach + hole.radius) * rng.uniform(0.7, 1.2)
            run = turned(np.column_stack([np.zeros(12), t]), way + rng.normal(0, 1.0))
            middle = np.array(hole.at) + rng.normal(0, 0.3, 2)
            yield Mark((line(run + middle, rng.uniform(0.25, 0.45)),), (0.18, 0.18, 0.19), 0.5)


def tape(plate: Plate, rng: np.random.Generator) -> Iterator[Mark]:
    """A strip of masking tape over a corner."""
    width, height = plate.size
    at = np.array([rng.choice([0.0, width]), rng.choice([0.0, height])])
    strip = turned(np.array([[-25, -6], [25, -6], [25, 6], [-25, 6]], float), rng.uniform(30, 60))
    yield Mark((strip + at,), (0.62, 0.52, 0.30), 0.95)


def dust(plate: Plate, count: int, rng: np.random.Generator) -> Iterator[Mark]:
    """Specks and fibres on the glass of a flatbed, over everything."""
    for _ in range(count):
        at = rng.uniform(-5, np.array(plate.size) + 5)
        tone = float(rng.choice([0.1, 0.8]))
        if rng.random() < 0.3:
            t = np.linspace(0, 1, 16)
            bent = np.column_stack([rng.normal(0, 0.4) * np.sin(3 * t), rng.uniform(0.5, 2.5) * t])
            outline = line(turned(bent, rng.uniform(0, 360)) + at, 0.04)
        else:
            outline = blot((at[0], at[1]), rng.uniform(0.04, 0.2), rng)
        yield Mark((outline,), (tone, tone, tone), rng.uniform(0.3, 0.9))


def free_places(
    plate: Plate, count: int, rng: np.random.Generator, room: float = 3.0
) -> Iterator[tuple[float, float]]:
    """Places away from all holes and edges, as many as there are of so many tries."""
    width, height = plate.size
    found = 0
    for _ in range(count * 20):
        x, y = rng.uniform((4, 4), (width - 4, height - 4))
        if found < count and all(math.dist((x, y), h.at) > h.radius + room for h in plate.holes):
            found += 1
            yield float(x), float(y)


def worn(plate: Plate, rng: np.random.Generator, most: int = 3) -> Sequence[Mark]:
    """What an ordinary workpiece bears: some scratches, a few dots and dimples, marking-out."""
    marks = list(scratches(plate, int(rng.integers(0, 12)), rng))
    marks += pen_dots(plate, int(rng.integers(0, most + 1)), rng)
    marks += punch_marks(plate, int(rng.integers(0, most + 1)), rng)
    chance = rng.random()
    if chance < 0.25:
        marks += scribed_crosses(plate, rng)
    elif chance < 0.5:
        marks += pencil_crosses(plate, rng)
    return marks
