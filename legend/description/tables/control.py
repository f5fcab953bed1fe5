"""Define the [[control]] table: a part fitted in a hole, and what its legends say."""

from collections.abc import Callable, Iterator, Mapping
from typing import Annotated, Any, Literal

from legend.description.check_codes import Codes
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
    Words,
    number_up_to,
)
from legend.sentences import listed
from legend.standards import CONTROL_SWEEP, SELECTOR_STEP

Side = Literal["above", "below", "left", "right"]


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
    frame: Length | None = None
    """The width of a line round a window or a meter. Left out, there is none."""
    note: Words = ""
    """Small print across from the name, such as the rating of a fuse."""
    mains: Flag = False
    """Whether mains or high voltage is behind it: the panel should then bear a note or a caution
    that says so, and the job card does."""
    meant: Codes = ()
    """What the checks find about it, or its hole, and is meant to be so: their codes. It is then
    not told. Errors are told all the same."""

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
        sweep = (self.scale and self.scale.sweep) or CONTROL_SWEEP
        if self.scale and self.scale.track is not None and self.scale.track > sweep:
            yield (
                "scale",
                f"has a track of {self.scale.track:g} degrees, which is more than the {sweep:g} "
                "that it turns through; give both as they were measured",
            )
        step = self.detent or SELECTOR_STEP
        if isinstance(self.positions, tuple) and (len(self.positions) - 1) * step >= 360:
            yield (
                "positions",
                f"has {len(self.positions)} positions {step:g} degrees apart, which is more than "
                "one turn; give fewer positions, or a smaller detent",
            )


def _not_turned(kind: Kind) -> tuple[str, ...]:
    """The keys of a scale, all in degrees, that a control of this kind has nothing to do with."""
    if kind.lays == "sides":
        return ("sweep", "track", "start")
    return ("track",) if kind.lays == "framed" else ()


def _kinds(such: Callable[[Kind], bool]) -> str:
    """The names of the kinds that are such, for a sentence."""
    return listed(kind.name for kind in KINDS.values() if such(kind))
