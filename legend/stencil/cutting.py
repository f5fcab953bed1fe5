"""Cut a panel's stencils: Artwork in, Stencils out."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import TYPE_CHECKING

from legend.description.tables.description import Description, Stencil
from legend.description.tables.stock import StockLimits, bridged_roles, limits, limits_for
from legend.layout.artwork import Artwork, Finding, Mark, Severity
from legend.layout.inspection.scene import finding, what
from legend.length_words import Lengths
from legend.lettering.faces.face import Letter
from legend.lettering.outlines.boolean import Combined, flattened_curves, united
from legend.lettering.outlines.connected import touching
from legend.lettering.outlines.outline import Outline, box_round
from legend.sentences import capitalised, listed
from legend.standards import WORTH_TURNING
from legend.stencil.nesting import nest, too_large
from legend.stencil.order.knife import Cuts, cuts_of, left_at
from legend.stencil.order.sheet_order import in_turn, weeding_box
from legend.stencil.order.starts import before_corner
from legend.stencil.pieces.pieces import gather
from legend.stencil.pieces.splitting import after_joining
from legend.stencil.pieces.uncut_piece import UncutPiece
from legend.stencil.shared_sides import with_sides_cut_once
from legend.stencil.sheet import Cut, Path, Piece, Sheet, Stencils
from legend.stencil.stock_offers import larger, turned
from legend.stencil.test_square import for_the_cutter, left_out, with_test_square

if TYPE_CHECKING:
    from legend.stencil.bridging.bridges import Bridged


class NoSuchPieceError(ValueError):
    """A piece that was asked for by its number, and is not there; the message says which are."""


#: Of more pieces than this it is not tried what turning would save: that takes too long.
_MOST_TRIED = 60


def cut(artwork: Artwork, only: Collection[int] = ()) -> Stencils:
    """The stencils of a panel, nested on the stock in knife order; and what was found so.

    With `only`, the pieces of these numbers alone, once each, as they are among all: to cut
    again what was spoiled. Error: NoSuchPieceError.
    """
    stencil = artwork.description.stencil
    least = limits(stencil)
    gathered = gather(artwork, least)
    uncut = gathered.pieces
    marks, findings = _cut_marks([piece.marks for piece in uncut], artwork.description, least)
    registration, flattened = _joined_registration(uncut, stencil)
    before = before_corner(stencil)
    cuts = cuts_of([_paths(*each) for each in zip(uncut, marks, registration, strict=True)], before)
    pieces = _pieces(uncut, cuts, before)
    if only:
        pieces = _chosen(pieces, only)
        stencil = stencil.model_copy(update={"copies": 1})
    by_number = dict(enumerate(cuts, start=1))
    sheets = tuple(in_turn(sheet, by_number, before) for sheet in nest(pieces, stencil))
    lengths = Lengths(artwork.description.units)
    if stencil.test_square:
        sheets = tuple(with_test_square(sheet, stencil) for sheet in sheets)
        findings += (
            left_out(sheet, stencil, lengths) for sheet in sheets if not sheet.test_squares
        )
    further = max(stencil.overrun, stencil.lead_in)
    sheets = tuple(with_sides_cut_once(sheet, further) for sheet in sheets)
    findings += [
        *_turning_saves(pieces, sheets, stencil, lengths),
        *gathered.findings,
        *flattened,
        *_flattened_by_splitting(uncut, artwork),
        *_split_notes(uncut, stencil, lengths.units),
        *too_large(pieces, stencil, lengths),
    ]
    return Stencils(tuple(for_the_cutter(sheet, stencil) for sheet in sheets), tuple(findings))


def _chosen(pieces: Sequence[Piece], only: Collection[int]) -> list[Piece]:
    """The pieces of these numbers. Error: NoSuchPieceError."""
    unknown = sorted(set(only) - {piece.number for piece in pieces})
    if unknown:
        known = f"they are numbered 1 to {len(pieces)}" if pieces else "nothing is cut"
        raise NoSuchPieceError(f"There is no piece {listed(map(str, unknown), 'or')}; {known}.")
    return [piece for piece in pieces if piece.number in only]


def _turning_saves(
    pieces: Sequence[Piece], sheets: Sequence[Sheet], stencil: Stencil, lengths: Lengths
) -> Iterator[Finding]:
    """A note where pieces that may be turned would take a good deal less of the stock."""
    if stencil.turn or not 1 < len(pieces) <= _MOST_TRIED:
        return
    used = sum(sheet.size[1] for sheet in sheets)
    turned = nest(pieces, stencil.model_copy(update={"turn": True}))
    saved = used - sum(sheet.size[1] for sheet in turned)
    if saved > WORTH_TURNING * used:
        yield Finding(
            Severity.NOTE,
            "turning-saves",
            f"With pieces turned by a quarter where that helps, {lengths.said(saved, 0)} of "
            f"{lengths.said(used, 0)} of the stock would be saved.",
            stencil.source,
            "Give stencil.turn = true, if the film has no grain and the cutter cuts alike both "
            "ways.",
            settled_by=("stencil", "turn"),
        )


def _split_notes(uncut: Sequence[UncutPiece], stencil: Stencil, units: str) -> Iterator[Finding]:
    """A note for each piece that had to be split, which says how its parts are laid."""
    after = after_joining(stencil)
    for number, each in enumerate(uncut, start=1):
        part, count = each.part
        if part == 1 and count > 1:
            every = _numbers_of_parts(uncut, number)
            edges = _laid_by([uncut[n - 1] for n in every])
            is_run = count > 2 and every == list(range(number, number + count))
            numbers = f"{number} to {every[-1]}" if is_run else listed(map(str, every))
            yield Finding(
                Severity.NOTE,
                "piece-split",
                f"{each.whole} is larger than the stock and is split into pieces {numbers}; lay "
                f"them {edges}, the join marks tip to tip, and {after}.",
                stencil.source_of("stock_size"),
                "",
                ((each.box[0] + each.box[2]) / 2, (each.box[1] + each.box[3]) / 2),
                offers=(
                    *turned(stencil),
                    larger(stencil, box_round([uncut[n - 1].box for n in every]), units),
                ),
            )


def _laid_by(parts: Sequence[UncutPiece]) -> str:
    """How the boxes of parts are laid together; where blank stock was left out, not by corners."""
    x0, y0, x1, y1 = box_round([part.box for part in parts])
    is_full = sum(part.edge.area for part in parts) > (x1 - x0) * (y1 - y0) - 1e-3
    return "edge to edge, corner to corner" if is_full else "edge to edge"


def _numbers_of_parts(uncut: Sequence[UncutPiece], first: int) -> list[int]:
    """The numbers of all parts of a piece, by that of the first: mostly those that follow it."""
    each = uncut[first - 1]
    found: dict[int, int] = {}
    for number, other in enumerate(uncut[first - 1 :], start=first):
        if other.whole == each.whole and other.part[1] == each.part[1]:
            found.setdefault(other.part[0], number)
    return sorted(found.values())


def _pieces(uncut: Sequence[UncutPiece], cuts: Sequence[Cuts], before: float) -> list[Piece]:
    pieces = []
    for number, (of, own) in enumerate(zip(uncut, cuts, strict=True), start=1):
        ordered = own.in_order()
        paths = (*ordered, weeding_box(of.edge, left_at(ordered[-1]), before))
        pieces.append(
            Piece(number, of.name, of.owners, of.edge, paths, of.corner_marks, of.join_marks)
        )
    return pieces


def _cut_marks(
    pieces: Sequence[Sequence[Mark]], description: Description, least: StockLimits
) -> tuple[list[list[Outline]], list[Finding]]:
    """The openings, or the letters, of each piece, those that touch joined and bridges cut;
    and what bridges could not do.
    """
    wanted = bridged_roles(description)
    cut: list[list[Outline]] = [[] for _ in pieces]
    to_bridge: list[tuple[int, Outline, Mark]] = []
    letters: list[list[Letter]] = []
    findings: list[Finding] = []
    for piece, marks in enumerate(pieces):
        for group, (outline, flattened) in _joined([mark.outline for mark in marks]):
            tallest = max((marks[i] for i in group), key=lambda mark: mark.height)
            if flattened:
                findings.append(_flattened(tallest))
            if any(marks[i].role.value in wanted for i in group):
                to_bridge.append((piece, outline, tallest))
                letters.append([letter for i in group for letter in marks[i].letters])
            else:
                cut[piece].append(outline)
    if to_bridge:
        done = _bridged(to_bridge, letters, description)
        for (piece, _, mark), each in zip(to_bridge, done, strict=True):
            cut[piece].append(each.outline)
            if each.flattened:
                findings.append(_flattened(mark))
            if description.stencil.stock == "sheet":
                findings += (_loose_tongue(mark, place, description) for place in each.loose)
                findings += (_thin_neck(mark, place, description) for place in each.weak)
    return cut, findings


def _bridged(
    shapes: Sequence[tuple[int, Outline, Mark]],
    letters: Sequence[Sequence[Letter]],
    description: Description,
) -> list[Bridged]:
    """Shapes with bridges, those of each role as wide as is asked for it."""
    from legend.stencil.bridging.bridges import bridged  # much code, which film seldom needs

    of: dict[StockLimits, list[int]] = {}
    for index, (_, _, mark) in enumerate(shapes):
        of.setdefault(limits_for(description, mark.role.value), []).append(index)
    done: dict[int, Bridged] = {}
    for least, which in of.items():
        outlines, heights = zip(*((shapes[i][1], shapes[i][2].height) for i in which), strict=True)
        made = bridged(outlines, heights, least, [letters[i] for i in which])
        done |= zip(which, made, strict=True)
    return [done[index] for index in range(len(shapes))]


def _joined(outlines: Sequence[Outline]) -> Iterator[tuple[list[int], Combined]]:
    """Shapes that touch as one, so that no line is cut twice: which they were, and the one."""
    for group in touching(outlines, [outline.bounds for outline in outlines]):
        yield group, united([outlines[i] for i in group])


def _flattened_by_splitting(uncut: Sequence[UncutPiece], artwork: Artwork) -> Iterator[Finding]:
    """A note for each line that lost its curves as its piece was split, and not before."""
    before = {mark.source for mark in artwork.marks if mark.flattened}
    for piece in uncut:
        for mark in piece.marks:
            if mark.flattened and mark.source not in before:
                yield _flattened(mark)


def _flattened(mark: Mark) -> Finding:
    return finding(
        Severity.NOTE, "curves-flattened", flattened_curves(f"the cut of {what(mark)}"), mark, ""
    )


def _place_in_words(place: tuple[float, float], description: Description) -> str:
    """Where something is, as places are measured on this panel."""
    lengths = Lengths(description.units)
    x, y = map(lengths.short, description.panel.measuring.measured(place))
    return f"[{x}, {y}] {lengths.unit} from the datum"


def _loose_tongue(mark: Mark, place: tuple[float, float], description: Description) -> Finding:
    cure = "Set it taller or in an opener face, or" if mark.text else "Open it wider, or"
    return Finding(
        Severity.WARNING,
        "loose-tongue",
        f"{capitalised(what(mark))} leaves a tongue of stock, near "
        f"{_place_in_words(place, description)}, that hangs by too little and that no good "
        "bridge reaches: it lifts and lets paint under.",
        mark.source,
        f"{cure} hold the tongue down with a weight or with tape while you paint.",
        place,
    )


def _thin_neck(mark: Mark, place: tuple[float, float], description: Description) -> Finding:
    bridge = Lengths(description.units).said(limits_for(description, mark.role).bridge, 2)
    return Finding(
        Severity.WARNING,
        "thin-neck",
        f"{capitalised(what(mark))} leaves an island, near "
        f"{_place_in_words(place, description)}, that no bridge holds by {bridge}: it may "
        "tear off.",
        mark.source,
        "Set it taller or in another face, or glue a strip of stock over the place.",
        place,
    )


def _joined_registration(
    uncut: Sequence[UncutPiece], stencil: Stencil
) -> tuple[list[list[Outline]], list[Finding]]:
    """The registration marks of each piece, and what could not be joined as curves."""
    joined = [[each for _, each in _joined(piece.registration)] for piece in uncut]
    findings = [
        Finding(
            Severity.NOTE,
            "curves-flattened",
            flattened_curves(f"the registration marks of piece {number}"),
            stencil.source,
        )
        for number, marks in enumerate(joined, start=1)
        if any(each.flattened for each in marks)
    ]
    return [[each.outline for each in marks] for marks in joined], findings


def _paths(
    piece: UncutPiece, marks: Sequence[Outline], registration: Sequence[Outline]
) -> list[Path]:
    laid_by = (*registration, *piece.join_marks, *piece.corner_marks)
    return [
        *([Path(Cut.BARE, piece.bare)] if piece.bare else []),
        *(Path(Cut.MARK, outline) for outline in marks),
        *(Path(Cut.REGISTRATION, outline) for outline in laid_by),
    ]
