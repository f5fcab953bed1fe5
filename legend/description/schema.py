"""What a description may say: the tables of the TOML file as frozen, validated values.

Lengths come out in mm whatever they went in as; angles are in degrees, 0 at twelve
o'clock and clockwise positive. A new key is one line here; its type, in
`legend.description.values`, says what it may hold, and the reader and the words of its
faults follow from that.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import Field, PrivateAttr

from legend.description.as_drilled import AsDrilled, Drilling, drilled
from legend.description.bench import Bench
from legend.description.hole import Datum as Datum
from legend.description.hole import Hole as Hole
from legend.description.hole import corners_too_round, from_datum
from legend.description.kinds import KINDS, Kind
from legend.description.lengths import Unit
from legend.description.scale import Scale as Scale
from legend.description.table import Clash, Table
from legend.description.values import (
    Angle,
    CheckSquare,
    Colour,
    Cover,
    Distance,
    FaceName,
    FileName,
    Flag,
    Height,
    HoleId,
    HoleIds,
    KindName,
    Length,
    ListName,
    Number,
    Overrun,
    PanelSize,
    Point,
    Positions,
    Says,
    SomeWords,
    StockSize,
    Width,
    Words,
)
from legend.description.values import Direction as Direction
from legend.standards import SELECTOR_STEP

#: The area of the largest panel that is taken, m²: a sheet of metal as it is sold, and more.
_LARGEST_PANEL = 4.0


class Panel(Table):
    """The panel: its size and corners, where it is measured from, how far off it is read."""

    size: PanelSize
    corner_radius: Width = 0.0
    datum: Datum = "lower left"
    viewing_distance: Distance = 600.0

    def from_datum(self, point: tuple[float, float]) -> tuple[float, float]:
        """A point measured from the datum, in panel coordinates.

        From a corner, distances run into the panel; from the centre, right and upwards.
        """
        return from_datum(point, self.datum, self.size)

    def unsound(self) -> Iterator[Clash]:
        """Corners that would meet; more panel than there is sheet metal for."""
        yield from corners_too_round(self.corner_radius, self.size)
        area = self.size[0] * self.size[1] / 1e6
        if area > _LARGEST_PANEL:
            yield "size", f"has a size of {area:.3g} m²; a panel has at most {_LARGEST_PANEL:g} m²"


class Finish(Table):
    """Colours: the base coat, and the top coat that is sprayed last."""

    base: Colour = "white"
    top: Colour = "#5b6160"


Method = Literal["lift-off", "paint-through"]
Stock = Literal["film", "sheet"]


class Stencil(Table):
    """How the stencil is cut, and from what.

    `check` asks for a square of 50 mm on every sheet. `measured` is what such a square came
    out as, across and along the sheet: the cut is made larger or smaller by it. `overrun` is
    how far every cut goes on past its start, for a blade that lags.
    """

    method: Method = "lift-off"
    stock: Stock = "film"
    stock_size: StockSize = (300.0, 200.0)
    piece: Literal["control", "row", "panel"] = "control"
    mirror: Flag = False
    copies: Annotated[int, Field(strict=True, ge=1, le=50)] = 1
    turn: Flag = False
    margin: Width | None = None
    check: Flag = False
    measured: CheckSquare = (50.0, 50.0)
    overrun: Overrun = 0.0
    least_stroke: Length | None = None
    least_counter: Length | None = None
    least_gap: Length | None = None
    least_bridge: Length | None = None

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """Rigid stock for a method whose letters must stick."""
        if given.get("method", "lift-off") == "lift-off" and given.get("stock") == "sheet":
            yield (
                "stock",
                'has method = "lift-off" with stock = "sheet", but letters of rigid sheet would '
                'not hold to the panel; use stock = "film", or method = "paint-through"',
            )


class RoleLettering(Table):
    """How the letters of one role are set; what is left out is inherited.

    `axes` are the values of a variable font's axes, by their tags, and `index` is the number
    of the font in a collection, counted from 0.
    """

    face: FaceName | None = None
    axes: dict[str, Number] | None = None
    index: Annotated[int, Field(strict=True, ge=0, le=1000)] | None = None
    height: Height | None = None
    stroke: Annotated[float, Field(strict=True, ge=0.04, le=0.3)] | None = None
    width: Annotated[float, Field(strict=True, ge=0.5, le=2)] | None = None
    slope: Annotated[float, Field(strict=True, ge=-30, le=30)] | None = None
    tracking: Annotated[float, Field(strict=True, ge=-0.2, le=2)] | None = None
    word_space: Annotated[float, Field(strict=True, ge=-0.3, le=5)] | None = None
    case: Literal["as written", "capitals"] | None = None
    ends: Literal["round", "square"] | None = None
    bridged: Flag | None = None


#: The roles that may have lettering of their own.
LETTERED_ROLES = ("title", "group", "name", "position", "numeral", "note")


class Lettering(RoleLettering):
    """The letters of the whole panel, with a table of its own for each role that differs."""

    title: RoleLettering = RoleLettering()
    group: RoleLettering = RoleLettering()
    name: RoleLettering = RoleLettering()
    position: RoleLettering = RoleLettering()
    numeral: RoleLettering = RoleLettering()
    note: RoleLettering = RoleLettering()


Side = Literal["above", "below", "left", "right"]


class Control(Table):
    """A part that is fitted in a hole, and what its legends say."""

    hole: HoleId
    kind: KindName
    name: Words = ""
    side: Side | None = None
    covers: Cover | None = None
    scale: Scale | None = None
    positions: Positions = ()
    detent: Annotated[float, Field(strict=True, gt=0, le=180)] | None = None
    start: Angle | None = None
    frame: Length | None = None
    note: Words = ""
    mains: Flag = False

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
            yield "scale", f"has a scale, which {a_kind} does not take; {_able('takes_scale')} do"
        if "frame" in given and not kind.takes_frame:
            yield "frame", f"has a frame, which {a_kind} does not take; {_able('takes_frame')} do"
        if positions and kind.lays == "name":
            able = _listed(k.name for k in KINDS.values() if k.lays != "name")
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
                able = _listed(k.name for k in KINDS.values() if k.lays == "round")
                yield key, f"has {key}, which {a_kind} does not take; {able} do"

    def unsound(self) -> Iterator[Clash]:
        """More positions than there is room for in one turn."""
        step = self.detent or SELECTOR_STEP
        if isinstance(self.positions, tuple) and (len(self.positions) - 1) * step >= 360:
            yield (
                "positions",
                f"has {len(self.positions)} positions {step:g} degrees apart, which is more than "
                "one turn; give fewer positions, or a smaller detent",
            )


def _able(what: str) -> str:
    return _listed(kind.name for kind in KINDS.values() if getattr(kind, what))


def _listed(names: Iterable[str]) -> str:
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last


class Group(Table):
    """Controls that belong together, and how that is shown."""

    name: Words = ""
    holes: HoleIds
    style: Literal["frame", "bracket", "rule"] = "frame"


class Text(Table):
    """Words anywhere on the panel.

    `at` is the middle of their baseline, or an end of it. Instead, words may stand `around` a
    hole: outside, or `inside`, a circle of `radius` about it, their middle at `angle`.
    """

    text: SomeWords
    at: Point | None = None
    align: Literal["left", "centre", "right"] = "centre"
    around: HoleId | None = None
    radius: Length | None = None
    angle: Angle = 0.0
    inside: Flag = False
    role: Literal["title", "group", "name", "position", "numeral", "note"] = "note"

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """Words that stand both somewhere and around something, or neither."""
        if "at" in given and "around" in given:
            yield "around", "has both at and around; give one of them"
        elif "at" not in given and "around" not in given:
            yield "", "stands nowhere; give at = [x, y], or around = a hole and a radius"
        elif "around" in given and "radius" not in given:
            yield "around", "stands around a hole, and needs a radius"
        for key in ("radius", "angle", "inside"):
            if key in given and "around" not in given:
                yield key, f"has {key}, which only words around a hole take"
        if "align" in given and "around" in given:
            yield "align", "has align, which words around a hole do not take"


class Rule(Table):
    """A straight line on the panel."""

    from_: Point = Field(alias="from")
    to: Point
    width: Length | None = None

    def unsound(self) -> Iterator[Clash]:
        """A line without length."""
        if self.from_ == self.to:
            yield "to", "begins and ends at the same point; give two different points"


class Bare(Table):
    """What keeps paint off the metal round a hole: a disc, for an earth stud; or a plug.

    A disc has its `diameter`. A plug has the shape of its hole, cut-out or slot, and covers
    it with a `margin` all round, for a thread or a window that must stay free of paint.
    """

    hole: HoleId
    diameter: Length | None = None
    margin: Width | None = None

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """Neither a disc nor a plug, or both."""
        if "diameter" in given and "margin" in given:
            yield "margin", "has both diameter and margin; give one of them"
        elif "diameter" not in given and "margin" not in given:
            yield "", "has no size; give the diameter of a disc, or the margin of a plug"


class Description(Table):
    """The whole description of one panel, as `legend.read` returns it.

    Its holes are where they were drilled, where that was measured: see `drilling`.
    """

    units: Unit = "mm"
    title: Words = ""
    style: FileName | None = None
    panel: Panel
    finish: Finish = Finish()
    stencil: Stencil = Stencil()
    lettering: Lettering = Lettering()
    bench: Bench = Bench()
    holes: dict[HoleId, Hole] = Field(default_factory=dict)
    hole_list: ListName | None = None
    as_drilled: Annotated[
        AsDrilled | None,
        Says('the name of a hole list, such as "measured.csv", or a table, as [as_drilled]'),
    ] = None
    control: tuple[Control, ...] = ()
    group: tuple[Group, ...] = ()
    text: tuple[Text, ...] = ()
    rule: tuple[Rule, ...] = ()
    bare: tuple[Bare, ...] = ()

    _drilling: Drilling | None = PrivateAttr(default=None)

    @property
    def drilling(self) -> Drilling | None:
        """How the holes came out by their design; None where nothing was measured."""
        return self._drilling

    def after_drilling(self) -> Self:
        """The description with its holes where they were measured after drilling, if they were.

        Every hole is among those measured.
        """
        if not self.as_drilled:
            return self
        datum, size = self.panel.datum, self.panel.size
        holes, drilling = drilled(self.holes, self.as_drilled, datum, size)
        followed = self.model_copy(update={"holes": holes})
        followed._drilling = drilling
        return followed

    def controls_at(self, hole: str) -> Iterator[Control]:
        """The controls that are fitted in this hole: one, if all is well."""
        return (control for control in self.control if control.hole == hole)
