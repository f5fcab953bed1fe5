"""Make every file of one or several panels, each in a folder of its own.

All files of a panel are made in memory first, and then written together. Several panels are
made side by side, in processes, so that one that fails, however it fails, stops no other.
"""

from __future__ import annotations

import logging
import os
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from dataclasses import replace as replaced
from itertools import zip_longest
from pathlib import Path
from typing import TYPE_CHECKING

from legend.failures import in_plain_words
from legend.making.stages import cut_from, laid_out, panels_matched

if TYPE_CHECKING:
    from concurrent.futures import Future, ProcessPoolExecutor
    from datetime import datetime

    from legend.drawing.pdf.paper import Paper
    from legend.layout.artwork import Artwork, Finding
    from legend.layout.heights.matching import Matched
    from legend.stencil.sheet import Sheet

_log = logging.getLogger(__name__)

#: What is written besides the stencils and placement cards, and what each is.
MADE = {
    "overlay.pdf": "true-scale overlay, to print at actual size",
    "proof.png": "the finished panel",
    "proof.svg": "the same as a drawing in mm",
    "job-card.html": "the work in order, to print",
    "placing.html": "where each piece goes, for a phone",
    "findings.json": "what was found, for other programs",
}


@dataclass(frozen=True, slots=True)
class Order:
    """A description, the folder for what is made of it, and how it is to be made.

    With `replace`, files there that were edited since an earlier run are written over. `matched`
    is the description where it was settled with others that it is to match. With `outlines` the
    legends of the overlay are outlines only.
    """

    panel: Path
    folder: Path
    paper: Paper = "A4"
    correction: tuple[float, float] = (0.0, 0.0)
    start: datetime | None = None
    replace: bool = False
    matched: Matched | None = None
    outlines: bool = False

    @property
    def unit(self) -> str:
        """The hole list of the unit that is made; "" where that is the description's own."""
        return self.matched.description.unit if self.matched else ""

    @property
    def called(self) -> str:
        """What is made, to begin a line with."""
        return f"{self.panel}, {self.unit}" if self.unit else str(self.panel)


def usual_folder(panel: Path) -> Path:
    """The folder beside a description that takes what is made of it where none is named."""
    return panel.with_suffix("") if panel.suffix else panel.with_name(f"{panel.name}-artwork")


@dataclass(frozen=True, slots=True)
class Made:
    """What was made: about the panel, about each file, and all that was found, worst first."""

    panel: tuple[str, ...]
    files: tuple[tuple[Path, str], ...]
    findings: tuple[Finding, ...]


def make(order: Order) -> Made:
    """Write everything, or nothing.

    Errors: as reading has them, and `write_all`; PaperError for the paper.
    """
    from legend.drawing.cut_files.cut_files import earlier_files, files_named
    from legend.drawing.pdf.paper import check_paper
    from legend.drawing.placement_card import PLACEMENT_CARD, card_files
    from legend.drawing.stencil_files import STENCIL, stencil_files
    from legend.making import summary as account
    from legend.stencil.cards.card_sheets import card_sheets
    from legend.stencil.cards.sharing import cards_for
    from legend.writing import write_all

    check_paper(order.paper, order.correction)  # before the work is done
    _log.debug("Laying the panel out.")
    artwork = order.matched.laid() if order.matched else laid_out(order.panel)[1]
    _log.debug("Cutting the stencils.")
    sheets, findings = cut_from(artwork)
    stencil = artwork.description.stencil
    stencils = stencil_files(sheets, artwork)
    cards = cards_for(artwork, sheets)
    cut_cards = card_files(artwork, cards)
    _log.debug("Drawing the overlay, the proofs and the job card.")
    others = _other_files(order, artwork, sheets, findings)
    # What an earlier run may have left there of which this one makes fewer, or no more.
    earlier = earlier_files([STENCIL, PLACEMENT_CARD])
    _log.debug("Writing the files.")
    write_all(order.folder, stencils | cut_cards | others, earlier, order.replace)
    of_cards = {card.number: account.of_card(card, len(cards.cards)) for card in cards.cards}
    of_sheets = {sheet.number: account.of_sheet(sheet, artwork) for sheet in sheets}
    named = files_named(STENCIL, sheets, stencil)
    named_cards = files_named(PLACEMENT_CARD, card_sheets(cards, stencil), stencil)
    about = [
        *account.of_cut_files(named, of_sheets, stencil),
        *account.of_cut_files(named_cards, of_cards, stencil),
        *MADE.items(),
    ]
    files = tuple((order.folder / name, what) for name, what in about)
    return Made(tuple(account.of_panel(artwork, sheets)), files, tuple(findings))


