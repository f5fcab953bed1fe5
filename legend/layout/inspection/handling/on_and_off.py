"""Check that switches go the way that hands expect: up, to the right or clockwise for on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from legend.description.tables.description import Control, Direction
from legend.layout.artwork import Finding, Severity
from legend.layout.inspection.handling.on_off_words import is_off, turns_off
from legend.layout.inspection.scene import Scene, check

#: The sides for on, each with the side across from it.
_OPPOSITE: Mapping[Direction, Direction] = {"up": "down", "right": "left"}
_WAYS = {"up": "up", "down": "down", "left": "to the left", "right": "to the right"}
_MEANT = 'say meant = ["off-up"] there'


@check
def off_where_on_is_looked_for(scene: Scene) -> Iterator[Finding]:
    """Up, to the right or clockwise turns on."""
    for control in scene.artwork.description.control:
        if isinstance(control.positions, Mapping):
            yield from _thrown(control, control.positions)
        else:
            yield from _turned(control, control.positions)
        scale = control.scale
        if scale and is_off(scale.high, [scale.low]) and not is_off(scale.low, [scale.high]):
            yield Finding(
                Severity.WARNING,
                "off-up",
                f"The scale of {control.hole} has {scale.high!r} at its upper end; clockwise, up "
                "or to the right is taken for more.",
                control.source_of("scale"),
                f"Exchange `low` and `high`, if the control works that way; if not, {_MEANT}.",
            )


def _thrown(control: Control, positions: Mapping[Direction, str]) -> Iterator[Finding]:
    """OFF on the side of a lever on which on is looked for, with ON across from it."""
    for side, across in _OPPOSITE.items():
        here, there = positions.get(side, ""), positions.get(across, "")
        if turns_off(here, there):
            yield Finding(
                Severity.WARNING,
                "off-up",
                f"The {control.kind} on {control.hole} has {here!r} {_WAYS[side]} and {there!r} "
                f"{_WAYS[across]}; {_WAYS[side]} is taken for on.",
                control.source_of("positions"),
                "Turn the switch round, and exchange the words. Wall switches of some countries go "
                f"down for on, and valves shut clockwise: if it is to be so here, {_MEANT}.",
            )


def _turned(control: Control, positions: Sequence[str]) -> Iterator[Finding]:
    """OFF on a turned switch elsewhere than first, where it does not part two ways either."""
    beside = positions if len(positions) == 2 else ()  # among more, a 0 is a number
    offs = [i for i, text in enumerate(positions) if is_off(text, beside)]
    last = len(positions) - 1
    if not offs or 0 in offs or any(2 * i == last for i in offs):
        return
    place = "last" if offs[0] == last else f"as position {offs[0] + 1} of {last + 1}"
    yield Finding(
        Severity.WARNING,
        "off-up",
        f"The {control.kind} on {control.hole} has {positions[offs[0]]!r} {place}, in clockwise "
        "order; it is looked for first, and clockwise is taken for on.",
        control.source_of("positions"),
        f"Put it first, if the switch can be wired so; if it is to be as it is, {_MEANT}.",
    )
