"""Put a ready table into the text of a description, with holes of the panel that suit it.

Where no such hole is free, one is added where there is room on the panel, as a placeholder.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from legend.description.reading.toml_tables import WrittenTable, written_tables
from legend.description.shapes.hole_shapes import CutOut, Drilled, Slot
from legend.description.tables.description import Control
from legend.description.values.lengths import MILLIMETRES
from legend.layout.artwork import Artwork, Opening
from legend.length_words import Lengths
from legend.page.content.edits import (
    TextEdit,
    as_key,
    quoted,
    together,
    with_line,
    with_single_table,
    with_table,
)
from legend.page.content.free_places import free_place
from legend.page.content.hole_lines import lines_of_holes
from legend.page.content.ready_tables import READY, ReadyTable, Wanted
from legend.sentences import counted
from legend.standards import INCH

_SHAPES = {"drill": Drilled, "cutout": CutOut, "slot": Slot}
#: How much wider than its hole bare metal is, mm.
_BEYOND = 8.0
#: The finest part of an inch that is written.
_INCH_PARTS = 32
#: What a part is put bare metal round, the likeliest first.
_BARED = ("stud", "screw", "binding post", "jack")
#: The marks round what is selected.
_BEGIN, _END = "‹", "›"


class PuttingInError(ValueError):
    """A table that cannot be put in; why, in a whole sentence."""


def put_in(text: str, artwork: Artwork, ready: str, line: int) -> TextEdit:
    """A ready table put in after the table that a line is in. Error: PuttingInError."""
    if ready not in READY:
        raise PuttingInError("There is no such table.")
    return _PuttingIn(text, artwork, READY[ready], line).edit()


@dataclass(frozen=True)
class _PuttingIn:
    text: str
    artwork: Artwork
    table: ReadyTable
    line: int

    @cached_property
    def tables(self) -> list[WrittenTable]:
        return written_tables(self.text)

    @cached_property
    def units(self) -> str:
        return self.artwork.description.units

    def edit(self) -> TextEdit:
        """What is to be written."""
        wanted, fields = self.table.wanted, dict[str, str]()
        edit: TextEdit | None = None
        if wanted:
            chosen = self._suiting(wanted)[: wanted.count]
            from_the_left = sorted(chosen, key=lambda each: (each.centre[0], -each.centre[1]))
            holes = [opening.id for opening in from_the_left]
            if len(holes) < wanted.count:
                holes, edit = self._placeholders(wanted)
            fields = {"hole": quoted(holes[0]), "holes": _list(holes)}
        elif self.table.fitted:
            fields = self._about_parts()
        else:
            fields = self._at_a_place()
        written = self._sized(self.table.text, fields)
        put = self._selected(with_table(self.text, self.tables, self.line, written))
        return put if edit is None else together(self.text, edit, put)

    # --- Its holes ---

    def _suiting(self, wanted: Wanted) -> list[Opening]:
        """The empty holes that suit it: that of the line first, then those of the best size.

        That is the size of the hole that the line is about, where it is one of these or has such a
        part in it, and of those as good the nearest to it; so several alike are put in one after
        the other, or as one row.
        """
        free = [each for each in self._free() if isinstance(each.hole.shape, _SHAPES[wanted.shape])]
        of_line = [each for each in free if each.id in self._holes_of_line]
        least, best, most = wanted.suits
        alike = [
            self.artwork.opening(control.hole)
            for control in self.artwork.description.control
            if control.hole in self._holes_of_line and f'kind = "{control.kind}"' in self.table.text
        ]
        near = (*of_line, *alike)[:1]
        for opening in near:
            best = opening.hole.shape.diameter or best
        others = [
            each
            for each in free
            if each not in of_line
            and (not isinstance(each.hole.shape, Drilled) or least <= each.hole.shape.drill <= most)
        ]
        others.sort(
            key=lambda each: (
                round(abs((each.hole.shape.diameter or best) - best), 3),
                *(each.centre.distance(opening.centre) for opening in near),
            )
        )
        return [*of_line, *others]

    @cached_property
    def _holes_of_line(self) -> list[str]:
        """The holes that the line is about."""
        holes = lines_of_holes(self.artwork.description, self.tables)
        return [
            hole
            for hole, places in holes.items()
            if any(first <= self.line <= last for first, last in places)
        ]

    def _free(self) -> list[Opening]:
        """The holes in which nothing is fitted, and that hold no screw."""
        description = self.artwork.description
        taken = {control.hole for control in description.control} | description.fixings.keys()
        return [opening for opening in self.artwork.openings if opening.id not in taken]

    def _placeholders(self, wanted: Wanted) -> tuple[list[str], TextEdit]:
        """New holes, side by side where there is room for them, written among the others."""
        middle = (wanted.count - 1) / 2
        spots = [((number - middle) * wanted.pitch, 0.0) for number in range(wanted.count)]
        x, y = free_place(self.artwork, self.table.room)
        names = self._new_names(wanted.called, wanted.count)
        shape = self._sized(wanted.placeholder)
        lines = [
            (name, f"{{ at = {self._place(x + dx, y + dy)}, {shape} }}")
            for name, (dx, dy) in zip(names, spots, strict=True)
        ]
        return names, self._with_holes(lines)

    def _with_holes(self, lines: Sequence[tuple[str, str]]) -> TextEdit:
        said = "    # a placeholder: say where it is, and how large"
        holes = next((each for each in self.tables if each.path == ("holes",)), None)
        if holes is None:
            table = "\n".join(f"{as_key(name)} = {hole}{said}" for name, hole in lines)
            return with_single_table(self.text, self.tables, f"[holes]\n{table}")
        begin = end = None
        written = ""
        for name, hole in lines:
            edit = with_line(self.text, holes, as_key(name), f"{hole}{said}")
            begin, end = edit.begin, edit.end
            written += edit.text
        assert begin is not None and end is not None  # there is one hole at least
        return TextEdit(begin, end, written, (begin, begin))

    def _new_names(self, called: str, count: int) -> list[str]:
        known = {opening.id for opening in self.artwork.openings}
        numbered = (f"{called}{number}" for number in range(1, len(known) + count + 2))
        names = [called, *numbered] if count == 1 else [*numbered]
        return [name for name in names if name not in known][:count]

    def _about_parts(self) -> dict[str, str]:
        """Parts that are there: for a group those side by side, for bare metal a stud first."""
        description = self.artwork.description
        if self.table.fitted == 1:
            bare = {each.hole for each in description.bare}
            parts = [each for each in description.control if each.hole not in bare]
            parts.sort(key=lambda each: _BARED.index(each.kind) if each.kind in _BARED else 99)
        else:
            grouped = {hole for group in description.group for hole in group.holes}
            parts = self._side_by_side(
                [
                    each
                    for each in description.control
                    if each.hole not in grouped and each.of_kind.named
                ]
            )
        if len(parts) < self.table.fitted:
            wanted = (
                "It goes round a part that has none yet"
                if self.table.fitted == 1
                else f"It takes {counted(self.table.fitted, 'part')} that are in no group yet"
            )
            raise PuttingInError(f"{wanted}; put in such first.")
        holes = [each.hole for each in parts[: self.table.fitted]]
        x0, y0, x1, y1 = self.artwork.opening(holes[0]).outline.bounds
        beyond = self._length(max(x1 - x0, y1 - y0) + _BEYOND)
        return {"hole": quoted(holes[0]), "holes": _list(holes), "beyond": beyond}

    def _side_by_side(self, parts: Sequence[Control]) -> list[Control]:
        """The two parts that stand nearest to each other, from the left."""
        at = {each.hole: self.artwork.opening(each.hole).centre for each in parts}
        pairs = (
            (abs(at[a.hole][1] - at[b.hole][1]) > 1.0, at[a.hole].distance(at[b.hole]), a, b)
            for number, a in enumerate(parts)
            for b in parts[number + 1 :]
        )
        nearest = min(pairs, key=lambda pair: pair[:2], default=None)
        return sorted(nearest[2:], key=lambda each: at[each.hole][0]) if nearest else []

    def _at_a_place(self) -> dict[str, str]:
        x, y = free_place(self.artwork, self.table.room)
        left, _, right, _ = self.table.room
        (name,) = self._new_names("HOLE", 1)
        at = self._place(x + left, y) if "{to}" in self.table.text else self._place(x, y)
        return {"at": at, "to": self._place(x + right, y), "name": as_key(name)}

    # --- As it is written ---

    def _sized(self, template: str, fields: dict[str, str] | None = None) -> str:
        """A text with its lengths, and what else it has, in the units of the panel."""
        sized = re.sub(r"\{size:([\d.]+)\}", lambda m: self._length(float(m[1])), template)
        for name, said in (fields or {}).items():
            sized = sized.replace(f"{{{name}}}", said)
        return sized.replace("{{", "{").replace("}}", "}")

    def _length(self, mm: float) -> str:
        if self.units == "in":
            written = Lengths("in").exact(round(mm / INCH * _INCH_PARTS) / _INCH_PARTS * INCH)
            return quoted(written) if "/" in written else written
        return f"{round(mm, 3) / MILLIMETRES[self.units] + 0:.6g}"

    def _place(self, x: float, y: float) -> str:
        """A place on the panel as it is measured from the datum."""
        measured = self.artwork.description.panel.measuring.measured((x, y))
        return f"[{', '.join(map(self._length, measured))}]"

    def _selected(self, edit: TextEdit) -> TextEdit:
        """The edit with what stands between its marks selected, and no marks."""
        lead, begun, rest = edit.text.partition(_BEGIN)
        if not begun:
            return edit
        chosen, _, tail = rest.partition(_END)
        begin = edit.begin + len(lead)
        return TextEdit(edit.begin, edit.end, lead + chosen + tail, (begin, begin + len(chosen)))


def _list(names: Sequence[str]) -> str:
    return f"[{', '.join(map(quoted, names))}]"
