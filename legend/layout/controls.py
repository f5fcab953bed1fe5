"""The legends that hug a control: its scale, its positions and its frame, without its name.

Each way that a kind of control lays its legends (`Kind.lays`) is one function here, found
in `LAYING`. A control, its opening and what covers it go in; marks come out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NamedTuple

import shapely

from legend.description.schema import Control, Description, Direction, Scale
from legend.layout.artwork import KeepOut, Mark, Opening, Role
from legend.layout.nearness import Parts
from legend.layout.openings import cover_of
from legend.layout.rows import lines_in_common, shared_axes
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
    line across it. `reach` is how far the switches of its row reach up and down from there, mm.
    `level` is the line of the words beside it, where others of its row have such as well.
    `parts` are all those on the panel.
    """

    control: Control
    opening: Opening
    cover: KeepOut
    axis: tuple[float, float]
    reach: tuple[float, float]
    level: float | None
    parts: Parts


def fit_controls(description: Description, openings: Sequence[Opening]) -> list[Fitted]:
    """Every control in its hole, with what its legends share with others of its row."""
    by_id = {opening.id: opening for opening in openings}
    controls = description.control
    in_row = [control for control in controls if control.in_row]
    rows = _common(shared_axes, in_row, by_id)
    levels = _common(lines_in_common, filter(_has_words_beside, in_row), by_id)
    covers = [cover_of(control, by_id[control.hole]) for control in controls]
    parts = Parts(covers)
    fitted = []
    for control, cover in zip(controls, covers, strict=True):
        opening = by_id[control.hole]
        x, y = opening.centre
        y = rows[control.hole] if control.in_row else y
        level = levels.get(control.hole) if control.in_row else None
        _, bottom, _, top = cover.shape.bounds
        reach = top - y, y - bottom
        fitted.append(Fitted(control, opening, cover, (x, y), reach, level, parts))
    return _reaching_alike(fitted)


def _common(
    shared: Callable[[dict[str, float], dict[str, float]], dict[str, float]],
    controls: Iterable[Control],
    by_id: Mapping[str, Opening],
) -> dict[str, float]:
    """The lines that these controls share, by hole."""
    openings = [by_id[control.hole] for control in controls]
    return shared(
        {opening.id: opening.centre[1] for opening in openings},
        {opening.id: opening.nominal[1] for opening in openings},
    )


def _has_words_beside(control: Control) -> bool:
    positions = control.positions
    return isinstance(positions, Mapping) and not positions.keys() <= _ABOVE_OR_BELOW


def _reaching_alike(fitted: Sequence[Fitted]) -> list[Fitted]:
    """The controls, those of one kind in a row with the reach of the largest."""
    reach: dict[tuple[str, float], tuple[float, float]] = {}
    for each in fitted:
        if each.control.in_row:
            key = each.control.kind, each.axis[1]
            up, down = reach.get(key, each.reach)
            reach[key] = max(up, each.reach[0]), max(down, each.reach[1])
    return [
        each._replace(reach=reach[each.control.kind, each.axis[1]]) if each.control.in_row else each
        for each in fitted
    ]


#: The sides on which what a switch says stands over or under it.
_ABOVE_OR_BELOW = frozenset({"up", "down"})

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
        track = RoundTrack(fitted.opening.centre, radius, *travel(control.scale))
        marks += lay_scale(control, control.scale, track, styles["numeral"], stroke)
        marks += _unit_in_dead_zone(fitted, control.scale, track, styles["numeral"], marks)
    if control.positions:
        marks += _lay_detents(fitted, styles["position"], stroke, radius)
    return marks


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
    _, y = fitted.axis
    up, down = fitted.reach
    box = left, bottom, right, top = fitted.cover.shape.bounds
    of_row = left, min(bottom, y - down), right, max(top, y + up)
    return marks + _positions(fitted, box, styles["position"], of_row)