def _other_files(
    order: Order, artwork: Artwork, sheets: Sequence[Sheet], findings: Sequence[Finding]
) -> dict[str, bytes]:
    """The bytes of what is listed in `MADE`, by its names."""
    from legend.drawing.findings_json import findings_text
    from legend.drawing.job_card.job_card import card_html
    from legend.drawing.pdf.overlay_pdf import overlay_pdf
    from legend.drawing.placing.placing_page import placing_html
    from legend.drawing.proofs.proof_png import proof_png
    from legend.drawing.proofs.proof_svg import proof_svg

    return {
        "overlay.pdf": overlay_pdf(
            artwork, sheets, order.paper, order.correction, outlines=order.outlines
        ),
        "proof.png": proof_png(artwork, sheets),
        "proof.svg": proof_svg(artwork),
        "job-card.html": card_html(artwork, sheets, findings, order.start),
        "placing.html": placing_html(artwork, sheets),
        "findings.json": findings_text(findings).encode(),
    }


# --- Several ---


def matching(orders: Sequence[Order]) -> list[Order]:
    """The orders, those of panels that share a style settled so that they match.

    That is done in a process of its own; if that fails, each is made by itself.
    """
    with _pool(1) as pool, suppress(Exception):
        matched = pool.submit(panels_matched, [order.panel for order in orders]).result()
        return [replaced(order, matched=matched.get(order.panel)) for order in orders]
    return list(orders)


def make_all(orders: Sequence[Order]) -> Iterator[Made | str]:
    """Make everything of each, in the order given: what was made, or why it could not be.

    Nothing is raised for one that fails. Where a process dies, the pool gives up all that was
    not done by then; each of these is made in a pool of its own, where it harms no other.
    """
    from concurrent.futures.process import BrokenProcessPool

    with _pool(min(len(orders), os.cpu_count() or 1)) as pool:
        futures: list[Future[Made | str]] = []
        with suppress(BrokenProcessPool):
            for order in orders:
                futures.append(pool.submit(_make_or_tell, order))
        for order, future in zip_longest(orders, futures):
            yield (future and _outcome(future)) or _alone(order)


def _pool(workers: int) -> ProcessPoolExecutor:
    from concurrent.futures import ProcessPoolExecutor

    return ProcessPoolExecutor(workers, initializer=_end_with_parent)


def _make_or_tell(order: Order) -> Made | str:
    try:
        return make(order)
    except Exception as error:
        return in_plain_words(error)


def _outcome(future: Future[Made | str]) -> Made | str | None:
    """What came of one; None where the pool gave it up."""
    from concurrent.futures.process import BrokenProcessPool

    try:
        return future.result()
    except BrokenProcessPool:
        return None


def _alone(order: Order) -> Made | str:
    """Make one by itself, to see whether it was the one that ended its process."""
    with _pool(1) as pool:
        return _outcome(pool.submit(_make_or_tell, order)) or (
            f"{order.panel}: the process that made it was ended from outside, perhaps for want of "
            "memory. Nothing of it is written."
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
            signal.raise_signal(signal.SIGTERM)  # which waits for files that are being written

    threading.Thread(target=watch, daemon=True).start()
