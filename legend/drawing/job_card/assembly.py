"""Tell how each knob is set on its shaft, so that its scale tells the truth.

A pointer is set where the shaft stands for certain: at its left stop. What it must point at there,
and where it must then stand at the right stop, follows from the scale and the sweep, or from the
positions. What has no stop, or whose stops nobody told, is set by a reference instead.
"""

from __future__ import annotations

from dataclasses import dataclass

from legend.description.laws import DomainError
from legend.description.tables.description import Control, InnerKnob, Scale
from legend.drawing.job_card.pointing import pointing, turned_by
from legend.drawing.segments import SVG, path_texts
from legend.drawing.spoken import spoken
from legend.drawing.svg import without_unused_namespaces
from legend.layout.artwork import Artwork
from legend.layout.cautions import has_mains
from legend.layout.scales.scale_marks import travel, words_on
from legend.lettering.outlines.outline import Outline
from legend.sentences import counted, listed
from legend.standards import CONTROL_SWEEP

Knob = Control | InnerKnob

#: Angles that differ by less are the same to a hand that sets a knob, degrees.
_SAME = 0.5
#: A switch whose positions take up so much may have no stop, degrees.
_ALL_ROUND = 360 - 1e-6
#: The little dial beside each: the radius of the knob, of the arc about it, of what is marked,
#: and the strokes, mm on paper.
_KNOB, _ARC, _MARKED, _STROKE, _POINTER = 4.0, 5.2, 6.4, 0.18, 0.9
#: The last letter of a numeral that is the prefix of its unit.
_PREFIXES = "kMG"


@dataclass(frozen=True, slots=True)
class Setting:
    """How one knob is set.

    `how` is what is done, `check` by what it is seen that it was right, or "". `dial` is a
    picture of it as an `svg` element: the knob as it is set, and what it turns through.
    """

    part: str
    how: str
    check: str
    dial: str


def settings(artwork: Artwork) -> list[Setting]:
    """How every turned part is set that has a scale or positions, in the order of the controls;
    of two knobs on one hole the outer one first, as they go on.
    """
    return [
        setting
        for control in artwork.description.control
        for knob in control.knobs
        if (setting := _setting(artwork, control, knob))
    ]


def _setting(artwork: Artwork, control: Control, knob: Knob) -> Setting | None:
    part = _called(control, knob)
    if control.kind == "multi-turn dial":
        return Setting(part, *_of_many_turns(), _dial(0.0, 0.0, 0.0, ()))
    if control.of_kind.lays != "round":
        return None
    if knob.scale:
        try:
            return _by_scale(artwork, part, knob.scale)
        except DomainError:  # it was not drawn either, and that is told
            return None
    return _by_positions(part, control, knob) if knob.positions else None


def _called(control: Control, knob: Knob) -> str:
    """The part by its name and its hole; of two knobs on one hole, which of them."""
    name = spoken(knob.name).replace("\n", " ").strip()
    hole = control.hole
    called = name if name.casefold() == hole.casefold() else f"{name} ({hole})" if name else hole
    if control.inner is None:
        return called
    return f"{called}, the {'outer' if knob is control else 'inner'} knob"


def _of_many_turns() -> tuple[str, str]:
    return (
        "Turn the shaft to its left stop, all its turns. Set the dial to nought in its own window "
        "and fix it there; it has no pointer.",
        "At the right stop its window shows the number of turns.",
    )


# --- Scales ---


@dataclass(frozen=True, slots=True)
class _Marks:
    """The two ends of a scale as a hand finds them: the left and the right mark.

    Each has its words and its degrees, clockwise from the top.
    """

    first: str
    first_at: float
    last: str
    last_at: float


