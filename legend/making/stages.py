"""Read, lay out, cut and inspect a description, as every command does before it writes.

What every command does before it writes anything.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from legend.description.source import Source
    from legend.description.tables.description import Description
    from legend.layout.artwork import Artwork, Finding
    from legend.layout.heights.matching import Matched
    from legend.stencil.sheet import Sheet


def laid_out(panel: Path, drilled: Sequence[Path] = ()) -> tuple[Description, Artwork]:
    """The description in a file, and its artwork: of the first of the units drilled, if any.

    Error: DescriptionError.
    """
    from legend.description.reading.description_file import read

    if drilled:
        matched = units_matched(panel, drilled)[0]
        return matched.description, matched.laid()
    description = read(panel)
    return description, artwork_of(description)


def artwork_of(description: Description) -> Artwork:
    """The artwork of a description. Error: DescriptionError."""
    from legend.layout import lay_out

    with _faces_told(description):
        return lay_out(description)


def units_matched(panel: Path, drilled: Sequence[Path]) -> list[Matched]:
    """The units of a panel, each by the hole list of what was drilled, settled so that they match.

    With them is settled the description as it stands, which is the first unit where its own holes
    as drilled are given, or where there is one more. Error: DescriptionError.
    """
    from legend.description.reading.description_file import read
    from legend.layout import match

    own = read(panel)
    units = [read(panel, each) for each in drilled]
    before = [own] if own.as_drilled or len(units) == 1 else []
    with _faces_told(own):
        return match([*before, *units])[len(before) :]


def panels_matched(panels: Sequence[Path]) -> dict[Path, Matched]:
    """Panels that share a style file, settled so that they match; others are left out.

    So is what cannot be read; whoever makes it is told.
    """
    from legend.description.faults import DescriptionError
    from legend.description.reading.description_file import read
    from legend.layout import match
    from legend.lettering.faces.face import FaceError

    sharing: dict[Path, dict[Path, Description]] = {}
    for panel in panels:
        with suppress(DescriptionError, OSError):
            description = read(panel)
            if description.style:
                style = panel.parent / description.style
                sharing.setdefault(style.resolve(), {})[panel] = description
    matched: dict[Path, Matched] = {}
    for alike in sharing.values():
        if len(alike) > 1:
            with suppress(DescriptionError, FaceError):
                matched |= zip(alike, match([*alike.values()]), strict=True)
    return matched


@contextmanager
def _faces_told(description: Description) -> Iterator[None]:
    """Tell of a face that cannot be read where the description asks for it."""
    from legend.description.faults import DescriptionError, Fault
    from legend.lettering.faces.face import FaceError

    try:
        yield
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
    from legend.stencil.cards.sharing import cards_for
    from legend.stencil.cards.without_window import without_window
    from legend.stencil.tried_cut import with_cut_remedies

    stencils = cut(artwork, only)
    found = with_cut_remedies(artwork, stencils.findings)
    if not only:
        found += without_window(cards_for(artwork, stencils.sheets), artwork.description)
    return stencils.sheets, found_in(artwork, found)
