"""Put what was seen of laid letters into what the page shows of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from legend.camera.letters.pieces.laid_piece import How
from legend.camera.letters.placed import Judged, Placed
from legend.camera.letters.telling.sayings import called, measured_by, said_of, short_of, true_of
from legend.drawing.segments import SVG, path_texts
from legend.length_words import Lengths
from legend.lettering.outlines.outline import Outline
from legend.page.pictures.holes_seen import picture_of
from legend.page.pictures.picture_messages import Seen, SeenThing
from legend.sentences import counted

_Standing = Literal["true", "doubtful", "off", "missing"]
_ORDER = ("off", "missing", "doubtful", "true")


def letters_seen(ask: int, number: int, placed: Placed) -> Seen:
    """What is told of the letters: what to lift first, then what cannot be told, then the others.

    Among these they are in the order in which they are laid.
    """
    lengths = Lengths(placed.artwork.description.units)
    top = float(placed.artwork.panel.bounds[3])
    things = [_piece(each, placed, lengths, top) for each in placed.pieces]
    things.sort(key=lambda thing: _ORDER.index(thing.standing))
    return Seen(
        ask,
        number,
        "letters",
        " ".join((*_to_do(placed), *true_of(placed, lengths))),
        tuple(things),
        tuple(measured_by(placed, lengths)),
        picture_of(number),
        top,
    )


def _to_do(placed: Placed) -> list[str]:
    off = sum(each.is_off for each in placed.pieces)
    untold = sum(not each.is_told for each in placed.pieces)
    said = []
    if off:
        said.append(f"{counted(off, 'piece')} of {len(placed.pieces)} to lay again.")
    if untold:
        said.append(f"{counted(untold, 'piece')} of {len(placed.pieces)} cannot be told.")
    return said


def _standing(judged: Judged) -> _Standing:
    if judged.is_true:
        return "true"
    if judged.piece.how is How.MISSING:
        return "missing"
    return "off" if judged.is_off else "doubtful"


def _piece(judged: Judged, placed: Placed, lengths: Lengths, top: float) -> SeenThing:
    wanted = judged.piece.wanted
    name = called(wanted.piece)
    standing = _standing(judged)
    is_true = standing == "true"
    words = "" if is_true else said_of(judged, placed, lengths).removeprefix(f"{name}: ")
    return SeenThing(
        f"{wanted.piece.number} {name}",
        standing,
        "lies true" if is_true else short_of(judged, lengths),
        words,
        wanted.middle,
        wanted.box,
        next(iter(wanted.piece.owners), ""),
        "" if is_true else _path(wanted.marks, top),
        "" if is_true else _path(_where_it_lies(judged), top),
    )


def _where_it_lies(judged: Judged) -> list[Outline]:
    """The letters of a piece as they were found; none where they were not."""
    found, wanted = judged.piece.found, judged.piece.wanted
    if found is None or judged.piece.how is not How.FOUND:
        return []
    place = found.place
    return [
        mark.turned(place.clockwise, wanted.middle).moved(place.right, place.up)
        for mark in wanted.marks
    ]


def _path(outlines: Sequence[Outline], top: float) -> str:
    return "".join(path_texts(outlines, SVG, top)) if outlines else ""
