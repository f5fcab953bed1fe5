"""Tell how a picture sees the front of a panel: from mm on it to pixels, and back.

Everything that is measured in a picture goes through a `View`. Points are arrays of shape (n, 2);
mm are panel coordinates (x right, y up, origin at the panel's lower left corner, as one faces the
front), pixels are counted from the middle of the upper left one, x right and y down.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]

#: The thickness of a panel that is reckoned with, mm: of most. Common practice, no source.
USUAL_THICKNESS = 2.0
#: The standard deviations within which 95 % lie. Of a distance in the plane it is nearly so of the
#: root of both squares.
WITHIN_95 = 1.96


@dataclass(frozen=True, slots=True, eq=False)
class Lens:
    """How a lens bends what it draws: Brown's radial terms about a middle, on a focal length, px.

    D. C. Brown, "Close-range camera calibration", Photogrammetric Engineering 37 (8), 1971.
    """

    focal: float
    middle: tuple[float, float]
    k1: float = 0.0
    k2: float = 0.0

    def bent(self, straight: Points) -> Points:
        """Where points of a picture without distortion are drawn, px."""
        rays = (straight - self.middle) / self.focal
        r2 = (rays**2).sum(axis=1, keepdims=True)
        out: Points = rays * (1 + self.k1 * r2 + self.k2 * r2**2) * self.focal + self.middle
        return out

    def straightened(self, bent: Points) -> Points:
        """Where points of the picture would be without distortion, px: by fixed-point steps."""
        rays = (bent - self.middle) / self.focal
        straight = rays
        for _ in range(20):
            r2 = (straight**2).sum(axis=1, keepdims=True)
            straight = rays / (1 + self.k1 * r2 + self.k2 * r2**2)
        out: Points = straight * self.focal + self.middle
        return out


@dataclass(frozen=True, slots=True)
class SidesDoubt:
    """How surely the four sides of a panel were placed, from which its view was fitted.

    `size` is the panel's; each side has a standard deviation, mm.
    """

    size: tuple[float, float]
    lower: float
    right: float
    upper: float
    left: float

    def at(self, place: tuple[float, float]) -> float:
        """How far a place of the panel may be off, mm, at 95 %: near a side as that side is."""
        x, y = place[0] / self.size[0], place[1] / self.size[1]
        across = math.hypot((1 - x) * self.left, x * self.right)
        up = math.hypot((1 - y) * self.lower, y * self.upper)
        return WITHIN_95 * math.hypot(across, up)

    @property
    def most(self) -> float:
        """The most at any of the four corners."""
        width, height = self.size
        return max(self.at((x, y)) for x in (0.0, width) for y in (0.0, height))

    def turned_by_half(self) -> SidesDoubt:
        """That of the same outline with the panel turned by a half."""
        return SidesDoubt(self.size, self.upper, self.left, self.lower, self.right)

    def turned_by_quarter(self) -> SidesDoubt:
        """That of the same square outline with each side in the place of the next."""
        return SidesDoubt(self.size, self.left, self.lower, self.right, self.upper)


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """How a picture sees the plane of the panel's front.

    `onto` is the 3 x 3 matrix that takes mm on the panel to pixels of a picture without lens
    distortion; `lens` bends these (None for a scanner). `eye` is where the camera stands in panel
    coordinates, its height above the front third, mm; None for a scanner, which looks straight
    down everywhere. `uncertainty` is how far the view itself may be off, mm, at 95 %: anywhere on
    the panel alike, or as the four sides were placed by which it was fitted.
    """

    onto: Points
    lens: Lens | None = None
    eye: tuple[float, float, float] | None = None
    uncertainty: float | SidesDoubt = 0.0

    def to_picture(self, places: Points) -> Points:
        """Where points of the panel, mm, are seen, px."""
        straight = _projected(self.onto, places)
        return self.lens.bent(straight) if self.lens else straight

    def to_panel(self, pixels: Points) -> Points:
        """Which points of the panel's plane are seen at pixels, mm."""
        straight = self.lens.straightened(pixels) if self.lens else pixels
        return _projected(np.asarray(np.linalg.inv(self.onto), float), straight)

    def uncertainty_at(self, place: tuple[float, float]) -> float:
        """How far the view itself may be off at a place of the panel, mm, at 95 %."""
        doubt = self.uncertainty
        return doubt.at(place) if isinstance(doubt, SidesDoubt) else doubt

    def pixels_per_mm(self, at: tuple[float, float]) -> float:
        """How finely a place of the panel is seen: the geometric mean over both directions."""
        x, y = at
        here, right, up = self.to_picture(np.array([[x, y], [x + 1, y], [x, y + 1]]))
        (a, b), (c, d) = right - here, up - here
        return float(np.sqrt(abs(a * d - b * c)))


def _projected(matrix: Points, points: Points) -> Points:
    w = points @ matrix[:, :2].T + matrix[:, 2]
    out: Points = w[:, :2] / w[:, 2:]
    return out
