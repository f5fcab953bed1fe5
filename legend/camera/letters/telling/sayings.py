"""Say how laid letters lie: `Placed` in, the lines that are told out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from legend.camera.fineness import pixels_to
from legend.camera.letters.pieces.laid_piece import How, LaidPiece
from legend.camera.letters.placed import Judged, Placed
from legend.drawing.spoken import spoken
from legend.length_words import Lengths
from legend.sentences import counted, listed
from legend.stencil.mark_owners import owners_at
from legend.stencil.sheet import Piece

#: What is less than this is not said beside what is more, mm.
_HARDLY = 0.05
#: Nor is what is less than this part of the whole way; or a turn of less than this part of what
#: may be.
_BESIDE, _TURN_TOLD = 0.3, 0.5
#: In a picture, where there is little room, nor what is less than this part of the whole way.
_MAINLY = 0.5
#: What is off by less than so much beyond the limit is told more finely, mm.
_NEARLY = 0.1
#: And a turn that is so near to the limit, degrees.
_TURN_NEARLY = 0.05
#: A hole that is seen so far off its list is told, mm.
_OFF_LIST = 0.25
#: Of more letters than this that are missing the count is told.
_MOST_LETTERS = 4


def lines_of(placed: Placed) -> list[str]:
    """What is told of all pieces, as they are laid one after the other: those at fault in full."""
    lengths = Lengths(placed.artwork.description.units)
    lines = [
        f"{each.piece.wanted.piece.number}  {said_of(each, placed, lengths)}"
        for each in placed.pieces
        if not each.is_true
    ]
    return [*lines, *true_of(placed, lengths), *measured_by(placed, lengths)]


def _either_way_up(placed: Placed) -> Iterator[str]:
    """Which of those that lie true may lie upside down as well; nothing where none does."""
    either = [each.piece.wanted.piece for each in placed.pieces if each.is_either_way_up]
    if not either:
        return
    named = listed([f"{piece.number} ({called(piece)})" for piece in either])
    one = len(either) == 1
    yield (
        f"{'Piece' if one else 'Pieces'} {named} {'looks' if one else 'look'} much the same upside "
        f"down: see for yourself that {'it is' if one else 'they are'} the right way up."
    )


def true_of(placed: Placed, lengths: Lengths) -> Iterator[str]:
    """In short, which pieces lie true; nothing where none does. Of which it cannot be told which
    way up they lie.
    """
    true = [each for each in placed.pieces if each.is_true]
    if true:
        yield _true(true, len(placed.pieces), lengths)
    yield from _either_way_up(placed)


def _true(true: Sequence[Judged], of: int, lengths: Lengths) -> str:
    """In short, those that lie true."""
    off = small(max(each.distance for each in true), lengths)
    turns = [abs(each.clockwise) for each in true if each.has_turn]
    turned = f", or turned by more than {max(turns):.1f}°" if turns else ""
    worst = f"none is further off than {off}{turned}."
    if len(true) == of:
        which = "The piece lies" if of == 1 else f"All {of} pieces lie"
        return f"{which} true: {worst}"
    numbers = sorted(each.piece.wanted.piece.number for each in true)
    named = listed(map(str, numbers))
    which = f"Piece {named} lies" if len(true) == 1 else f"Pieces {named} lie"
    return f"{which} true: {worst}"


def measured_by(placed: Placed, lengths: Lengths) -> Iterator[str]:
    """What the photograph was measured by; and holes that are not where the list has them."""
    seen = placed.seen
    x, y = placed.artwork.panel.shape.centroid.coords[0]
    sharp = seen.panel.view.pixels_per_mm((x, y))
    found = [each.uncertainty for each in placed.pieces if each.piece.found]
    sure = f"; places are sure to {small(max(found), lengths)}" if found else ""
    by = "the edges of the panel"
    if seen.holes:
        and_edges = f" and {by}" if seen.by_edges else ""
        off = f"which are seen {small(seen.off, lengths)} off their list, as a mean"
        by = f"{counted(len(seen.openings), 'hole')}{and_edges}, {off}"
    yield (f"Measured by {by}, at {pixels_to(sharp, lengths)}{sure}.")
    for opening in seen.openings:
        dx, dy = np.mean([hole.off for hole in seen.holes if hole.opening is opening], axis=0)
        if max(abs(dx), abs(dy)) > _OFF_LIST:
            yield (
                f"Hole {opening.id} is seen {_aside(dx, dy, lengths)} of its place in the "
                "list. Letters are judged by the list: measure the hole again."
            )


def _aside(right: float, up: float, lengths: Lengths) -> str:
    parts = []
    if abs(right) > _HARDLY:
        parts.append(f"{small(abs(right), lengths)} to the {'right' if right > 0 else 'left'}")
    if abs(up) > _HARDLY:
        parts.append(f"{small(abs(up), lengths)} {'above' if up > 0 else 'below'}")
    return listed(parts)


def said_of(judged: Judged, placed: Placed, lengths: Lengths) -> str:
    """A sentence on a piece that does not lie true: what, how far, and what to do."""
    piece = judged.piece
    name = called(piece.wanted.piece)
    if piece.how is How.MISSING:
        return f"{name}: missing. {_where_else(piece, placed)}"
    if piece.how is How.UPSIDE_DOWN:
        return f"{name}: upside down. Lift and lay again."
    if piece.how is How.MIRRORED:
        return f"{name}: mirrored, as it was cut or laid on its back. Cut it again, and lay it."
    if piece.how is How.EXCHANGED and piece.instead:
        other = f"{called(piece.instead)} (piece {piece.instead.number})"
        return f"{name}: {other} lies in its place. Lift and exchange."
    if piece.how is How.OUTSIDE:
        return f"{name}: not whole in the picture. Take another picture of it."
    if piece.how is How.UNTOLD:
        return (
            f"{name}: not told. Something else lies or shines there; see whether all that is round "
            "the letters is weeded, turn the lamp, and take another picture."
        )
    if not judged.is_told and not judged.is_turn_told and judged.is_place_told:
        return (
            f"{name}: lies in its place, but its turn cannot be told, as it may be off by "
            f"{judged.turn_uncertainty:.1f}°. Look along its foot with a rule, or take another "
            "picture from nearer."
        )
    if not judged.is_told:
        return (
            f"{name}: not told, as it may be off by {small(judged.uncertainty, lengths)}. Take "
            "another picture with more holes in it, or from nearer."
        )
    if piece.lost:
        return f"{name}: {_lost(judged, placed)} missing. Cut the piece again, and lay it."
    return f"{name}: {_off(judged, lengths)}: lift and lay again."


def _where_else(piece: LaidPiece, placed: Placed) -> str:
    """What to do about a piece that is missing: it may lie in the place of another."""
    for other in placed.pieces:
        if other.piece.instead is piece.wanted.piece:
            place = other.piece.wanted.piece
            where = f"{called(place)} (piece {place.number})"
            return f"It lies in the place of {where}: lift it there, and lay it here."
    return "Lay it."


def called(piece: Piece) -> str:
    """A piece by its name as it is spoken, without its one hole, which is told apart."""
    if len(piece.owners) == 1:
        return spoken(piece.name.removesuffix(f" ({piece.owners[0]})"))
    return spoken(piece.name)


def _off(judged: Judged, lengths: Lengths) -> str:
    """How far a piece lies off, as one says it: to the left of its hole RANGE, turned."""
    owners = judged.piece.wanted.piece.owners
    place = f"its hole {owners[0]}" if len(owners) == 1 else "its place"
    parts = []
    for mm, low, high in zip(_told(judged), ("left", "low"), ("right", "high"), strict=True):
        way = high if mm > 0 else low
        if mm and way in ("left", "right"):
            parts.append(f"{_length(mm, judged, lengths)} to the {way} of {place}")
        elif mm:
            on = "" if parts else f" on {place}"
            parts.append(f"{_length(mm, judged, lengths)} too {way}{on}")
    words = [" and ".join(parts)] if parts else []
    if _is_turned(judged):
        words.append(f"turned {_turn(judged)}")
        if judged.distance <= judged.within and abs(judged.clockwise) <= judged.turn:
            far = _length(judged.furthest, judged, lengths)
            words.append(f"so that its furthest letter is {far} off")
    return ", ".join(words)


def _told(judged: Judged) -> tuple[float, float]:
    """How far a piece lies to the right and up, as far as it is worth telling, mm; or else 0."""
    if judged.distance <= judged.within and judged.is_off and _is_turned(judged):
        return 0.0, 0.0
    least = max(_HARDLY, _BESIDE * judged.distance)
    right, up = (mm if abs(mm) > least else 0.0 for mm in judged.off)
    return right, up


def _is_turned(judged: Judged) -> bool:
    """Whether a turn is worth telling."""
    alone = judged.distance <= judged.within
    return abs(judged.clockwise) > (0.0 if alone else _TURN_TOLD * judged.turn)


def _turn(judged: Judged) -> str:
    way = "clockwise" if judged.clockwise > 0 else "anticlockwise"
    fine = abs(abs(judged.clockwise) - judged.turn) < _TURN_NEARLY
    return f"{abs(judged.clockwise):.{2 if fine else 1}f}° {way}"


def _length(mm: float, judged: Judged, lengths: Lengths) -> str:
    """A length in what is told of a piece: in mm to a tenth, where that tells it from the limit."""
    fine = judged.distance < judged.within + _NEARLY
    return small(abs(mm), lengths, fine)


def _lost(judged: Judged, placed: Placed) -> str:
    """Which letters are missing, with the verb."""
    lost = judged.piece.lost
    if len(lost) > _MOST_LETTERS:
        return f"{len(lost)} letters or lines are"
    named = []
    for mark, letter in owners_at(placed.artwork, lost):
        if letter and mark:
            named.append(f"the {letter} of {mark.text}".replace("\n", " "))
        else:
            named.append(f"a {mark.role.value}" if mark else "a part")
    return f"{listed(dict.fromkeys(named))} {'is' if len(set(named)) == 1 else 'are'}"


def small(mm: float, lengths: Lengths, fine: bool = True) -> str:
    """A small length: in mm to a hundredth where `fine`, else to a tenth; in inches to a
    thousandth. What is less is told so.
    """
    said = lengths.as_decimal(mm) if lengths.unit == "in" else f"{mm:.{2 if fine else 1}f}"
    if float(said) == 0:
        return f"less than {said[:-1]}1 {lengths.unit}"
    return f"{said} {lengths.unit}"


def short_of(judged: Judged, lengths: Lengths) -> str:
    """The same in a few words, as they stand in the picture: 0.4 left, 0.6° clockwise."""
    piece = judged.piece
    if piece.how is not How.FOUND:
        number = f" by {piece.instead.number}" if piece.instead else ""
        words = {
            How.MISSING: "missing",
            How.UPSIDE_DOWN: "upside down",
            How.MIRRORED: "mirrored",
            How.EXCHANGED: f"taken{number}",
            How.OUTSIDE: "not seen whole",
            How.UNTOLD: "not told",
        }
        return words[piece.how]
    if not judged.is_told:
        return "turn not told" if judged.is_place_told else "not told"
    if piece.lost:
        return "incomplete"
    right, up = (mm if abs(mm) > _MAINLY * judged.distance else 0.0 for mm in _told(judged))
    parts = [f"{_length(right, judged, lengths)} {'right' if right > 0 else 'left'}"] * bool(right)
    parts += [f"{_length(up, judged, lengths)} {'high' if up > 0 else 'low'}"] * bool(up)
    if abs(judged.clockwise) > judged.turn or not parts:
        parts.append(_turn(judged))
    return ", ".join(parts)
