"""Make the type specimen of a face at true size, with its measured proportions.

What the face lacks is left out, and shown at the foot in the lettering that stands in for it.
"""

from __future__ import annotations

import itertools
from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import get_args

from legend.description.tables.description import Stock
from legend.drawing.specimens.face_list import carried_from
from legend.drawing.specimens.signs_in_rows import (
    begun_at_0,
    even_rows,
    side_by_side,
    width_of_ink,
)
from legend.drawing.specimens.specimen_page import (
    COLUMN_WIDTH,
    FULL_WIDTH,
    Page,
    Row,
    Section,
    caption,
    page_of,
    png_of,
    svg_of,
)
from legend.lettering.faces.face import Face, TextStyle
from legend.lettering.faces.finding import FACE_FILES
from legend.lettering.faces.proportions import Least, Proportions, inked_letter, proportions_of
from legend.lettering.faces.stroke_face import StrokeFace, plain
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import set_text
from legend.writing import write_whole

_ALPHABETS = (
    ("capitals", "Capitals", "ABCDEFGHIJKLMNOPQRSTUVWXYZ"),
    ("small-letters", "Small letters", "abcdefghijklmnopqrstuvwxyz"),
    ("figures", "Figures", "0123456789½¼¾"),
)
#: What is shown sign by sign: the section, its caption, the capital height, the signs in lines.
_SIGNS = (
    ("signs", "Signs", 4.0, ".,:;!?…'\"‘’“”()[]{}/\\|-–—_&@#%*+−±×÷=≠<>≤≥≈∞√°²³µ′″§£€$←↑→↓↔↕•·"),
    (
        "greek-and-cyrillic",
        "Greek, Cyrillic",
        4.0,
        "ΓΔΘΛΞΠΣΦΨΩαβγδεηθλμνπρστφχψω\nБДЖЗИЙЛУФЦЧШЩЪЫЮЯЇҐЂЊ",
    ),
    (
        "accented",
        "Accented",
        3.5,
        "ÀÂÃÄÅÆÇÉĐĘĞĦÎŁÑŐØŒŘŠȚÚŮŽ\nàâãäåæçéđęğħîłñőøœřšțúůžß",
    ),
)
#: Letters and words that stand in one row: those that are mistaken for each other, and those
#: that show how letters are spaced.
_GROUPS = (
    ("told-apart", "Told apart", 8.0, ("0O", "1Il", "5S", "8B", "2Z", "6G")),
    ("spacing", "Spacing", 6.0, ("LATVIA", "TOYS", "AVANT", "1.1.1", "L7", "Ta")),
)
#: Words of panels: their capital height, how many rows of them, and what they say.
_PANEL_WORDS = (
    (7.0, 1, "EXPOSURE SAFELIGHT FOCUS"),
    (5.0, 1, "KILN DOME SHUTTER 0.5 s RAMP SOAK"),
    (
        3.5,
        2,
        "SAFELIGHT ON OFF TIMER 1 2 5 10 20 60 s ALARM 230 V FUSE T2A HEATER 1 2 3 AZIMUTH "
        "NORTH EAST SOUTH WEST SLEW TRACK STOP SPINDLE COOLANT",
    ),
    (
        2.5,
        3,
        "Let the kiln cool below 60 °C before the door is opened. The shutter closes in wind of "
        "more than 12 m/s. Red lamp on: no paper left. Expose for 2.5 s at f/8, then stop, fix "
        "and wash for 20 min. Feed 0.1 to 0.8 mm a turn; lock the tailstock before you start.",
    ),
)

_NAME_HEIGHT = 11.0
_ALPHABET_HEIGHT = 7.0
_VALUE_HEIGHT = 3.5
_LACKING_HEIGHT = 2.5

_ALPHABET_COLUMNS, _VALUE_COLUMNS = 13, 8
#: Between letters that stand in columns: at least, mm.
_BETWEEN_COLUMNS = 1.6
#: Between signs in a row, in capital heights: at least and at most.
_BETWEEN_SIGNS = 0.5, 1.1
#: From one row of signs or of text to the next, in capital heights.
_ROW_PITCH, _TEXT_PITCH = 1.7, 1.5
#: From one size of text to the next, mm.
_BETWEEN_SIZES = 3.2
#: From a value down to what it is called, mm.
_BELOW_VALUE = 3.6


def write_specimen(face: Face, path: Path, dpi: float = 300) -> Path:
    """Write the specimen of a face: a drawing in mm for a path in .svg, else a PNG picture.

    Errors: FaceError where the face has no letters; as `write_whole`.
    """
    return write_whole(path, specimen_file(face, path.suffix, dpi))


