"""Make the specimen of the symbols: each by its name, in its group, and all once more small."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from legend.drawing.specimens.signs_in_rows import (
    begun_at_0,
    even_rows,
    side_by_side,
    width_of_ink,
)
from legend.drawing.specimens.specimen_page import (
    COLUMN_WIDTH,
    Page,
    Row,
    Section,
    caption,
    page_of,
    png_of,
    svg_of,
)
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.outline import Outline
from legend.lettering.symbols.drawing import symbol
from legend.lettering.symbols.registry import GROUPS, SYMBOLS
from legend.lettering.symbols.symbol import Group
from legend.lettering.typesetting import set_text

_TITLE = "Symbols"
_TITLE_HEIGHT = 7.0
#: Capital heights of the letters that the symbols go with: in their groups, and small, at which
#: film carries them all.
_HEIGHT, _SMALL_HEIGHT = 3.5, 2.5
_COLUMNS = 8
_CELL = COLUMN_WIDTH / _COLUMNS
#: From one row of a group to the next, and of the small ones, mm.
_PITCH, _SMALL_PITCH = 13.0, 5.8
#: From the baseline of a symbol down to that of its name, to the next line of it, and between
#: the names of neighbours at least, mm.
_BELOW, _NAME_PITCH, _BETWEEN_NAMES = 4.2, 2.95, 1.6
#: Between small ones at least, mm.
_BETWEEN_SMALL = 2.4


def symbol_specimen_file(ending: str, dpi: float = 300) -> bytes:
    """The bytes of the specimen: a drawing in mm for .svg, else a PNG picture."""
    page = symbol_specimen()
    return svg_of(page) if ending.lower() == ".svg" else png_of(page, dpi)


def symbol_specimen() -> Page:
    """The specimen of the symbols as a page."""
    groups = (
        Section(group.heading.lower().replace(",", "").replace(" ", "-"), list(_group_rows(group)))
        for group in GROUPS
    )
    small = Section("small", list(_small_rows()))
    return page_of(_TITLE, [Section("name", _title_rows(), full=True), *groups, small])


def _title_rows() -> list[Row]:
    title = begun_at_0(set_text(_TITLE, TextStyle(plain(), _TITLE_HEIGHT)).outline)
    ratio = 1 / TextStyle(plain(), _HEIGHT).stroke
    note = caption(
        f"Single strokes, here 1/{ratio:.3g} of the height of the capitals that they go with: "
        f"{_HEIGHT:g} mm, but where it is said."
    )
    return [Row([title], 0.0, 0.0), Row([], 0.0, 7.4, captions=[note])]


def _group_rows(group: Group) -> Iterator[Row]:
    """The symbols of a group in the columns of the page, each over its name."""
    style = TextStyle(plain(), _HEIGHT)
    names = list(group.symbols)
    for start in range(0, len(names), _COLUMNS):
        row = names[start : start + _COLUMNS]
        axes = [_CELL * (place + 0.5) for place in range(len(row))]
        drawn = [_centred(symbol(name, style), x) for name, x in zip(row, axes, strict=True)]
        below = [
            _centred(caption(words), x).moved(0, -_BELOW - line * _NAME_PITCH)
            for name, x in zip(row, axes, strict=True)
            for line, words in enumerate(_broken(name))
        ]
        yield Row(drawn, _HEIGHT, _PITCH, "" if start else group.heading, below)


def _small_rows() -> Iterator[Row]:
    """Every symbol side by side, each row as wide as the column."""
    style = TextStyle(plain(), _SMALL_HEIGHT)
    drawn = [symbol(name, style) for name in SYMBOLS]
    for number, row in enumerate(even_rows(drawn, _BETWEEN_SMALL)):
        gap = (COLUMN_WIDTH - sum(map(width_of_ink, row))) / (len(row) - 1)
        title = "" if number else f"At {_SMALL_HEIGHT:g} mm"
        yield Row(side_by_side(row, gap), _SMALL_HEIGHT, _SMALL_PITCH, title)


def _broken(name: str) -> Sequence[str]:
    """A name in lines that are no wider than its column, parted after hyphens."""
    lines = [""]
    for part in name.replace("-", "- ").split():
        if lines[-1] and width_of_ink(caption(lines[-1] + part)) > _CELL - _BETWEEN_NAMES:
            lines.append("")
        lines[-1] += part
    return lines


def _centred(outline: Outline, x: float) -> Outline:
    left, _, right, _ = outline.bounds
    return outline.moved(x - (left + right) / 2, 0)
