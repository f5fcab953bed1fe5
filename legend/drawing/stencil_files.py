"""Write the sheets of a stencil, and a test coupon, in the kinds of file that are asked for."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from legend.description.tables.stencil import Stencil
from legend.drawing.cut_files.cut_files import CutJob, cut_files, earlier_files
from legend.layout.artwork import Artwork
from legend.stencil.sheet import Sheet
from legend.writing import write_all, write_whole

#: What the files are called, and those of pieces that are cut again.
STENCIL, RECUT_STENCIL = "stencil", "cut-again"


def write_stencils(sheets: Sequence[Sheet], artwork: Artwork, folder: Path) -> list[Path]:
    """Write `stencil-1.svg` and so on, and remove those of an earlier run that had more sheets.

    What else is written, or instead, is told by `cut_as` of the description. All are written, or
    none. Errors: as `write_all`; PlainError where a sheet is too large for the kind of file.
    """
    formats = artwork.description.stencil.cut_as
    earlier = earlier_files([STENCIL], formats)
    return write_all(folder, stencil_files(sheets, artwork), earlier)


def stencil_files(
    sheets: Sequence[Sheet],
    artwork: Artwork,
    stem: str = STENCIL,
    stencil: Stencil | None = None,
) -> dict[str, bytes]:
    """The files of a stencil by their names; a comment at the head of each names the panel.

    How they are written is told by the description, or by another `stencil` table.
    """
    description, count = artwork.description, len(sheets)
    called = description.called
    says = tuple(f"{called}, sheet {sheet.number} of {count}" for sheet in sheets)
    job = CutJob(stem, says, f"{called}, all sheets" if count > 1 else "".join(says))
    return cut_files(sheets, job, stencil or description.stencil, description.units)


def write_coupon(sheet: Sheet, path: Path) -> Path:
    """Write a test coupon as SVG. Errors: as `write_whole`."""
    (data,) = coupon_files(sheet, path.stem, Stencil()).values()
    return write_whole(path, data)


def coupon_files(sheet: Sheet, stem: str, stencil: Stencil, units: str = "mm") -> dict[str, bytes]:
    """The files of a test coupon by their names, as the `stencil` table tells."""
    job = CutJob(stem, ("Test coupon",), "Test coupon", numbered=False)
    return cut_files([sheet], job, stencil, units)
