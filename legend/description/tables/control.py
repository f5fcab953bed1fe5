"""Define the [[control]] table: a part fitted in a hole, and what its legends say."""

from collections.abc import Callable, Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal, get_args

from legend.description.kinds import KINDS, Kind
from legend.description.table import Clash, Table, words_for
from legend.description.tables.fitting import Cover, Fixings
from legend.description.tables.scale import Scale
from legend.description.values.check_codes import Codes
from legend.description.values.choices import Direction, KindName, Positions, RoundPositions
from legend.description.values.length_values import Length
from legend.description.values.number_values import Angle, Flag, count_of, number_up_to
from legend.description.values.text_values import HoleId, HoleIds, Words
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
    """Where its name stands. Left out, across from that of the outer knob, which then stands
    below."""
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

    @property
    def step(self) -> float:
        """Degrees from one of its positions to the next."""
        return self.detent or SELECTOR_STEP

    def unsound(self) -> Iterator[Clash]:
        """More positions than there is room for in one turn, more track than it turns through."""
        yield from _turned_too_far(self)


class _Named(Table):
    """Which control it is, and what it is called."""

    hole: HoleId = ""
    """The hole that it is fitted in."""
    holes: HoleIds | None = None
    """Or the holes of several that are alike in all else: one is fitted in each."""
    name: Words = ""
    """What it is called. A line break begins a second line; a symbol is `symbol:` and its name."""
    name_for: HoleIds = ()
    """The holes that the name is for, where it is for several controls side by side: it stands in
    the middle of them. Left out, it is for its own."""
    level: Annotated[int, count_of(1, 2)] = 1
    """On which level its name stands: on 2 it stands beyond the names of its row that are on 1,
    with a fine line down to its part."""
    note: Words = ""
    """Small print across from the name, such as the rating of a fuse."""


