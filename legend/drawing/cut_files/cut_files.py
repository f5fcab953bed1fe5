"""Name the files for the cutter and make their bytes, in every kind that is asked for.

A sheet is a file, `stencil-1.dxf`; as PDF all sheets are the pages of one, `stencil.pdf`. Where
each class of lines has a file of its own, its name says which: `stencil-1-mark.dxf`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import get_args

from legend.description.tables.stencil import CutFormat, Stencil
from legend.drawing.cut_files.cut_sheet import CORNER_MARK, CutSheet, cut_sheet, of_kind
from legend.length_words import Lengths
from legend.stencil.sheet import Cut, Sheet

#: The kinds of file that a cutter may take, by the endings of their names.
CUT_FORMATS: tuple[CutFormat, ...] = get_args(CutFormat)
#: What each is called in words.
SAID: Mapping[CutFormat, str] = {"svg": "SVG", "dxf": "DXF", "pdf": "PDF", "plt": "HP-GL"}


@dataclass(frozen=True, slots=True)
class CutJob:
    """What is cut: what its files are called, and what each says at its head that it is.

    `says` has the words for each sheet, and `says_whole` those for all of them. Of what is always
    one sheet the files have no number.
    """

    stem: str
    says: tuple[str, ...]
    says_whole: str
    numbered: bool = True


@dataclass(frozen=True, slots=True)
class CutFile:
    """One file: its name and its kind; the number of its sheet, None where it has all of them;
    and of which class of lines it is alone, "" where it has all."""

    name: str
    format: CutFormat
    sheet: int | None
    kind: str = ""


def files_named(
    stem: str, sheets: Sequence[Sheet], stencil: Stencil, numbered: bool = True
) -> list[CutFile]:
    """The files that are made of some sheets, kind by kind, in the order asked for."""
    return [
        named
        for kind_of_file in stencil.cut_as
        for named in _named(stem, _kinds(sheets, stencil), kind_of_file, numbered)
    ]


def _kinds(sheets: Sequence[Sheet], stencil: Stencil) -> dict[int, list[str]]:
    """The classes that have files of their own, by sheets; "" where none has."""
    return {sheet.number: cut_sheet(sheet).kinds if stencil.separate else [""] for sheet in sheets}


def _named(
    stem: str, kinds: Mapping[int, Sequence[str]], kind_of_file: CutFormat, numbered: bool
) -> Iterable[CutFile]:
    if kind_of_file == "pdf":
        every = dict.fromkeys(kind for each in kinds.values() for kind in each)
        pairs: list[tuple[int | None, str]] = [(None, kind) for kind in every]
    else:
        pairs = [(number, kind) for number, each in kinds.items() for kind in each]
    for number, kind in pairs:
        parts = (stem, str(number) if number and numbered else "", kind)
        name = "-".join(part for part in parts if part)
        yield CutFile(f"{name}.{kind_of_file}", kind_of_file, number, kind)


def cut_files(
    sheets: Sequence[Sheet], job: CutJob, stencil: Stencil, units: str = "mm"
) -> dict[str, bytes]:
    """The files of some sheets by their names, as `files_named` has them.

    `units` are those in which lengths are told. Error: PlainError where a sheet is too large for
    the kind of file.
    """
    drawn = {sheet.number: cut_sheet(sheet) for sheet in sheets}
    says = dict(zip(drawn, job.says, strict=True))
    files = {}
    for file in files_named(job.stem, sheets, stencil, job.numbered):
        numbers = [file.sheet] if file.sheet else [*drawn]
        words = says[file.sheet] if file.sheet else job.says_whole
        chosen = [of_kind(drawn[n], file.kind) if file.kind else drawn[n] for n in numbers]
        if file.kind:
            words = f"{words}, {file.kind} alone"
        files[file.name] = _file(file, chosen, words, stencil, Lengths(units))
    return files


def _file(
    file: CutFile, sheets: Sequence[CutSheet], says: str, stencil: Stencil, lengths: Lengths
) -> bytes:
    """The bytes of one file."""
    colours = stencil.lines.colours
    if file.kind in colours:
        colours[CORNER_MARK] = colours[file.kind]
    if file.format == "pdf":
        from legend.drawing.cut_files.pdf_format import pdf_file

        return pdf_file(sheets, says, colours, lengths)
    (sheet,) = sheets
    if file.format == "dxf":
        from legend.drawing.cut_files.dxf_format import dxf_file

        return dxf_file(sheet, says, stencil.dxf_version)
    if file.format == "plt":
        from legend.drawing.cut_files.plt_format import plt_file

        return plt_file(sheet, stencil.plt_origin, stencil.plt_turn)
    from legend.drawing.cut_files.svg_format import sheet_file

    return sheet_file(sheet, says, colours)


def earlier_files(
    stems: Iterable[str], formats: Iterable[CutFormat] = CUT_FORMATS
) -> re.Pattern[str]:
    """The names that files of some kinds may have, of whatever run, for however many sheets."""
    of_these = "|".join(map(re.escape, stems))
    kinds = "|".join(cut.value for cut in Cut)
    return re.compile(rf"(?:{of_these})(?:-\d+)?(?:-(?:{kinds}))?\.(?:{'|'.join(formats)})")
