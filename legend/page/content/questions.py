"""Ask for what was taken for granted, and write the answer into the text of the description.

Each key that settles something has its question in `_ASKS`: what is said before the box, what
stands in it, and how what the user writes there becomes a value of TOML.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from legend.description.paint_colours import rgb
from legend.description.reading.toml_tables import Path, WrittenTable, written_tables
from legend.description.tables.description import Control
from legend.description.values.lengths import has_unit, parse_length
from legend.drawing.colours import css
from legend.layout.artwork import Artwork
from legend.layout.openings import covered
from legend.layout.remedies.offers import Keys
from legend.layout.scales.scale_marks import travel
from legend.length_words import Lengths, said_by
from legend.page.content.edits import TextEdit, quoted, with_key_in
from legend.page.messages import Question
from legend.sentences import listed

#: A number without a unit, as TOML takes it but for a comma.
_BARE = re.compile(r"[0-9]+([.,][0-9]+)?")
#: What parts a width from a height.
_BY = re.compile(r"\s*[x×*;]\s*|,\s+")
#: So many holes are named one by one.
_MOST_NAMED = 4
#: So many steps lead to an item of a list at the top.
_OF_A_LIST = 2
_YES, _NO = ("yes", "true"), ("no", "false")


class AnswerError(ValueError):
    """An answer that cannot be taken; what is wrong, in a whole sentence."""


@dataclass(frozen=True)
class Said:
    """A description by its text and its artwork; the text can be read."""

    text: str
    artwork: Artwork

    @cached_property
    def tables(self) -> list[WrittenTable]:
        """All tables of the text that are not inline."""
        return written_tables(self.text)

    @cached_property
    def raw(self) -> Mapping[str, Any]:
        """The text as TOML has it."""
        return tomllib.loads(self.text.removeprefix("\ufeff"))

    @property
    def lengths(self) -> Lengths:
        """How lengths are said: in the units of the panel."""
        return Lengths(self.artwork.description.units)

    def control(self, keys: Keys) -> Control:
        """The control that the way to a key leads to."""
        return self.artwork.description.control[int(keys[1])]

    def table_of(self, control: Control) -> Path | None:
        """The path of the table that a control was made of, which may be that of its bank.

        None where that is in another file.
        """
        return self._table_of.get(control.hole)

    def alike(self, control: Control) -> list[str]:
        """The holes of all that are made of the same table as a control."""
        path = self.table_of(control)
        alike = [hole for hole, other in self._table_of.items() if other == path]
        return alike if path else [control.hole]

    @cached_property
    def _table_of(self) -> Mapping[str, Path]:
        """The path of the table of every control that is said here, by its hole."""
        own = self.artwork.description.source.file
        on_line: dict[int, list[Path]] = {}
        for table in self.tables:
            for inner in table.everything():
                if inner.path[:1] in (("control",), ("bank",)) and len(inner.path) == _OF_A_LIST:
                    for line in range(inner.lines[0], inner.lines[1] + 1):
                        on_line.setdefault(line, []).append(inner.path)
        found: dict[str, Path] = {}
        for control in self.artwork.description.control:
            paths = on_line.get(control.source.line, [])
            if control.source.file == own and paths:
                # Where several are on one line, it is told by its hole.
                named = (path for path in paths if control.hole in self._holes(path))
                found.setdefault(control.hole, next(named, paths[0]))
        return found

    def _holes(self, path: Path) -> Iterator[object]:
        table: Any = self.raw
        for step in path:
            table = table[step]
        yield table.get("hole")
        if isinstance(table.get("holes"), list):
            yield from table["holes"]


@dataclass(frozen=True, slots=True)
class _Ask:
    """How one key is asked for.

    `question` makes the question from the way to the key, and `written` a value of TOML from the
    answer. Error of that: AnswerError.
    """

    question: Callable[[Said, Keys], Question]
    written: Callable[[Said, Keys, str], str]


def _few(holes: list[str]) -> str:
    """Holes by their names, or where they are many by the first and the last."""
    if len(holes) <= _MOST_NAMED:
        return listed(holes)
    return f"all {len(holes)} from {holes[0]} to {holes[-1]}"


def question_for(said: Said, keys: Keys) -> Question | None:
    """What is asked about a key; None where it cannot be answered in the description's own text."""
    ask = _ASKS.get(str(keys[-1])) if keys else None
    if ask is None or (keys[0] == "control" and not _can_be_written(said, keys)):
        return None
    return ask.question(said, keys)


def answered(said: Said, keys: Keys, value: str) -> TextEdit:
    """The answer, written in the text where the key stands or is to stand. Error: AnswerError."""
    if not value.strip():
        raise AnswerError("Write an answer in the box first.")
    written = _ASKS[str(keys[-1])].written(said, keys, value.strip())
    path: Path = keys[:-1]
    if keys[0] == "control":
        path = (*(said.table_of(said.control(keys)) or ()), *keys[2:-1])
    edit = with_key_in(said.text, said.tables, path, str(keys[-1]), written)
    if edit.done_to(said.text) == said.text:
        raise AnswerError("So it is written already.")
    return edit


def _can_be_written(said: Said, keys: Keys) -> bool:
    """Whether the table of a control is in the text; of a bank, what all of it have in common."""
    path = said.table_of(said.control(keys))
    return path is not None and (path[0] == "control" or keys[-1] not in ("name", "note"))


