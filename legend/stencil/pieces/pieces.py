"""Group the marks of a panel into pieces of tape, each with its weeding box.

What belongs together travels together: the legends of a control, of a row of controls, or
of the whole panel, as the description asks. What belongs to no control (a title, a rule, the
line of a group with its name) is a piece of its own, and so is every bare disc or plug,
which goes on before the base coat.

Round every piece runs its weeding box: see `legend.stencil.pieces.weeding_boxes`. What interlocks
is one piece, and what is then too large for the stock is split. A frame is therefore one piece with
everything that it encloses: that is how a careful sign painter wants it, because a line and the
words inside it that were laid one by one never look quite true, and because the holes inside give
the line its register.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from legend.description.tables.description import Control, Stencil
from legend.description.tables.stock import StockLimits
from legend.layout.artwork import Artwork, BareDisc, Finding, Mark, Role, Severity
from legend.layout.names.rows import SAME_AXIS, clustered
from legend.length_words import Lengths
from legend.lettering.outlines.outline import Outline
from legend.standards import BOX_STEP, LEAST_MARGIN
from legend.stencil.pieces.corner_marks import corner_marks
from legend.stencil.pieces.holes_laid_by import laid_by_few
from legend.stencil.pieces.lanes import holds_still
from legend.stencil.pieces.piece_names import name_of, part_named
from legend.stencil.pieces.reading_order import reading_order
from legend.stencil.pieces.reference_lines import reference_lines
from legend.stencil.pieces.registration import crossed, registration
from legend.stencil.pieces.splitting import Split, split
from legend.stencil.pieces.uncut_piece import UncutPiece
from legend.stencil.pieces.weeding_boxes import (
    Boxes,
    BoxSizes,
    Interlocked,
    boxes_round,
    weeding_boxes,
)
from legend.stencil.pieces.whole_panel import cut_to_panel
from legend.stencil.stock_offers import turned

#: So many holes pin a sheet, so that it does not turn.
_ENOUGH_TO_PIN = 2
#: Words that are no further than this from a control's legends may travel with them, in capital
#: heights. Common practice, no source.
_BY_IT = 2.0


@dataclass(frozen=True, slots=True)
class Gathered:
    """Everything that is to be cut, in reading order; and what could not be parted."""

    pieces: tuple[UncutPiece, ...]
    findings: tuple[Finding, ...]


def gather(artwork: Artwork, limits: StockLimits) -> Gathered:
    """Share out everything that is to be cut among pieces."""
    stencil = artwork.description.stencil
    plugs = {disc.bare.hole: disc for disc in artwork.bare_discs if disc.what == "plug"}
    found = {
        opening.id: mark
        for opening in artwork.openings
        if (mark := registration(opening, stencil, limits, plugs.get(opening.id))) is not None
    }
    units = _units(artwork)
    extents = np.array(
        [
            shapely.total_bounds([each.shape for each in _on_piece(unit, found, artwork)])
            for unit in units
        ]
    ).reshape(-1, 4)
    sizes = _box_sizes(artwork, limits)
    pieces, interlocked = weeding_boxes(extents, sizes)
    fitted: dict[str, list[Control]] = {}
    for control in artwork.description.control:
        fitted.setdefault(control.hole, []).append(control)
    whole = []
    for members, edge in pieces:
        if len(pieces) == 1:
            ink = shapely.total_bounds([m.outline.shape for u in units for m in u[1]]).tolist()
            edge = cut_to_panel(edge, ink, sizes.least, artwork)
        room = edge.shape.buffer(-limits.gap, join_style="mitre")
        within = [mark for mark in found.values() if room.contains(mark.shape)]
        in_turn = [members[i] for i in reading_order(extents[members].tolist())]
        piece = _joined(fitted, limits, [units[i] for i in in_turn], edge, within)
        whole.append(_with_corner_marks(piece, artwork, limits))
    splits = [split(each, stencil, limits, sizes) for each in whole]
    parts = [_with_corner_marks(part, artwork, limits) for each in splits for part in each.parts]
    on = {mark: artwork.opening(hole) for hole, mark in found.items()}
    parts = [laid_by_few(part, on, stencil) for part in parts]
    uncut = [part_named(fitted, part) if part.whole else part for part in parts]
    uncut += _bare(artwork, limits)
    order = reading_order([piece.box for piece in uncut])
    lengths = Lengths(artwork.description.units)
    findings = [*_not_parted(units, extents, interlocked, fitted, lengths)]
    for each in splits:
        findings += _cut_through(each, fitted, stencil)
    if stencil.stock == "sheet" and artwork.openings:
        findings += _free_to_turn(uncut, stencil)
    return Gathered(tuple(uncut[i] for i in order), tuple(findings))


def _on_piece(unit: Unit, found: Mapping[str, Outline], artwork: Artwork) -> Iterator[Outline]:
    """What a piece must have room for: its marks and the holes they belong to.

    A sheet is pinned by the screws of its parts as well, and that of a whole panel by all holes
    where these are not enough; of film, they would only make the piece larger.
    """
    owners, marks = unit
    yield from (mark.outline for mark in marks)
    own = [found[hole] for hole in owners if hole in found]
    stencil = artwork.description.stencil
    if stencil.stock == "sheet":
        screws = artwork.description.fixings.items()
        own += [found[screw] for screw, part in screws if part in owners and screw in found]
    to_be_pinned = stencil.stock == "sheet" and stencil.travelling == "panel"
    yield from found.values() if to_be_pinned and len(own) < _ENOUGH_TO_PIN else own


def _box_sizes(artwork: Artwork, limits: StockLimits) -> BoxSizes:
    margin = max(limits.margin, limits.gap)
    least = min(margin, max(LEAST_MARGIN[artwork.description.stencil.stock], limits.gap))
    across, up = reference_lines(artwork.description.panel)
    return BoxSizes(margin, least, BOX_STEP[artwork.description.units], (across.at, up.at))


# --- What travels together ---

#: Holes, and the marks that belong to them.
Unit = tuple[tuple[str, ...], tuple[Mark, ...]]


def _units(artwork: Artwork) -> list[Unit]:
    """The least that travels together, before overlapping boxes are joined."""
    marks = [mark for mark in artwork.marks if mark.outline]
    by = artwork.description.stencil.travelling
    if by == "panel":
        owners = dict.fromkeys(mark.owner for mark in marks if mark.owner)
        return [(tuple(owners), tuple(marks))] if marks else []
    rows: dict[str, tuple[str, ...]] = {}
    headings: dict[int, int] = {}
    if by == "row":
        owned = {mark.owner for mark in marks}
        heights = {o.id: o.nominal[1] for o in artwork.openings if o.id in owned}
        places = {opening.id: opening.centre[0] for opening in artwork.openings}
        for row in clustered(heights, SAME_AXIS):
            rows |= dict.fromkeys(row, tuple(sorted(row, key=places.__getitem__)))
        headings = _groups_in_line(marks)
    carriers = _carriers(artwork, marks)
    units: dict[object, list[Mark]] = {}
    for index, mark in enumerate(marks):
        owner = mark.owner or carriers.get(index)
        units.setdefault(_belonging(mark, owner, index, rows, headings), []).append(mark)
    return [
        (key if isinstance(key, tuple) else (), tuple(members)) for key, members in units.items()
    ]


def _carriers(artwork: Artwork, marks: Sequence[Mark]) -> dict[int, str]:
    """The holes with whose legends words travel that belong to no control: the text round a
    hole to which no other is nearer, and the one that stands by a control and twice as far from
    all others. What runs along the rim of a panel, beyond other controls, is by itself.
    """
    shapes: dict[str, list[BaseGeometry]] = {}
    for mark in marks:
        if mark.owner:
            shapes.setdefault(mark.owner, []).append(mark.outline.shape)
    for opening in artwork.openings:
        if opening.id in shapes:
            shapes[opening.id].append(opening.outline.shape)
    by_hole = {hole: shapely.union_all(parts) for hole, parts in shapes.items()}
    around = {text.source: text.around for text in artwork.description.text if text.around}
    carriers = {}
    for index, mark in enumerate(marks):
        if mark.owner or not mark.text or mark.role in (Role.TITLE, Role.GROUP) or not by_hole:
            continue
        away = shapely.distance(mark.outline.shape, list(by_hole.values()))
        first, *others = np.argsort(away)
        nearest = list(by_hole)[first]
        is_round_it = around.get(mark.source) == nearest
        if is_round_it or away[first] < min([_BY_IT * mark.height, *(away[others] / 2)]):
            carriers[index] = nearest
    return carriers


def _groups_in_line(marks: Sequence[Mark]) -> dict[int, int]:
    """For each group the first of those whose names, or lines, stand at one height with its own."""
    heights: dict[str, float] = {}
    for mark in marks:
        if mark.group is not None:
            _, bottom, _, top = mark.outline.bounds
            heights.setdefault(str(mark.group), (bottom + top) / 2)
    return {int(group): int(row[0]) for row in clustered(heights, SAME_AXIS) for group in row}


def _belonging(
    mark: Mark,
    owner: str | None,
    index: int,
    rows: Mapping[str, tuple[str, ...]],
    headings: Mapping[int, int],
) -> object:
    """What a mark travels with: its holes as a tuple, or something that stands for the rest."""
    if owner:
        return rows.get(owner, (owner,))
    if mark.group is not None:
        return f"group {headings.get(mark.group, mark.group)}"
    return index


def _joined(
    fitted: Mapping[str, Sequence[Control]],
    limits: StockLimits,
    units: Sequence[Unit],
    edge: Outline,
    within: list[Outline],
) -> UncutPiece:
    owners = tuple(dict.fromkeys(hole for holes, _ in units for hole in holes))
    marks = tuple(mark for _, members in units for mark in members)
    return UncutPiece(
        name_of(fitted, owners, marks),
        owners,
        marks,
        tuple(_clear(within, marks, limits.gap)),
        edge,
    )


def _with_corner_marks(piece: UncutPiece, artwork: Artwork, limits: StockLimits) -> UncutPiece:
    """A piece of film that nothing else is laid by with two corners that a rule is laid to."""
    description = artwork.description
    laid_by = (*piece.registration, *piece.join_marks, *piece.corner_marks)
    stencil = description.stencil
    if laid_by or piece.bare or stencil.stock == "sheet" or stencil.registration == "none":
        return piece
    step = BOX_STEP[description.units]
    return replace(piece, corner_marks=corner_marks(piece, artwork.panel.shape, step, limits))


def _clear(found: list[Outline], marks: Sequence[Mark], gap: float) -> Iterator[Outline]:
    """The registration marks that stand clear of all marks; the layout reports the others."""
    if not found:
        return
    tree = shapely.STRtree([mark.outline.shape for mark in marks])
    touched = tree.query([each.shape for each in found], "dwithin", gap)[0]
    for index in sorted(set(range(len(found))) - set(touched.tolist())):
        yield found[index]


def _bare(artwork: Artwork, limits: StockLimits) -> Iterator[UncutPiece]:
    for disc in artwork.bare_discs:
        (box,) = boxes_round(np.array([disc.outline.bounds]), _box_sizes(artwork, limits))
        yield UncutPiece(
            f"bare {disc.what} ({disc.bare.hole})",
            (disc.bare.hole,),
            (),
            tuple(_hole_in(disc, artwork, limits)),
            Outline.rectangle(*box.tolist()),
            disc.outline,
        )


def _hole_in(disc: BareDisc, artwork: Artwork, limits: StockLimits) -> Iterator[Outline]:
    """The drilled hole in its bare disc, which nothing else lays true; a plug has none."""
    opening = artwork.opening(disc.bare.hole)
    if disc.what == "disc" and shapely.contains_properly(disc.outline.shape, opening.outline.shape):
        yield crossed(opening.outline, opening, artwork.description.stencil, limits)


# --- What was not parted ---


def _not_parted(
    units: Sequence[Unit],
    extents: Boxes,
    interlocked: Sequence[Interlocked],
    fitted: Mapping[str, Sequence[Control]],
    lengths: Lengths,
) -> Iterator[Finding]:
    """A note for each two that travel together because they stand too near to each other.

    Lines and what they enclose do so by right, and are not told.
    """
    lines = (Role.GROUP, Role.FRAME, Role.RULE)
    for each in interlocked:
        pair = [units[each.first], units[each.second]]
        if any(mark.role in lines and not mark.owner for _, marks in pair for mark in marks):
            continue
        one, other = (name_of(fitted, *unit) for unit in pair)
        places = (extents[each.first] + extents[each.second]).reshape(2, 2).mean(axis=0) / 2
        yield Finding(
            Severity.NOTE,
            "pieces-joined",
            f"{one} and {other} stand too near to each other to be cut apart, and travel on one "
            f"piece; {lengths.at_least(each.move)} more between them would part them.",
            pair[0][1][0].source,
            "Move one of them, or set it smaller; or lay them together.",
            (float(places[0]), float(places[1])),
        )


def _cut_through(
    split_: Split, fitted: Mapping[str, Sequence[Control]], stencil: Stencil
) -> Iterator[Finding]:
    """A warning for each word, and for all legends of a control, that a split goes through."""
    for each in split_.harmed:
        whose = name_of(fitted, (each.mark.owner,), (each.mark,))
        what = f"The word “{each.word}” of {whose}" if each.word else f"What belongs to {whose}"
        if each.word and each.word == each.mark.text and not each.mark.owner:
            what = f"The word “{each.word}”"
        yield Finding(
            Severity.WARNING,
            "cut-through",
            f"{what} is cut apart where its piece is split, because no lane that the stock has "
            "room for runs clear of it.",
            each.mark.source,
            "Give larger stock, or set it smaller.",
            each.place,
            offers=tuple(turned(stencil)),
        )


def _free_to_turn(pieces: Sequence[UncutPiece], stencil: Stencil) -> Iterator[Finding]:
    """A warning for each piece of rigid sheet that is laid by one round hole, or by none."""
    for piece in pieces:
        if piece.bare or holds_still(piece.registration):
            continue
        held = "has no hole"
        if piece.registration:
            held = "is held by one round hole alone, and turns about it"
        by = "by the edges of the parts beside it" if piece.whole else "by eye"
        yield Finding(
            Severity.WARNING,
            "one-hole",
            f"The piece with {piece.name} {held}: it is laid {by}.",
            stencil.source_of("stock"),
            "Let the whole panel be one piece, on stock that is large enough; or lay its sides by "
            "a rule, to the distances on the job card.",
            ((piece.box[0] + piece.box[2]) / 2, (piece.box[1] + piece.box[3]) / 2),
        )