def specimen_file(face: Face, ending: str, dpi: float = 300) -> bytes:
    """The bytes of the file, whose name has this ending. Error: FaceError."""
    page = specimen_of(face)
    return svg_of(page) if ending.lower() == ".svg" else png_of(page, dpi)


def specimen_of(face: Face) -> Page:
    """The specimen of a face as a page. Error: FaceError where it has no letters."""
    style = TextStyle(face, _ALPHABET_HEIGHT)
    sections = [
        Section("name", _name_rows(face), full=True),
        Section("measured", _measured_rows(proportions_of(face))),
        *_alphabets(style),
        *(
            Section(name, _sign_rows(title, signs, replace(style, height=height)))
            for name, title, height, signs in _SIGNS
        ),
        *(
            Section(name, _group_rows(title, groups, replace(style, height=height)))
            for name, title, height, groups in _GROUPS
        ),
        Section("true-size", [row for words in _PANEL_WORDS for row in _text_rows(*words, style)]),
        Section("lacking", _lacking_rows(style)),
    ]
    return page_of(_title(face), [section for section in sections if section.rows])


# --- The name, and what is measured ---


def _title(face: Face) -> str:
    """What the face is called: a file by its name without the ending."""
    path = Path(face.name)
    return path.stem if path.suffix.lower() in FACE_FILES else face.name


def _name_rows(face: Face) -> list[Row]:
    """The name, set in the face itself where that has its letters, and what kind of face it is."""
    title, style = _title(face), TextStyle(face, _NAME_HEIGHT)
    if not all(inked_letter(character, style) for character in title.replace(" ", "")):
        style = replace(style, face=plain())
        title = "".join(c for c in title if plain().has(c)).strip() or "?"
    name = begun_at_0(_line(title, style))
    name = name.scaled(min(1.0, FULL_WIDTH / width_of_ink(name)))
    kind = "Outlines of a font file, their strokes as broad as it has them."
    if isinstance(face, StrokeFace):
        ratio = 1 / TextStyle(face, 1.0).stroke
        kind = f"Single strokes, here 1/{ratio:.3g} of the capital height broad."
    note = caption(f"{kind} All sizes are capital heights.")
    return [Row([name], 0.0, 0.0), Row([], 0.0, 7.4, captions=[note])]


def _measured_rows(measured: Proportions) -> list[Row]:
    """Proportions in capital heights, and the finest of the face in mm."""
    named = (
        (1.0, "capitals"),
        (measured.small, "small letters"),
        (measured.ascender, "ascenders"),
        (measured.descender, "descenders"),
        (measured.upright, "legs of H"),
        (measured.level, "bar of H"),
        (measured.width_of_h, "width of H"),
        (measured.width_of_o, "width of O"),
    )
    ratios = [(f"{value:.2f}", what) for value, what in named if value is not None]
    sizes = [_least("stroke", measured.stroke, measured.height)]
    if measured.counter:
        sizes.append(_least("counter", measured.counter, measured.height))
    for stock in get_args(Stock):
        sizes.append((f"{carried_from(measured, stock):.1f} mm", f"least height on {stock}"))
    cell = COLUMN_WIDTH / _VALUE_COLUMNS
    return [
        _value_row(ratios, cell, "Proportions"),
        _value_row(sizes, 2 * cell, "Stencil"),
    ]


def _least(what: str, least: Least, height: float) -> tuple[str, str]:
    where = f"{what} of {least.letter}" if least.letter else f"{what}s"
    return f"{least.size:.2f} mm", f"{where} at {height:g} mm"


def _value_row(values: Sequence[tuple[str, str]], cell: float, title: str) -> Row:
    style = TextStyle(plain(), _VALUE_HEIGHT)
    return Row(
        [begun_at_0(_line(value, style)).moved(i * cell, 0) for i, (value, _) in enumerate(values)],
        _VALUE_HEIGHT,
        12.0,
        title,
        [caption(what).moved(i * cell, -_BELOW_VALUE) for i, (_, what) in enumerate(values)],
    )


# --- Signs by themselves ---


def _alphabets(style: TextStyle) -> Iterator[Section]:
    """Capitals, small letters and figures, in the same columns and of the same height."""
    tables = [
        _chunks(_inked(characters, style), _ALPHABET_COLUMNS) for _, _, characters in _ALPHABETS
    ]
    rows = [row for table in tables for row in table]
    start, step = _columns(rows, _ALPHABET_COLUMNS)
    widths = [[width_of_ink(outline) for outline in row] for row in rows]
    closest = max((sum(pair) / 2 for row in widths for pair in itertools.pairwise(row)), default=0)
    scale = min(1.0, (step - _BETWEEN_COLUMNS) / closest) if closest else 1.0
    height = style.height * scale
    for (name, title, _), table in zip(_ALPHABETS, tables, strict=True):
        yield Section(
            name,
            [
                _table_row(row, scale, start * scale, step, height, "" if number else title)
                for number, row in enumerate(table)
            ],
        )


