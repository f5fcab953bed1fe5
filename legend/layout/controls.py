"""The legends that hug a control: its scale, its positions and its frame, without its name.

Each way that a kind of control lays its legends (`Kind.lays`) is one function here, found
in `LAYING`. A control, its opening and what covers it go in; marks come out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

import shapely

from legend.description.edge import Edge
from legend.description.schema import Control, Description, Direction, Scale
from legend.layout.artwork import KeepOut, Mark, Opening, Role
from legend.layout.edges import grown
from legend.layout.openings import cover_of, covered, placed
from legend.layout.rows import shared_axes
from legend.layout.scales import lay_scale, numeral_distance, travel
from legend.layout.styles import Stroke, Styles, gap
from legend.layout.tracks import RoundTrack, StraightTrack, Track
from legend.lettering.face import TextStyle
from legend.lettering.outline import Box, Outline
from legend.lettering.typesetting import is_symbol, set_text
from legend.standards import LEAST_MARK_GAP, METER_SWEEP, SELECTOR_STEP


class Fitted(NamedTuple):
    """A control in its hole: what is known of it before its legends are laid.

    `axis` is the point its legends are laid from: its own hole along the row, and the row's
    line across it. `reach` is how far the switches of its row reach up and down, mm.
    """

    control: Control
    opening: Opening
    cover: KeepOut
    axis: tuple[float, float]
    reach: tuple[float, float] = (0.0, 0.0)


def fit_controls(description: Description, openings: Sequence[Opening]) -> list[Fitted]:
    """Every control in its hole, with the axis of its row and the reach of its row's switches."""
    by_id = {opening.id: opening for opening in openings}
    controls = description.control
    rows = shared_axes(
        {c.hole: by_id[c.hole].centre[1] for c in controls},
        {c.hole: by_id[c.hole].nominal[1] for c in controls},
    )
    covers = [cover_of(control, by_id[control.hole]) for control in controls]
    reach: dict[tuple[str, float], tuple[float, float]] = {}
    for control, cover in zip(controls, covers, strict=True):
        y = rows[control.hole]
        _, bottom, _, top = cover.shape.bounds
        up, down = reach.get((control.kind, y), (0.0, 0.0))
        reach[control.kind, y] = (max(up, top - y), max(down, y - bottom))
    return [
        Fitted(
            control,
            by_id[control.hole],
            cover,
            (by_id[control.hole].centre[0], rows[control.hole]),
            reach[control.kind, rows[control.hole]],
        )
        for control, cover in zip(controls, covers, strict=True)
    ]


#: How strongly the words of a selector lean outward: the first that leaves them room is taken.
#: Common practice, no source.
_LEANS = (1.0, 1.5, 2.0, 3.0, 5.0, 10.0)

#: A dead zone this near to straight down has its unit on the axis and the numerals' baseline,
#: degrees.
_NEARLY_DOWN = 5.0

Laying = Callable[[Fitted, Styles, Stroke], tuple[Mark, ...]]


def role_of(text: str, role: Role) -> Role:
    """The role of a legend that says this: a symbol by itself has a role of its own."""
    return Role.SYMBOL if is_symbol(text) else role


def lay_control(fitted: Fitted, styles: Styles, stroke: Stroke) -> tuple[Mark, ...]:
    """All legends of a control but its name and its note. Error: DomainError, LetteringError."""
    return LAYING[fitted.control.of_kind.lays](fitted, styles, stroke)


# --- Turned controls ---


def _lay_round(fitted: Fitted, styles: Styles, stroke: Stroke) -> tuple[Mark, ...]:
    control = fitted.control
    radius = scale_radius(fitted.cover, fitted.opening)
    marks: tuple[Mark, ...] = ()
    if control.scale:
        track = _round_track(fitted, control.scale)
        marks += lay_scale(control, control.scale, track, styles["numeral"], stroke)
        marks += _unit_in_dead_zone(fitted, control.scale, track, styles["numeral"], marks)
    if control.positions:
        marks += _lay_detents(fitted, styles["position"], stroke, radius)
    return marks


def scale_track(fitted: Fitted, scale: Scale, stroke: Stroke) -> Track:
    """The line along which the scale of a control stands."""
    ways = fitted.control.of_kind.lays
    if ways == "round":
        return _round_track(fitted, scale)
    if ways == "sides":
        return _slide_track(fitted)
    framed = _frame(fitted, stroke).outline if fitted.control.frame is not None else None
    return _meter_track(scale, framed.bounds if framed else fitted.cover.shape.bounds)


def _round_track(fitted: Fitted, scale: Scale) -> RoundTrack:
    radius = scale_radius(fitted.cover, fitted.opening)
    return RoundTrack(fitted.opening.centre, radius, *travel(scale))