def _by_scale(artwork: Artwork, part: str, scale: Scale) -> Setting:
    """Error: DomainError."""
    marks = _marks(artwork, scale)
    both = (marks.first_at, marks.last_at)
    if scale.full_turn:
        how = (
            f"It has no stop. Turn the shaft until what it drives stands at {marks.first} by a "
            f"reference of its own, and set the pointer on {marks.first}: "
            f"{pointing(marks.first_at)}."
        )
        return Setting(
            part, how, "A whole turn brings it back there.", _dial(*both[:1], 0, 360, ())
        )
    if scale.law == "table":
        how = (
            "Its degrees were measured, and where its stops lie is not told. Turn the shaft to "
            f"where it gave {marks.first}, the left stop if that was measured there, and set the "
            f"pointer on {marks.first}: {pointing(marks.first_at)}."
        )
        check = f"Where it gave {marks.last}, the pointer stands {pointing(marks.last_at)}."
        return Setting(part, how, check, _dial(marks.first_at, *both, both))
    sweep = scale.sweep or CONTROL_SWEEP
    left = -sweep / 2 if scale.start is None else scale.start
    right = left + sweep
    how = "Turn the shaft to its left stop, and set the knob there with its pointer "
    how += _at_a_stop(marks.first_at - left, marks.first, left, "short of")
    check = "At the right stop the pointer stands "
    check += _at_a_stop(right - marks.last_at, marks.last, right, "past")
    if scale.sweep is None:
        check += (
            f" The description does not say how far the shaft turns: {turned_by(sweep)} is assumed."
        )
    return Setting(part, how, check, _dial(left, left, right, both))


def _at_a_stop(beyond: float, mark: str, stop: float, way: str) -> str:
    """On a mark, or so far beyond it, and where that is."""
    if beyond < _SAME:
        return f"on {mark}: {pointing(stop)}."
    return f"{turned_by(beyond)} {way} {mark}, where no scale is: {pointing(stop)}."


def _marks(artwork: Artwork, scale: Scale) -> _Marks:
    """The marks at the two ends of a scale, from the left. Error: DomainError."""
    start, sweep = travel(scale)
    law, style = scale.as_law(), artwork.styles["numeral"]
    ends = [
        (start + law.fraction(value) * sweep, _with_unit(words_on(scale, value, style), scale))
        for value in scale.ends
    ]
    (first_at, first), (last_at, last) = sorted(ends, key=lambda end: end[0])
    return _Marks(first, first_at, last, last_at)


def _with_unit(words: str, scale: Scale) -> str:
    """What stands at a mark, with its unit where it is a number: 0.5 s, 4.7 kΩ, or OFF."""
    if not words.strip():
        return "its end"
    if not any(digit.isdigit() for digit in words) or words in scale.words_at.values():
        return f"“{spoken(words)}”"
    unit = spoken(scale.unit.strip())
    if not unit or unit == "°":
        return words + unit
    if words[-1] in _PREFIXES:
        return f"{words[:-1]} {words[-1]}{unit}"
    return f"{words} {unit}"


# --- Positions ---


def _by_positions(part: str, control: Control, knob: Knob) -> Setting | None:
    """By the positions that are used; None where there are none."""
    assert isinstance(knob.positions, tuple)  # the schema sees to it
    names, step = knob.positions, knob.step
    start = -(len(names) - 1) / 2 * step if knob.start is None else knob.start
    used = [k for k, name in enumerate(names) if name]
    if not used:
        return None
    at = [start + k * step for k in used]
    first, last = (_position(names, k) for k in (used[0], used[-1]))
    lettered = tuple(at)
    if control.kind == "keyswitch":
        how = (
            "No knob is set: the lock itself is turned in its hole. With the key at its left stop, "
            f"turn the lock until the key stands on {first}: {pointing(at[0])}."
        )
    else:
        how = _to_the_first(used[0], len(names), step)
        how += f", and set the knob there with its pointer on {first}: {pointing(at[0])}."
    dial = _dial(at[0], at[0], at[-1], lettered)
    if len(used) < 2:
        return Setting(part, how, "", dial)
    clicks = used[-1] - used[0]
    moves = counted(clicks, "position" if control.kind == "keyswitch" else "click")
    check = f"{moves} on, it stands on {last}: {pointing(at[-1])}"
    after = len(names) - 1 - used[-1]
    check += (
        f", {counted(after, 'click')} before its right stop." if after else ", at its right stop."
    )
    return Setting(part, how, check, dial)


