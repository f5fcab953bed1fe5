"""Write out what a description says in short: banks, several holes, screws of parts.

A description as it was validated goes in; out comes one in which every control stands in one
hole, and every screw that holds a part has a hole of its own name, as if the file had said so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from legend.description.faults import DescriptionError, Fault
from legend.description.reading.explaining.table_names import shown
from legend.description.reading.line_numbers import Place
from legend.description.shapes.shape import left_out
from legend.description.tables.as_drilled import RigidFit
from legend.description.tables.description import Control, Description, Hole
from legend.description.tables.fitting import FixingPattern
from legend.description.tables.hole import Measuring
from legend.limits import MOST_HOLES


def written_out(description: Description, place: Place) -> Description:
    """The description written out, its holes where they were drilled. `place` is where it stands.

    Error: DescriptionError, where a hole is to hold a screw and something else, and where there
    are more controls or holes than any panel takes.
    """
    description = description.with_banks_set_out()
    count = sum(len(control.holes or (control.hole,)) for control in description.control)
    _refuse_more(count, "controls", description)
    controls = _one_by_one(description.control, place.inside("control"))
    whole = description.model_copy(update={"control": controls}).after_drilling()
    whole = _with_fixings(whole)
    _refuse_more(len(whole.holes), "holes, with those for screws", description)
    if faults := list(_holding_two(whole)):
        raise DescriptionError(faults)
    return whole


def _refuse_more(count: int, what: str, description: Description) -> None:
    if count > MOST_HOLES:
        said = f"There are {count} {what}; no panel takes more than {MOST_HOLES}."
        raise DescriptionError([Fault(description.source_of("control"), said)])


def _one_by_one(controls: Iterable[Control], place: Place) -> tuple[Control, ...]:
    """A control for each hole, with the line on which that is named."""
    return tuple(
        control if hole is None else _in_hole(control, hole, place.inside(i).inside("holes"), j)
        for i, control in enumerate(controls)
        for j, hole in enumerate(control.holes or (None,))
    )


def _in_hole(control: Control, hole: str, holes: Place, index: int) -> Control:
    """One of several controls that are alike in all but their hole."""
    source = holes.inside(index).source
    sources = {**control.sources, "": source, "hole": source}
    return control.model_copy(update={"hole": hole, "holes": None, "sources": sources})


# --- The screws that hold a part ---


def _with_fixings(description: Description) -> Description:
    """The description with a hole for each screw of a pattern, behind that of its part.

    They stand about their part's hole as it was drilled, and in the design as it was designed.
    """
    patterns = {
        control.hole: control
        for control in description.control
        if isinstance(control.fixings, FixingPattern)
    }
    if not patterns:
        return description
    measuring, drilling = description.panel.measuring, description.drilling
    controls = [
        control.model_copy(update={"fixings": tuple(_names(control))})
        if control is patterns.get(control.hole)
        else control
        for control in description.control
    ]
    if taken := list(_names_taken(description, patterns)):
        raise DescriptionError(taken)
    return description.model_copy(update={"control": tuple(controls)}).with_holes(
        _with_screws(description.holes, patterns, measuring),
        drilling and replace(drilling, design=_with_screws(drilling.design, patterns, measuring)),
    )


def _with_screws(
    holes: Mapping[str, Hole], patterns: Mapping[str, Control], measuring: Measuring
) -> dict[str, Hole]:
    found: dict[str, Hole] = {}
    for id, hole in holes.items():
        found[id] = hole
        if id in patterns:
            found |= _screws(hole, patterns[id], measuring)
    return found


def _screws(hole: Hole, control: Control, measuring: Measuring) -> Iterator[tuple[str, Hole]]:
    """The holes of a pattern about the hole of its part, turned with it, by their names."""
    pattern = control.fixings
    assert isinstance(pattern, FixingPattern)
    turned = RigidFit(hole.angle, measuring.on_panel(hole.at))
    source = control.source_of("fixings")
    for name, place in zip(_names(control), pattern.places, strict=True):
        at = measuring.measured(turned.moved(*place))
        own = {"at": at, "drill": pattern.drill, "angle": 0.0, "note": "", "sources": {"": source}}
        yield name, hole.model_copy(update=left_out() | own)


def _names(control: Control) -> Iterator[str]:
    """What the holes of a pattern are called: by that of their part, and numbered."""
    pattern = control.fixings
    count = len(pattern.places) if isinstance(pattern, FixingPattern) else 0
    return (f"{control.hole}.{number}" for number in range(1, count + 1))


# --- What is wrong ---


def _names_taken(description: Description, patterns: Mapping[str, Control]) -> Iterator[Fault]:
    for control in patterns.values():
        for name in _names(control):
            if name in description.holes:
                yield Fault(
                    description.holes[name].source,
                    f"Hole {shown(name)} has the name of a screw that holds the part in hole "
                    f"{shown(control.hole)}; give the hole another name.",
                )


def _holding_two(description: Description) -> Iterator[Fault]:
    """Holes that hold a screw of two parts, or of a part and something else besides."""
    fitted = {control.hole: control for control in description.control}
    holders: dict[str, str] = {}
    for control in description.control:
        source, part = control.source_of("fixings"), f"the part in hole {shown(control.hole)}"
        for screw in control.fixing_holes:
            hole = f"Hole {shown(screw)}"
            if screw == control.hole:
                what = f"{hole} is said to hold a part and a screw of that part; leave it out here."
                yield Fault(source, what)
            elif screw in fitted:
                yield Fault(
                    source,
                    f"{hole} holds a screw of {part}, and has a control as well, a "
                    f"{fitted[screw].kind}; leave one of the two out.",
                )
            elif screw in holders:
                other = shown(holders[screw])
                yield Fault(
                    source,
                    f"{hole} holds a screw of {part}, and one of the part in hole {other} as well; "
                    "give each screw a hole of its own."
                    if holders[screw] != control.hole
                    else f"{hole} is named twice among the screws of {part}; leave one out.",
                )
            holders.setdefault(screw, control.hole)
