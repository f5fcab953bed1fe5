"""Take measured holes over as drilled: write their list, and name it in the description's text."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import count
from pathlib import Path

from legend.camera.measured.hole_list_csv import hole_list_csv
from legend.camera.measured.measured import Measured, MissingHole
from legend.description.faults import DescriptionError
from legend.description.reading.description_file import parse
from legend.description.reading.toml_tables import WrittenTable, written_tables
from legend.description.tables.description import Description
from legend.description.tables.panel import Panel
from legend.description.values.lengths import MILLIMETRES
from legend.failures import PlainError
from legend.page.content.edits import TextEdit, as_key, quoted, with_single_table
from legend.sentences import printable
from legend.writing import write_new

_MEASURED = "measured"
_TABLE = "as_drilled"
#: Decimals of a place as it was designed, in the units of the description.
_DECIMALS = 5


class ChangedSinceError(PlainError):
    """What was measured does not fit the text any more; the message says what to do."""


@dataclass(frozen=True, slots=True)
class Takeable:
    """What is needed to take holes over: their list, and of the panel what they were measured by.

    `missing` are those that were not found, with their places as designed, from the datum, mm.
    """

    hole_list: bytes
    size: tuple[float, float]
    datum: str
    missing: tuple[tuple[str, tuple[float, float]], ...]
    is_designed: bool

    @classmethod
    def of(cls, measured: Measured) -> Takeable:
        """What is needed of measured holes."""
        panel = measured.panel
        missing = tuple((each.id, _designed(each)) for each in measured.missing)
        designed = bool(measured.description and measured.description.holes)
        return cls(hole_list_csv(measured), panel.size, panel.datum, missing, designed)


def _designed(missing: MissingHole) -> tuple[float, float]:
    return missing.wanted.at


def taken_over(panel: Path, text: str, takeable: Takeable) -> TextEdit:
    """Write the hole list beside the description, and give what is to be changed in its text.

    The list has a name that nothing has there yet. Errors: PlainError, where the text cannot be
    read, or is not of the panel that was measured any more; OSError. Nothing is written then.
    """
    description = _read(panel, text)
    _refuse_another(takeable, description.panel, bool(description.holes))
    path, is_new = _written(panel.parent, takeable.hole_list)
    try:
        edit = _edited(text, takeable, path.name, description)
        parse(edit.done_to(text), str(panel))
    except DescriptionError as error:
        if is_new:
            path.unlink(missing_ok=True)
        said = printable(error.faults[0].message)
        raise ChangedSinceError(f"The holes cannot be taken over: {said}") from None
    return edit


def _read(panel: Path, text: str) -> Description:
    try:
        return parse(text, str(panel))
    except DescriptionError as error:
        said = printable(error.faults[0].message)
        raise PlainError(
            f"Nothing can be taken over while the text cannot be read: {said}"
        ) from None


def _refuse_another(takeable: Takeable, panel: Panel, is_designed: bool) -> None:
    same = (takeable.size, takeable.datum) == (panel.size, panel.datum)
    if not same or is_designed != takeable.is_designed:
        raise ChangedSinceError(
            "The size of the panel, its datum or its holes were changed since the picture was "
            "measured. Drop the picture once more, and take over what is found then."
        )


# --- The list ---


def _written(folder: Path, hole_list: bytes) -> tuple[Path, bool]:
    """A file with this list, and whether it was written now, or stood there already."""
    for number in count(1):
        path = folder / f"{_MEASURED}{f'-{number}' if number > 1 else ''}.csv"
        try:
            write_new(path, hole_list)
        except FileExistsError:
            if path.is_file() and not path.is_symlink() and path.read_bytes() == hole_list:
                return path, False
        else:
            return path, True
    raise AssertionError("numbers do not end")


# --- The text ---


def _edited(text: str, takeable: Takeable, name: str, description: Description) -> TextEdit:
    if takeable.is_designed:
        after = _with_table(text, "\n".join(_table(takeable, name, description.units)))
    else:
        after = _with_first_key(text, f"hole_list = {quoted(name)}")
    return _least(text, after)


def _table(takeable: Takeable, name: str, units: str) -> Iterator[str]:
    yield f"[{_TABLE}]"
    yield f"hole_list = {quoted(name)}"
    yield f"datum = {quoted(takeable.datum)}"
    if takeable.missing:
        yield ""
        yield f"[{_TABLE}.holes]"
        yield "# Not found in the picture, and taken as designed: measure these."
    for id, at in takeable.missing:
        x, y = (f"{round(mm / MILLIMETRES[units], _DECIMALS) + 0:g}" for mm in at)
        yield f"{as_key(id)} = {{ at = [{x}, {y}] }}"


def _with_first_key(text: str, line: str) -> str:
    """The text with a key more before its first table."""
    tables = written_tables(text)
    if tables[0].pairs:
        end = text.find("\n", tables[0].pairs[-1].end)
        at = len(text) if end < 0 else end
        return f"{text[:at]}\n{line}{text[at:]}"
    at = next((table.begin for table in tables[1:]), len(text))
    return f"{text[:at]}{line}\n\n{text[at:]}"


def _with_table(text: str, table: str) -> str:
    """The text with this table in the place of what it says of the holes as drilled."""
    tables = written_tables(text)
    headed = [each for each in tables if each.path[:1] == (_TABLE,)]
    keyed = [pair for pair in tables[0].pairs if pair.keys[0] == _TABLE]
    for pair in reversed(keyed):
        tables_text = _without(text, pair.begin, pair.end)
        headed = [_moved(each, len(tables_text) - len(text)) for each in headed]
        text = tables_text
    if not headed:
        edit = with_single_table(text, written_tables(text), table)
        return edit.done_to(text)
    for each in reversed(headed[1:]):
        text = _without(text, each.begin, each.end)
    first = headed[0]
    return text[: first.begin] + table + text[_line_end(text, first.end) :]


def _moved(table: WrittenTable, by: int) -> WrittenTable:
    return replace(table, begin=table.begin + by, end=table.end + by)


def _without(text: str, begin: int, end: int) -> str:
    """The text without some lines, and without the free lines before them."""
    first = text.rfind("\n", 0, begin) + 1
    kept = text[:first]
    after = text[_line_end(text, end) :].removeprefix("\n")
    stripped = kept.rstrip("\n")
    if stripped and len(kept) - len(stripped) > 1:
        kept = f"{stripped}\n"
    return kept + after


def _line_end(text: str, place: int) -> int:
    end = text.find("\n", place)
    return len(text) if end < 0 else end


def _least(before: str, after: str) -> TextEdit:
    """The least lines that are to be replaced to make one text of another."""
    begin = before.rfind("\n", 0, _alike(before, after)) + 1
    same = _alike(before[begin:][::-1], after[begin:][::-1])
    tail = after[len(after) - same :]
    if same < len(after) and after[len(after) - same - 1] != "\n":  # in the midst of a line
        tail = tail[len(tail.partition("\n")[0]) :]
    put = after[begin : len(after) - len(tail)]
    return TextEdit(begin, len(before) - len(tail), put, (begin, begin + len(put.rstrip())))


def _alike(one: str, other: str) -> int:
    """How many characters two texts begin with that are the same."""
    pairs = enumerate(zip(one, other, strict=False))
    return next((k for k, (a, b) in pairs if a != b), min(len(one), len(other)))
