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
from typing import Annotated, ClassVar, Self

from pydantic import Field, PrivateAttr

from legend.description.table import Clash, Table, words_for
from legend.description.tables.as_drilled import AsDrilled, Drilling, drilled
from legend.description.tables.bank import Bank
from legend.description.tables.bare import Bare as Bare
from legend.description.tables.bench import Bench
from legend.description.tables.control import Control as Control
from legend.description.tables.control import InnerKnob as InnerKnob
from legend.description.tables.control import Side as Side
from legend.description.tables.finish import Finish as Finish
from legend.description.tables.group import Group as Group
from legend.description.tables.hole import Hole as Hole
from legend.description.tables.lettering import LETTERED_ROLES as LETTERED_ROLES
from legend.description.tables.lettering import Lettering
from legend.description.tables.lettering import RoleLettering as RoleLettering
from legend.description.tables.panel import Panel as Panel
from legend.description.tables.rule import Rule as Rule
from legend.description.tables.scale import Scale as Scale
from legend.description.tables.stencil import Method as Method
from legend.description.tables.stencil import Stencil as Stencil
from legend.description.tables.stencil import Stock as Stock
from legend.description.tables.text import Text as Text
from legend.description.values.choices import Direction as Direction
from legend.description.values.file_values import FileName, HoleList
from legend.description.values.form import Form
from legend.description.values.length_values import Datum as Datum
from legend.description.values.lengths import Unit
from legend.description.values.text_values import HoleId, Words
from legend.limits import MOST_GROUPS, MOST_HOLES, MOST_LETTERS, MOST_PIECES


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
