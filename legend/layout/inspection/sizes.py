"""Check the lettering: can it be read from where one stands, and cut from the stock."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from legend.description.tables.description import LETTERED_ROLES
from legend.description.tables.stock import limits, limits_for
from legend.layout.artwork import Finding, Mark, Role, Severity
from legend.layout.inspection.fine_strokes import fine_strokes
from legend.layout.inspection.heavy_strokes import (
    letters_of,
    lighter_stroke,
    marks_with_filled_counters,
)
from legend.layout.inspection.scene import Scene, check, finding, what
from legend.layout.remedies.lettering_offers import (
    height_step,
    heights_from,
    lighter,
    spaced,
    stroked,
    taller,
)
from legend.layout.remedies.offers import Offer, offer
from legend.layout.styles import least_readable
from legend.lettering.faces.stroke_face import StrokeFace
from legend.lettering.outlines.measuring import (
    LET_PASS,
    across,
    counters,
    gaps_of_letters,
    least_gap,
    least_stroke,
)
from legend.lettering.outlines.mouths import narrowest_mouth
from legend.lettering.superiors import RAISED_STROKE, has_raised
from legend.standards import (
    GAP_IN_LETTER,
    INCH,
    LEAST_HEIGHT_PER_DISTANCE,
    LEVEL_STEP,
    SHUT_MOUTH,
    STROKE_DARK_ON_LIGHT,
    STROKE_LIGHT_ON_DARK,
    STROKE_MARGIN,
)

#: Levels of legend that a reader tells apart by their size.
_LEVELS = ("title", "group", "name")
#: What says at which setting a control stands: one level.
_SETTINGS = ("position", "numeral")


@check
def too_small(scene: Scene) -> Iterator[Finding]:
    """Capitals subtend at least 15 minutes of arc."""
    distance = scene.artwork.description.panel.viewing_distance
    least = LEAST_HEIGHT_PER_DISTANCE * distance
    heights = ((mark, mark.height) for mark in scene.marks if mark.text and mark.height)
    from_ = scene.lengths.short_said(distance)
    for mark, height, others in _worst(scene, "too-small", heights, least):
        tall, wanted = scene.lengths.compared(height, least, 2)
        yield finding(
            Severity.WARNING,
            "too-small",
            f"{what(mark)} is {tall} tall; read from {from_} it wants at least {wanted}{others}.",
            mark,
            "",
            offers=[*taller(scene.artwork, mark, least / height), _nearer(scene, height)],
        )


def _nearer(scene: Scene, height: float) -> Offer:
    """The distance from which capitals so tall can be read, in whole centimetres or inches."""
    step = INCH if scene.lengths.unit == "in" else 10.0
    distance = math.floor(height / LEAST_HEIGHT_PER_DISTANCE / step) * step
    return offer(
        "if it is read from no further than {}, say so",
        ("panel", "viewing_distance"),
        [float(distance)] if distance else [],
        "nor would a shorter viewing distance",
    )


def _worst(
    scene: Scene, code: str, measured: Iterable[tuple[Mark, float]], least: float
) -> Iterator[tuple[Mark, float, str]]:
    """Of each role the mark that falls furthest below the least, and words for the others.

    A panel has many legends of one size: they are told once, but for those where it is meant.
    """
    below: dict[Role, dict[Mark, float]] = {}
    for mark, value in measured:
        if value < least * LET_PASS:
            below.setdefault(mark.role, {})[mark] = value
    for role, found in below.items():
        for marks in scene.parted(code, found):
            worst = min(marks, key=found.__getitem__)
            more = len(marks) - 1
            others = f"; so it is with {more} more of the {role} legends" if more else ""
            yield worst, found[worst], others


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
            "",
            offers=(
                offer(
                    "have it chosen from the colours",
                    ("lettering", *([role] if table.stroke is not None else []), "stroke"),
                    [None],
                    "what is chosen from the colours would not do either; give another stroke",
                ),
            ),
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
                high, low = scene.lengths.compared(tall, small, 2)
                alike = "too alike to tell which stands higher" if tall > small else "smaller"
                yield Finding(
                    Severity.WARNING,
                    "levels-alike",
                    f"Every {upper} is {high} tall, every {lower} {low}: {alike}.",
                    getattr(scene.artwork.description.lettering, upper).source,
                    "",
                    offers=_a_level_apart(scene, upper, lower, tall, small),
                )


def _a_level_apart(
    scene: Scene, upper: str, lower: str, tall: float, small: float
) -> tuple[Offer, ...]:
    """The upper of two levels taller, or the lower smaller."""
    units = scene.artwork.description.units
    step = height_step(units)
    less = math.floor(tall / LEVEL_STEP / step + 1e-6) * step
    least = least_readable(scene.artwork.description)
    return (
        offer(
            f"make every {upper} {{}} tall",
            ("lettering", upper, "height"),
            heights_from(small * LEVEL_STEP, units),
            f"no greater {upper} fits",
        ),
        offer(
            f"make every {lower} {{}} tall",
            ("lettering", lower, "height"),
            [round(less, 6)] if less >= least else [],
            f"no lesser {lower} can be read",
        ),
    )


@check
def level_heights(scene: Scene) -> Iterator[Finding]:
    """What stands at the settings of controls is of one height, where heights were asked for."""
    lettering = scene.artwork.description.lettering
    position, numeral = (getattr(lettering, role).height for role in _SETTINGS)
    if not position or not numeral or math.isclose(position, numeral, rel_tol=1e-3):
        return
    if all(_used(scene, role) for role in _SETTINGS):
        one, other = scene.lengths.compared(position, numeral, 2)
        yield Finding(
            Severity.NOTE,
            "level-heights",
            f"Every position is to be {one} tall, and every numeral {other}; both say where a "
            "control stands, and are read as one level.",
            lettering.position.source_of("height"),
            "",
            also=(lettering.numeral.source_of("height"),),
            offers=tuple(
                offer(
                    f"make every {role} as tall",
                    ("lettering", role, "height"),
                    [height],
                    f"no {role} can be as tall as the others",
                )
                for role, height in (("position", numeral), ("numeral", position))
                if isinstance(height, float)
            ),
        )


def _used(scene: Scene, role: str) -> bool:
    return any(mark.role == role for mark in scene.marks)


# --- What the stock can carry ---


@check
def thin_strokes(scene: Scene) -> Iterator[Finding]:
    """No stroke is finer than the stock can carry; and what is nearly so is told."""
    least = limits(scene.artwork.description.stencil).stroke
    strokes = [(mark, _stroke(scene, mark)) for mark in scene.marks if mark.text]
    yield from fine_strokes(scene, strokes)
    for mark, stroke, others in _worst(scene, "thin-stroke", strokes, least):
        drawn = isinstance(scene.style_of(mark).face, StrokeFace)  # a font file has its own
        stands, carried = scene.lengths.compared(stroke, least, 2)
        yield finding(
            Severity.WARNING,
            "thin-stroke",
            f"{what(mark)} has strokes of {stands}; the stock carries {carried}{others}.",
            mark,
            "",
            offers=[
                *taller(scene.artwork, mark, least / stroke),
                *stroked(scene.artwork, mark, least / stroke),
            ],
            besides="" if drawn else "A bolder face helps as well.",
        )


def _stroke(scene: Scene, mark: Mark) -> float:
    """The finest stroke of a text, mm: as it was drawn, or measured on an outline face."""
    style = scene.style_of(mark)
    if isinstance(style.face, StrokeFace):
        finer = RAISED_STROKE if has_raised(mark.text, style.face) else 1.0
        return style.stroke * mark.height * finer
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
    for mark, smallest, others in _worst(scene, "small-counter", measured, least):
        small = [
            text
            for text, outline in letters_of(scene, mark.role).items()
            if _least_counter(outline.shape, least) < least
        ]
        stroke = lighter_stroke(scene, small, scene.style_of(mark))
        stands, carried = scene.lengths.compared(smallest, least, 2)
        finer = lighter(scene.artwork, mark, stroke)
        yield finding(
            Severity.WARNING,
            "small-counter",
            f"{what(mark)} has a counter {stands} across; the stock carries {carried}{others}.",
            mark,
            "",
            offers=[*taller(scene.artwork, mark, least / smallest), *([finer] if finer else [])],
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
    of: dict[float, list[Mark]] = {}
    for mark in scene.marks:
        if mark.text:
            least = limits_for(scene.artwork.description, mark.role).bridge
            of.setdefault(least, []).append(mark)
    for least, marks in of.items():
        yield from _narrow_mouths(scene, marks, least)


def _narrow_mouths(scene: Scene, marks: Sequence[Mark], least: float) -> Iterator[Finding]:
    """That some marks have bays with mouths narrower than their bridges."""
    known: dict[bytes, float] = {}
    mouths = ((mark, _narrowest_mouth(mark, least, known)) for mark in marks)
    for mark, mouth, others in _worst(scene, "narrow-mouth", mouths, least):
        wide, bridge = scene.lengths.compared(mouth, least, 2)
        yield finding(
            Severity.WARNING,
            "narrow-mouth",
            f"{what(mark)} has a letter that all but encloses a part of the stock, which hangs by "
            f"a mouth {wide} wide and may tear off; a bridge is {bridge}{others}.",
            mark,
            "Set it in a more open face.",
            offers=taller(scene.artwork, mark, least / mouth),
            besides="A more open face helps as well.",
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
    """No gap between letters, or inside of one, is narrower than the stock can carry."""
    least = limits(scene.artwork.description.stencil).gap
    gaps = [(mark, _gaps(mark, least)) for mark in scene.marks if mark.text]
    between = ((mark, apart) for mark, (apart, _) in gaps)
    for mark, apart, others in _worst(scene, "narrow-gap", between, least):
        stands, carried = scene.lengths.compared(apart, least, 2)
        yield finding(
            Severity.WARNING,
            "narrow-gap",
            f"{what(mark)} has letters {stands} apart; the stock carries {carried}{others}.",
            mark,
            "",
            offers=[
                *spaced(scene.artwork, mark, least - apart),
                *taller(scene.artwork, mark, least / apart if apart > 0 else 2.0),
            ],
        )
    inside = ((mark, apart) for mark, (_, apart) in gaps)
    for mark, apart, others in _worst(scene, "narrow-gap", inside, GAP_IN_LETTER * least):
        stands, carried = scene.lengths.compared(apart, GAP_IN_LETTER * least, 2)
        yield finding(
            Severity.WARNING,
            "narrow-gap",
            f"{what(mark)} has a letter or a sign whose parts are {stands} apart; the stock "
            f"carries {carried} there{others}.",
            mark,
            "",
            offers=[
                *taller(scene.artwork, mark, GAP_IN_LETTER * least / apart),
                *_opened(scene, mark, GAP_IN_LETTER * least - apart),
            ],
        )


def _opened(scene: Scene, mark: Mark, lacking: float) -> Iterator[Offer]:
    """A stroke finer by what is lacking between parts, as far as the stock carries it."""
    stroke = scene.style_of(mark).stroke * mark.height
    least = limits(scene.artwork.description.stencil).stroke
    if stroke - lacking >= least:
        yield from stroked(scene.artwork, mark, 1 - lacking / stroke)


def _gaps(mark: Mark, least: float) -> tuple[float, float]:
    """The least gap between letters of a text, and inside of one, where under the least."""
    if math.isinf(least_gap(mark.outline.shape, least)):
        return math.inf, math.inf
    letters = [each.outline.shape for each in mark.letters]
    return gaps_of_letters(mark.outline.shape, letters, least)
