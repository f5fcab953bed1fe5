"""Ask OpenCV, the library of computer vision: the one module that imports it.

Every function here has one meaning, takes and gives arrays of numpy, and hides what differs
between the versions 4.9 to 5. Points are pixels, counted from the middle of the upper left one.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from legend.failures import PlainError

if TYPE_CHECKING:
    from legend.camera.view import Points

Grey = NDArray[np.uint8]

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


def found_markers(grey: Grey) -> list[tuple[int, Points]]:
    """The markers of that dictionary in a picture: the number of each, and its four corners.

    The corners go clockwise, as the marker is seen upright, from its upper left one. A few of them
    may be none.
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
    detector = cv2.aruco.ArucoDetector(_dictionary(cv2), parameters)
    corners, numbers, _ = detector.detectMarkers(grey)
    if numbers is None:
        return []
    return [
        (int(number), np.asarray(each, float).reshape(4, 2))
        for number, each in zip(np.asarray(numbers).ravel(), corners, strict=True)
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