def _to_the_first(unused: int, count: int, step: float) -> str:
    """How the shaft of a switch is brought to the first position that is used."""
    if count * step >= _ALL_ROUND:
        where = "Turn the shaft to its left stop or, where it has none, to its first contact"
    else:
        where = f"Set its stop to {counted(count, 'position')}, where that can be set. Turn the "
        where += "shaft to its left stop"
    return f"{where}, then {counted(unused, 'click')} on" if unused else where


def _position(names: tuple[str, ...], index: int) -> str:
    name = spoken(names[index]).replace("\n", " ").strip()
    return f"“{name}”" if name else f"the line of position {index + 1}"


# --- What holds the body ---


def before_setting(artwork: Artwork) -> list[str]:
    """What is to be known before any knob is set, in sentences."""
    description = artwork.description
    turned = [
        control
        for control in description.control
        if any(_setting(artwork, control, knob) for knob in control.knobs)
    ]
    if not turned:
        return []
    round_holes = {o.id for o in artwork.openings if not any(o.hole.shape.edge.lines)}
    free = [c.hole for c in turned if c.hole in round_holes and not c.fixing_holes]
    held = [c.hole for c in turned if c.hole not in free]
    said = ["A scale only tells the truth where its pointer was set by it."]
    if has_mains(description):
        said.append("Disconnect the equipment before you set them.")
    if any(control.inner for control in turned):
        said.append("Of two knobs on one hole, the outer one goes on first.")
    if free:
        said += [
            f"In a round hole the body can turn, and the scale is false then: at {listed(free)}, "
            "let the lug beside the bushing into a small hole that the knob will hide, or nip it "
            "off; put a toothed washer behind the panel, and hold the body while you tighten the "
            "nut.",
            "Where a flat or splines let the knob go on one way only, put it on first, and turn "
            "the body until the pointer stands right; then tighten the nut.",
        ]
    if held:
        said.append(f"The shape of the hole, or the screws, hold the body of {listed(held)}.")
    return said


def if_it_is_off() -> str:
    """What to do where a check fails."""
    return (
        "If the pointer does not stand so at the right stop, the part turns further, or less far, "
        "than the scale was made for: measure it, give its sweep in the description, and make the "
        "legends anew. Until then, set it so that both ends are off alike."
    )


# --- The little dial ---


def _dial(pointer: float, left: float, right: float, marks: tuple[float, ...]) -> str:
    """A knob with its pointer, the arc that it turns through, and where marks stand."""
    from svgwrite import Drawing

    centre = (0.0, 0.0)
    size = _MARKED + _STROKE
    drawing = Drawing(
        size=(f"{2 * size:g}mm", f"{2 * size:g}mm"),
        viewBox=f"{-size:g} {-size:g} {2 * size:g} {2 * size:g}",
        debug=False,
    )
    drawing.set_desc(title=f"The pointer {pointing(pointer)}")
    lines = [Outline.arc_stroke(centre, _KNOB, 0, 360, 2 * _STROKE)]
    if right > left:
        lines.append(Outline.arc_stroke(centre, _ARC, left, right, _STROKE))
    lines += [_ray(at, _ARC, _MARKED, 2 * _STROKE) for at in marks]
    lines.append(_ray(pointer, 0.0, _KNOB, _POINTER))
    for text in path_texts(lines, SVG, 0.0):
        drawing.add(drawing.path(d=text, fill="#111111"))
    return without_unused_namespaces(drawing.tostring())


def _ray(degrees: float, begin: float, end: float, width: float) -> Outline:
    upright = Outline.line_stroke((0.0, begin), (0.0, end), width)
    return upright.turned(degrees)
