"""Check the lettering: can it be read from where one stands, and cut from the stock."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from legend.description.tables.description import LETTERED_ROLES
from legend.description.tables.stock import limits
from legend.layout.artwork import Finding, Mark, Role, Severity
from legend.layout.inspection.heavy_strokes import (
    letters_of,
    lighter_stroke,
    marks_with_filled_counters,
)
from legend.layout.inspection.scene import Scene, check, finding, what
from legend.lettering.faces.stroke_face import StrokeFace
from legend.lettering.outlines.measuring import (
    LET_PASS,
    TOUCHING,
    across,
    counters,
    least_gap,
    least_stroke,
)
from legend.lettering.outlines.mouths import narrowest_mouth
from legend.standards import (
    LEAST_HEIGHT_PER_DISTANCE,
    LEVEL_STEP,
    SHUT_MOUTH,
    STROKE_DARK_ON_LIGHT,
    STROKE_LIGHT_ON_DARK,
    STROKE_MARGIN,
)

#: Levels of legend that a reader tells apart by their size.
_LEVELS = ("title", "group", "name")


@check
def too_small(scene: Scene) -> Iterator[Finding]:
    """Capitals subtend at least 15 minutes of arc."""
    distance = scene.artwork.description.panel.viewing_distance
    least = LEAST_HEIGHT_PER_DISTANCE * distance
    heights = ((mark, mark.height) for mark in scene.marks if mark.text and mark.height)
    for mark, height, others in _worst(heights, least):
        yield finding(
            Severity.WARNING,
            "too-small",
            f"{what(mark)} is {height:.2f} mm tall; read from {distance:.0f} mm it wants at least "
            f"{least:.2f} mm{others}.",
            mark,
            "Give it a greater height, or a shorter viewing distance if that is the truth.",
        )


def _worst(
    measured: Iterable[tuple[Mark, float]], least: float
) -> Iterator[tuple[Mark, float, str]]:
    """Of each role the mark that falls furthest below the least, and words for the others.

    A panel has many legends of one size: they are told once.
    """
    below: dict[Role, list[tuple[float, Mark]]] = {}
    for mark, value in measured:
        if value < least * LET_PASS:
            below.setdefault(mark.role, []).append((value, mark))
    for role, found in below.items():
        value, mark = min(found, key=lambda f: f[0])
        more = len(found) - 1
        others = f"; so it is with {more} more of the {role} legends" if more else ""
        yield mark, value, others


@check
def stroke_ratio(scene: Scene) -> Iterator[Finding]:
    """Strokes are about 1/6 of the height, dark on light, or 1/8 to 1/7, light on dark."""
    description = scene.artwork.description
    low, high = STROKE_LIGHT_ON_DARK[0] / STROKE_MARGIN, STROKE_DARK_ON_LIGHT * STROKE_MARGIN
    for role in LETTERED_ROLES:
        table = getattr(description.lettering, role)
        given = table.stroke if table.stroke is not None else description.lettering.stroke
        if given is None or low <= given <= high or not _used(scene, role):
            continue
        source = (table if table.stroke is not None else description.lettering).source_of("stroke")
        manner = "finer than a tenth" if given < low else "broader than a fifth"
        yield Finding(
            Severity.WARNING,
            "stroke-ratio",
            f"The strokes of every {role} are {given:g} of their height: {manner}, hard to read.",
            source,
            "Leave stroke out, and it is chosen from the colours.",
        )


@check
def levels_alike(scene: Scene) -> Iterator[Finding]:
    """Titles, groups and names differ in height by a quarter or more, or not at all."""
    for i, upper in enumerate(_LEVELS):
        for lower in _LEVELS[i + 1 :]:
            if not (_used(scene, upper) and _used(scene, lower)):
                continue
            tall, small = (scene.styles[role].height for role in (upper, lower))
            if small * 1.001 < tall < small * LEVEL_STEP * 0.999 or tall * 1.001 < small:
                alike = "too alike to tell which stands higher" if tall > small else "smaller"
                yield Finding(
                    Severity.WARNING,
                    "levels-alike",
                    f"Every {upper} is {tall:.2f} mm tall, every {lower} {small:.2f} mm: {alike}.",
                    getattr(scene.artwork.description.lettering, upper).source,
                    f"Make the {upper} at least {small * LEVEL_STEP:.1f} mm tall.",
                )


def _used(scene: Scene, role: str) -> bool:
    return any(mark.role == role for mark in scene.marks)


# --- What the stock can carry ---


@check
def thin_strokes(scene: Scene) -> Iterator[Finding]:
    """No stroke is finer than the stock can carry."""
    least = limits(scene.artwork.description.stencil).stroke
    strokes = ((mark, _stroke(scene, mark)) for mark in scene.marks if mark.text)
    for mark, stroke, others in _worst(strokes, least):
        drawn = isinstance(scene.style_of(mark).face, StrokeFace)  # a font file has its own
        otherwise = "with a broader stroke" if drawn else "in a bolder face"
        yield finding(
            Severity.WARNING,
            "thin-stroke",
            f"{what(mark)} has strokes of {stroke:.2f} mm; the stock carries {least:.2f} mm"
            f"{others}.",
            mark,
            f"Set it {mark.height * least / stroke:.1f} mm tall, or {otherwise}.",
        )


def _stroke(scene: Scene, mark: Mark) -> float:
    """The finest stroke of a text, mm: as it was drawn, or measured on an outline face."""
    style = scene.style_of(mark)
    if isinstance(style.face, StrokeFace):
        return style.stroke * mark.height
    return least_stroke(mark.outline.shape)


@check
def small_counters(scene: Scene) -> Iterator[Finding]:
    """No counter is smaller than the stock can keep stuck, or hold by a bridge."""
    filled = marks_with_filled_counters(scene)
    least = limits(scene.artwork.description.stencil).counter
    measured = (
        (mark, _least_counter(mark.outline.shape, least))
        for mark in scene.marks
        if mark.text and mark.role not in filled  # what cures that, cures this
    )
    for mark, smallest, others in _worst(measured, least):
        small = [
            text
            for text, outline in letters_of(scene, mark.role).items()
            if _least_counter(outline.shape, least) < least
        ]
        stroke = lighter_stroke(scene, small, scene.style_of(mark))
        lighter = f", or with a stroke of {stroke:g} of its height" if stroke else ""
        yield finding(
            Severity.WARNING,
            "small-counter",
            f"{what(mark)} has a counter {smallest:.2f} mm across; the stock carries "
            f"{least:.2f} mm{others}.",
            mark,
            f"Set it {mark.height * least / smallest:.1f} mm tall{lighter}.",
        )


def _least_counter(shape: BaseGeometry, least: float) -> float:
    """Width of the smallest counter of some letters that is under the least, or infinity."""
    enclosed = np.array(counters(shape), dtype=object)
    # Most have room round some point in their middle; only the others need a closer look.
    room = shapely.distance(shapely.point_on_surface(enclosed), shapely.boundary(enclosed))
    doubtful = enclosed[room < least / 2]
    gone = shapely.is_empty(shapely.buffer(doubtful, -least / 2))
    return min((across(counter) for counter in doubtful[gone]), default=math.inf)


@check
def narrow_mouths(scene: Scene) -> Iterator[Finding]:
    """On rigid stock, no bay hangs by a mouth narrower than a bridge."""
    stencil = scene.artwork.description.stencil
    if stencil.stock != "sheet":
        return
    least = limits(stencil).bridge
    known: dict[bytes, float] = {}
    mouths = ((mark, _narrowest_mouth(mark, least, known)) for mark in scene.marks if mark.text)
    for mark, mouth, others in _worst(mouths, least):
        yield finding(
            Severity.WARNING,
            "narrow-mouth",
            f"{what(mark)} has a letter that all but encloses a part of the stock, which hangs by "
            f"a mouth {mouth:.2f} mm wide and may tear off; a bridge is {least:.2f} mm{others}.",
            mark,
            f"Set it {mark.height * least / mouth:.1f} mm tall, or in a more open face.",
        )


def _narrowest_mouth(mark: Mark, bridge: float, known: dict[bytes, float]) -> float:
    """Width of the narrowest mouth of a bay in a text, or infinity where all are wide enough.

    Those that are as good as shut are left out: they are bridged. `known` keeps letters.
    """
    narrowest = math.inf
    for part in shapely.get_parts(mark.outline.shape):
        points = shapely.get_coordinates(part)
        key = np.round(points - points.min(axis=0), 3).tobytes()
        if key not in known:
            known[key] = narrowest_mouth(part, SHUT_MOUTH * bridge, LET_PASS * bridge)
        narrowest = min(narrowest, known[key])
    return narrowest


@check
def narrow_gaps(scene: Scene) -> Iterator[Finding]:
    """No gap between letters is narrower than the stock can carry."""
    least = limits(scene.artwork.description.stencil).gap
    gaps = ((mark, _least_gap(mark, least)) for mark in scene.marks if mark.text)
    for mark, apart, others in _worst(gaps, least):
        within = _letter_with_gap(mark, apart)
        has = f"strokes of {within!r}" if within else "letters"
        tall = f"Set it {mark.height * (least / apart if apart > 0 else 2.0):.1f} mm tall"
        yield finding(
            Severity.WARNING,
            "narrow-gap",
            f"{what(mark)} has {has} {apart:.2f} mm apart; the stock carries {least:.2f} mm"
            f"{others}.",
            mark,
            f"{tall}." if within else f"{tall}, or with more tracking.",
        )


def _letter_with_gap(mark: Mark, apart: float) -> str:
    """The letter that has the gap in itself, as between it and its accent; else nothing."""
    for letter in mark.letters:
        if least_gap(letter.outline.shape, 2 * apart) <= apart + TOUCHING:
            return letter.text
    return ""


def _least_gap(mark: Mark, least: float) -> float:
    """The least gap of a text that is under the least, or infinity.

    Parts of a letter that touch in a point are one.
    """
    apart = least_gap(mark.outline.shape, least)
    if apart > TOUCHING:
        return apart
    return least_gap(mark.outline.shape, least, [each.outline.shape for each in mark.letters])
