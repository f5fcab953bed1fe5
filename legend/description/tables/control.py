"""Define the [[control]] table: a part fitted in a hole, and what its legends say."""

from collections.abc import Callable, Iterator, Mapping
from typing import Annotated, Any, Literal

from legend.description.kinds import KINDS, Kind
from legend.description.table import Clash, Table
from legend.description.tables.scale import Scale
from legend.description.values import (
    Angle,
    Cover,
    Flag,
    HoleId,
    KindName,
    Length,
    Positions,
    RoundPositions,
    Words,
    number_up_to,
)
from legend.sentences import listed
from legend.standards import CONTROL_SWEEP, SELECTOR_STEP

Side = Literal["above", "below", "left", "right"]

#: The side of a name where none is given: above, where the hand does not hide it.
#: Common practice, no source.
DEFAULT_SIDE: Side = "above"
#: The side across from each, where a note stands, or the name of an inner knob.
OPPOSITE: Mapping[Side, Side] = {
    "above": "below",
    "below": "above",
    "left": "right",
    "right": "left",
}


class InnerKnob(Table):
    """The inner knob of a concentric control, which turns in the same hole: a knob on a knob."""

    name: Words = ""
    """What it is called."""
    side: Side | None = None
    """Where its name stands. Left out, across from that of the outer knob."""
    covers: Length | None = None
    """Its diameter, for the proof, and where it is the greater of the two. Left out, 0.6 of that
    of the outer knob."""
    scale: Scale | None = None
    """Its scale, which stands outside of what stands round the outer knob."""
    positions: RoundPositions = ()
    """Or what its positions are called, in clockwise order, with "" for one without a name."""
    detent: Annotated[float, number_up_to(180)] | None = None
    """Degrees from one position to the next. Left out, 30."""
    start: Angle | None = None
    """Where the first position stands. Left out, they lie evenly about the top."""

    def unsound(self) -> Iterator[Clash]:
        """More positions than there is room for in one turn, more track than it turns through."""
        yield from _turned_too_far(self)


