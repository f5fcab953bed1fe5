"""Draw by chance what builders bring: panels, what they lie on, in what light they are taken.

Each case has the design, as text, and the picture with its truth. Those that are `advised` are
taken as the program advises; the others as it may happen.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from legend.description.shapes.edge import Edge
from legend.description.tables.panel import Panel
from legend.drawing.pdf.paper import Paper

from .backings import Backing, Pattern
from .eyes import Camera
from .lights import Lamp
from .marks import dust, tape, worn
from .pages import Printing, Under, target_sheet
from .plates import ORDINARY, Hand, Plate, made
from .sensors import Sensor
from .shots import BLACK_PAPER, BLUE_PAPER, RED_PAPER, WHITE_PAPER, Shot, photo, scan
from .surfaces import ALUMINIUM, BRASS, MILL, PRIMER, Colour, Finish, painted

DRILLS = (2.5, 3.2, 3.2, 3.5, 4.3, 5.0, 6.0, 6.5, 7.0, 8.0, 9.5, 10.0, 12.0, 12.5, 16.0, 22.0)

Holes = dict[str, dict[str, Any]]


@dataclass(frozen=True, slots=True, eq=False)
class Case:
    """A picture, and the design that it is to be measured by; `refusable` where nobody advised
    to take it so."""

    name: str
    shot: Shot
    size: tuple[float, float]
    holes: Holes
    corner: float = 0.0
    refusable: bool = False
    is_round: bool = False

    @property
    def toml(self) -> str:
        """The design as the text of a description."""
        lines = ["[panel]"]
        if self.is_round:
            lines.append(f"outline = {{ diameter = {self.size[0]} }}")
        else:
            lines += [f"size = {json.dumps(self.size)}", f"corner_radius = {self.corner}"]
        lines += ["", "[holes]"]
        for id, hole in self.holes.items():
            keys = ", ".join(f"{key} = {json.dumps(value)}" for key, value in hole.items())
            lines.append(f"{id} = {{ {keys} }}")
        return "\n".join(lines) + "\n"


# --- Panels ---


def size_by_chance(rng: np.random.Generator) -> tuple[float, float]:
    """Of most panels: 90 to 210 mm wide, 55 to 130 mm high."""
    return float(5 * rng.integers(18, 43)), float(5 * rng.integers(11, 27))


def holes_by_chance(
    size: tuple[float, float], rng: np.random.Generator, count: int = 14, others: bool = True
) -> Holes:
    """Holes that keep clear of each other and of the edge, most of them round."""
    width, height = size
    out: Holes = {}
    taken: list[tuple[float, float, float]] = []
    for _ in range(400):
        if len(out) == count:
            break
        hole, reach = _hole_by_chance(rng, others)
        if 2 * reach + 8 > min(size):
            continue
        x, y = rng.uniform(reach + 4, (width - reach - 4, height - reach - 4))
        if all(math.dist((x, y), (a, b)) > reach + r + 2.5 for a, b, r in taken):
            taken.append((x, y, reach))
            out[f"h{len(out) + 1}"] = {"at": [round(x, 1), round(y, 1)], **hole}
    return out


def _hole_by_chance(rng: np.random.Generator, others: bool) -> tuple[dict[str, Any], float]:
    if others and rng.random() < 0.25:
        sort = int(rng.integers(4))
        if sort == 0:
            width, height = float(rng.integers(10, 36)), float(rng.integers(6, 20))
            table: dict[str, Any] = {"cutout": [width, height]}
            return table, math.hypot(width, height) / 2
        if sort == 1:
            length, width = float(rng.integers(8, 24)), float(rng.integers(3, 7))
            return {"slot": [length, width], "angle": float(15 * rng.integers(0, 12))}, length / 2
        if sort == 2:
            return {"single_d": [9.5, 8.8], "angle": float(90 * rng.integers(0, 4))}, 4.75
        return {"double_d": [12.0, 10.8]}, 6.0
    drill = float(rng.choice(DRILLS))
    return {"drill": drill}, drill / 2


#: How near a phone is held at the nearest, mm.
NEAREST = 150.0

FINISHES: tuple[Finish, ...] = (
    ALUMINIUM,
    ALUMINIUM,
    MILL,
    BRASS,
    PRIMER,
    painted((0.70, 0.68, 0.60)),
    painted((0.18, 0.30, 0.22)),
    painted((0.02, 0.02, 0.022)),
    painted((0.08, 0.12, 0.30)),
)


def is_dark(finish: Finish) -> bool:
    """Whether white is to lie under it rather than black."""
    return not finish.metallic and max(finish.colour) < 0.15


def _walls(finish: Finish, rng: np.random.Generator) -> Colour:
    """Walls of holes are bare after drilling, or painted with the face."""
    if finish.metallic or rng.random() < 0.5:
        return (0.55, 0.55, 0.54)
    return finish.colour


@dataclass(frozen=True, slots=True, eq=False)
class Work:
    """A workpiece by chance, and its design."""

    plate: Plate
    finish: Finish
    walls: Colour
    size: tuple[float, float]
    holes: Holes
    corner: float
    edge: Edge
    is_round: bool = False


def work_by_chance(
    rng: np.random.Generator,
    size: tuple[float, float] | None = None,
    count: int = 14,
    hand: Hand = ORDINARY,
    others: bool = True,
    finish: Finish | None = None,
    is_round: bool = False,
) -> Work:
    """A panel by chance, drilled; a round one is as wide as another would be high."""
    size = size or size_by_chance(rng)
    if is_round:
        return _round_by_chance(rng, min(size), count, hand, others, finish)
    corner = float(rng.choice([0.0, 0.0, 2.0, 4.0]))
    holes = holes_by_chance(size, rng, count, others)
    finish = finish or FINISHES[rng.integers(len(FINISHES))]
    plate = made(size, holes, rng, hand, float(rng.choice([1.5, 2.0, 3.0])), corner)
    edge = Edge.rectangle(*size, corner).moved(size[0] / 2, size[1] / 2)
    return Work(plate, finish, _walls(finish, rng), size, holes, corner, edge)


def _round_by_chance(
    rng: np.random.Generator,
    diameter: float,
    count: int,
    hand: Hand,
    others: bool,
    finish: Finish | None,
) -> Work:
    """A round panel by chance; it is no more than sawn round."""
    size = (diameter, diameter)
    edge = Panel(outline={"diameter": diameter}).edge
    holes = {
        id: hole
        for id, hole in holes_by_chance(size, rng, 2 * count, others).items()
        if math.dist(hole["at"], (diameter / 2, diameter / 2)) < diameter / 2 - 18
    }
    finish = finish or FINISHES[rng.integers(len(FINISHES))]
    plate = made(size, holes, rng, hand, float(rng.choice([1.5, 2.0, 3.0])), edge=edge)
    return Work(plate, finish, _walls(finish, rng), size, holes, 0.0, edge, is_round=True)


# --- As advised ---


def even_lamp(plate: Plate, eye: Camera, rng: np.random.Generator) -> Lamp:
    """Even light, as is advised: a large lamp high up, much light from all round, no mirroring."""
    width, height = plate.size
    way, high = rng.uniform(0, 2 * math.pi), rng.uniform(900, 2000)
    off = high * rng.uniform(0.5, 1.0)
    return Lamp(
        (width / 2 + off * math.cos(way), height / 2 + off * math.sin(way), high),
        eye.place,
        (width / 2, height / 2),
        size=rng.uniform(250, 900),
        power=(power := rng.uniform(0.15, 0.5)),
        ambient=1 - power,
        room=rng.uniform(0.5, 0.9),
        uneven=(float(rng.normal(0, 0.25)), float(rng.normal(0, 0.25))),
        glare=rng.uniform(0.05, 0.5),
        silhouette=rng.uniform(0.0, 0.4),
    )


def from_above(
    plate: Plate, shape: tuple[int, int], per_mm: float, rng: np.random.Generator, tilt: float = 3.0
) -> Camera:
    """A phone held above the middle, nearly square on, no nearer than it can focus: rather with
    its longer lens."""
    width, height = plate.size
    a, b = rng.normal(0, 0.012, 2)
    c, d = rng.normal(0, 0.003, 2)
    return Camera.over(
        (width / 2, height / 2),
        shape,
        per_mm,
        focal=max(rng.uniform(0.75, 1.5), NEAREST * per_mm / max(shape)),
        tilt=abs(rng.normal(0, tilt)),
        towards=rng.uniform(0, 360),
        roll=rng.normal(0, 2),
        aside=(float(a), float(b)),
        k1=rng.normal(0, 0.025),
        k2=rng.normal(0, 0.015),
        decentred=(float(c), float(d)),
    )


def phone(eye: Camera, rng: np.random.Generator, steady: float = 0.35) -> Sensor:
    """The sensor of a phone, and how steady the hand was, px."""
    a, b = rng.normal(0, steady, 2)
    return Sensor(
        blur=rng.uniform(0.6, 1.0),
        defocus=abs(rng.normal(0, steady)),
        motion=(float(a), float(b)),
        full=rng.uniform(2500, 8000),
        read=rng.uniform(3, 8),
        vignette=rng.uniform(0, 0.3),
        sharpened=rng.uniform(0, 0.5),
        fringe=rng.normal(0, 0.4),
        quality=int(rng.integers(86, 97)),
        orientation=int(rng.choice([1, 3, 6, 8], p=[0.6, 0.1, 0.2, 0.1])),
        focal=eye.lens.focal if rng.random() < 0.8 else None,
    )


def _bench(rng: np.random.Generator) -> Backing:
    colours: tuple[Colour, ...] = ((0.35, 0.24, 0.14), (0.6, 0.6, 0.6), (0.1, 0.25, 0.15))
    pattern: Pattern = ("wood", "plain", "rule")[rng.integers(3)]
    return Backing(colours[rng.integers(3)], pattern)


def on_page(
    seed: int,
    shape: tuple[int, int] = (3024, 4032),
    paper: Paper | None = None,
    **of_work: Any,
) -> Case:
    """A photograph on the target page: of one sheet, or of several of the paper."""
    rng = np.random.default_rng([seed, 1])
    work = work_by_chance(rng, **of_work)
    plate = work.plate
    width, height = work.size
    under: Under = "dark" if is_dark(work.finish) else "light"
    paper = paper or ("A4" if width <= 205 and height <= 125 else "A3")
    printing = replace(Printing.by_chance(rng), taping=seed)
    sheet = target_sheet(plate, work.edge, printing, under, paper)
    per_mm = 0.92 * min(shape[1] / (width + 46), shape[0] / (height + 46))
    eye = from_above(plate, shape, per_mm, rng)
    marks = tuple(worn(plate, rng))
    shot = photo(
        plate,
        seed,
        shape,
        work.finish,
        replace(_bench(rng), sheet=sheet),
        marks,
        walls=work.walls,
        eye=eye,
        lighting=even_lamp(plate, eye, rng),
        sensor=phone(eye, rng),
    )
    return Case(f"page {seed}", shot, work.size, work.holes, work.corner, is_round=work.is_round)


def by_edges(seed: int, shape: tuple[int, int] = (3024, 4032), **of_work: Any) -> Case:
    """A photograph on black paper, or on white one."""
    rng = np.random.default_rng([seed, 2])
    work = work_by_chance(rng, **of_work)
    width, height = work.size
    eye = from_above(work.plate, shape, 0.82 * min(shape[1] / width, shape[0] / height), rng)
    shot = photo(
        work.plate,
        seed,
        shape,
        work.finish,
        WHITE_PAPER if is_dark(work.finish) else BLACK_PAPER,
        tuple(worn(work.plate, rng)),
        walls=work.walls,
        eye=eye,
        lighting=even_lamp(work.plate, eye, rng),
        sensor=phone(eye, rng),
    )
    return Case(f"edges {seed}", shot, work.size, work.holes, work.corner)


def scanned(
    seed: int, dpi: float = 300.0, quarter: int = 0, turn: float | None = None, **of_work: Any
) -> Case:
    """A scan with paper over the panel, black or of a colour; another quarter is the same panel."""
    rng = np.random.default_rng([seed, 3])
    work = work_by_chance(rng, **of_work)
    over = _standing_out(work.finish, rng)
    shot = scan(
        work.plate,
        seed,
        dpi,
        work.finish,
        over,
        tuple(worn(work.plate, rng)),
        turn=turn,
        quarter=quarter,
        walls=work.walls,
        over=tuple(dust(work.plate, 20, rng)),
    )
    return Case(f"scan {seed}", shot, work.size, work.holes, work.corner, is_round=work.is_round)


def _standing_out(finish: Finish, rng: np.random.Generator) -> Backing:
    """The paper over a panel on the glass: one of those that differ well from its face."""

    def unlike(paper: Backing) -> float:
        return math.dist(np.sqrt(paper.colour), np.sqrt(finish.colour))

    papers = (WHITE_PAPER,) if is_dark(finish) else (BLACK_PAPER, BLUE_PAPER, RED_PAPER)
    good = [paper for paper in papers if unlike(paper) > 0.45] or [max(papers, key=unlike)]
    return good[rng.integers(len(good))]


# --- As it may happen ---


def as_it_happens(seed: int, shape: tuple[int, int] = (1512, 2016), dpi: float = 150.0) -> Case:
    """Any backing, any light: a scan with the white lid, a photograph on the bench, tape, glare."""
    rng = np.random.default_rng([seed, 4])
    work = work_by_chance(rng)
    plate = work.plate
    shade = float(rng.uniform(0.02, 0.85))
    tint = 1 + rng.normal(0, 0.2, 3) * rng.choice([0.1, 1.0])
    colour = tuple(float(np.clip(shade * t, 0.01, 0.9)) for t in tint)
    patterns: tuple[Pattern, ...] = ("plain", "plain", "wood", "checks", "print", "rule", "cloth")
    backing = Backing(colour, patterns[rng.integers(len(patterns))], rng.uniform(0.01, 0.06))  # type: ignore[arg-type]
    marks = tuple(worn(plate, rng, 6))
    if seed % 3 == 0:
        lid = (WHITE_PAPER, backing, Backing((0.015, 0.015, 0.015)))[rng.integers(3)]
        shot = scan(plate, seed, dpi, work.finish, lid, marks, walls=work.walls)
    else:
        width, height = work.size
        per_mm = rng.uniform(0.4, 0.95) * min(shape[1] / width, shape[0] / height)
        eye = from_above(plate, shape, per_mm, rng, tilt=float(rng.choice([3.0, 12.0])))
        over = tuple(tape(plate, rng)) if rng.random() < 0.15 else ()
        shot = photo(
            plate,
            seed,
            shape,
            work.finish,
            backing,
            marks,
            walls=work.walls,
            eye=eye,
            sensor=phone(eye, rng, steady=float(rng.choice([0.35, 1.2]))),
            over=over,
        )
    return Case(f"any {seed}", shot, work.size, work.holes, work.corner, refusable=True)
