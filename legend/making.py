"""Descriptions in; everything that is made of each, in a folder of its own, out.

Several are made side by side, each in a process of its own, so that one that fails, however
it fails, does not stop the others.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from legend.beside import beside
from legend.failures import in_plain_words
from legend.preparing import found_in, laid_out

if TYPE_CHECKING:
    from concurrent.futures import Future
    from datetime import datetime

    from legend.drawing.paper import Paper
    from legend.layout.artwork import Artwork, Finding
    from legend.stencil.sheet import Sheet

#: What is written besides the stencils and placement cards, and what each is.
MADE = {
    "overlay.pdf": "true-scale overlay, to print at actual size",
    "proof.png": "the finished panel",
    "proof.svg": "the same as a drawing in mm",
    "job-card.html": "the work in order, to print",
    "findings.json": "what was found, for other programs",
}
CARD = "placement-card-1.svg"


@dataclass(frozen=True, slots=True)
class Order:
    """A description, the folder for what is made of it, and how it is to be made."""

    panel: Path
    folder: Path
    paper: Paper = "A4"
    correction: tuple[float, float] = (0.0, 0.0)
    start: datetime | None = None


@dataclass(frozen=True, slots=True)
class Made:
    """What was made: about the panel, about each file, and all that was found, worst first."""

    panel: tuple[str, ...]
    files: tuple[tuple[Path, str], ...]
    findings: tuple[Finding, ...]


def make(order: Order) -> Made:
    """Write everything. Errors: as reading and writing have them; PaperError for the paper."""
    from legend import account
    from legend.drawing.paper import check_paper
    from legend.drawing.writing import refuse_foreign
    from legend.stencil import cut

    check_paper(order.paper, order.correction)  # before anything is written
    description, artwork = laid_out(order.panel)
    sheets = cut(artwork)
    stencils = [f"stencil-{sheet.number}.svg" for sheet in sheets]
    for name in (*stencils, CARD, *MADE):
        refuse_foreign(order.folder / name)
    with beside(lambda: _draw_overlay_and_proof(order, artwork, sheets)):
        findings = found_in(artwork, sheets)
        cards = _write_the_rest(order, artwork, sheets, findings)
    files = [
        *((order.folder / name, account.of_sheet(sheet, description.units))
          for name, sheet in zip(stencils, sheets, strict=True)),
        *((path, account.of_card(k, len(cards))) for k, path in enumerate(cards, 1)),
        *((order.folder / name, what) for name, what in MADE.items()),
    ]  # fmt: skip
    return Made(tuple(account.of_panel(artwork, sheets)), tuple(files), tuple(findings))


def _draw_overlay_and_proof(order: Order, artwork: Artwork, sheets: Sequence[Sheet]) -> None:
    """The drawings for the eye: about half of the work."""
    from legend.drawing.overlay import write_overlay
    from legend.drawing.proof import write_proof

    folder = order.folder
    write_overlay(artwork, sheets, folder / "overlay.pdf", order.paper, order.correction)
    write_proof(artwork, sheets, folder / "proof.png")


def _write_the_rest(
    order: Order, artwork: Artwork, sheets: Sequence[Sheet], findings: Sequence[Finding]
) -> Sequence[Path]:
    """All the other files; the placement cards among them are given back."""
    from legend.drawing.findings_json import write_findings
    from legend.drawing.job_card import write_card
    from legend.drawing.placement_card import write_placement_cards
    from legend.drawing.proof_svg import write_proof_svg
    from legend.drawing.stencil_svg import write_stencils

    folder = order.folder
    write_stencils(sheets, artwork, folder)
    cards = write_placement_cards(artwork, sheets, folder)
    write_proof_svg(artwork, folder / "proof.svg")
    write_card(artwork, sheets, findings, folder / "job-card.html", order.start)
    write_findings(findings, folder / "findings.json")
    return cards


# --- Several ---


def make_all(orders: Sequence[Order]) -> Iterator[Made | str]:
    """Make everything of each, in the order given: what was made, or why it could not be.

    Nothing is raised for one that fails.
    """
    from concurrent.futures import ProcessPoolExecutor

    waiting = list(orders)
    while waiting:
        workers = min(len(waiting), os.cpu_count() or 1)
        with ProcessPoolExecutor(workers, initializer=_end_with_parent) as pool:
            futures = [pool.submit(_make_or_tell, order) for order in waiting]
            done, broken = 0, False
            for future in futures:
                outcome = _outcome(future)
                if outcome is None:  # some process died, and took the pool with it
                    broken = True
                    break
                done += 1
                yield outcome
        waiting = waiting[done:]
        if broken:
            yield _alone(waiting.pop(0))


def _make_or_tell(order: Order) -> Made | str:
    try:
        return make(order)
    except Exception as error:
        return in_plain_words(error)


def _outcome(future: Future[Made | str]) -> Made | str | None:
    from concurrent.futures.process import BrokenProcessPool

    try:
        return future.result()
    except BrokenProcessPool:
        return None


def _alone(order: Order) -> Made | str:
    """Make one by itself, to see whether it was the one that ended its process."""
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor(1, initializer=_end_with_parent) as pool:
        outcome = _outcome(pool.submit(_make_or_tell, order))
    return outcome or (
        f"{order.panel}: the process that made it was ended from outside, perhaps for want of "
        "memory. No file is left half-written."
    )


def _end_with_parent() -> None:
    """See to it that this process ends when the one that began it is gone, however it went."""
    import multiprocessing
    import signal
    import threading
    from multiprocessing.connection import wait

    signal.signal(signal.SIGINT, signal.SIG_DFL)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    parent = multiprocessing.parent_process()

    def watch() -> None:
        if parent:
            wait([parent.sentinel])
            os._exit(1)

    threading.Thread(target=watch, daemon=True).start()
