"""Write the job card for the bench as one HTML file.

It needs nothing but itself: no scripts, no other files. What the user wrote is escaped.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import datetime
from pathlib import Path

from markupsafe import Markup, escape

from legend.drawing.job_card.assembly import before_setting, if_it_is_off, settings
from legend.drawing.job_card.by_hand import blanks, trial_letters
from legend.drawing.job_card.cards import cards_section
from legend.drawing.job_card.holes import drilling_in_words, hole_rows
from legend.drawing.job_card.lifting import in_all, lifting_rows, what_helps
from legend.drawing.job_card.pieces import headings, laying_order, piece_rows, set_off_from
from legend.drawing.job_card.plan.coats import BASE_COATS, TOP_COATS, seals
from legend.drawing.job_card.plan.files import Files, files_of
from legend.drawing.job_card.plan.schedule import Plan, plan_of
from legend.drawing.job_card.plan.steps import Steps
from legend.drawing.job_card.plan.time_words import about, elapsed, on_the_clock
from legend.drawing.job_card.plan.work import Work, work_of
from legend.drawing.job_card.remedies import remedies
from legend.drawing.length_words import disc_in_words, panel_size
from legend.drawing.page_template import page_template
from legend.drawing.proofs.proof_svg import panel_svg
from legend.layout.artwork import Artwork, Finding
from legend.layout.cautions import cautions
from legend.length_words import Lengths
from legend.sentences import capitalised, listed
from legend.standards import PAINT_PER_COAT, WANTS_CARE
from legend.stencil.cut_length import cut_length, cutting_minutes
from legend.stencil.sheet import Sheet
from legend.stencil.weeding_list import what_comes_first
from legend.writing import MARK, write_whole

_TEMPLATE = Path(__file__).with_name("job-card.html.j2")

#: The codes of notes that somebody at the bench must know of; all others are for the desk.
_FOR_THE_BENCH = frozenset({"piece-split"})
#: The space between a number and its unit, and within hours and minutes.
_UNIT = re.compile(
    r"(?<=\d) (?=(?:h|mm|cm²|in|sq in|ft|m|ml|fl oz|%|seconds?|minutes?|hours?|days?)\b)"
    r"|(?<=\d h) (?=\d)"
)
#: So many panels that were painted with a sheet are ticked off on the card.
_PANELS = 20


def write_card(
    artwork: Artwork,
    sheets: Sequence[Sheet] | None,
    findings: Sequence[Finding],
    path: Path,
    start: datetime | None = None,
) -> None:
    """Write the job card.

    With a `start`, the steps bear the times of the clock; else the hours from the first step.
    How long they take is told by the description's [bench].
    Errors: as `write_whole`.
    """
    write_whole(path, card_html(artwork, sheets or (), findings, start))


def card_html(
    artwork: Artwork,
    sheets: Sequence[Sheet],
    findings: Sequence[Finding],
    start: datetime | None,
) -> bytes:
    """The job card as an HTML file."""
    lengths = Lengths(artwork.description.units)
    work, files = work_of(artwork, sheets), files_of(artwork, sheets)
    page = page_template(_TEMPLATE, marked=_marked).generate(
        mark=MARK,
        findings=list(_finding_rows(findings)),
        cards=cards_section(artwork, sheets),
        **_of_the_panel(artwork, lengths),
        **_of_the_plan(plan_of(artwork, work, files), start),
        **_of_the_work(artwork, work, files),
        **_of_the_sheets(artwork, work, lengths),
        **_of_the_knobs(artwork),
    )
    # Bit by bit, because the picture is long, and takes far more room among other letters.
    return b"".join(text.encode() for text in page)


def _of_the_panel(artwork: Artwork, lengths: Lengths) -> dict[str, object]:
    """What the card tells of the panel and its holes, by the names in the template."""
    description = artwork.description
    return {
        "title": description.called,
        "panel": panel_size(description),
        "unit": lengths.unit,
        "in_units": "inches" if lengths.unit == "in" else "mm",
        "picture": panel_svg(artwork),
        "datum": description.panel.datum,
        "drilling": list(drilling_in_words(description, lengths)),
        "holes": list(hole_rows(artwork, lengths)),
        "bare": [
            (disc.bare.hole, disc.what, disc_in_words(disc, lengths)) for disc in artwork.bare_discs
        ],
        "assumed": list(_assumed_covers(artwork, lengths)),
        "cautions": cautions(description),
    }


def _of_the_work(artwork: Artwork, work: Work, files: Files) -> dict[str, object]:
    """What it tells of the paint and of the film on it."""
    description = artwork.description
    stencil, area = description.stencil, artwork.panel.area
    lengths = Lengths(description.units)
    lift_off, film = stencil.method == "lift-off", stencil.stock == "film"
    return {
        "method": stencil.method,
        "stock": stencil.stock,
        "weeding": what_comes_first(stencil),
        "finish": description.finish,
        "own_times": bool(description.bench.model_fields_set - {"sources"}),
        "area": lengths.area(area),
        "sealed": seals(description),
        "paint": [
            lengths.volume(area * coats * PAINT_PER_COAT / 1000)  # ml to the m², in mm
            for coats in (BASE_COATS + seals(description), TOP_COATS, 1)
        ],
        "lifting": in_all(work, lift_off) if film and work.pieces else "",
        "what_helps": list(what_helps(work, lift_off)) if film else [],
        "lifted": list(lifting_rows(artwork, work)) if film else [],
        "trial": trial_letters() if Steps(artwork, work, files).has_trial else [],
        "blanks": list(blanks(description)),
        "remedies": remedies(stencil, files.panel),
        "panels": range(1, _PANELS + 1) if not film else (),
    }


def _of_the_plan(plan: Plan, start: datetime | None) -> dict[str, object]:
    """What it tells of the steps."""
    ends = [on_the_clock(step.end, start) for step in plan.steps]
    begins = [on_the_clock(step.begin, start) for step in plan.steps]
    return {
        "started": start is not None,
        "rows": list(zip(plan.steps, begins, ends, strict=True)),
        "hands_on": elapsed(plan.hands_on),
        "waiting": elapsed(plan.waiting),
        "elapsed": elapsed(plan.elapsed),
    }


def _of_the_sheets(artwork: Artwork, work: Work, lengths: Lengths) -> dict[str, object]:
    """What it tells of the stencil and of the tape."""
    sheets = work.sheets
    return {
        "care": lengths.short(WANTS_CARE),
        "mirror": artwork.description.stencil.mirror,
        "pieces": list(piece_rows(artwork, sheets, work.small, lengths)),
        "headings": headings(artwork),
        "set_off_from": set_off_from(artwork),
        "laying_order": laying_order(artwork, sheets, lengths),
        "sheets": [
            (
                sheet.number,
                *map(lengths.short, sheet.size),
                len(sheet.placed),
                lengths.long(length := cut_length(sheet)),
                about(cutting_minutes(artwork, length)),
            )
            for sheet in sheets
        ],
        "stock_length": lengths.short(sum(sheet.size[1] for sheet in sheets)),
        "tape": lengths.area(sum(piece.edge.area for piece in work.pieces)),
    }


def _of_the_knobs(artwork: Artwork) -> dict[str, object]:
    """What it tells of setting the knobs."""
    return {
        "settings": settings(artwork),
        "before_setting": before_setting(artwork),
        "if_it_is_off": if_it_is_off(),
    }


def _marked(text: str) -> Markup:
    """The text, escaped, with what stands between backticks set as code.

    No line is broken between a number and its unit.
    """
    whole = _UNIT.sub("\u00a0", text)
    return Markup(re.sub("`([^`]*)`", r"<code>\1</code>", str(escape(whole))))


def _finding_rows(findings: Sequence[Finding]) -> Iterator[tuple[str, str, str, str]]:
    """Severity, message, where in the description, remedy; the worst first.

    Notes are for the desk, but for those that say how something is done at the bench.
    """
    for finding in sorted(findings, key=lambda finding: finding.severity.rank):
        if finding.severity == "note" and finding.code not in _FOR_THE_BENCH:
            continue
        source = finding.source
        where = Path(source.file).name + (f":{source.line}" if source.line else "")
        yield capitalised(finding.severity), finding.message, where, finding.remedy


def _assumed_covers(artwork: Artwork, lengths: Lengths) -> Iterator[str]:
    """What parts are taken to cover, beyond their holes, where nobody has said it; alike ones
    together."""
    alike: dict[tuple[str, str], list[str]] = {}
    openings = {opening.id: opening for opening in artwork.openings}
    for keep_out in artwork.keep_outs:
        hole = openings.get(keep_out.owner)
        if not keep_out.assumed or (hole and keep_out.shape.area < 1.01 * hole.outline.area):
            continue
        kind = keep_out.what.removesuffix(f" on {keep_out.owner}").removeprefix("the ")
        alike.setdefault((kind, keep_out.size(lengths)), []).append(keep_out.owner)
    for (kind, size), owners in alike.items():
        yield f"{kind}, {size}: {listed(owners)}"
