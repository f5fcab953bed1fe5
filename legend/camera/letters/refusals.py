"""Refuse photographs that do not tell how the letters lie, each with what to do."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from legend.camera.fineness import pixels_to
from legend.camera.letters.by_holes.landmarks import are_in_one_line, whole_rims
from legend.camera.letters.by_holes.view_by_holes import ViewByHoles
from legend.camera.letters.pieces.laid_piece import How
from legend.camera.letters.pieces.wanted import Wanted
from legend.camera.picture import Picture
from legend.description.tables.description import Description
from legend.failures import PlainError
from legend.layout.artwork import Opening
from legend.length_words import Lengths
from legend.sentences import counted

if TYPE_CHECKING:
    from legend.camera.letters.placed import Placed

#: Holes by which a view is told: at least so many, and this part of those in the picture.
_FEWEST_HOLES, _PART_OF_HOLES = 4, 0.7
#: How far holes may be seen from their list, mm, root mean square.
_OFF_LIST = 0.3
#: The least pixels to the mm; the most blur, mm; and how far from square on one may look, degrees.
_FEWEST_PIXELS, _MOST_BLUR, _MOST_SLANT = 5.0, 0.25, 35.0
#: How uncertain a pixel may be, as a part of the way from base coat to film.
_MOST_NOISE = 0.25
#: How much of film what has a fifth less light may be taken for: of clear film little else than
#: its shadow is seen.
_MOST_SHADOW = 0.7
#: How far off the shadow of clear film is seen.
_SHADOW_OFF = {"mm": "0.2 to 0.3 mm", "in": "0.008 to 0.012 in"}


class NotToldError(PlainError):
    """A photograph in which it cannot be told how the letters lie."""


def refuse_other_methods(description: Description) -> None:
    """Refuse stencils that paint goes through. Error: NotToldError."""
    stencil = description.stencil
    if stencil.stock == "sheet":
        raise NotToldError(
            "This stencil is a sheet, which its bolts hold true to the holes: look along the rims "
            "of its holes instead. Only letters of film for lift-off are checked in a photograph."
        )
    if stencil.method == "paint-through":
        raise NotToldError(
            "With paint-through, film covers the holes that a photograph is measured by: look that "
            "its circles lie on their rims instead. Only letters of film for lift-off are checked "
            "in a photograph."
        )


def refuse_nothing_laid(wanted: Sequence[Wanted]) -> None:
    """Refuse panels without letters. Error: NotToldError."""
    if not wanted:
        raise NotToldError("Nothing is laid on this panel: its description has no letters.")


def too_few(openings: Sequence[Opening]) -> bool:
    """Whether holes do not carry a view by themselves: too few, or all in one line, nearly."""
    return len(openings) < _FEWEST_HOLES or are_in_one_line(whole_rims(openings))


def refuse_views_by_edges(
    picture: Picture,
    views: Sequence[ViewByHoles],
    why: str,
    openings: Sequence[Opening],
    middle: tuple[float, float],
    lengths: Lengths,
) -> None:
    """Refuse what is not seen well enough by holes and edges; `why` says what is wrong with these.

    `middle` is that of the panel, mm. Error: NotToldError.
    """
    if not views:
        holes = counted(len(openings), "hole") if openings else "no hole"
        line = " in one line" if len(openings) >= _FEWEST_HOLES else ""
        raise NotToldError(
            f"This panel has {holes}{line} to be seen, so that its edges are needed as well. {why}"
        )
    view = views[0]
    _refuse_fewer(view, openings, 1 if openings else 0, picture.name)
    _refuse_far_and_blurred(view, middle, picture.name, lengths)


def refuse_views(
    picture: Picture,
    views: Sequence[ViewByHoles],
    most: int,
    openings: Sequence[Opening],
    middle: tuple[float, float],
    lengths: Lengths,
) -> None:
    """Refuse what is not seen well enough by its holes. Error: NotToldError.

    `middle` is that of the panel, mm.
    """
    name = picture.name
    if not views and most >= _FEWEST_HOLES:
        raise NotToldError(
            f"{most} holes stand in {name} as in the list, but their rims are not told from what "
            "is round them. Take it sharp, from straight above, in even light, with plain paper "
            "close behind the panel that is much darker or much lighter than its base coat; and "
            "see that the description is the right one."
        )
    if not views:
        raise NotToldError(
            f"The holes of this panel are not seen in {name}: {_how_many(most)} found that stand "
            "as in its list. Take the whole panel, square on, on paper that is much darker or much "
            "lighter than its base coat; and see that the description is the right one."
        )
    _refuse_fewer(views[0], openings, _FEWEST_HOLES, name)
    _refuse_far_and_blurred(views[0], middle, name, lengths)


def _refuse_fewer(view: ViewByHoles, openings: Sequence[Opening], fewest: int, name: str) -> None:
    inside = view.panel.is_inside(np.array([opening.centre for opening in openings]).reshape(-1, 2))
    needed = max(fewest, int(np.ceil(_PART_OF_HOLES * int(inside.sum()))))
    if len(view.openings) < needed:
        raise NotToldError(
            f"Only {len(view.openings)} of the {int(inside.sum())} holes that should be in {name} "
            "are seen where the list has them. Is it this panel? If so, lay it on paper that is "
            "much darker or much lighter than its base coat, and take it again in even light."
        )


def _refuse_far_and_blurred(
    view: ViewByHoles, middle: tuple[float, float], name: str, lengths: Lengths
) -> None:
    if view.off > _OFF_LIST:
        raise NotToldError(
            f"The holes in {name} stand {lengths.as_decimal(view.off)} {lengths.unit} off their "
            "list, as a mean: it is another panel, or its holes were not measured as drilled. "
            "Measure them first, and give them as the hole list."
        )
    _refuse_blurred(view, middle, name, lengths)


def _how_many(most: int) -> str:
    return "none were" if most < 2 else f"only {most} were"


def _refuse_blurred(
    view: ViewByHoles, middle: tuple[float, float], name: str, lengths: Lengths
) -> None:
    x, y = middle
    seen = view.panel.view.pixels_per_mm((x, y))
    if seen < _FEWEST_PIXELS:
        raise NotToldError(
            f"{name} has {pixels_to(seen, lengths)} of the panel, and "
            f"{pixels_to(_FEWEST_PIXELS, lengths)} at least are needed. Go nearer, or take "
            "the panel in several parts, each with four holes or more; and give the picture "
            "itself, not a small copy of it."
        )
    if view.blur > _MOST_BLUR:
        raise NotToldError(
            f"{name} is blurred: the rims of the holes are {lengths.as_decimal(2 * view.blur)} "
            f"{lengths.unit} wide in it. Hold the camera still, or lean it on something, touch the "
            "panel on its screen to set the distance, and make more light."
        )
    eye = view.panel.view.eye
    if eye:
        slant = np.degrees(np.arctan2(np.hypot(eye[0] - x, eye[1] - y), eye[2]))
        if slant > _MOST_SLANT:
            raise NotToldError(
                f"{name} was taken from aside, {slant:.0f}° off square. Take it from straight "
                "above the middle of the panel."
            )


def refuse_film(placed: Placed) -> None:
    """Refuse what is not told from the base coat, or by its edges only. Error: NotToldError."""
    name = placed.seen.panel.picture.name
    found = [each.piece for each in placed.pieces if each.piece.found]
    film = placed.film
    lengths = Lengths(placed.artwork.description.units)
    if film.is_as_clear and found:
        raise NotToldError(
            f"The film in {name} looks clear. Of clear film mostly the shadow beside it is seen, "
            f"which lies {_SHADOW_OFF[lengths.unit]} off: use film that is coloured, and unlike "
            "the base coat. If it is white or grey film, lay white paper beside the panel, so that "
            "one can be told from the other, and take the picture again."
        )
    if film.noise > _MOST_NOISE or film.shadow > _MOST_SHADOW or not found:
        if all(each.piece.how is How.OUTSIDE for each in placed.pieces):
            raise NotToldError(f"No piece is whole in {name}. Take more of the panel.")
        raise NotToldError(
            f"No letters are told from the base coat in {name}. Film is told by its colour: use "
            "film that is coloured, and unlike the base coat; see that the letters are on, and "
            "take the picture in even light, without the reflection of a lamp or a window."
        )
