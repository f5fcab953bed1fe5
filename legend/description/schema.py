"""What a description may say: the tables of the TOML file as frozen, validated values.

Lengths come out in mm whatever they went in as; angles are in degrees, 0 at twelve
o'clock and clockwise positive. Each table knows the line it, and each of its keys, came
from. The reading itself, and the words of its faults, are in `legend.description.reading`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal, Self

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationInfo,
    WithJsonSchema,
    model_validator,
)

from legend.description.kinds import KINDS, Kind
from legend.description.laws import LAWS, TAPERS
from legend.description.lengths import Unit, parse_length
from legend.description.source import Source

#: The key under which reading hands each table the sources of its keys; "" is the table's own.
SOURCES = "@sources"


def _length(value: Any, info: ValidationInfo) -> float:
    return parse_length(value, (info.context or {}).get("units", "mm"))


def _positive(value: float) -> float:
    if value <= 0:
        raise ValueError("must be more than 0")
    return value


def _not_negative(value: float) -> float:
    if value < 0:
        raise ValueError("must not be less than 0")
    return value


_LENGTH_SCHEMA = {"anyOf": [{"type": "number"}, {"type": "string"}]}
#: A length, which may lie on either side of 0.
Coordinate = Annotated[float, BeforeValidator(_length), WithJsonSchema(_LENGTH_SCHEMA)]
#: A length of more than 0.
Length = Annotated[Coordinate, AfterValidator(_positive)]
#: A length of 0 or more.
Width = Annotated[Coordinate, AfterValidator(_not_negative)]
Point = tuple[Coordinate, Coordinate]
Size = tuple[Length, Length]
Finite = Annotated[float, Field(allow_inf_nan=False)]
Angle = Annotated[float, Field(ge=-360, le=360, allow_inf_nan=False)]


def _colour(text: str) -> str:
    from PIL import ImageColor

    try:
        ImageColor.getrgb(text)
    except ValueError:
        raise ValueError(
            f'{text!r} is not a colour; write a CSS colour name, or a number such as "#5b6160"'
        ) from None
    return text


Colour = Annotated[str, AfterValidator(_colour)]


class Table(BaseModel):
    """A table of the description: frozen, no keys but its own, sources in hand."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=False, strict=False)

    sources: Mapping[str, Source] = Field(default_factory=dict, alias=SOURCES, repr=False)

    @property
    def source(self) -> Source:
        """Where the table begins."""
        return self.sources.get("", Source(""))

    def source_of(self, key: str) -> Source:
        """Where this key of the table is given, or the table itself where it is left out."""
        return self.sources.get(key, self.source)


Datum = Literal["lower left", "upper left", "lower right", "upper right", "centre"]


class Panel(Table):
    """The panel: its size and corners, where it is measured from, how far off it is read."""

    size: Size
    corner_radius: Width = 0.0
    datum: Datum = "lower left"
    viewing_distance: Length = 600.0

    def from_datum(self, point: tuple[float, float]) -> tuple[float, float]:
        """A point measured from the datum, in panel coordinates.

        From a corner, distances run into the panel; from the centre, right and upwards.
        """
        (x, y), (width, height) = point, self.size
        if self.datum == "centre":
            return width / 2 + x, height / 2 + y
        return (
            width - x if "right" in self.datum else x,
            height - y if "upper" in self.datum else y,
        )


class Finish(Table):
    """Colours: the base coat, and the top coat that is sprayed last."""

    base: Colour = "white"
    top: Colour = "#5b6160"


Method = Literal["lift-off", "paint-through"]
Stock = Literal["film", "sheet"]


