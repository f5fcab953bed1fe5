"""Summarise what was made and found, in lines to print."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from legend.drawing.job_card.plan.time_words import about
from legend.length_words import Lengths
from legend.sentences import counted, listed
from legend.stencil.cut_length import cut_length, cutting_minutes

if TYPE_CHECKING:
    from legend.description.tables.stencil import Stencil
    from legend.drawing.cut_files.cut_files import CutFile
    from legend.layout.artwork import Artwork, Finding
    from legend.stencil.cards.card import Card
    from legend.stencil.sheet import Sheet


def of_findings(findings: Sequence[Finding], verbose: bool) -> Iterator[str]:
    """Each finding with its remedy under it, then how many there are; notes only if `verbose`."""
    notes = 0
    for finding in findings:
        if finding.severity == "note" and not verbose:
            notes += 1
            continue
        yield f"{finding.source}: {finding.severity}: {finding.message}"
        if finding.remedy:
            yield f"    {finding.remedy}"
    if not findings:
        yield "Nothing was found that would spoil the panel."
        return
    hint = "; -v shows the notes" if notes else ""
    yield f"{severities(findings)}{hint}."


def severities(findings: Iterable[Finding]) -> str:
    """How many findings of each severity there are: "1 error, 2 warnings and 3 notes"."""
    found = [finding.severity.value for finding in findings]
    return listed(counted(found.count(word), word) for word in ("error", "warning", "note"))


def of_panel(artwork: Artwork, sheets: Sequence[Sheet]) -> Iterator[str]:
    """What the panel is, and how its legends are cut."""
    description = artwork.description
    title = description.called
    lengths = Lengths(description.units)
    size = f"{description.panel.words(lengths.exact)} {lengths.unit}"
    controls = counted(len(description.control), "control")
    yield f"{title}: {size}, {controls}, {counted(len(artwork.marks), 'mark')}."
    pieces = len({placed.piece.number for sheet in sheets for placed in sheet.placed})
    stencil = description.stencil
    cut = f"{counted(pieces, 'piece')} on {counted(len(sheets), 'length')} of stock"
    yield f"{stencil.method.capitalize()}, {stencil.stock}: {cut}."


def of_sheet(sheet: Sheet, artwork: Artwork) -> str:
    """How much stock a sheet of the stencil takes, for how much, what is left over, and how far
    and how long the knife goes.
    """
    useful = sum(placed.piece.edge.area for placed in sheet.placed)
    waste = 100 * (1 - useful / (sheet.size[0] * sheet.size[1]))
    pieces = counted(len(sheet.placed), "piece")
    lengths = Lengths(artwork.description.units)
    used = f"{lengths.area(useful)} of use, {waste:.0f} % waste"
    length = cut_length(sheet)
    cutting = f"{lengths.long(length)} to cut, {about(cutting_minutes(artwork, length))}"
    return f"{lengths.across(sheet.size)}, {pieces}, {used}, {cutting}"


def of_card(card: Card, count: int) -> str:
    """Which pieces a placement card places, and what holds it, where there are so many cards."""
    which = f"placement card {card.number} of {count}" if count > 1 else "placement card"
    numbers = [str(piece.number) for piece in card.pieces]
    pieces = f"piece{'s' if len(numbers) > 1 else ''} {listed(numbers)}"
    held = (
        f"held by holes {listed(hole.id for hole in card.holes)}"
        if card.holes
        else f"stopped by the {listed(stop.side for stop in card.stops)} edges"
    )
    return f"{which}: {pieces}, {held}"


def of_cut_files(
    files: Sequence[CutFile], told: Mapping[int, str], stencil: Stencil
) -> Iterator[tuple[str, str]]:
    """Each file for the cutter by its name, with what it is: what is `told` of its sheet, and of
    further kinds of file only which they are."""
    from legend.drawing.cut_files.cut_files import SAID

    for file in files:
        is_first, parts = file.format == stencil.cut_as[0], []
        if not is_first:
            parts.append(f"the same as {SAID[file.format]}")
        elif file.sheet:
            parts.append(told[file.sheet])
        if file.sheet is None:
            parts.append(f"{counted(len(told), 'page')} at true size")
        if file.format == "dxf":
            parts.append(
                "in mm" + (", which R12 cannot say" if stencil.dxf_version == "R12" else "")
            )
        if file.kind:
            parts.append(f"{file.kind} lines alone")
        yield file.name, ", ".join(parts)


def of_files(folder: Path, files: Sequence[tuple[Path, str]]) -> Iterator[str]:
    """Each file that was written, with what it is."""
    yield f"In {folder}:"
    width = max(len(path.name) for path, _ in files)
    for path, what in files:
        yield f"  {path.name:<{width}}  {what}"
