"""Ask OpenCV, the library of computer vision: the one module that imports it.

Every function here has one meaning, takes and gives arrays of numpy, and hides what differs
between the versions 4.9 to 5. Points are pixels, counted from the middle of the upper left one.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from legend.failures import PlainError

if TYPE_CHECKING:
    from legend.camera.view import Points

Grey = NDArray[np.uint8]
Floats = NDArray[np.float64]

_MISSING = (
    "To measure in pictures, OpenCV is needed, which is not installed. "
    "In the folder of the program: pip install '.[camera]'"
)


def opencv() -> Any:
    """The library. Error: PlainError, with how to get it, where it is not installed."""
    try:
        import cv2
    except ImportError:
        raise PlainError(_MISSING) from None
    return cv2


# --- The target page ---


def marker_bits(marker: int) -> NDArray[np.bool_]:
    """The cells of a marker of the open dictionary 5X5_1000, row by row; white ones are true.

    S. Garrido-Jurado et al., "Automatic generation and detection of highly reliable fiducial
    markers under occlusion", Pattern Recognition 47 (6), 2014.
    """
    cv2 = opencv()
    drawn = cv2.aruco.generateImageMarker(_dictionary(cv2), marker, 7)
    bits: NDArray[np.bool_] = np.asarray(drawn)[1:-1, 1:-1] > 127
    return bits


def found_markers(grey: Grey, numbers: Sequence[int]) -> list[tuple[int, Points]]:
    """The markers with some numbers in a picture: the number of each, and its four corners.

    It takes the longer the more numbers there may be. The corners go clockwise, as the marker is
    seen upright, from its upper left one. A few of them may be none.
    """
    cv2 = opencv()
    parameters = cv2.aruco.DetectorParameters()
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_NONE
    parameters.minMarkerPerimeterRate = 0.01
    # Of each cell only the middle is looked at, finely, and all errors that the code can mend are
    # mended: so markers are still read that are blurred by a third of a cell.
    parameters.perspectiveRemovePixelPerCell = 10
    parameters.perspectiveRemoveIgnoredMarginPerCell = 0.3
    parameters.errorCorrectionRate = 1.0
    whole = _dictionary(cv2)
    some = cv2.aruco.Dictionary(whole.bytesList[list(numbers)], 5, whole.maxCorrectionBits)
    corners, found, _ = cv2.aruco.ArucoDetector(some, parameters).detectMarkers(grey)
    if found is None:
        return []
    return [
        (numbers[which], np.asarray(each, float).reshape(4, 2))
        for which, each in zip(np.asarray(found).ravel().tolist(), corners, strict=True)
    ]


def shrunk(grey: Grey, times: int) -> Grey:
    """The picture with so many times fewer rows and columns, each pixel the mean of a square."""
    if times == 1:
        return grey
    cv2 = opencv()
    rows, columns = (side // times * times for side in grey.shape)
    size = columns // times, rows // times
    return np.asarray(cv2.resize(grey[:rows, :columns], size, interpolation=cv2.INTER_AREA))


def sharpened_saddles(grey: Grey, near: Points, half: int) -> Points:
    """Where the crossings of black and white squares near some points are, to parts of a pixel.

    `half` is half the side of the square, px, that is looked at round each.
    """
    cv2 = opencv()
    if not len(near):
        return near
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 50, 1e-3)
    start = near.astype(np.float32).reshape(-1, 1, 2)
    found = cv2.cornerSubPix(grey, start, (half, half), (-1, -1), stop)
    out: Points = np.asarray(found, float).reshape(-1, 2)
    return out


def _dictionary(cv2: Any) -> Any:
    return cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_1000)


# --- Parts of a picture ---


def parts_of(mask: Grey) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """The parts of what is not 0 that hang together, corners excepted.

    Out come their numbers, pixel by pixel, 0 for none; and for each number, from 0: left, top,
    width, height and area, px.
    """
    cv2 = opencv()
    _, numbers, boxes, _ = cv2.connectedComponentsWithStats(mask, connectivity=4)
    return np.asarray(numbers, np.int32), np.asarray(boxes, np.int32)


def outline_of(mask: Grey) -> Points:
    """The longest outer outline of what is not 0, along the middles of its pixels."""
    cv2 = opencv()
    found, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    longest = max(found, key=len)
    out: Points = np.asarray(longest, float).reshape(-1, 2)
    return out


def outlines_of(mask: Grey, least: float) -> list[Points]:
    """The outer outlines of the parts of what is not 0, along the middles of their pixels.

    They hang together at corners too. Parts that are not so many px wide and high are left out.
    """
    cv2 = opencv()
    found, lie = cv2.findContours(mask, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
    return [
        np.asarray(ring, float).reshape(-1, 2)
        for ring, (_, _, _, outer) in zip(found, [] if lie is None else lie[0], strict=True)
        if outer < 0 and min(cv2.boundingRect(ring)[2:]) >= least
    ]


def without_specks(grey: Grey, size: int) -> Grey:
    """The picture with each pixel the median of those in a square of odd `size` round it."""
    return np.asarray(opencv().medianBlur(grey, size), np.uint8)


def without_lines(mask: Grey, width: int) -> Grey:
    """What is not 0, less what a disc of this diameter, px, has no room in (an opening)."""
    cv2 = opencv()
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (width, width))
    return np.asarray(cv2.morphologyEx(mask, cv2.MORPH_OPEN, disc), np.uint8)


# --- Rows of values ---


def weighed_along(rows: Floats, kernel: Floats) -> Floats:
    """Along rows, the sum of the values round each by these weights; beyond an end, as at it.

    Rows may have several values at each place: shape (rows, places) or (rows, places, values).
    """
    cv2 = opencv()
    out: Floats = cv2.filter2D(rows, -1, kernel[None], borderType=cv2.BORDER_REPLICATE)
    return out


# --- Laid letters ---

Floats32 = NDArray[np.float32]
_Values = TypeVar("_Values", Floats32, Grey)


def resampled(image: Floats32, x: Floats32, y: Floats32) -> Floats32:
    """The picture at places between its pixels, by cubics; beyond its edge, as at the edge."""
    cv2 = opencv()
    out: Floats32 = cv2.remap(image, x, y, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
    return out


def to_look_at(rgb: Grey, x: Floats32, y: Floats32, beyond: int) -> Grey:
    """A picture at places between its pixels, to look at, not to measure in; grey beyond it."""
    cv2 = opencv()
    border = {"borderMode": cv2.BORDER_CONSTANT, "borderValue": (beyond,) * 3}
    return np.asarray(cv2.remap(rgb, x, y, cv2.INTER_LINEAR, **border), np.uint8)


def blurred(image: Floats32, sigma: float) -> Floats32:
    """The picture, each pixel spread by the normal law, `sigma` px; as it is where that is 0."""
    if sigma <= 0:
        return image
    cv2 = opencv()
    out: Floats32 = cv2.GaussianBlur(image, (0, 0), sigma, borderType=cv2.BORDER_REPLICATE)
    return out


def shrunk_to(image: _Values, size: tuple[int, int]) -> _Values:
    """A picture made smaller, to this width and height, each pixel the mean of those it covers."""
    cv2 = opencv()
    out: _Values = cv2.resize(image, size, interpolation=cv2.INTER_AREA)
    return out


def rings_round(within: NDArray[np.bool_], shortest: int) -> list[Points]:
    """The closed rings of so many pixels at least round what is true, and round what is not within
    that."""
    cv2 = opencv()
    found = cv2.findContours(within.astype(np.uint8), cv2.RETR_LIST, cv2.CHAIN_APPROX_NONE)[-2]
    return [np.asarray(ring, float).reshape(-1, 2) for ring in found if len(ring) >= shortest]
