"""Define the schema of a description: the tables of its TOML file as frozen values.

Lengths come out in mm whatever they went in as; angles are in degrees, 0 at twelve
o'clock and clockwise positive. A new key is one line here or in its table's own module, and
under it what it means, for whoever writes a description. Its type, in
`legend.description.values`, says what it may hold; the reader, the words of its faults, the
JSON Schema and the reference in the README follow from both.

The modules of tables do without `from __future__ import annotations`, which would have pydantic
compile the type of every key once more.
"""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import Field, PrivateAttr

from legend.description.asked_heights import HeightOrFound
from legend.description.check_codes import Codes
from legend.description.lengths import Unit
from legend.description.shapes.polygon import Bends
from legend.description.table import Clash, Table, words_for
from legend.description.tables.as_drilled import AsDrilled, Drilling, drilled
from legend.description.tables.bank import Bank
from legend.description.tables.bench import Bench
from legend.description.tables.control import Control as Control
from legend.description.tables.control import InnerKnob as InnerKnob
from legend.description.tables.control import Side as Side
from legend.description.tables.group import Group as Group
from legend.description.tables.hole import Hole as Hole
from legend.description.tables.lettering import LETTERED_ROLES as LETTERED_ROLES
from legend.description.tables.lettering import LetteredRole, Lettering
from legend.description.tables.lettering import RoleLettering as RoleLettering
from legend.description.tables.panel import Panel as Panel
from legend.description.tables.scale import Scale as Scale
from legend.description.values import (
    Angle,
    FileName,
    Flag,
    Form,
    HoleId,
    HoleList,
    Least,
    Length,
    MeasuredSquare,
    Overrun,
    Paint,
    Point,
    SomeWords,
    StockSize,
    Width,
    Words,
    count_of,
)
from legend.description.values import Datum as Datum
from legend.description.values import Direction as Direction
from legend.limits import MOST_GROUPS, MOST_HOLES, MOST_LETTERS, MOST_PIECES


class Finish(Table):
    """Colours: the base coat, and the top coat that is sprayed last."""

    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "base": "letters_colour lettering_colour primer undercoat",
            "top": "colour color paint panel background finish",
        }
    )

    base_: Paint = Field(default="white", alias="base")
    """The base coat, which goes on first: with lift-off the colour of the letters, with
    paint-through that of the panel. As a table it also says what the paint is called, for the job
    card."""
    top_: Paint = Field(default="#5b6160", alias="top")
    """The top coat, which goes on last: with lift-off the colour of the panel, with paint-through
    that of the letters. It too may say what the paint is called."""

    @property
    def base(self) -> str:
        """The colour of the base coat."""
        return self.base_ if isinstance(self.base_, str) else self.base_.colour

    @property
    def top(self) -> str:
        """The colour of the top coat."""
        return self.top_ if isinstance(self.top_, str) else self.top_.colour

    @property
    def base_called(self) -> str:
        """What the paint of the base coat is called: by its name, or by its colour."""
        return self.base_ if isinstance(self.base_, str) else self.base_.called

    @property
    def top_called(self) -> str:
        """What the paint of the top coat is called: by its name, or by its colour."""
        return self.top_ if isinstance(self.top_, str) else self.top_.called


Method = Literal["lift-off", "paint-through"]
Stock = Literal["film", "sheet"]


