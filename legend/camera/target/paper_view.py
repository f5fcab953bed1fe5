"""Tell by its target page how a photograph sees a panel, or why it will not do."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from legend.camera.fineness import FINE_ENOUGH, pixels_to
from legend.camera.picture import Picture
from legend.camera.target.camera_fit import Fit, FocalGuess, fitted
from legend.camera.target.found_corners import FoundPage, blur, found_page
from legend.camera.target.target_page import TargetPage
from legend.camera.view import Points, View
from legend.failures import PlainError
from legend.length_words import MILLIMETRES, Lengths
from legend.sentences import counted, listed

#: The share by which the usual focal length may be off, where a camera does not say its own.
#: Common practice, no source.
_USUAL_OFF = 0.35
#: The share by which a focal length may be off that a camera says: it is rounded to a mm, and
#: nearby things are focused with a longer one. Common practice, no source.
_TOLD_OFF = 0.04
#: With fewer markers there is no page in the picture: what looks like a marker may be none.
_LEAST_MARKERS = 8
#: The fewest corners in all, and on each side, that a view is made of; the latter also as a share.
_LEAST_CORNERS, _LEAST_ON_SIDE, _LEAST_SHARE = 16, 3, 0.2
#: More markers than this share where the page has none: the page is another panel's.
_MISPLACED = 0.3
#: The most that corners may lie off on the average, mm: paper that is not flat.
_MOST_OFF = 0.25
#: Light that is spread further than this, mm, is blurred too much to place an edge.
_MOST_BLUR = 0.2
#: The least pixels to the mm.
_LEAST_FINE = 3.0
#: A focal length that may be off by less than this share is known.
_FOCAL_KNOWN = 0.1


class UnfitPhotographError(PlainError):
    """A photograph of a target page that nothing can be told by; the message says what to do."""


@dataclass(frozen=True, slots=True, eq=False)
class PaperView:
    """How a photograph sees the paper that the panel lies on.

    `off` is how far the corners of the page lie off on the average, px along either axis;
    `coverage` the share of the page's corners that were found; `pixels_per_mm` the fewest anywhere
    on the panel; `blur` how far light is spread, mm. `assumed` are sentences that say what was.
    """

    page: TargetPage
    fit: Fit
    off: float
    coverage: float
    pixels_per_mm: float
    blur: float
    assumed: tuple[str, ...]

    def view(self, height: float = 0.0) -> View:
        """How the plane is seen that lies so many mm above the paper, such as the panel's front.

        It is in panel coordinates as they are printed: as large, and as true, as the printer made
        them, which its uncertainty does not tell of.
        """
        uncertainty = self.fit.uncertainty(_spots(self.page), height)
        return replace(self.fit.camera.view(height), uncertainty=uncertainty)


def view_from_target(
    picture: Picture, page: TargetPage, lengths: Lengths = MILLIMETRES
) -> PaperView | None:
    """How a picture sees the paper of a target page; None where it shows no such page.

    Lengths are said as given.

    Errors: UnfitPhotographError where too little of the page is seen, or not well enough; or where
    it is the page of another panel.
    """
    found = found_page(picture, page)
    if found.markers < _LEAST_MARKERS:
        return None
    _check_seen(found, page, picture.name)
    try:
        fit = fitted(found.corners, picture.size, _focal_guess(picture), page.panel)
    except (ValueError, np.linalg.LinAlgError):
        raise UnfitPhotographError(_no_sense(picture.name)) from None
    return _told(picture, page, found, fit, lengths)


def shows_page(picture: Picture, page: TargetPage) -> bool:
    """Whether a picture shows a target page at all."""
    return found_page(picture, page).markers >= _LEAST_MARKERS


def _focal_guess(picture: Picture) -> FocalGuess:
    if picture.focal:
        return FocalGuess(picture.focal, _TOLD_OFF)
    return FocalGuess(picture.usual_focal, _USUAL_OFF)


def _check_seen(found: FoundPage, page: TargetPage, name: str) -> None:
    """Refuse a page of another panel, and one that is covered too much."""
    if found.misplaced > _MISPLACED * found.markers:
        raise UnfitPhotographError(
            f"{name}: the target page in it is that of a panel of another size. Print the page of "
            "this panel (legend target), or give the panel that it was printed for."
        )
    sides = np.array(page.crossing_sides)
    poor = []
    for side in ("left", "upper", "right", "lower"):
        count = int((sides[found.crossings] == side).sum())
        if count < max(_LEAST_ON_SIDE, _LEAST_SHARE * (sides == side).sum()):
            poor.append(side)
    if poor:
        them = "side of the target page is" if len(poor) == 1 else "sides of the target page are"
        raise UnfitPhotographError(
            f"{name}: the {listed(poor)} {them} hardly seen. Photograph all the squares round the "
            "panel, sharp and evenly lit; nothing but a corner of them may be covered."
        )
    if len(found.crossings) < _LEAST_CORNERS:
        raise UnfitPhotographError(
            f"{name}: only {counted(len(found.crossings), 'corner')} of the squares of the target "
            "page can be made out. Photograph it again, sharp, evenly lit and so near that the "
            "squares fill the picture."
        )


def _no_sense(name: str) -> str:
    return (
        f"{name}: the squares of the target page do not lie as they were printed. Lay the paper "
        "flat on a board, and photograph it again from above."
    )


def _told(
    picture: Picture, page: TargetPage, found: FoundPage, fit: Fit, lengths: Lengths
) -> PaperView:
    """The view by a fit, with all that is to be told of it. Error: UnfitPhotographError."""
    plain = fit.camera.view()
    fineness = [plain.pixels_per_mm((x, y)) for x, y in _spots(page).tolist()]
    coverage = fit.kept.sum() / len(page.crossings)
    if fit.kept.sum() < max(_LEAST_CORNERS, len(fit.kept) / 2) or plain.eye is None:
        raise UnfitPhotographError(_no_sense(picture.name))
    if fit.noise / min(fineness) > _MOST_OFF:
        raise UnfitPhotographError(_no_sense(picture.name))
    if min(fineness) < _LEAST_FINE:
        raise UnfitPhotographError(
            f"{picture.name}: it has only {pixels_to(min(fineness), lengths)}. Photograph the "
            "panel from nearer, so that the squares fill the picture, with the camera set to its "
            f"most pixels; {pixels_to(FINE_ENOUGH, lengths)} are wanted."
        )
    spread = blur(picture, plain, found, page)
    if spread > _MOST_BLUR:
        raise UnfitPhotographError(
            f"{picture.name}: it is blurred, by {lengths.at_most(spread)} on the paper. Rest the "
            "camera on something, give more light, tap on the panel to focus, and photograph it "
            "again."
        )
    return PaperView(
        page, fit, fit.noise, float(coverage), min(fineness), spread,
        tuple(_assumed(picture, fit)),
    )  # fmt: skip


def _spots(page: TargetPage) -> Points:
    """The corners of the panel, the middles of its sides, and its own."""
    width, height = page.panel
    return np.array([(x, y) for x in (0, width / 2, width) for y in (0, height / 2, height)])


def _assumed(picture: Picture, fit: Fit) -> list[str]:
    """What was taken for granted."""
    said = ["The middle of the picture was taken for that of the lens: it must not be cut."]
    if picture.focal:
        said.append("The focal length was taken near the one that the camera says.")
    elif fit.focal_doubt < _FOCAL_KNOWN:
        said.append("The focal length was told from the perspective of the page.")
    else:
        said.append(
            "The focal length was taken to be that of a phone's main lens; so the height of the "
            f"camera may be off by {2 * fit.focal_doubt:.0%}."
        )
    return said