class Stencil(Table):
    """How the stencil is cut, and from what."""

    method: Method = "lift-off"
    stock: Stock = "film"
    stock_size: Size = (300.0, 200.0)
    piece: Literal["control", "row", "panel"] = "control"
    mirror: bool = False
    copies: Annotated[int, Field(ge=1, le=50)] = 1
    turn: bool = False
    margin: Width | None = None
    least_stroke: Length | None = None
    least_counter: Length | None = None
    least_gap: Length | None = None
    least_bridge: Length | None = None

    @model_validator(mode="after")
    def _film_for_lifting(self) -> Self:
        if self.method == "lift-off" and self.stock == "sheet":
            raise ValueError(
                'method "lift-off" needs stock = "film": letters of rigid sheet would not hold '
                'to the panel; for a sheet use method = "paint-through"'
            )
        return self


class RoleLettering(Table):
    """How the letters of one role are set; what is left out is inherited."""

    face: str | None = None
    height: Length | None = None
    stroke: Annotated[float, Field(ge=0.04, le=0.3)] | None = None
    width: Annotated[float, Field(ge=0.5, le=2)] | None = None
    slope: Annotated[float, Field(ge=-30, le=30)] | None = None
    tracking: Annotated[float, Field(ge=-0.2, le=2)] | None = None
    ends: Literal["round", "square"] | None = None
    bridged: bool | None = None


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


class Hole(Table):
    """A hole as drilled, or a cut-out or a slot as filed: one of the three, never two.

    `at` is measured from the datum. `cutout` and `slot` are [width, height] and
    [length, width], turned clockwise by `angle`.
    """

    at: Point
    drill: Length | None = None
    cutout: Size | None = None
    slot: Size | None = None
    corner_radius: Width = 0.0
    angle: Angle = 0.0
    note: str = ""

    @model_validator(mode="after")
    def _one_shape(self) -> Self:
        given = [k for k in ("drill", "cutout", "slot") if getattr(self, k) is not None]
        if len(given) != 1:
            said = " and ".join(given) if given else "none of them"
            raise ValueError(
                "a hole needs one of drill (a diameter), cutout ([width, height]) or slot "
                f"([length, width]); this one has {said}"
            )
        return self


def _law(name: str) -> str:
    if name not in LAWS:
        raise ValueError(f"unknown law {name!r}; laws are " + ", ".join(LAWS))
    return name


def _taper(value: Any) -> Any:
    if isinstance(value, str) and value not in TAPERS:
        raise ValueError(
            f"unknown taper {value!r}; tapers are "
            + ", ".join(TAPERS)
            + ", or a table of [rotation %, resistance %] pairs"
        )
    return value


Pairs = tuple[tuple[Finite, Finite], ...]


class Scale(Table):
    """A scale round a control, or beside one: its law, its ends, and where they stand.

    `sweep` is the travel in degrees; `start` is where it begins, by default half the sweep
    left of the top. `major` gives the numbered values and `step` the finest step, where they
    are not to be chosen by the program. `low` and `high` are words for the two ends.
    """

    law: Annotated[str, AfterValidator(_law)] = "linear"
    from_: Finite = Field(alias="from")
    to: Finite
    sweep: Annotated[float, Field(gt=0, le=360)] | None = None
    start: Angle | None = None
    unit: str = ""
    taper: Annotated[str | Pairs, BeforeValidator(_taper)] = "linear"
    table: Pairs = ()
    major: tuple[Finite, ...] = ()
    step: Annotated[float, Field(gt=0, allow_inf_nan=False)] | None = None
    low: str = ""
    high: str = ""
    arc: bool = False

    @model_validator(mode="after")
    def _sound(self) -> Self:
        if self.from_ == self.to:
            raise ValueError(f"the scale begins and ends at {self.to:g}; give two different values")
        if self.law in ("log", "inverse-square") and min(self.from_, self.to) <= 0:
            raise ValueError(f"a {self.law} scale takes values above 0 only")
        if self.law == "table" and len(self.table) < 2:
            raise ValueError(
                'law "table" needs table = [[value, degrees], ...] with two pairs or more'
            )
        return self