# --- Lengths ---


def _length(said: Said, value: str) -> str:
    """A length as the description writes it: a bare number in its units, or with its own."""
    units = said.artwork.description.units
    try:
        parse_length(value, said.lengths.unit)
    except ValueError as error:
        raise AnswerError(f"“{value}” {said_by(error, said.lengths)}.") from None
    if _BARE.fullmatch(value):
        return value.replace(",", ".") if units != "cm" else quoted(f"{value} mm")
    if units == "cm" and not has_unit(value):
        value += " mm"
    return quoted(value)


def _cover(said: Said, keys: Keys, value: str) -> str:
    """A diameter, or a width and a height."""
    sides = _BY.split(value.strip("[] "))
    if len(sides) == 1:
        return _length(said, sides[0])
    if len(sides) != len(("width", "height")):
        raise AnswerError(f"“{value}” is neither a diameter nor a width and a height.")
    # A unit behind both is that of both.
    unit = re.search(r"[^0-9\s]*$", sides[1]) if has_unit(sides[1]) else None
    if unit and not has_unit(sides[0]):
        sides[0] += f" {unit[0]}"
    return f"[{', '.join(_length(said, side) for side in sides)}]"


def _covered_by(said: Said, keys: Keys) -> Question:
    control, artwork = said.control(keys), said.artwork
    screws = [artwork.opening(hole) for hole in control.fixing_holes]
    outline = covered(control, artwork.opening(control.hole), screws)
    x0, y0, x1, y1 = outline.bounds
    width, height = (said.lengths.short(side) for side in (x1 - x0, y1 - y0))
    is_round = "C" in outline.contours[0].codes and "L" not in outline.contours[0].codes
    alike = said.alike(control)
    of_all = f" on {_few(alike)}" if len(alike) > 1 else ""
    if is_round and width == height:
        return Question(f"Measured across{of_all}:", width, said.lengths.unit)
    return Question(f"Measured, width × height{of_all}:", f"{width} × {height}", said.lengths.unit)


def _viewed_from(said: Said, keys: Keys) -> Question:
    away = said.artwork.description.panel.viewing_distance
    return Question("Read from:", said.lengths.short(away), said.lengths.unit)


def _stock_size(said: Said, keys: Keys) -> Question:
    sides = said.artwork.description.stencil.stock_size
    value = " × ".join(said.lengths.short(side) for side in sides)
    return Question("Width × length of your stock:", value, said.lengths.unit)


# --- Degrees, words and colours ---


def _track(said: Said, keys: Keys) -> Question:
    control = said.control(keys)
    knob = control.inner if keys[2] == "inner" and control.inner else control
    assert knob.scale is not None  # it was found by its scale
    return Question("Measured:", f"{travel(knob.scale)[1]:g}", "degrees")


def _degrees(said: Said, keys: Keys, value: str) -> str:
    bare = value.rstrip("° ").removesuffix("degrees").strip()
    if not _BARE.fullmatch(bare):
        raise AnswerError(f"“{value}” is no number of degrees.")
    return bare.replace(",", ".")


def _rating(said: Said, keys: Keys) -> Question:
    control = said.control(keys)
    says = control.name if keys[-1] == "name" else control.note
    return Question("It says on the fuse:", " ".join(says.split()), "")


def _words(said: Said, keys: Keys, value: str) -> str:
    return quoted(value)


def _turned(said: Said, keys: Keys) -> Question:
    return Question("May pieces be turned?", "yes", "")


def _yes(said: Said, keys: Keys, value: str) -> str:
    if value.lower() in _YES:
        return "true"
    if value.lower() in _NO:
        raise AnswerError("So it stands already: pieces are not turned.")
    raise AnswerError("Answer yes or no.")


def _paint(said: Said, keys: Keys) -> Question:
    finish = said.artwork.description.finish
    colour = finish.base if keys[-1] == "base" else finish.top
    return Question("Its colour, as you see it:", css(rgb(colour)), "")


def _colour(said: Said, keys: Keys, value: str) -> str:
    """A colour; beside it the name of the paint, where that is what stood there."""
    try:
        rgb(value)
    except ValueError as error:
        raise AnswerError(f"“{value}” is no colour: {error}.") from None
    finish = said.artwork.description.finish
    key = str(keys[-1])
    if key not in finish.sources:
        return quoted(value)
    called = finish.base_called if key == "base" else finish.top_called
    return f"{{ colour = {quoted(value)}, called = {quoted(called)} }}"


def _method(said: Said, keys: Keys) -> Question:
    return Question("The way of working:", said.artwork.description.stencil.method, "")


def _one_word(said: Said, keys: Keys, value: str) -> str:
    return quoted(value.strip("\"'").lower())


#: How each key that settles something is asked for.
_ASKS: Mapping[str, _Ask] = {
    "covers": _Ask(_covered_by, _cover),
    "track": _Ask(_track, _degrees),
    "note": _Ask(_rating, _words),
    "name": _Ask(_rating, _words),
    "turn": _Ask(_turned, _yes),
    "base": _Ask(_paint, _colour),
    "top": _Ask(_paint, _colour),
    "viewing_distance": _Ask(_viewed_from, lambda said, keys, value: _length(said, value)),
    "stock_size": _Ask(_stock_size, _cover),
    "method": _Ask(_method, _one_word),
}
