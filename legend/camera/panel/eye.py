"""Tell where the camera stands, from how a photograph sees a plane and from its focal length."""

from __future__ import annotations

import math

import numpy as np

from legend.camera.view import Points


def eye_over(
    onto: Points, focal: float, middle: tuple[float, float]
) -> tuple[float, float, float] | None:
    """The place of the camera in panel coordinates, mm; None where the plane is seen edge on.

    `onto` takes mm on the plane to pixels of a picture without distortion, `focal` and `middle`
    are its lens's, px. Z. Zhang, "A flexible new technique for camera calibration", IEEE
    Transactions on Pattern Analysis and Machine Intelligence 22 (11), 2000, section 3.1.
    """
    across, up, origin = _turned(onto, focal, middle).T
    scale = 2 / (float(np.linalg.norm(across)) + float(np.linalg.norm(up)))
    if origin[2] < 0:
        scale = -scale
    across, up, origin = across * scale, up * scale, origin * scale
    # The nearest turning to the two directions as they are seen, which are not quite at right
    # angles; towards the camera is up from the front.
    turning = np.column_stack([across, up, np.cross(across, up)])
    u, _, v = np.linalg.svd(turning)
    x, y, z = -(u @ np.diag([1, 1, np.linalg.det(u @ v)]) @ v).T @ origin
    return (float(x), float(y), float(abs(z))) if abs(z) > 1 else None


def stretch_and_skew(
    onto: Points, focal: float, middle: tuple[float, float]
) -> tuple[float, float]:
    """How much longer x is seen than y for its mm, and the angle from x to y less 90 degrees.

    Both are as the plane would be seen from straight above: 1 and 0 where the mm of a panel are
    what they are said to be. The angle is in radians.
    """
    across, up, _ = _turned(onto, focal, middle).T
    lengths = float(np.linalg.norm(across)), float(np.linalg.norm(up))
    return lengths[0] / lengths[1], math.asin(float(across @ up) / lengths[0] / lengths[1])


def tilt_of(eye: tuple[float, float, float], at: tuple[float, float]) -> float:
    """How far from straight down the camera looks at a place of the panel, degrees."""
    x, y, z = eye
    return math.degrees(math.atan2(math.hypot(x - at[0], y - at[1]), z))


def _turned(onto: Points, focal: float, middle: tuple[float, float]) -> Points:
    inner = np.array([[focal, 0, middle[0]], [0, focal, middle[1]], [0, 0, 1]])
    out: Points = np.linalg.solve(inner, onto)
    return out
