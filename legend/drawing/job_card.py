"""Write the job card for the bench as one HTML file.

It needs nothing but itself: no scripts, no other files. What the user wrote is escaped.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from markupsafe import Markup, escape

from legend.description.tables.as_drilled import Drilling
from legend.description.tables.description import Description, Panel
from legend.drawing.job_card_steps import BASE_COATS, TOP_COATS, Step, clock_times, steps_of
from legend.drawing.length_words import disc_in_words, hole_in_words, panel_size
from legend.drawing.proofs.proof_svg import panel_svg
from legend.layout.artwork import Artwork, Finding
from legend.layout.cautions import cautions
from legend.length_words import Lengths
from legend.sentences import capitalised, listed
from legend.standards import WANTS_CARE
from legend.stencil.sheet import Piece, Sheet, pieces_of
from legend.stencil.weeding_list import Island, Kind, islands, what_comes_first
from legend.writing import MARK, write_whole

if TYPE_CHECKING:
    from jinja2 import Template

_TEMPLATE = "job-card.html.j2"

#: A space at which no line is broken.
_NO_BREAK = "\u00a0"

#: The marks of a letter that are dots; all others are accents.
_DOTS = frozenset("\u0307\u0308")
#: The code of a finding that a size was assumed.
_ASSUMED = "covers-assumed"
#: What a coat from a spray can takes, ml to the m², overspray included. Common practice, no source.
_PAINT = 200.0


@dataclass(frozen=True, slots=True)
class _Row:
    """One step as the card shows it."""

    step: Step
    begin: str
    end: str


@dataclass(frozen=True, slots=True)
class _PieceRow:
    """One piece as the card shows it: where its weeding box lies, and what is weeded."""

    number: int
    name: str
    size: str
    across: str
    up: str
    sheet: str
    islands: int
    words: tuple[str, ...]
    care: tuple[str, ...]


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
    page = _template().generate(
        mark=MARK,
        started=start is not None,
        findings=list(_finding_rows(findings)),
        **_of_the_panel(artwork, lengths),
        **_of_the_work(artwork, pieces_of(sheets), start),
        **_of_the_sheets(artwork, sheets, lengths),
    )
    # Bit by bit, because the picture is long, and takes far more room among other letters.
    return b"".join(text.encode() for text in page)


def _template() -> Template:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(Path(__file__).parent),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["marked"] = _marked
    return environment.get_template(_TEMPLATE)


def _of_the_panel(artwork: Artwork, lengths: Lengths) -> dict[str, object]:
    """What the card tells of the panel and its holes, by the names in the template."""
    description = artwork.description
    return {
        "title": description.called,
        "panel": panel_size(description),
        "unit": lengths.unit,
        "in_units": "inches" if lengths.unit == "in" else "mm",
        "picture": panel_svg(artwork),
        "edges": _edges(description.panel.datum),
        "set_off_from": _set_off_from(description.panel),
        "datum": description.panel.datum,
        "drilling": list(_drilling_in_words(description, lengths)),
        "holes": list(_hole_rows(artwork, lengths)),
        "bare": [
            (disc.bare.hole, disc.what, disc_in_words(disc, lengths)) for disc in artwork.bare_discs
        ],
        "assumed": list(_assumed_covers(artwork, lengths)),
        "cautions": cautions(description),
    }


def _of_the_work(
    artwork: Artwork, pieces: Sequence[Piece], start: datetime | None
) -> dict[str, object]:
    """What it tells of the steps and of the paint."""
    description = artwork.description
    area = artwork.panel.area
    return {
        "method": description.stencil.method,
        "stock": description.stencil.stock,
        "weeding": what_comes_first(description.stencil),
        "finish": description.finish,
        "own_times": bool(description.bench.model_fields_set - {"sources"}),
        "rows": [_Row(step, *clock_times(step, start)) for step in steps_of(artwork, pieces)],
        "area": Lengths(description.units).area(area),
        "paint": [_millilitres(area, coats) for coats in (BASE_COATS, TOP_COATS)],
    }


def _of_the_sheets(
    artwork: Artwork, sheets: Sequence[Sheet], lengths: Lengths
) -> dict[str, object]:
    """What it tells of the stencil and of the tape."""
    return {
        "care": lengths.short(WANTS_CARE),
        "mirror": artwork.description.stencil.mirror,
        "pieces": list(_piece_rows(artwork, sheets, lengths)),
        "sheets": [
            (sheet.number, *map(lengths.short, sheet.size), len(sheet.placed)) for sheet in sheets
        ],
        "stock_length": lengths.short(sum(sheet.size[1] for sheet in sheets)),
        "tape": lengths.area(sum(piece.edge.area for piece in pieces_of(sheets))),
    }


def _marked(text: str) -> Markup:
    """The text, escaped, with what stands between backticks set as code."""
    return Markup(re.sub("`([^`]*)`", r"<code>\1</code>", str(escape(text))))


def _edges(datum: str) -> tuple[str, str]:
    """The two edges of the panel that pieces are set off from: those that meet at the datum."""
    return (
        "right" if "right" in datum else "left",
        "top" if "upper" in datum else "bottom",
    )


def _set_off_from(panel: Panel) -> str:
    """Those edges in words; of a panel that has none, the points that are furthest out."""
    across, up = _edges(panel.datum)
    if panel.outline is None:
        return f"{across} and the {up} edge"
    return f"{across}most and the {'highest' if up == 'top' else 'lowest'} point"


def _piece_rows(artwork: Artwork, sheets: Sequence[Sheet], lengths: Lengths) -> Iterator[_PieceRow]:
    """Every piece, in the order of the numbers."""
    left, bottom, right, top = artwork.panel.bounds
    across, up = _edges(artwork.description.panel.datum)
    lies_on: dict[int, list[int]] = {}
    for sheet in sheets:
        for placed in sheet.placed:
            lies_on.setdefault(placed.piece.number, []).append(sheet.number)
    pieces = pieces_of(sheets)
    small = islands(artwork, pieces)
    for piece in pieces:
        x0, y0, x1, y1 = piece.box
        on = lies_on[piece.number]
        spares = len(on) - 1
        own = small.get(piece.number, ())
        yield _PieceRow(
            piece.number,
            _spoken(piece.name),
            f"{lengths(x1 - x0)} × {lengths(y1 - y0)}",
            lengths(right - x1 if across == "right" else x0 - left),
            lengths(top - y1 if up == "top" else y0 - bottom),
            ", ".join(map(str, sorted(set(on)))) + (f" ({spares} spare)" if spares else ""),
            len(own),
            tuple(_by_word(own)),
            tuple(_with_care(own, lengths)),
        )


def _by_word(small: Sequence[Island]) -> Iterator[str]:
    """Each word with those of its letters that have counters or dots, and how many these are."""
    words: dict[str, Counter[str]] = {}
    for island in small:
        letter = "" if island.letter == island.word else _spoken(_called(island))
        words.setdefault(island.word, Counter())[letter] += 1
    for word, letters in words.items():
        told = [letter + _times(count) for letter, count in letters.items() if letter]
        yield _spoken(word) + _times(letters[""]) + (": " + ", ".join(told) if told else "")


def _times(count: int) -> str:
    return f" ({count})" if count > 1 else ""


def _called(island: Island) -> str:
    if island.kind is Kind.COUNTER:
        return island.letter
    if not island.letter.isalnum():
        return "dot"
    accents = set(unicodedata.normalize("NFD", island.letter)[1:]) - _DOTS
    return f"{'accent' if accents else 'dot'} of {island.letter}"


def _with_care(small: Sequence[Island], lengths: Lengths) -> Iterator[str]:
    """The letters whose smallest part wants care, and how wide that is."""
    least: dict[str, float] = {}
    for island in filter(lambda each: each.wants_care, small):
        called = _spoken(_called(island) or island.word)
        least[called] = min(island.across, least.get(called, island.across))
    for called, across in sorted(least.items(), key=lambda each: each[1]):
        yield f"{called} ({lengths.short(across)})".replace(" ", _NO_BREAK)


def _spoken(text: str) -> str:
    """The text with its symbols named as one would say them."""
    return re.sub(r"symbol:([\w-]+)", lambda m: m[1].replace("-", " ") + " symbol", text)


def _finding_rows(findings: Sequence[Finding]) -> Iterator[tuple[str, str, str, str]]:
    """Severity, message, where in the description, remedy; the worst first.

    The sizes that were assumed have a list of their own; and a note that asks for nothing to be
    done is nothing for the bench.
    """
    for finding in sorted(findings, key=lambda finding: finding.severity.rank):
        if finding.code == _ASSUMED or (finding.severity == "note" and not finding.remedy):
            continue
        source = finding.source
        where = Path(source.file).name + (f":{source.line}" if source.line else "")
        yield capitalised(finding.severity), finding.message, where, finding.remedy


def _hole_rows(
    artwork: Artwork, lengths: Lengths
) -> Iterator[tuple[str, str, tuple[tuple[str, str], ...], tuple[str, ...], str, str]]:
    """Name, size, both distances from the datum, how far off it is, what is fitted, note.

    Behind each distance stands what is to be set unseen after it.
    """
    fitted = {control.hole: control.kind for control in artwork.description.control}
    fitted |= {screw: f"screw of {part}" for screw, part in artwork.description.fixings.items()}
    drilling = artwork.description.drilling
    places = [opening.hole.at for opening in artwork.openings]
    columns = [lengths.column(place[axis] for place in places) for axis in (0, 1)]
    for opening, *distances in zip(artwork.openings, *columns, strict=True):
        yield (
            opening.id,
            hole_in_words(opening, lengths),
            tuple(distances),
            _off_in_words(opening.id, drilling, lengths) if drilling else (),
            fitted.get(opening.id, ""),
            opening.hole.note,
        )


def _off_in_words(hole: str, drilling: Drilling, lengths: Lengths) -> tuple[str, ...]:
    """How far a hole is off, right and up; nothing for the screws of a pattern."""
    off = drilling.off.get(hole)
    return tuple(map(lengths.signed, off)) if off else ("", "")


def _drilling_in_words(description: Description, lengths: Lengths) -> Iterator[str]:
    """How the holes came out by their design, in sentences; none where that was not measured."""
    drilling = description.drilling
    if not drilling or not drilling.off:
        return
    if drilling.measured:
        turn = drilling.measured.turn
        way = "clockwise" if turn > 0 else "anticlockwise"
        yield (
            "They were measured from elsewhere, and laid upon the design by the best fit, turned "
            f"by {abs(turn):.2f}° {way}."
        )
    worst = max(drilling.off, key=lambda id: math.hypot(*drilling.off[id]))
    yield (
        f"From where they were to be, they are off by {lengths.fine(drilling.spread)} "
        f"{lengths.unit} (root mean square), {worst} the furthest, by "
        f"{lengths.fine(math.hypot(*drilling.off[worst]))} {lengths.unit}."
    )


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


def _millilitres(square_mm: float, coats: int) -> str:
    return f"{max(math.ceil(square_mm * 1e-6 * coats * _PAINT), 1)} ml"