class Stencil(Table):
    """How the stencil is cut, and from what."""

    renamed: ClassVar[Mapping[str, str]] = {"check": "test_square"}
    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "stock": "material",
            "stock_size": "size width length",
            "copies": "spares count",
            "mirror": "mirrored reverse",
            "method": "type process",
        }
    )

    method: Method = "lift-off"
    """What is on the panel during the top coat: with lift-off the letters alone, which are lifted
    while it is soft; with paint-through everything but the letters, which are openings."""
    stock: Stock = "film"
    """What is cut: adhesive film, used once; or rigid sheet (card, polyester sheet, metal),
    used again, for paint-through only, in which bridges hold the counters of the letters."""
    stock_size: StockSize = (300.0, 200.0)
    """The width and the length that can be cut at once; what needs more goes on to further
    sheets."""
    piece: Literal["control", "row", "panel"] | None = None
    """What travels on one piece: the legends of a control, of a row of them, or of the whole
    panel. Left out, of a control on film, and of the whole panel on a sheet."""
    mirror: Flag = False
    """Whether the sheets are cut as a mirror image, for film that is cut from behind."""
    copies: Annotated[int, count_of(1, 50)] = 1
    """How many are cut of every piece."""
    turn: Flag = False
    """Whether pieces may be turned by a quarter to save stock."""
    margin: Width | None = None
    """The stock left round the marks of a piece, up to its weeding box. Left out, that of the
    stock."""
    test_square: Flag = False
    """Whether every sheet gets a test square of 50 mm, to be measured when it is cut."""
    measured: MeasuredSquare = (50.0, 50.0)
    """What such a square came out as, across the sheet and along it. The cut is made larger or
    smaller by it; the overlay and the proofs are not."""
    overrun: Overrun = 0.0
    """How far every cut runs on past its start, for a blade that lags."""
    least_stroke: Least | None = None
    """The finest stroke or line that the stock carries. Left out, that of the stock."""
    least_counter: Least | None = None
    """The smallest enclosed part of a letter that the stock carries. Left out, that of the
    stock."""
    least_gap: Least | None = None
    """The least distance between two cuts that the stock carries. Left out, that of the stock."""
    least_bridge: Least | None = None
    """The narrowest bridge that holds. Left out, that of the stock."""

    @property
    def travelling(self) -> str:
        """What travels on one piece: "control", "row" or "panel"."""
        return self.piece or ("panel" if self.stock == "sheet" else "control")

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """Rigid stock for a method whose letters must stick."""
        if given.get("method", "lift-off") == "lift-off" and given.get("stock") == "sheet":
            yield (
                "stock",
                'has method = "lift-off" with stock = "sheet", but letters of rigid sheet would '
                'not hold to the panel; use stock = "film", or method = "paint-through"',
            )


class Text(Table):
    """Words anywhere on the panel: in a level line, or round a hole."""

    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "text": "name label legend caption words title",
            "at": "x y position place pos",
            "around": "hole",
            "role": "style size kind",
        }
    )

    text: SomeWords
    """What it says. A line break begins a second line, but not round a hole; a symbol is `symbol:`
    and its name."""
    at: Point | None = None
    """The middle of the baseline, or an end of it."""
    align: Literal["left", "centre", "right"] = "centre"
    """Which point of the words stands at `at`."""
    around: HoleId | None = None
    """The hole that the words stand round, instead of `at`."""
    radius: Length | None = None
    """The radius of the circle that they stand on."""
    angle: Angle = 0.0
    """Where on the circle their middle stands."""
    inside: Flag = False
    """Whether they hang inside the circle instead of standing on its outside."""
    role: LetteredRole = "note"
    """Whose lettering they have: see the roles."""
    height: HeightOrFound | None = None
    """The height of its capitals, where it is not that of its role; or "as large as fits", one for
    all texts of the role that ask for it on one baseline, or "as small as can be cut"."""
    meant: Codes = ()
    """What the checks find about it and is meant to be so: their codes."""

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
    """A line on the panel, straight or with corners; it stops before what it runs into."""

    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "from": "start begin x1 at",
            "to": "end x2",
            "width": "thickness stroke",
        }
    )

    from_: Point = Field(alias="from")
    """Where it begins."""
    to: Point
    """Where it ends."""
    through: Bends = ()
    """Where it turns on its way there, with a corner at each. Rules of one width that end at one
    point are joined by a corner as well."""
    width: Length | None = None
    """How broad it is. Left out, as broad as the strokes of the names."""
    meant: Codes = ()
    """What the checks find about it and is meant to be so: their codes."""

    def unsound(self) -> Iterator[Clash]:
        """A line without length, or a part of it without any."""
        corners = (self.from_, *self.through, self.to)
        if len(set(corners)) == 1:
            yield "to", "begins and ends at the same point; give two different points"
        elif any(one == other for one, other in pairwise(corners)):
            yield "through", "has one point twice on end; leave one of them out"