class Control(Table):
    """A part that is fitted in a hole, and what its legends say."""

    hole: HoleId
    """The hole that it is fitted in."""
    kind: KindName
    """What it is: see the kinds of control."""
    name: Words = ""
    """What it is called. A line break begins a second line; a symbol is `symbol:` and its name."""
    side: Side | None = None
    """Where its name stands; a note stands across from it. Left out, the name stands above."""
    in_row: Flag = True
    """Whether its legends line up with those of the controls beside it, or of its column; if not,
    they stand as if it were alone."""
    covers: Cover | None = None
    """What the fitted part hides of the panel, knob, nut or bezel: legends keep clear of it. Left
    out, it is taken from the hole and the kind, and the assumption is among the notes."""
    scale: Scale | None = None
    """Its scale: see the table of that name."""
    positions: Positions = ()
    """What its positions are called: of a turned control in clockwise order, with "" for one
    without a name; of any other by the side on which they stand."""
    detent: Annotated[float, number_up_to(180)] | None = None
    """Degrees from one position of a turned control to the next. Left out, 30."""
    start: Angle | None = None
    """Where the first position of a turned control stands. Left out, they lie evenly about the
    top."""
    inner: InnerKnob | None = None
    """The inner knob of a concentric control, where there is one: this is then the outer one."""
    frame: Length | None = None
    """The width of a line round a window or a meter. Left out, there is none."""
    note: Words = ""
    """Small print across from the name, such as the rating of a fuse."""
    mains: Flag = False
    """Whether mains or high voltage is behind it: the panel should then bear a note or a caution
    that says so, and the job card does."""

    @property
    def knobs(self) -> tuple["Control | InnerKnob", ...]:
        """The knob and, of a concentric control, its inner one: from the panel outward."""
        return (self, self.inner) if self.inner else (self,)

    @property
    def of_kind(self) -> Kind:
        """The registry's entry for its kind."""
        return KINDS[self.kind]

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """What its kind does not take."""
        kind = KINDS.get(given["kind"]) if isinstance(given.get("kind"), str) else None
        if not kind:
            return
        a_kind = f"{'an' if kind.name[0] in 'aeiou' else 'a'} {kind.name}"
        positions = given.get("positions", ())
        if "scale" in given and not kind.takes_scale:
            able = _kinds(lambda kind: kind.takes_scale)
            yield "scale", f"has a scale, which {a_kind} does not take; {able} do"
        if "frame" in given and not kind.takes_frame:
            able = _kinds(lambda kind: kind.takes_frame)
            yield "frame", f"has a frame, which {a_kind} does not take; {able} do"
        if positions and kind.lays == "name":
            able = _kinds(lambda kind: kind.lays != "name")
            yield "positions", f"has positions, which {a_kind} does not take; {able} do"
        if kind.lays == "round" and isinstance(positions, Mapping):
            yield (
                "positions",
                f"has positions by side, but those of {a_kind} are a list in clockwise order, "
                'such as ["1", "2", "5"]',
            )
        if kind.lays in ("sides", "framed") and positions and isinstance(positions, (list, tuple)):
            yield (
                "positions",
                f"has a list of positions, but those of {a_kind} say where each stands, "
                'such as { up = "ON", down = "OFF" }',
            )
        for key in ("detent", "start"):
            if key in given and kind.lays != "round":
                able = _kinds(lambda kind: kind.lays == "round")
                yield key, f"has {key}, which {a_kind} does not take; {able} do"
        if "inner" in given and kind.lays != "round":
            able = _kinds(lambda kind: kind.lays == "round")
            yield "inner", f"has an inner knob, which {a_kind} does not take; {able} do"
        scale = given["scale"] if isinstance(given.get("scale"), Mapping) else {}
        for key in _not_turned(kind):
            if key in scale:
                yield "scale", f"has a scale with a {key}, which {a_kind} does not turn through"
        if scale.get("law") == "taper" and kind.lays == "framed":
            yield (
                "scale",
                f"has a scale by the taper of a track, which {a_kind} does not have; "
                'law = "decibel" is that of a meter',
            )

    def unsound(self) -> Iterator[Clash]:
        """More positions than there is room for in one turn, more track than it turns through."""
        yield from _turned_too_far(self)
        yield from self._names_in_one_place()

    def _names_in_one_place(self) -> Iterator[Clash]:
        """The name of an inner knob where the name or the note of the control stands."""
        side = self.side or DEFAULT_SIDE
        if self.inner is None or not self.inner.name.strip():
            return
        inner_side = self.inner.side or OPPOSITE[side]
        if inner_side == side and self.name.strip():
            yield (
                "inner",
                f"has an inner knob whose name is to stand {_at(side)} as well; give it another "
                "side",
            )
        if inner_side == OPPOSITE[side] and self.note.strip():
            yield (
                "note",
                f"has a note, which stands {_at(inner_side)}, where the name of its inner knob "
                "does; give that another side, or leave the note out",
            )


def _turned_too_far(knob: Control | InnerKnob) -> Iterator[Clash]:
    """More positions than there is room for in one turn, more track than it turns through."""
    scale = knob.scale
    sweep = (scale and scale.sweep) or CONTROL_SWEEP
    if scale and scale.track is not None and scale.track > sweep:
        yield (
            "scale",
            f"has a track of {scale.track:g} degrees, which is more than the {sweep:g} that it "
            "turns through; give both as they were measured",
        )
    step = knob.detent or SELECTOR_STEP
    if isinstance(knob.positions, tuple) and (len(knob.positions) - 1) * step >= 360:
        yield (
            "positions",
            f"has {len(knob.positions)} positions {step:g} degrees apart, which is more than one "
            "turn; give fewer positions, or a smaller detent",
        )


def _at(side: Side) -> str:
    """A side in words, to stand in the middle of a sentence."""
    return f"to the {side}" if side in ("left", "right") else f"{side} it"


def _not_turned(kind: Kind) -> tuple[str, ...]:
    """The keys of a scale, all in degrees, that a control of this kind has nothing to do with."""
    if kind.lays == "sides":
        return ("sweep", "track", "start")
    return ("track",) if kind.lays == "framed" else ()


def _kinds(such: Callable[[Kind], bool]) -> str:
    """The names of the kinds that are such, for a sentence."""
    return listed(kind.name for kind in KINDS.values() if such(kind))