def scale_radius(cover: KeepOut, opening: Opening) -> float:
    """How far what stands round a turned control begins from its axis, mm: clear of its part."""
    reach = shapely.hausdorff_distance(cover.shape, shapely.Point(opening.centre))
    return float(reach) + LEAST_MARK_GAP


def _unit_in_dead_zone(
    fitted: Fitted, scale: Scale, track: RoundTrack, style: TextStyle, marks: tuple[Mark, ...]
) -> tuple[Mark, ...]:
    """The unit, in the middle of the part of the circle that the scale leaves free.

    Below a control it stands on its axis, as the name does, and on the baseline of the lower
    numeral. Nothing, where it has no room; the name then carries it.
    """
    if not scale.unit.strip() or track.closed:
        return ()
    setting = set_text(scale.unit, style)
    middle = (1 + 360 / abs(track.sweep)) / 2
    placed = track.pushed([setting.outline], [middle], numeral_distance(style))[0]
    if abs(track.degrees(middle) % 360 - 180) < _NEARLY_DOWN:
        left, bottom, right, top = placed.bounds
        aside = fitted.opening.centre[0] - (left + right) / 2
        baseline = min(mark.outline.bounds[1] for mark in marks) - bottom
        under_the_part = fitted.cover.shape.bounds[1] - gap(style.height) - top
        placed = placed.moved(aside, max(0.0, min(baseline, under_the_part)))
    shapes = [mark.outline.shape for mark in marks]
    near_part = shapely.distance(placed.shape, fitted.cover.shape) < gap(style.height)
    if near_part or shapely.distance(placed.shape, shapes).min() < gap(style.height):
        return ()
    control = fitted.control
    return (
        Mark(
            placed,
            Role.NOTE,
            control.hole,
            control.source_of("scale"),
            scale.unit,
            style.height,
            setting,
        ),
    )


def _lay_detents(
    fitted: Fitted, style: TextStyle, stroke: Stroke, radius: float
) -> tuple[Mark, ...]:
    """Positions round a selector, each with a short line that points at it."""
    control = fitted.control
    assert isinstance(control.positions, tuple)  # the schema sees to it
    names = control.positions
    detent = control.detent or SELECTOR_STEP
    sweep = detent * (len(names) - 1)
    start = -sweep / 2 if control.start is None else control.start
    track = RoundTrack(fitted.opening.centre, radius, start, sweep or 360.0)
    source = control.source_of("positions")
    length, width = style.height * 0.6, stroke.width(style.stroke * style.height)
    fractions = [i * detent / track.sweep for i in range(len(names))]
    lines = [
        Mark(
            Outline.line_stroke(track.point(f), track.point(f, length), width),
            Role.GRADUATION,
            control.hole,
            source,
        )
        for f, name in zip(fractions, names, strict=True)
        if name
    ]
    named = [(f, name) for f, name in zip(fractions, names, strict=True) if name.strip()]
    placed = _fanned_out(named, track, style, length + gap(style.height))
    labels = [
        Mark(
            outline,
            role_of(name, Role.POSITION),
            control.hole,
            source,
            name,
            style.height,
            set_text(name, style),
        )
        for (_, name), outline in zip(named, placed, strict=True)
    ]
    return (*lines, *labels)


def _fanned_out(
    named: Sequence[tuple[float, str]], track: RoundTrack, style: TextStyle, out: float
) -> list[Outline]:
    """The words of a selector round it, each leaning outward as far as its neighbours ask."""
    inks = [set_text(name, style).outline for _, name in named]
    fractions = [f for f, _ in named]
    placed: list[Outline] = []
    for lean in _LEANS:
        leaning = [
            _leaning(ink, style, track.degrees(f), lean)
            for ink, f in zip(inks, fractions, strict=True)
        ]
        placed = track.pushed_anchored(leaning, fractions, out)
        shapes = [outline.shape for outline in placed]
        if len(shapes) < 2 or shapely.distance(shapes[:-1], shapes[1:]).min() >= gap(style.height):
            break
    return placed


def _leaning(ink: Outline, style: TextStyle, degrees: float, lean: float) -> Outline:
    """A word with its anchor at the origin: its middle above and below, its near end beside.

    The anchor slides along the word with the sine of the angle, so that words fan out from a
    selector as a letterer would set them, and single figures stay centred on their ray.
    """
    x0, y0, x1, y1 = ink.bounds
    beside = max(-1.0, min(1.0, lean * math.sin(math.radians(degrees))))
    slide = max(0.0, (x1 - x0 - 1.5 * style.height) / 2) * beside
    return ink.moved(slide - (x0 + x1) / 2, -(y0 + y1) / 2)


# --- Levers and slides ---