class Bare(Table):
    """What keeps paint off the metal round a hole: a disc, as for an earth stud, or a plug."""

    hole: HoleId
    """The hole that it lies on."""
    diameter: Length | None = None
    """The diameter of a disc."""
    margin: Width | None = None
    """Or how far a plug, which has the shape of its hole, covers the metal all round it: for a
    thread or a window that must stay free of paint."""

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """Neither a disc nor a plug, or both."""
        if "diameter" in given and "margin" in given:
            yield "margin", "has both diameter and margin; give one of them"
        elif "diameter" not in given and "margin" not in given:
            yield "", "has no size; give the diameter of a disc, or the margin of a plug"


class Description(Table):
    """The whole description of one panel.

    As `legend.read` returns it, its holes are where they were drilled, if that was measured: see
    `drilling`.
    """

    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "title": "name panel_name",
            "units": "unit measure",
            "hole_list": "list csv drill_list",
        }
    )

    units: Unit = "mm"
    """The unit of bare numbers that are lengths, here and in the hole lists."""
    title: Words = ""
    """What the panel is called on the job card and the overlay; it is not painted."""
    style: FileName | None = None
    """The name of a file of the same form whose tables are inherited, so that panels match. What
    the panel says itself wins."""
    panel: Panel
    """The panel itself."""
    finish: Finish = Finish()
    """The colours of the paints."""
    stencil: Stencil = Stencil()
    """How the stencil is cut, and from what."""
    lettering: Lettering = Lettering()
    """How the letters are set."""
    bench: Bench = Bench()
    """How long the work at the bench takes, for the times on the job card."""
    holes: dict[HoleId, Hole] = Field(default_factory=dict)
    """The holes, each under a name of your choice; and, where they are not measured from the
    panel's datum, `datum`, from where they are."""
    hole_list: HoleList | None = None
    """The name of a file with holes, besides those of [holes] or instead: CSV, with the columns id,
    x, y and drill (or another shape of a hole), and where wanted corner_radius, angle and note; or
    a DXF drawing. Or a table of its name, `file`, and of the `datum` of its holes, where that is
    not the panel's."""
    as_drilled: Annotated[
        AsDrilled | None,
        Form('the name of a hole list, such as "measured.csv", or a table, as [as_drilled]'),
    ] = None
    """The same holes as measured after drilling, where they were designed first; legends follow
    these."""
    control: tuple[Control, ...] = ()
    """The parts that are fitted in the holes."""
    bank: tuple[Bank, ...] = ()
    """Parts that are alike, in a row or a block, said once for all of them."""
    group: tuple[Group, ...] = ()
    """Controls that belong together."""
    text: tuple[Text, ...] = ()
    """Words anywhere on the panel."""
    rule: tuple[Rule, ...] = ()
    """Straight lines on the panel."""
    bare: tuple[Bare, ...] = ()
    """Where the metal round a hole must stay free of paint."""

    _drilling: Drilling | None = PrivateAttr(default=None)
    _unit: str = PrivateAttr(default="")

    def unsound(self) -> Iterator[Clash]:
        """More words than there is room for, or more copies than anyone cuts."""
        fitted = len(self.control) + sum(len(bank.holes) for bank in self.bank)
        if fitted > MOST_HOLES:
            what = f"has {fitted} controls in all; no panel takes more than {MOST_HOLES}"
            yield "bank", what
            return
        whole = self.with_banks_set_out()
        if len(whole.group) > MOST_GROUPS:
            what = f"has {len(whole.group)} groups in all; no panel takes more than {MOST_GROUPS}"
            yield "bank" if self.bank else "group", what
        words = [group.name for group in whole.group] + [text.text for text in self.text]
        letters = sum(map(len, words))
        for control in whole.control:
            named = control.positions
            texts = [control.name, control.note]
            texts += named.values() if isinstance(named, Mapping) else named
            texts += (control.inner.name, *control.inner.positions) if control.inner else ()
            scales = (knob.scale for knob in control.knobs if knob.scale)
            texts += (word for scale in scales for _, word in scale.words)
            once = sum(map(len, texts))
            letters += once * len(control.holes or (control.hole,))
        if letters > MOST_LETTERS:
            yield (
                "text" if self.text else "control",
                f"has legends of {letters} characters in all; no panel has room for more than "
                f"{MOST_LETTERS}",
            )
        controls = sum(len(control.holes or (control.hole,)) for control in whole.control)
        one_by_one = controls + len(whole.group) + len(self.text)
        if self.stencil.copies > 1 and self.stencil.copies * one_by_one > MOST_PIECES:
            yield (
                "stencil",
                f"asks for {self.stencil.copies} copies of the legends of {one_by_one} controls, "
                f"groups and texts, more than {MOST_PIECES} in all; ask for fewer copies",
            )

    @property
    def called(self) -> str:
        """The title in one line, or "Panel" where there is none; and whose holes it has.

        That is, where they are those of another unit than the description's own.
        """
        title = " ".join(self.title.split()) or "Panel"
        return f"{title}, holes of {self._unit}" if self._unit else title

    @property
    def unit(self) -> str:
        """The name of the hole list of the unit that this is; "" where that is its own."""
        return self._unit

    @property
    def letter_colour(self) -> str:
        """The colour in which the legends show: that of the base coat with lift-off."""
        return self.finish.base if self.stencil.method == "lift-off" else self.finish.top

    @property
    def panel_colour(self) -> str:
        """The colour of the panel round them."""
        return self.finish.top if self.stencil.method == "lift-off" else self.finish.base

    @property
    def drilling(self) -> Drilling | None:
        """How the holes came out by their design; None where nothing was measured."""
        return self._drilling

    def with_holes_from(self, datums: Mapping[str, Datum]) -> Self:
        """The description with holes that are measured from datums of their own, by their names,
        measured from the panel's."""
        if not datums:
            return self
        panel = self.panel
        holes = dict(self.holes)
        for id, datum in datums.items():
            on_panel = panel.measuring_from(datum).on_panel(holes[id].at)
            x, y = panel.measuring.measured(on_panel)
            holes[id] = holes[id].model_copy(update={"at": (round(x, 9), round(y, 9))})
        return self.model_copy(update={"holes": holes})

    def with_banks_set_out(self) -> Self:
        """The description with its banks as controls and groups like the others."""
        if not self.bank:
            return self
        controls = (control for bank in self.bank for control in bank.controls())
        groups = (group for bank in self.bank for group in bank.set_out_groups())
        everything = {
            "control": (*self.control, *controls),
            "group": (*self.group, *groups),
            "bank": (),
        }
        return self.model_copy(update=everything)

    def after_drilling(self) -> Self:
        """The description with its holes where they were measured after drilling, if they were.

        Every hole is among those measured.
        """
        if not self.as_drilled:
            return self
        panel, datum = self.panel, self.as_drilled.datum
        own = None if datum == "best fit" else panel.measuring_from(datum or panel.datum)
        holes, drilling = drilled(self.holes, self.as_drilled, panel.measuring, own)
        return self.with_holes(holes, drilling)

    def with_holes(self, holes: Mapping[str, Hole], drilling: Drilling | None) -> Self:
        """The description with these holes, and how they came out by their design."""
        changed = self.model_copy(update={"holes": dict(holes)})
        changed._drilling = drilling
        return changed

    @property
    def fixings(self) -> Mapping[str, str]:
        """The holes for screws that hold a part, each with the hole of that part."""
        return {screw: control.hole for control in self.control for screw in control.fixing_holes}

    def of_unit(self, unit: str) -> Self:
        """The same, as of a unit whose hole list has this name."""
        of_unit = self.model_copy()
        of_unit._unit = unit
        return of_unit

    def controls_at(self, hole: str) -> Iterator[Control]:
        """The controls that are fitted in this hole: one, if all is well."""
        return (control for control in self.control if control.hole == hole)