def _columns(rows: Sequence[Sequence[Outline]], count: int) -> tuple[float, float]:
    """The axis of the first column and the step to the next, so that the outer edges are flush."""
    first = max((width_of_ink(row[0]) for row in rows), default=0.0)
    last = max((width_of_ink(row[-1]) for row in rows if len(row) == count), default=first)
    return first / 2, (COLUMN_WIDTH - (first + last) / 2) / (count - 1)


def _table_row(
    outlines: Sequence[Outline], scale: float, start: float, step: float, height: float, title: str
) -> Row:
    """Outlines centred by their ink on columns, the first of which has its axis at `start`."""
    placed = [
        begun_at_0(outline)
        .scaled(scale)
        .moved(start + i * step - width_of_ink(outline) * scale / 2, 0)
        for i, outline in enumerate(outlines)
    ]
    return Row(placed, height, _ROW_PITCH * height, title)


def _sign_rows(title: str, signs: str, style: TextStyle) -> list[Row]:
    """Lines of signs side by side with equal gaps, in as few rows as they need, and even ones."""
    least, most = (gap * style.height for gap in _BETWEEN_SIGNS)
    lines = (_inked(line, style) for line in signs.split("\n"))
    rows = [row for line in lines for row in even_rows(line, least)]
    gaps = [
        (COLUMN_WIDTH - sum(width_of_ink(sign) for sign in row)) / (len(row) - 1)
        for row in rows
        if len(row) > 1
    ]
    gap = min([most, *gaps])
    return [
        Row(
            side_by_side(row, gap),
            style.height,
            _ROW_PITCH * style.height,
            "" if number else title,
        )
        for number, row in enumerate(rows)
    ]


def _group_rows(title: str, groups: Sequence[str], style: TextStyle) -> list[Row]:
    """Groups of letters spread over one row, those that the face has all of."""
    outlines = [
        begun_at_0(_line(group, style))
        for group in groups
        if all(inked_letter(character, style) for character in group)
    ]
    if not outlines:
        return []
    ink = sum(width_of_ink(outline) for outline in outlines)
    spaces = max(1, len(outlines) - 1)
    scale = min(1.0, (COLUMN_WIDTH - spaces * style.height * _BETWEEN_SIGNS[0]) / ink)
    scaled = [outline.scaled(scale) for outline in outlines]
    gap = (COLUMN_WIDTH - ink * scale) / spaces
    return [Row(side_by_side(scaled, gap), style.height * scale, 0.0, title)]


def _lacking_rows(style: TextStyle) -> list[Row]:
    """What was left out because the face lacks it, in the lettering that stands in for it."""
    shown = [characters for _, _, characters in _ALPHABETS]
    shown += [signs for _, _, _, signs in _SIGNS]
    lacking = "".join(c for c in "".join(shown) if c != "\n" and inked_letter(c, style) is None)
    rows = _sign_rows("Left out", lacking, TextStyle(plain(), _LACKING_HEIGHT))
    if rows:
        said = caption("The face has none of these; in a legend they are taken from plain.")
        rows.append(Row([], 0.0, 5.0, captions=[said]))
    return rows


# --- Words ---


def _text_rows(height: float, most: int, words: str, style: TextStyle) -> Iterator[Row]:
    """The words that the face has, in at most so many rows, as wide as the column."""
    lacking = {character for character in words if not inked_letter(character, style)}
    able = [word for word in words.split() if lacking.isdisjoint(word)]
    sized = replace(style, height=height)
    pitch = height + _BETWEEN_SIZES
    for number in range(most):
        row = _longest(able, sized)
        able = able[len(row) :]
        if row:
            outline = begun_at_0(_line(" ".join(row), sized))
            yield Row([outline], height, pitch, "" if number else f"{height:g} mm")
            pitch = _TEXT_PITCH * height


def _longest(words: Sequence[str], style: TextStyle) -> Sequence[str]:
    """As many of the words as go into one row of the column."""

    def width_of(count: int) -> float:
        return width_of_ink(_line(" ".join(words[:count]), style))

    return words[: bisect_right(range(1, len(words) + 1), COLUMN_WIDTH, key=width_of)]


# --- Outlines ---


def _line(text: str, style: TextStyle) -> Outline:
    """One line of text as the face sets it."""
    return set_text(text, style).outline


def _inked(characters: str, style: TextStyle) -> list[Outline]:
    """The characters that the face has, each by itself."""
    drawn = (inked_letter(character, style) for character in characters)
    return [outline for outline in drawn if outline]


def _chunks(outlines: Sequence[Outline], size: int) -> list[Sequence[Outline]]:
    return [outlines[start : start + size] for start in range(0, len(outlines), size)]
