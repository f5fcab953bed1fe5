"""Tell of every piece of film letters in a photograph whether it lies true.

The photograph is of the panel with its letters laid, before the top coat. Its holes say how it
sees the panel; the base coat and the film are told by their colours; then each piece is looked for.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from legend.camera.letters import refusals
from legend.camera.letters.by_holes.view_by_edges import views_by_edges
from legend.camera.letters.by_holes.view_by_holes import ViewByHoles, views_by_holes
from legend.camera.letters.film_seen.film import Film
from legend.camera.letters.film_seen.seen_film import SeenFilm, SeenPiece, film_on
from legend.camera.letters.pieces.laid_piece import How, LaidPiece
from legend.camera.letters.pieces.other_ways import laid_pieces
from legend.camera.letters.pieces.wanted import Wanted, wanted_of
from legend.camera.opencv import blurred
from legend.camera.picture import Picture
from legend.camera.view import Points
from legend.drawing.placing.piece_places import in_laying_order, piece_places
from legend.layout.artwork import Artwork, Opening
from legend.length_words import Lengths
from legend.stencil.sheet import Sheet, pieces_of

#: What lies true: no further off than this, mm, nor turned by more, degrees.
WITHIN, TURN = 0.2, 0.5
#: No letter of a piece that lies true is so many times further off than its middle may be.
_FURTHEST = 2.0
#: What is measured is never better than this, mm, at 95 %.
_AT_BEST = 0.02
#: Nor is a turn, degrees; nor are the ends of a piece, by which it is told, as a part of a pixel.
#: What JPEG makes of edges is among it.
_TURN_AT_BEST, _ENDS_AT_BEST = 0.03, 0.08
#: A shape has no turn whose edges go by less than this, mm, when it is turned by what it may be.
_NO_TURN = 0.003
#: Nothing is called true that may be off by more than so many times the limit, nor is anything to
#: be laid again that may be off by less than this part of it.
_MAY_BE_OFF, _MAY_BE_TRUE = 1.5, 0.5
#: What may be off by so much either way at 95 %, is off by more than this part of it, the one way
#: that matters, in one case of twenty: 1.645 of 1.960 standard deviations of the normal law.
_ONE_WAY = 0.84
#: How far letters lie off at the most, when the way is told in which the panel is seen, mm.
_ROUGHLY = 0.6


@dataclass(frozen=True, slots=True, eq=False)
class Judged:
    """A piece, how it lies, and how sure that is.

    `uncertainty` is how far the measured place may be off, mm, and `turn_uncertainty` the measured
    turn, degrees, at 95 %, the view included. What is no further off than `within`, mm, and turned
    by no more than `turn`, degrees, lies true.
    """

    piece: LaidPiece
    uncertainty: float
    turn_uncertainty: float
    within: float
    turn: float

    @property
    def off(self) -> tuple[float, float]:
        """How far it lies to the right and up from where it is wanted, mm."""
        found = self.piece.found
        return (found.place.right, found.place.up) if found else (0.0, 0.0)

    @property
    def distance(self) -> float:
        """How far off its middle is, mm."""
        return float(np.hypot(*self.off))

    @property
    def has_turn(self) -> bool:
        """Whether it matters how it is turned: a spot looks the same however it is."""
        found = self.piece.found
        return bool(found and math.radians(self.turn) * found.lever > _NO_TURN)

    @property
    def clockwise(self) -> float:
        """By how much it is turned, degrees; 0 where that is not told."""
        found = self.piece.found
        return found.place.clockwise if found and self.has_turn and self.is_turn_told else 0.0

    @property
    def is_turn_told(self) -> bool:
        """Whether it is known that it is turned by no more than it may be, or by more."""
        if not self.piece.found or not self.has_turn:
            return True
        turned = abs(self.piece.found.place.clockwise)
        may_be = _ONE_WAY * self.turn_uncertainty
        if turned > self.turn:
            return turned - may_be > _MAY_BE_TRUE * self.turn
        return turned + may_be <= _MAY_BE_OFF * self.turn

    @property
    def furthest(self) -> float:
        """How far off any of its letters may be, mm: the middle, and what the turn adds."""
        return self.distance + math.radians(abs(self.clockwise)) * self.piece.wanted.reach

    @property
    def is_told(self) -> bool:
        """Whether it is known how the piece lies."""
        if self.piece.how in (How.OUTSIDE, How.UNTOLD):
            return False
        if self.piece.how is not How.FOUND or self.piece.lost or abs(self.clockwise) > self.turn:
            return True
        if self._is_far:
            return self.furthest - self.uncertainty > _MAY_BE_TRUE * self.within
        return self.is_turn_told and self.is_place_told

    @property
    def is_place_told(self) -> bool:
        """Whether it is known that its middle is no further off than it may be."""
        return self.distance + self.uncertainty <= _MAY_BE_OFF * self.within

    @property
    def _is_far(self) -> bool:
        """Whether it is measured to lie further off than it may."""
        return self.distance > self.within or self.furthest > _FURTHEST * self.within

    @property
    def is_off(self) -> bool:
        """Whether it is to be laid again: it lies off, or not as it should, or not all of it."""
        if not self.is_told:
            return False
        if self.piece.how is not How.FOUND or self.piece.lost:
            return True
        return self._is_far or abs(self.clockwise) > self.turn

    @property
    def is_true(self) -> bool:
        """Whether it lies true, surely."""
        return self.is_told and not self.is_off

    @property
    def is_either_way_up(self) -> bool:
        """Whether it lies true, and may do so upside down as well: that cannot be told."""
        return self.is_true and self.piece.either_way_up


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """How the letters of a panel lie, in the order in which they are laid, and what says so."""

    artwork: Artwork
    seen: ViewByHoles
    film: Film
    pieces: tuple[Judged, ...]

    @property
    def is_true(self) -> bool:
        """Whether every piece is known to lie true."""
        return all(piece.is_true for piece in self.pieces)


def placed_in(
    picture: Picture,
    artwork: Artwork,
    sheets: Sequence[Sheet],
    within: float = WITHIN,
    turn: float = TURN,
) -> Placed:
    """How the letters that were cut on sheets lie in a photograph of the panel.

    What is no further off than `within` mm and turned by no more than `turn` degrees lies true.
    Error: PlainError where a picture does not tell, with what to do.
    """
    refusals.refuse_other_methods(artwork.description)
    lengths = Lengths(artwork.description.units)
    wanted = _in_order(artwork, sheets, lengths)
    refusals.refuse_nothing_laid(wanted)
    openings = _to_be_seen(artwork)
    views = _views(picture, artwork, openings, lengths)
    view, film = _likeliest(views, artwork, wanted)
    found = _placed(view, artwork, film, (within, turn))
    refusals.refuse_film(found)
    return found


def _views(
    picture: Picture, artwork: Artwork, openings: Sequence[Opening], lengths: Lengths
) -> list[ViewByHoles]:
    """How the picture may see the panel. Error: NotToldError."""
    x0, y0, x1, y1 = artwork.panel.bounds
    middle = (x0 + x1) / 2, (y0 + y1) / 2
    if refusals.too_few(openings):
        views, why = views_by_edges(picture, artwork.description.panel, openings, lengths)
        refusals.refuse_views_by_edges(picture, views, why, openings, middle, lengths)
    else:
        views, most = views_by_holes(picture, openings)
        refusals.refuse_views(picture, views, most, openings, middle, lengths)
    return views


def _likeliest(
    views: Sequence[ViewByHoles], artwork: Artwork, wanted: Sequence[Wanted]
) -> tuple[ViewByHoles, SeenFilm]:
    """Of the ways in which the holes let the panel be seen, the one that has film where letters
    are wanted; and what is seen of film then.
    """
    ways = [(view, film_on(view.panel, artwork, wanted)) for view in views]
    return ways[0] if len(ways) == 1 else max(ways, key=lambda way: _alike(way[1].pieces))


def _alike(seen: Sequence[SeenPiece]) -> float:
    """How alike what is seen of film and the letters are, as they are wanted, roughly: 0 to 1."""
    common = both = 0.0
    for each in seen:
        cover = np.clip(each.patch.cover, 0, 1)
        near = blurred(each.shape, _ROUGHLY * each.patch.grid.scale)
        common += float((cover * near).sum())
        both += float(np.sqrt((cover**2).sum() * (near**2).sum()))
    return common / max(both, 1e-6)


def _in_order(artwork: Artwork, sheets: Sequence[Sheet], lengths: Lengths) -> list[Wanted]:
    """What was cut, in the order in which it is laid."""
    places = piece_places(artwork.description.panel, pieces_of(sheets), lengths)
    return wanted_of(place.piece for place in in_laying_order(places))


def _to_be_seen(artwork: Artwork) -> list[Opening]:
    """The holes that are not under a disc or a plug that keeps metal bare."""
    hidden = {disc.bare.hole for disc in artwork.bare_discs}
    return [opening for opening in artwork.openings if opening.id not in hidden]


def _placed(
    view: ViewByHoles,
    artwork: Artwork,
    film: SeenFilm,
    limits: tuple[float, float],
) -> Placed:
    """How the letters lie, by what is seen of film; `limits` as of `Judged`."""
    centres = {opening.id: np.array(opening.centre) for opening in artwork.openings}

    def laid_by(piece: Wanted) -> Points:
        hole = next(iter(piece.piece.owners), "")
        return centres.get(hole, np.array(piece.middle))

    judged = []
    for piece in laid_pieces(film, laid_by, view.blur):
        wanted = piece.wanted
        own = piece.found.uncertainty if piece.found else 0.0
        by_view = view.by.uncertainty_at(np.array(wanted.middle))
        uncertainty = float(np.sqrt(own**2 + by_view**2 + _AT_BEST**2))
        turn = piece.found.turn_uncertainty if piece.found else 0.0
        pixels = view.panel.view.pixels_per_mm(wanted.middle)
        at_ends = math.degrees(_ENDS_AT_BEST / (pixels * wanted.reach))
        turn_uncertainty = math.hypot(turn, at_ends, _TURN_AT_BEST)
        judged.append(Judged(piece, uncertainty, turn_uncertainty, *limits))
    return Placed(artwork, view, film.film, tuple(judged))