def _kind(name: str) -> str:
    if name not in KINDS:
        raise ValueError(f"unknown kind {name!r}; kinds are " + ", ".join(KINDS))
    return name


Side = Literal["above", "below", "left", "right"]
#: The ways a lever or a slide may stand.
Direction = Literal["up", "down", "left", "right", "centre"]


class Control(Table):
    """A part that is fitted in a hole, and what its legends say."""

    hole: str
    kind: Annotated[
        str, AfterValidator(_kind), WithJsonSchema({"type": "string", "enum": list(KINDS)})
    ]
    name: str = ""
    side: Side | None = None
    covers: Length | Size | None = None
    scale: Scale | None = None
    positions: dict[Direction, str] | tuple[str, ...] = ()
    detent: Annotated[float, Field(gt=0, le=180)] | None = None
    start: Angle | None = None
    frame: Length | None = None
    note: str = ""
    mains: bool = False

    @property
    def of_kind(self) -> Kind:
        """The registry's entry for its kind."""
        return KINDS[self.kind]

    @model_validator(mode="after")
    def _suits_its_kind(self) -> Self:
        kind = self.of_kind
        if self.scale and not kind.takes_scale:
            able = ", ".join(k.name for k in KINDS.values() if k.takes_scale)
            raise ValueError(f"a {kind.name} takes no scale; kinds with a scale are {able}")
        if self.frame and not kind.takes_frame:
            able = ", ".join(k.name for k in KINDS.values() if k.takes_frame)
            raise ValueError(f"a {kind.name} takes no frame; kinds with a frame are {able}")
        if self.positions and kind.lays == "name":
            able = ", ".join(k.name for k in KINDS.values() if k.lays != "name")
            raise ValueError(f"a {kind.name} takes no positions; kinds with positions are {able}")
        if kind.lays == "round" and isinstance(self.positions, Mapping):
            raise ValueError(
                f"the positions of a {kind.name} are a list in clockwise order, "
                'such as ["1", "2", "5"]'
            )
        if kind.lays == "sides" and isinstance(self.positions, tuple) and self.positions:
            raise ValueError(
                f"the positions of a {kind.name} say where each stands, "
                'such as { up = "ON", down = "OFF" }'
            )
        if (self.detent or self.start is not None) and kind.lays != "round":
            raise ValueError(f"a {kind.name} has no detents; only turned controls have")
        return self


class Group(Table):
    """Controls that belong together, and how that is shown."""

    name: str = ""
    holes: Annotated[tuple[str, ...], Field(min_length=1)]
    style: Literal["frame", "bracket", "rule"] = "frame"


class Text(Table):
    """Words anywhere on the panel: `at` is the middle of their baseline, or an end of it."""

    at: Point
    text: Annotated[str, Field(min_length=1)]
    role: Literal["title", "group", "name", "position", "numeral", "note"] = "note"
    align: Literal["left", "centre", "right"] = "centre"


class Rule(Table):
    """A straight line on the panel."""

    from_: Point = Field(alias="from")
    to: Point
    width: Length | None = None


class Bare(Table):
    """A disc that keeps paint off the metal round a hole: an earth stud, a contact face."""

    hole: str
    diameter: Length


class Description(Table):
    """The whole description of one panel, as `legend.read` returns it."""

    units: Unit = "mm"
    title: str = ""
    style: str | None = None
    panel: Panel
    finish: Finish = Finish()
    stencil: Stencil = Stencil()
    lettering: Lettering = Lettering()
    holes: dict[str, Hole] = {}
    hole_list: str | None = None
    control: tuple[Control, ...] = ()
    group: tuple[Group, ...] = ()
    text: tuple[Text, ...] = ()
    rule: tuple[Rule, ...] = ()
    bare: tuple[Bare, ...] = ()

    def controls_at(self, hole: str) -> Iterator[Control]:
        """The controls that are fitted in this hole: one, if all is well."""
        return (control for control in self.control if control.hole == hole)
