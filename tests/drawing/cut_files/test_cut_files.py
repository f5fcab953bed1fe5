"""The files for the cutter: their names, and that they are always the same."""

from __future__ import annotations

from legend.description.tables.stencil import Stencil
from legend.drawing.cut_files.cut_files import CUT_FORMATS, CutJob, cut_files
from legend.stencil.sheet import Sheet


def test_the_same_sheets_always_give_the_same_bytes(sheets: tuple[Sheet, ...]) -> None:
    stencil = Stencil.model_validate({"cut_as": CUT_FORMATS})
    job = CutJob("stencil", tuple(f"Sheet {sheet.number}" for sheet in sheets), "All")

    def made() -> dict[str, bytes]:
        return cut_files(sheets, job, stencil)

    assert {name.rpartition(".")[2] for name in made()} == set(CUT_FORMATS)
    assert made() == made()