class Fitting(Table):
    """What is said of a control, or of several that are alike but for their names."""

    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "name": "label text legend caption title",
            "note": "rating value remark",
            "kind": "type part control",
            "hole": "at",
            "side": "where name_side",
            "positions": "up down left right labels words options",
            "scale": "from to min max range sweep",
            "covers": "diameter knob nut bezel size width",
            "detent": "step steps",
            "fixings": "screws bolts mounting",
        }
    )

    kind: KindName
    """What it is: see the kinds of control."""
    side: Side | None = None
    """Where its name stands; a note stands across from it. Left out, the name stands above."""
    in_row: Flag = True
    """Whether its legends line up with those of the controls beside it, or of its column; if not,
    they stand as if it were alone."""
    covers: Cover | None = None
    """What the fitted part hides of the panel, knob, nut or bezel: legends keep clear of it. Left
    out, it is taken from the hole, the kind and the fixings, and is among the notes."""
    fixings: Fixings | None = None
    """The screws that hold it, by their holes or by their pattern about its own hole, with which
    they are turned. They belong to it: they want no controls, and all legends keep clear of their
    heads."""
    scale: Scale | None = None
    """Its scale: see the table of that name."""
    positions: Positions = ()
    """What its positions are called: of a turned control in clockwise order, with "" for one that
    is not used, and " " for one with a line but no word; of any other by the side on which they
    stand, and the centre. What the centre is called stands on the side that is left."""
    detent: Annotated[float, number_up_to(180)] | None = None
    """Degrees from one position of a turned control to the next. Left out, 30; of a keyswitch,
    90."""
    start: Angle | None = None
    """Where the first position of a turned control stands. Left out, they lie evenly about the
    top."""
    inner: InnerKnob | None = None
    """The inner knob of a concentric control, where there is one: this is then the outer one."""
    frame: Length | None = None
    """The width of a line round a window, a display or another part that takes a frame. Left out,
    there is none."""
    mains: Flag = False
    """Whether mains or high voltage is behind it: the panel should then bear a note or a caution
    that says so, and the job card does."""
    meant: Codes = ()
    """What the checks find about it, or its hole, and is meant to be so: their codes. It is then
    not told. Errors are told all the same."""

    @classmethod
    def meant_by(cls, word: str, said: Mapping[str, Any]) -> str | None:
        """What takes no scale has nothing of one; of a selector, detents make up its sweep."""
        kind = KINDS.get(str(said.get("kind")))
        right = super().meant_by(word, said)
        if right != "scale" or kind is None or kind.takes_scale:
            return right
        return "detent" if kind.lays == "round" and word == "sweep" else None

    @property
    def of_kind(self) -> Kind:
        """The registry's entry for its kind."""
        return KINDS[self.kind]

    @property
    def step(self) -> float:
        """Degrees from one of its positions to the next."""
        return self.detent or self.of_kind.detent

    @property
    def fixing_holes(self) -> tuple[str, ...]:
        """The names of the holes for its screws, as far as they are known by name."""
        return self.fixings if isinstance(self.fixings, tuple) else ()

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """What its kind does not take."""
        kind = KINDS.get(given["kind"]) if isinstance(given.get("kind"), str) else None
        if not kind:
            return
        a_kind = kind.with_article
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
        if isinstance(positions, Mapping) and positions.keys() >= set(get_args(Direction)):
            yield (
                "positions",
                "has positions on all four sides, which leaves none for what the centre is called; "
                "leave that out",
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
        if "shared_with" in scale and kind.scale != "straight":
            yield (
                "scale",
                f"has a scale with shared_with, which {a_kind} does not take; "
                f"{_kinds(lambda kind: kind.scale == 'straight')} do",
            )
        if scale.get("law") == "taper" and kind.scale and kind.lays == "framed":
            yield (
                "scale",
                f"has a scale by the taper of a track, which {a_kind} does not have; "
                'law = "decibel" is that of a meter',
            )

    def unsound(self) -> Iterator[Clash]:
        """More positions than there is room for in one turn, more track than it turns through."""
        yield from _turned_too_far(self)


class Control(Fitting, _Named):
    """A part that is fitted in a hole, and what its legends say.

    As `legend.read` returns them, there is one for each hole: `holes` is left out, and `fixings`
    are the names of holes.
    """

    @property
    def name_side(self) -> Side:
        """Where its name stands. Of two knobs on one hole, that of the inner one stands above
        unless asked for elsewhere, next to its own ring, which lies outside.
        """
        if self.side or self.inner is None or not self.inner.name.strip():
            return self.side or DEFAULT_SIDE
        return "below" if self.inner.side in (None, "above") else DEFAULT_SIDE

    @property
    def knobs(self) -> tuple["Control | InnerKnob", ...]:
        """The knob and, of a concentric control, its inner one: from the panel outward."""
        return (self, self.inner) if self.inner else (self,)

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """No hole, or two answers to where it is; what its kind does not take; and a name that is
        not for its own control."""
        yield from _where(given)
        yield from super().clashes(given)
        holes = given.get("name_for")
        if isinstance(holes, (list, tuple)) and holes and given.get("hole") not in holes:
            yield "name_for", "has a name_for without its own hole; name that among them as well"
        if given.get("side") not in ("left", "right"):
            return
        for key, at_rest in (("level", 1), ("name_for", [])):
            if given.get(key, at_rest) not in (at_rest, ()):
                yield (
                    key,
                    f"has {key}, but its name stands {given['side']} of it; only a name above or "
                    "below takes that",
                )

    def unsound(self) -> Iterator[Clash]:
        """What its knobs cannot turn through, and two names in one place."""
        yield from super().unsound()
        yield from self._names_in_one_place()

    def _names_in_one_place(self) -> Iterator[Clash]:
        """The name of an inner knob where the name or the note of the control stands."""
        side = self.name_side
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


def _turned_too_far(knob: Fitting | InnerKnob) -> Iterator[Clash]:
    """More positions than there is room for in one turn, more track than it turns through."""
    scale = knob.scale
    sweep = (scale and scale.sweep) or CONTROL_SWEEP
    if scale and scale.track is not None and scale.track > sweep:
        yield (
            "scale",
            f"has a track of {scale.track:g} degrees, which is more than the {sweep:g} that it "
            "turns through; give both as they were measured",
        )
    step = knob.step
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
    if kind.scale == "straight":
        return ("sweep", "track", "start")
    return ("track",) if kind.scale == "swinging" else ()


def _where(given: Mapping[str, Any]) -> Iterator[Clash]:
    """No hole, or one and several; screws by name for several parts at once."""
    if "hole" in given and "holes" in given:
        yield "holes", "has both hole and holes; give one of them"
    elif "hole" not in given and "holes" not in given:
        yield "", "stands in no hole; give its hole, or the holes of several that are alike"
    elif "holes" in given and isinstance(given.get("fixings"), (list, tuple)):
        yield (
            "fixings",
            "names the screws of one part, but stands for several; give their pattern, such as "
            "{ square = 64, drill = 3.2 }, or a control for each",
        )


def _kinds(such: Callable[[Kind], bool]) -> str:
    """The names of the kinds that are such, for a sentence."""
    return listed(kind.name for kind in KINDS.values() if such(kind))
