"""Measure how readily two letters of a face are taken for each other, and how open they stand.

Distance of two letters: both are set at one capital height on one baseline, the middles of their
boxes over each other, and painted with 100 pixels to the height. The pictures are blurred by a
Gaussian whose standard deviation is a tenth of the height, as a legend that is too far off is. The
distance is the area that only one of them has over that of both together: the sum of |a - b| over
the sum of max(a, b), in greys. 0 is one picture, 1 is no ink in common.

Aperture: of the ink on the side to which a letter opens, cut off down the middle of its box, the
least distance between two pieces, one over the other, in capital heights. A terminal that curls in
makes it small.

Counters: the diameter of the largest disc that goes into the largest enclosed part, in capital
heights, and the area of all of them, in squares of it.

All is taken from outlines as they are set, and knows nothing of how they were drawn.
"""

from __future__ import annotations

import itertools
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy.ndimage import gaussian_filter

from legend.lettering.faces.face import TextStyle
from legend.lettering.outlines.measuring import across, counters

#: Letters that are taken for each other.
CONFUSED = ("38", "CO", "68", "GO", "HM", "S8")
#: The sides to which letters with terminals open.
OPEN_SIDES = {
    "C": "right",
    "G": "right",
    "S": "both",
    "2": "left",
    "3": "left",
    "5": "left",
    "6": "right",
    "9": "left",
    "a": "left",
    "c": "right",
    "e": "right",
    "s": "both",
}
#: By how much pictures are blurred, in capital heights.
BLUR = 0.1
#: Pixels to a capital height.
_TALL = 100
#: Half the width of a picture, and the room over and under its letter, in pixels.
_ROOM = 150


class Counters(NamedTuple):
    """The enclosed parts of a letter."""

    #: Diameter of the largest disc in the largest of them, in capital heights.
    across: float
    #: Area of them all, in squares of the capital height.
    area: float


def letter_shape(character: str, style: TextStyle) -> shapely.Geometry:
    """The ink of one character, mm."""
    (letter,) = style.face.set_line(character, style).letters
    return letter.outline.shape


def distance(pair: str, style: TextStyle) -> float:
    """How far apart two blurred letters are: from 0 for one picture to 1."""
    one, other = (_blurred(character, style) for character in pair)
    return float(np.abs(one - other).sum() / np.maximum(one, other).sum())


def aperture(character: str, style: TextStyle) -> float:
    """The least white beside the terminals of a letter, in capital heights; 0 where it has none."""
    shape = letter_shape(character, style)
    left, bottom, right, top = shape.bounds
    middle = (left + right) / 2
    halves = {
        "left": shapely.box(left, bottom, middle, top),
        "right": shapely.box(middle, bottom, right, top),
    }
    side = OPEN_SIDES[character]
    opened = [half for name, half in halves.items() if side in (name, "both")]
    whites = []
    for half in opened:
        pieces = shapely.get_parts(shape.intersection(half))
        whites += [one.distance(other) for one, other in itertools.combinations(pieces, 2)]
    return min(whites, default=0.0) / style.height


def enclosed(character: str, style: TextStyle) -> Counters:
    """The counters of a letter."""
    found = counters(letter_shape(character, style))
    largest = max(found, key=lambda counter: counter.area, default=shapely.Polygon())
    wide = across(largest) if found else 0.0
    area = sum(counter.area for counter in found)
    return Counters(wide / style.height, float(area) / style.height**2)


def _blurred(character: str, style: TextStyle) -> NDArray[np.float64]:
    shape = letter_shape(character, style)
    left, _, right, _ = shape.bounds
    # From mm, the baseline at 0, to pixels, y downwards.
    scale = _TALL / style.height
    origin = np.array([(left + right) / 2, 0.0])
    at = np.array([_ROOM, _TALL + _ROOM / 2])
    picture = Image.new("L", (2 * _ROOM, _TALL + _ROOM), 0)
    draw = ImageDraw.Draw(picture)
    for part in shapely.get_parts(shape):
        for ring, grey in [(part.exterior, 255), *((hole, 0) for hole in part.interiors)]:
            corners = (shapely.get_coordinates(ring) - origin) * (scale, -scale) + at
            draw.polygon([(x, y) for x, y in corners], fill=grey)
    return gaussian_filter(np.asarray(picture) / 255, BLUR * _TALL)
