"""Read, lay out, cut and inspect a description, as every command does before it writes.

What every command does before it writes anything.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from legend.description.source import Source
    from legend.description.tables.description import Description
    from legend.layout.artwork import Artwork, Finding
    from legend.stencil.sheet import Sheet


def laid_out(panel: Path) -> tuple[Description, Artwork]:
    """The description in a file, and its artwork. Error: DescriptionError."""
    from legend.description.faults import DescriptionError, Fault
    from legend.description.reading.description_file import read
    from legend.layout import lay_out
    from legend.lettering.faces.face import FaceError

    description = read(panel)
    try:
        return description, lay_out(description)
    except FaceError as error:
        raise DescriptionError([Fault(_where_asked(description, str(error)), str(error))]) from None


def _where_asked(description: Description, what: str) -> Source:
    """Where the face is asked for that a failure to read it is about."""
    from legend.description.tables.description import LETTERED_ROLES, RoleLettering

    lettering = description.lettering
    tables: list[RoleLettering] = [
        lettering,
        *(getattr(lettering, role) for role in LETTERED_ROLES),
    ]
    asking = [table for table in tables if table.face]
    named = [table for table in asking if Path(str(table.face)).name in what]
    return next((table.source_of("face") for table in (*named, *asking)), description.source)


def found_in(artwork: Artwork, in_cutting: Sequence[Finding] | None = None) -> list[Finding]:
    """All that was found, errors first; None for what cutting found where nothing was cut."""
    from legend.layout import inspect

    return list(inspect(artwork, in_cutting))


def cut_from(
    artwork: Artwork, only: Collection[int] = ()
) -> tuple[tuple[Sheet, ...], list[Finding]]:
    """The sheets of a stencil, and all that was found; or of these pieces alone.

    Error: NoSuchPieceError.
    """
    from legend.stencil import cut

    stencils = cut(artwork, only)
    return stencils.sheets, found_in(artwork, stencils.findings)