def _positions(
    fitted: Fitted, box: Box, style: TextStyle, of_row: Box | None = None
) -> tuple[Mark, ...]:
    """The words on the sides of a box about a control.

    In a row of switches they line up on the box of the row, but for one that would come nearer
    to another part there than to its own.
    """
    control = fitted.control
    positions = control.positions if isinstance(control.positions, Mapping) else {}
    source = control.source_of("positions")
    words = {direction: name for direction, name in positions.items() if name.strip()}
    settings = {direction: set_text(name, style) for direction, name in words.items()}
    beside = [settings[d].outline for d in settings if d not in _ABOVE_OR_BELOW]
    baseline = _baseline_beside(fitted, beside, style)
    marks = []
    for direction, setting in settings.items():
        ink, x = setting.outline, fitted.opening.centre[0]
        placed = _on_side(box, x, baseline, direction, ink, style)
        if of_row:
            lined_up = _on_side(of_row, x, baseline, direction, ink, style)
            stray, own_stray = (
                fitted.parts.strays(each.bounds, control.hole) for each in (lined_up, placed)
            )
            placed = lined_up if stray <= own_stray else placed
        text = words[direction]
        role = role_of(text, Role.POSITION)
        marks.append(Mark(placed, role, control.hole, source, text, style.height, setting))
    return tuple(marks)


def _baseline_beside(fitted: Fitted, inks: Sequence[Outline], style: TextStyle) -> float:
    """The baseline of words beside a control: level with its own hole by their ink, or in a row."""
    if fitted.level is not None or not inks:
        return (fitted.level or 0.0) - style.height / 2
    boxes = [ink.bounds for ink in inks]
    middle = (min(box[1] for box in boxes) + max(box[3] for box in boxes)) / 2
    return fitted.opening.centre[1] - middle


def _on_side(
    box: Box, x: float, baseline: float, direction: Direction, ink: Outline, style: TextStyle
) -> Outline:
    """A word on one side of a box; "centre" stands to the right."""
    x0, _, x1, _ = ink.bounds
    left, bottom, right, top = box
    space = gap(style.height)
    if direction == "up":
        return ink.moved(x - (x0 + x1) / 2, top + space)
    if direction == "down":
        return ink.moved(x - (x0 + x1) / 2, bottom - space - style.height)
    if direction == "left":
        return ink.moved(left - space - x1, baseline)
    return ink.moved(right + space - x0, baseline)


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
    return marks + _positions(fitted, box, styles["position"])


def _meter_track(scale: Scale, box: Box) -> RoundTrack:
    """An arc over an opening, about the middle of its lower edge, where the pointer turns."""
    left, bottom, right, top = box
    pivot = ((left + right) / 2, bottom)
    radius = math.dist(pivot, (right, top)) + LEAST_MARK_GAP
    return RoundTrack(pivot, radius, *travel(scale, METER_SWEEP))


def _lay_name_only(fitted: Fitted, styles: Styles, stroke: Stroke) -> tuple[Mark, ...]:
    return ()


def _frame(fitted: Fitted, stroke: Stroke) -> Mark:
    """A line round a window or an instrument, the least gap outside what covers it."""
    control, hole = fitted.control, fitted.opening.hole
    width = stroke.width(control.frame or 0.0)
    unturned = fitted.cover.shape
    if hole.angle:
        unturned = shapely.affinity.rotate(unturned, hole.angle, origin=fitted.opening.centre)
    left, bottom, right, top = shapely.buffer(
        shapely.box(*unturned.bounds), LEAST_MARK_GAP, join_style="mitre"
    ).bounds
    radius = hole.corner_radius + LEAST_MARK_GAP if hole.corner_radius else 0.0
    ring = ring_of((left, bottom, right, top), width, radius)
    if hole.angle:
        ring = ring.turned(hole.angle, fitted.opening.centre)
    return Mark(ring, Role.FRAME, control.hole, control.source_of("frame"))


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
