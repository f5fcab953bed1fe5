"""Lay out the legends round a control: its scale, its positions and its frame.

Each way that a kind of control lays its legends (`Kind.lays`) is one function here, found
in `LAYING`. A control, its opening and what covers it go in; marks come out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress

import shapely

from legend.description.laws import DomainError
from legend.description.shapes.edge import Edge
from legend.description.tables.description import Direction, Scale
from legend.layout.artwork import Finding, Mark, Role, not_drawn
from legend.layout.edges import grown
from legend.layout.fitted_controls import ABOVE_OR_BELOW, Fitted
from legend.layout.ground import Ground
from legend.layout.names.fanned_words import fanned_out
from legend.layout.names.fitting import balanced, ink_width
from legend.layout.names.nearness import UNSEEN
from legend.layout.names.wanted_names import Wanted, wanted_names
from legend.layout.openings import covered, placed
from legend.layout.scales.end_legends import (
    Between,
    ends_levelled,
    in_line_or_clear,
    levelled_along,
)
from legend.layout.scales.scale_marks import lay_scale, numeral_distance, travel
from legend.layout.scales.tracks import RoundTrack, StraightTrack, Track, scale_radius
from legend.layout.styles import (
    Stroke,
    Styles,
    gap,
    name_space,
)
from legend.lettering.faces.face import LetteringError, TextStyle
from legend.lettering.outlines.outline import Box, Outline
from legend.lettering.typesetting import is_symbol, set_text
from legend.standards import LEAST_MARK_GAP, METER_SWEEP, SELECTOR_STEP

#: A dead zone this near to straight down has its unit on the axis and the numerals' baseline,
#: degrees.
_NEARLY_DOWN = 5.0

#: Lengths that differ by less are the same, mm.
_SAME = 1e-6

Laying = Callable[[Fitted, Styles, Stroke], tuple[Mark, ...]]


def role_of(text: str, role: Role) -> Role:
    """The role of a legend that says this: a symbol by itself has a role of its own."""
    return Role.SYMBOL if is_symbol(text) else role


def lay_controls(ground: Ground, _before: Sequence[Mark]) -> Iterator[Mark | Finding]:
    """All legends of the controls but their names and notes; a finding for one without any."""
    for each in ground.fitted:
        lay = LAYING[each.control.of_kind.lays]
        try:
            yield from lay(each, ground.styles, ground.stroke)
        except (DomainError, LetteringError) as error:
            yield not_drawn(error, each.control.source)


# --- Turned controls ---


def _lay_round(fitted: Fitted, styles: Styles, stroke: Stroke) -> tuple[Mark, ...]:
    control = fitted.control
    radius = scale_radius(fitted.cover, fitted.opening)
    marks: tuple[Mark, ...] = ()
    if control.scale:
        track = _round_track(fitted, control.scale)
        scale = lay_scale(control, control.scale, track, styles["numeral"], stroke)
        marks += ends_levelled(scale, control.scale, track, _name_below(fitted, styles))
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


def _name_below(fitted: Fitted, styles: Styles) -> Between | None:
    """The name below a turned control as near to its part as it may come; None without one."""
    style = styles["name"]
    control = fitted.control
    if control.side != "below" or not control.name.strip() or "\n" in control.name:
        return None
    lowest = fitted.cover.shape.bounds[1]
    try:
        width = ink_width(set_text(control.name, style))
    except LetteringError:  # it is told where names are placed
        return None
    return Between(lowest - gap(style.height) - style.height, width, style.height)


def _is_small_sign(ink: Outline, style: TextStyle) -> bool:
    _, low, _, high = ink.bounds
    return high - low < style.height / 2


def _unit_in_dead_zone(
    fitted: Fitted, scale: Scale, track: RoundTrack, style: TextStyle, marks: tuple[Mark, ...]
) -> tuple[Mark, ...]:
    """The unit, in the middle of the part of the circle that the scale leaves free.

    Below a control it stands on its axis, as the name does: on the baseline of the lower
    numeral, or as near to the part as it may; but nowhere beside a numeral and out of line with
    it. Nothing, where it has no room, or is a sign so small that it looks lost by itself, as that
    of a degree; the name then carries it.
    """
    if not scale.unit.strip() or track.closed:
        return ()
    setting = set_text(scale.unit, style)
    if fitted.control.name.strip() and _is_small_sign(setting.outline, style):
        return ()
    middle = (1 + 360 / abs(track.sweep)) / 2
    on_ring = track.pushed([setting.outline], [middle], numeral_distance(style))[0]
    control, numerals = fitted.control, [mark for mark in marks if mark.role is Role.NUMERAL]

    def at(placed: Outline) -> Mark:
        source = control.source_of("scale")
        return Mark(placed, Role.NOTE, control.hole, source, scale.unit, style.height, setting)

    places = [at(on_ring)]
    below = abs(track.degrees(middle) % 360 - 180) < _NEARLY_DOWN
    if below:
        left, _, right, top = on_ring.bounds
        on_axis = on_ring.moved(fitted.opening.centre[0] - (left + right) / 2, 0.0)
        on_its_ring = places[0].baselines[0]
        lowest = min((mark.baselines[0] for mark in numerals), default=on_its_ring)
        to_part = max(0.0, fitted.cover.shape.bounds[1] - gap(style.height) - top)
        places = [at(on_axis.moved(0.0, up)) for up in (lowest - on_its_ring, to_part, 0.0)]
    for unit in places:
        clear_of = [fitted.cover.shape, *(mark.outline.shape for mark in marks)]
        if shapely.distance(unit.outline.shape, clear_of).min() < gap(style.height) - _SAME:
            continue
        if not below or all(in_line_or_clear(unit, numeral) for numeral in numerals):
            return (unit,)
    return ()


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
    placed = fanned_out(named, track, style, length + gap(style.height))
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


# --- Levers and slides ---


def _lay_sides(fitted: Fitted, styles: Styles, stroke: Stroke) -> tuple[Mark, ...]:
    control = fitted.control
    marks: tuple[Mark, ...] = ()
    if control.scale:
        track = _slide_track(fitted)
        scale = lay_scale(control, control.scale, track, styles["numeral"], stroke)
        marks += levelled_along(scale, track)
    _, y = fitted.axis
    up, down = fitted.reach
    box = left, bottom, right, top = fitted.cover.shape.bounds
    of_row = left, min(bottom, y - down), right, max(top, y + up)
    return marks + _positions(fitted, box, styles, of_row)


def _positions(
    fitted: Fitted, box: Box, styles: Styles, of_row: Box | None = None
) -> tuple[Mark, ...]:
    """The words on the sides of a box about a control.

    In a row of switches they line up on the box of the row, but for one that would come nearer
    to another part there than to its own, or bring the name beyond it there.
    """
    control, style = fitted.control, styles["position"]
    positions = control.positions if isinstance(control.positions, Mapping) else {}
    source = control.source_of("positions")
    words = {direction: name for direction, name in positions.items() if name.strip()}
    settings = {direction: set_text(name, style) for direction, name in words.items()}
    beside = [settings[d].outline for d in settings if d not in ABOVE_OR_BELOW]
    baseline = _baseline_beside(fitted, beside, style)
    marks = []
    for direction, setting in settings.items():
        ink, x = setting.outline, fitted.opening.centre[0]
        placed = _on_side(box, x, baseline, direction, ink, style)
        if of_row and direction in ABOVE_OR_BELOW:
            lined_up = _on_side(of_row, x, baseline, direction, ink, style)
            beyond = _beyond(fitted, direction, styles)
            there, here = (_strays(fitted, at, beyond) for at in (lined_up, placed))
            if not any(a > UNSEEN >= b for a, b in zip(there, here, strict=True)):
                placed = lined_up
        text = words[direction]
        role = role_of(text, Role.POSITION)
        marks.append(Mark(placed, role, control.hole, source, text, style.height, setting))
    return tuple(marks)


def _beyond(fitted: Fitted, direction: Direction, styles: Styles) -> list[Wanted]:
    """The names that are to stand beyond what a switch says above or below it."""
    names = []
    for each in wanted_names([fitted], (), styles):
        if each.side == ABOVE_OR_BELOW[direction]:
            with suppress(LetteringError):  # it is told where names are placed
                set_text(each.text, each.style)
                names.append(each)
    return names


def _strays(fitted: Fitted, word: Outline, beyond: Sequence[Wanted]) -> list[float]:
    """How much nearer a word, and the names beyond it, stand to another part than to their own.

    In mm. A name for which the next part leaves little room is taken in two lines.
    """
    hole = fitted.control.hole
    _, bottom, _, top = word.bounds
    boxes = [word.bounds]
    for each in beyond:
        height = each.style.height
        width = ink_width(set_text(each.text, each.style))
        if width > fitted.parts.pitch(hole) - height:
            width = ink_width(set_text(balanced(each.text, each.style), each.style))
        out = (top if each.side == "above" else -bottom) + name_space(height) + each.inward
        boxes.append(each.box(out, width, each.lines, each.style))
    return [fitted.parts.strays(box, hole) for box in boxes]


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


def _slide_track(fitted: Fitted) -> StraightTrack:
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
        scale = lay_scale(control, control.scale, track, styles["numeral"], stroke)
        marks += ends_levelled(scale, control.scale, track)
    return marks + _positions(fitted, box, styles)


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
