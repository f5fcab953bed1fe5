"""Lay out the legends round a control: its scale, its positions and its frame.

Each way that a kind of control lays its legends (`Kind.lays`) is one function here, found
in `LAYING`. A control, its opening and what covers it go in; marks come out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass

from legend.description.laws import DomainError
from legend.description.tables.description import Control, Direction, InnerKnob, Scale
from legend.kept import Kept
from legend.layout.artwork import Finding, Mark, Role, not_drawn
from legend.layout.controls.scale_units import units_in_dead_zones
from legend.layout.controls.turned_controls import lay_round, ring_radii, round_track
from legend.layout.fitted_controls import ABOVE_OR_BELOW, Fitted
from legend.layout.ground import Ground
from legend.layout.names.fitting import ink_width
from legend.layout.names.line_breaks import balanced
from legend.layout.names.nearness import UNSEEN
from legend.layout.names.wanted_names import Wanted, wanted_names
from legend.layout.openings import placed, within_frame
from legend.layout.scales.end_legends import ends_levelled, levelled_along
from legend.layout.scales.scale_marks import lay_scale, travel
from legend.layout.scales.shared_scale import lay_shared_scale
from legend.layout.scales.slide_tracks import SharedTrack, shared_track, slide_track
from legend.layout.scales.tracks import RoundTrack, StraightTrack, Track
from legend.layout.styles import (
    Stroke,
    Styles,
    gap,
    name_space,
)
from legend.lettering.faces.face import LetteringError, TextStyle
from legend.lettering.outlines.outline import Box, Outline
from legend.lettering.typesetting import is_symbol, set_text
from legend.standards import LEAST_MARK_GAP, METER_SWEEP
from legend.vector import Vector

Laying = Callable[[Fitted, Styles, Stroke], Iterable[Mark | Finding]]

#: What was laid round each control, for a panel that is laid out again with one thing changed.
_LAID: Kept[tuple[Mark | Finding, ...]] = Kept()


def role_of(text: str, role: Role) -> Role:
    """The role of a legend that says this: a symbol by itself has a role of its own."""
    return Role.SYMBOL if is_symbol(text) else role


def lay_controls(ground: Ground, _before: Sequence[Mark]) -> Iterator[Mark | Finding]:
    """All legends of the controls but their names and notes; a finding for one without any."""
    styles, stroke = ground.styles, ground.stroke
    laid = [_LAID.made(each.control.hole, _laid, each, styles, stroke) for each in ground.fitted]
    units = units_in_dead_zones(ground.fitted, laid, ground.styles)
    for each, marks in zip(ground.fitted, laid, strict=True):
        yield from marks
        if unit := units.get(each.control.hole):
            yield unit


def _laid(each: Fitted, styles: Styles, stroke: Stroke) -> tuple[Mark | Finding, ...]:
    return tuple(_lay(each, styles, stroke))


def _lay(each: Fitted, styles: Styles, stroke: Stroke) -> Iterator[Mark | Finding]:
    lay = LAYING[each.control.of_kind.lays]
    try:
        yield from lay(each, styles, stroke)
    except (DomainError, LetteringError) as error:
        yield not_drawn(error, each.control.source, each.lengths, each.control.hole)


@dataclass(frozen=True, slots=True)
class StandingScale:
    """A scale that a control, or its inner knob, asks for, and the line along which it stands."""

    knob: Control | InnerKnob
    scale: Scale
    track: Track


def scales_of(fitted: Fitted, styles: Styles, stroke: Stroke) -> Iterator[StandingScale]:
    """The scales of a control where they stand. Errors: DomainError, LetteringError."""
    control, ways = fitted.control, fitted.control.of_kind.lays
    if ways == "round":
        for knob, radius in ring_radii(fitted, styles, stroke):
            if knob.scale:
                yield StandingScale(knob, knob.scale, round_track(fitted, knob.scale, radius))
    elif control.scale and control.of_kind.scale == "straight":
        track = shared_by(fitted, stroke) or _straight_track(fitted, stroke)
        yield StandingScale(control, control.scale, track)
    elif control.scale:
        box = _outer_box(fitted, stroke)
        yield StandingScale(control, control.scale, _meter_track(control.scale, box))


# --- Straight scales ---


def _lay_straight_scale(
    fitted: Fitted, scale: Scale, style: TextStyle, stroke: Stroke
) -> tuple[Mark, ...]:
    """A straight scale: of its own control alone, or shared with its neighbour."""
    control, shared = fitted.control, shared_by(fitted, stroke)
    if shared and fitted.neighbour:
        return lay_shared_scale(control, scale, fitted.neighbour.control, shared, style, stroke)
    track = _straight_track(fitted, stroke)
    source = control.source_of("scale")
    laid = lay_scale(scale, track, style, stroke, control.hole, source)
    return levelled_along(laid, track)


def shared_by(fitted: Fitted, stroke: Stroke) -> SharedTrack | None:
    """The track of a scale that a control shares with its neighbour; None where it shares none."""
    neighbour = fitted.neighbour
    if not neighbour or neighbour.control.of_kind.scale != fitted.control.of_kind.scale:
        return None
    slides = [(each.opening, _outer_box(each, stroke)) for each in (fitted, neighbour)]
    return shared_track(*slides)


def _straight_track(fitted: Fitted, stroke: Stroke) -> StraightTrack:
    return slide_track((fitted.opening, _outer_box(fitted, stroke)))


def _outer_box(fitted: Fitted, stroke: Stroke) -> Box:
    """The box round what a control hides, its frame with it."""
    framed = fitted.control.frame is not None
    return _frame(fitted, stroke).outline.bounds if framed else fitted.box


# --- Levers and slides ---


def _lay_sides(fitted: Fitted, styles: Styles, stroke: Stroke) -> tuple[Mark, ...]:
    control = fitted.control
    marks: tuple[Mark, ...] = ()
    if control.scale:
        marks += _lay_straight_scale(fitted, control.scale, styles["numeral"], stroke)
    _, y = fitted.axis
    up, down = fitted.reach
    box = left, bottom, right, top = fitted.box
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
    side_of: dict[Direction, Direction] = {d: d for d in settings} | {"centre": fitted.centre}
    beside = [settings[d].outline for d in settings if side_of[d] not in ABOVE_OR_BELOW]
    baseline = _baseline_beside(fitted, beside, style)
    marks = []
    for named, setting in settings.items():
        direction = side_of[named]
        ink, x = setting.outline, fitted.opening.centre[0]
        placed = _on_side(box, x, baseline, direction, ink, style)
        if of_row and direction in ABOVE_OR_BELOW:
            lined_up = _on_side(of_row, x, baseline, direction, ink, style)
            beyond = _beyond(fitted, direction, styles)
            there, here = (_strays(fitted, at, beyond) for at in (lined_up, placed))
            if not any(a > UNSEEN >= b for a, b in zip(there, here, strict=True)):
                placed = lined_up
        text = words[named]
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
    """A word on one side of a box."""
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


# --- Windows and meters ---


def _lay_framed(fitted: Fitted, styles: Styles, stroke: Stroke) -> tuple[Mark, ...]:
    """A frame, a scale over it or beside it, and words on its sides."""
    control = fitted.control
    marks: tuple[Mark, ...] = ()
    if control.frame is not None:
        marks += (_frame(fitted, stroke),)
    box = _outer_box(fitted, stroke)
    if control.scale and control.of_kind.scale == "straight":
        marks += _lay_straight_scale(fitted, control.scale, styles["numeral"], stroke)
    elif control.scale:
        track, source = _meter_track(control.scale, box), control.source_of("scale")
        scale = lay_scale(control.scale, track, styles["numeral"], stroke, control.hole, source)
        marks += ends_levelled(scale, control.scale, track)
    return marks + _positions(fitted, box, styles)


def _meter_track(scale: Scale, box: Box) -> RoundTrack:
    """An arc over an opening, about the middle of its lower edge, where the pointer turns."""
    left, bottom, right, top = box
    pivot = Vector((left + right) / 2, bottom)
    radius = pivot.distance((right, top)) + LEAST_MARK_GAP
    return RoundTrack(pivot, radius, *travel(scale, METER_SWEEP))


def _lay_name_only(fitted: Fitted, styles: Styles, stroke: Stroke) -> tuple[Mark, ...]:
    return ()


def _frame(fitted: Fitted, stroke: Stroke) -> Mark:
    """A line round a window or an instrument, the least gap outside what covers it, as that is.

    Screws that stand beyond that are within it too.
    """
    control, opening = fitted.control, fitted.opening
    width = stroke.width(control.frame or 0.0)
    inner, outer = (
        within_frame(control, opening, fitted.screws, LEAST_MARK_GAP + more)
        for more in (0.0, width)
    )
    ring = Outline((*outer.contours, *(contour.reversed() for contour in inner.contours)))
    placed_ring = placed(ring, opening.hole, opening.centre)
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
    "round": lay_round,
    "sides": _lay_sides,
    "framed": _lay_framed,
    "name": _lay_name_only,
}