def _lay_sides(fitted: Fitted, styles: Styles, stroke: Stroke) -> tuple[Mark, ...]:
    control = fitted.control
    marks: tuple[Mark, ...] = ()
    if control.scale:
        track = _slide_track(fitted)
        marks += lay_scale(control, control.scale, track, styles["numeral"], stroke)
    x, y = fitted.axis
    left, _, right, _ = fitted.cover.shape.bounds
    up, down = fitted.reach
    return marks + _positions(fitted, (left, y - down, right, y + up), (x, y), styles["position"])


def _positions(
    fitted: Fitted,
    box: Box,
    axis: tuple[float, float],
    style: TextStyle,
) -> tuple[Mark, ...]:
    """The words on the sides of a box that is centred on `axis`."""
    control = fitted.control
    positions = control.positions if isinstance(control.positions, Mapping) else {}
    source = control.source_of("positions")
    return tuple(
        Mark(
            _beside(box, axis, direction, set_text(name, style).outline, style),
            role_of(name, Role.POSITION),
            control.hole,
            source,
            name,
            style.height,
            set_text(name, style),
        )
        for direction, name in positions.items()
        if name.strip()
    )


def _beside(
    box: Box,
    axis: tuple[float, float],
    direction: Direction,
    ink: Outline,
    style: TextStyle,
) -> Outline:
    """A word on one side of a box; "centre" stands to the right."""
    x, y = axis
    x0, y0, x1, y1 = ink.bounds
    left, bottom, right, top = box
    space = gap(style.height)
    if direction == "up":
        return ink.moved(x - (x0 + x1) / 2, top + space)
    if direction == "down":
        return ink.moved(x - (x0 + x1) / 2, bottom - space - style.height)
    middle = y - (y0 + y1) / 2
    if direction == "left":
        return ink.moved(left - space - x1, middle)
    return ink.moved(right + space - x0, middle)


def _slide_track(fitted: Fitted) -> Track:
    """The line on which a slide's scale stands: right of an upright slide, above a level one."""
    left, bottom, right, top = fitted.opening.outline.bounds
    _, _, cover_right, cover_top = fitted.cover.shape.bounds
    if top - bottom >= right - left:
        x = cover_right + LEAST_MARK_GAP
        return StraightTrack((x, bottom), (x, top), (1.0, 0.0))
    y = cover_top + LEAST_MARK_GAP
    return StraightTrack((left, y), (right, y), (0.0, 1.0))


# --- Windows and meters ---


def _lay_framed(fitted: Fitted, styles: Styles, stroke: Stroke) -> tuple[Mark, ...]:
    """A frame, a scale over it, and words on its sides."""
    control = fitted.control
    marks: tuple[Mark, ...] = ()
    box = fitted.cover.shape.bounds
    if control.frame is not None:
        marks += (_frame(fitted, stroke),)
        box = marks[0].outline.bounds
    if control.scale:
        track = _meter_track(control.scale, box)
        marks += lay_scale(control, control.scale, track, styles["numeral"], stroke)
    return marks + _positions(fitted, box, fitted.opening.centre, styles["position"])


def _meter_track(scale: Scale, box: Box) -> RoundTrack:
    """An arc over an opening, about the middle of its lower edge, where the pointer turns."""
    left, bottom, right, top = box
    pivot = ((left + right) / 2, bottom)
    radius = math.dist(pivot, (right, top)) + LEAST_MARK_GAP
    return RoundTrack(pivot, radius, *travel(scale, METER_SWEEP))


def _lay_name_only(fitted: Fitted, styles: Styles, stroke: Stroke) -> tuple[Mark, ...]:
    return ()


def _frame(fitted: Fitted, stroke: Stroke) -> Mark:
    """A line round a window or an instrument, the least gap outside what covers it, as that is."""
    control, hole = fitted.control, fitted.opening.hole
    width = stroke.width(control.frame or 0.0)
    edge = covered(control, hole)
    if isinstance(control.covers, tuple):
        edge = Edge.rectangle(*control.covers, hole.shape.corner_radius)
    inner, outer = (grown(edge, LEAST_MARK_GAP + more) for more in (0.0, width))
    ring = Outline((*outer.contours, *(contour.reversed() for contour in inner.contours)))
    placed_ring = placed(ring, hole, fitted.opening.centre)
    return Mark(placed_ring, Role.FRAME, control.hole, control.source_of("frame"))


def ring_of(inner: Box, width: float, radius: float) -> Outline:
    """A line of `width` round a rectangle, its inner corners of `radius`."""
    left, bottom, right, top = inner
    outer_radius = radius + width if radius else 0.0
    outer = Outline.rectangle(
        left - width, bottom - width, right + width, top + width, outer_radius
    )
    hole = Outline.rectangle(left, bottom, right, top, radius)
    return Outline((*outer.contours, *(contour.reversed() for contour in hole.contours)))


#: How each way of laying is done.
LAYING: Mapping[str, Laying] = {
    "round": _lay_round,
    "sides": _lay_sides,
    "framed": _lay_framed,
    "name": _lay_name_only,
}
