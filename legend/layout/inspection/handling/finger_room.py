"""Check that fingers have room between the parts that they push, throw and turn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from legend.description.tables.description import Control
from legend.layout.artwork import Finding, Severity
from legend.layout.inspection.meant import is_meant
from legend.layout.inspection.scene import Scene, check
from legend.length_words import Lengths
from legend.sentences import counted
from legend.standards import BUTTON_ROOM, TOGGLE_ROOM, TOGGLES_APART, TURNED_ROOM

_TURNED = frozenset({"knob", "selector"})
_TOGGLE = frozenset({"toggle"})
_BUTTON = frozenset({"button"})
#: What may be pushed or turned with the fingers, and the room between two kinds, the narrower rule
#: first.
_ROOM: Sequence[tuple[frozenset[str], frozenset[str], float]] = (
    (_TOGGLE, _TOGGLE, TOGGLES_APART),
    (_BUTTON, _BUTTON | _TOGGLE | _TURNED, BUTTON_ROOM),
    (_TOGGLE, _TURNED, TOGGLE_ROOM),
    (_TURNED, _TURNED, TURNED_ROOM),
)


@dataclass(frozen=True, slots=True)
class _Pair:
    """Two controls, how far apart they are for fingers, and how far they ought to be, mm."""

    one: Control
    other: Control
    apart: float
    wanted: float

    @property
    def tightness(self) -> float:
        return self.apart / self.wanted


@check
def finger_room(scene: Scene) -> Iterator[Finding]:
    """Fingers reach a part without moving its neighbour.

    One finding tells of the closest pair; those that are meant are found one by one.
    """
    told: dict[bool, list[_Pair]] = {True: [], False: []}
    for pair in _too_close(scene):
        lines = (pair.one.source, pair.other.source)
        told[is_meant(scene.claims, "finger-room", lines)].append(pair)
    if told[False]:
        closest = min(told[False], key=lambda pair: pair.tightness)
        yield _told(closest, scene.lengths, len(told[False]) - 1)
    for pair in told[True]:
        yield _told(pair, scene.lengths)


def _told(pair: _Pair, lengths: Lengths, more: int = 0) -> Finding:
    apart, wanted = lengths.compared(pair.apart, pair.wanted)
    others = f"; {counted(more, 'pair')} more are close" if more > 1 else ""
    others = "; 1 pair more is close" if more == 1 else others
    levers = {pair.one.kind, pair.other.kind} == _TOGGLE
    middles = ", by their middles" if levers else ""
    return Finding(
        Severity.NOTE,
        "finger-room",
        f"The {pair.one.kind} on {pair.one.hole} and the {pair.other.kind} on {pair.other.hole} "
        f"leave fingers {apart} between them{middles}; they want {wanted}"
        f"{others}.",
        pair.other.source,
        "Where there is no room to move them, longer levers help."
        if levers
        else "Where there is no room to move them, smaller knobs or caps help.",
        also=(pair.one.source,),
    )


def _too_close(scene: Scene) -> Iterator[_Pair]:
    fingered = _BUTTON | _TOGGLE | _TURNED
    controls = [c for c in scene.artwork.description.control if c.kind in fingered]
    shapes = np.array(list(_reached(scene, controls)), dtype=object)
    reach = max(wanted for _, _, wanted in _ROOM)
    pairs = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=reach)
    pairs = pairs[:, pairs[0] < pairs[1]]
    apart = shapely.distance(shapes[pairs[0]], shapes[pairs[1]])
    for (i, j), distance in zip(pairs.T, apart, strict=True):
        one, other = controls[i], controls[j]
        wanted = _room(one.kind, other.kind)
        if one.hole != other.hole and distance < wanted - _ROUNDING:
            yield _Pair(one, other, float(distance), wanted)


#: Holes drilled by hand are let off so much, mm.
_ROUNDING = 0.3


def _reached(scene: Scene, controls: Sequence[Control]) -> Iterator[BaseGeometry]:
    """What the fingers reach for: what a part covers; of a toggle its lever, in the middle."""
    levers = {opening.id: shapely.Point(opening.centre) for opening in scene.artwork.openings}
    covers = {cover.owner: cover.shape for cover in scene.artwork.keep_outs if cover.fitted}
    for control in controls:
        yield (levers if control.kind in _TOGGLE else covers)[control.hole]


def _room(one: str, other: str) -> float:
    """The room that parts of two kinds want between them, mm."""
    return next(
        room for a, b, room in _ROOM if (one in a and other in b) or (one in b and other in a)
    )
