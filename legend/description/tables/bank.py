"""Define the [[bank]] table: controls that are alike, said once for all of them.

A bank is a shorthand: it is set out as ordinary controls and groups, each knowing its line,
before anything else is done with a description.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from legend.description.source import Source
from legend.description.table import SOURCES, Clash, Table
from legend.description.tables.control import Control, Fitting, Side
from legend.description.tables.fitting import Cover
from legend.description.tables.group import Group, GroupLine
from legend.description.tables.scale import Scale
from legend.description.values.check_codes import Codes
from legend.description.values.choices import Positions
from legend.description.values.length_values import Length
from legend.description.values.number_values import Angle, Flag, count_of, number_up_to
from legend.description.values.ranges import HolesInOrder, SeveralWords
from legend.description.values.text_values import HoleId
from legend.limits import MOST_HOLES
from legend.sentences import counted

Sharing = Literal["pairs", "neighbours"]


class BankGroups(GroupLine):
    """The groups that a bank falls into, and how they are shown."""

    of: Annotated[int, count_of(1, MOST_HOLES)]
    """How many controls make a group."""
    names: SeveralWords = ()
    """What the groups are called, in the order of the holes, with "" for one without a name."""

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """Headings that say nothing."""
        if given.get("style") == "heading" and "names" not in given:
            yield "style", 'have style = "heading", and so they need names'


class Own(Table):
    """What one of a bank has of its own, in the place of what the bank has for all."""

    side: Side | None = None
    """Where its name stands."""
    covers: Cover | None = None
    """What its fitted part hides of the panel."""
    scale: Scale | None = None
    """Its scale, whole: nothing of that of the bank is kept, and its numerals are its own."""
    positions: Positions = ()
    """What its positions are called."""
    detent: Annotated[float, number_up_to(180)] | None = None
    """Degrees from one of its positions to the next."""
    start: Angle | None = None
    """Where its first position stands."""
    frame: Length | None = None
    """The width of a line round it."""
    mains: Flag = False
    """Whether mains or high voltage is behind it."""
    meant: Codes = ()
    """What the checks find about it, and is meant to be so: their codes."""


class _InHoles(Table):
    """Which controls they are, and what each is called."""

    holes: HolesInOrder
    """The holes that they are fitted in, one by one or as a range: from left to right, or of a
    keypad as one reads."""
    names: SeveralWords = ()
    """What they are called, in the order of the holes, with "" for one without a name. A range may
    run down, as "23 to 0" does."""
    holes_per_name: Annotated[int, count_of(1, MOST_HOLES)] = 1
    """How many neighbours have one name, which stands in the middle of them."""
    levels: Annotated[int, count_of(1, 2)] = 1
    """With 2, the names stand on two levels in turn, each with room for twice the width."""
    notes: SeveralWords = ()
    """Small print across from the names, one for each hole."""


#: The keys of a control that a bank has for all of its own.
_OF_SEVERAL = {"hole": "holes", "name": "names", "note": "notes"}


class Bank(Fitting, _InHoles):
    """Controls that are alike and in line, or a keypad: what is not said of each is said once.

    All but the keys of the holes and of the names are those of a control.
    """

    also_called: ClassVar[Mapping[str, str]] = {
        **{word: _OF_SEVERAL.get(key, key) for word, key in Fitting.also_called.items()},
        **_OF_SEVERAL,
    }

    share_numerals: Sharing | None = None
    """Which slides, bargraphs or edge meters have one set of numerals between them: `pairs`, the
    first and the second, the third and the fourth; or `neighbours`, each and the next. Left out,
    each has its own."""
    own: dict[HoleId, Own] = Field(default_factory=dict)
    """What is otherwise with some of them, by hole: `own = { K3 = { covers = 30 } }`. Left out, all
    are alike."""
    groups: BankGroups | None = None
    """The groups that they fall into: see the table of that name."""

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """What its kind does not take, and what needs something else of the bank."""
        yield from super().clashes(given)
        if "share_numerals" in given and "scale" not in given:
            yield "share_numerals", "has share_numerals, but no scale; give one, or leave it out"
        for hole, table in _tables(given.get("own")):
            for _, what in _clashes_of_own(given, table):
                yield "own", f"{what} (that is said of {hole} under own)"
        for key in ("holes_per_name", "levels"):
            if key in given and "names" not in given:
                yield key, f"has {key}, but no names; give them, or leave it out"
        for key in ("holes_per_name", "levels"):
            if given.get(key, 1) != 1 and given.get("side") in ("left", "right"):
                yield (
                    key,
                    f"has {key}, but its names stand {given['side']} of the controls; only names "
                    "above or below take that",
                )

    def unsound(self) -> Iterator[Clash]:
        """Counts that do not go together."""
        yield from super().unsound()
        holes = len(self.holes)
        if len(set(self.holes)) < holes:
            twice = next(hole for i, hole in enumerate(self.holes) if hole in self.holes[:i])
            yield "holes", f'names hole "{twice}" twice; name each hole once'
        for hole, own in self.own.items():
            if hole not in self.holes:
                yield (
                    "own",
                    f'has something for hole "{hole}" under own, which is none of its holes',
                )
            alone = self.model_copy(update={key: getattr(own, key) for key in _said(own)})
            for _, what in set(Fitting.unsound(alone)) - set(Fitting.unsound(self)):
                yield "own", f"{what} (that is said of {hole} under own)"
        yield from self._miscounted("names", self.names, self.holes_per_name, "holes_per_name")
        yield from self._miscounted("notes", self.notes, 1, "")
        if self.groups:
            yield from self._miscounted("groups", self.groups.names, self.groups.of, "groups.of")

    def _miscounted(self, key: str, words: Sequence[str], each: int, per: str) -> Iterator[Clash]:
        """Holes that leave a rest, or words that are not one for so many of them."""
        holes = counted(len(self.holes), "hole")
        if len(self.holes) % each:
            yield key, f"has {holes}, which {per} = {each} does not divide evenly"
        elif words and len(words) * each != len(self.holes):
            called = {"names": "name", "notes": "note", "groups": "name of a group"}[key]
            many = called.replace("name of", "names of") if len(words) != 1 else called
            said = counted(len(words), called) if many == called else f"{len(words)} {many}"
            what = f"{holes}, {each} to each" if each > 1 else holes
            yield (
                key,
                f'has {said} for {what}; give {len(self.holes) // each}, with "" for one that has '
                "none",
            )

    def controls(self) -> Iterator[Control]:
        """Its controls, one by one, in the order of the holes."""
        shared = {key: getattr(self, key) for key in Fitting.model_fields if key in _said(self)}
        for place, hole in enumerate(self.holes):
            number, within = divmod(place, self.holes_per_name)
            alone = self.own.get(hole, Own())
            own: dict[str, Any] = {key: getattr(alone, key) for key in _said(alone)}
            sources = {**self.sources, "hole": self.source_of("holes")}
            sources |= {key: alone.source_of(key) for key in own}
            own["hole"] = hole
            if self.names and not within:
                own["name"] = self.names[number]
                own["level"] = number % self.levels + 1
                sources["name"] = self._item("names", number)
                if self.holes_per_name > 1:
                    own["name_for"] = self.holes[place : place + self.holes_per_name]
            if self.notes:
                own["note"] = self.notes[place]
                sources["note"] = self._item("notes", place)
            if self.scale and self.share_numerals and "scale" not in own:
                own["scale"] = self._scale_at(place)
            yield Control.model_validate({SOURCES: sources} | shared | own)

    def _scale_at(self, place: int) -> Scale | None:
        """The scale of a control where numerals are shared: none where the one before has it.

        Nobody shares with one that has a scale of its own.
        """
        assert self.scale
        in_pairs = self.share_numerals == "pairs"
        after, before = (
            0 <= other < len(self.holes)
            and not (in_pairs and other // 2 != place // 2)
            and not self.own.get(self.holes[other], Own()).scale
            for other in (place + 1, place - 1)
        )
        if before and not after:
            return None
        shared_with = self.holes[place + 1] if after else None
        return self.scale.model_copy(update={"shared_with": shared_with})

    def set_out_groups(self) -> Iterator[Group]:
        """Its groups, in the order of the holes."""
        groups = self.groups
        if not groups:
            return
        look = {key: getattr(groups, key) for key in GroupLine.model_fields if key != "sources"}
        for number, start in enumerate(range(0, len(self.holes), groups.of)):
            name = groups.names[number] if groups.names else ""
            if groups.style == "heading" and not name.strip():
                continue
            sources = {"": groups.source, "name": groups.source_of(f"names.{number}")}
            holes = self.holes[start : start + groups.of]
            yield Group.model_validate({SOURCES: sources, "name": name, "holes": holes} | look)

    def _item(self, key: str, number: int) -> Source:
        """Where this item of a list is given, or the list."""
        return self.sources.get(f"{key}.{number}", self.source_of(key))


def _said(table: Table) -> set[str]:
    """The keys that are given in a table."""
    return table.model_fields_set - {"sources"}


def _tables(raw: object) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """The tables under a key as it is written, by their names."""
    for name, table in raw.items() if isinstance(raw, Mapping) else ():
        if isinstance(table, Mapping):
            yield str(name), table


def _clashes_of_own(given: Mapping[str, Any], table: Mapping[str, Any]) -> Iterator[Clash]:
    """What one of a bank clashes in that the others do not."""
    of_all = list(Fitting.clashes(given))
    yield from (clash for clash in Fitting.clashes({**given, **table}) if clash not in of_all)
