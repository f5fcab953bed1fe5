"""Find the long straight lines of a picture: where many steps of brightness lie in a row.

Every pixel of a small copy votes for the lines that run through it across its gradient. Lines are
told apart by where they run, not by what they part: four of them are made a panel elsewhere.
R. O. Duda, P. E. Hart, "Use of the Hough transformation to detect lines and curves in pictures",
Communications of the ACM 15 (1), 1972; the gradient of a picture in colours after S. Di Zenzo, "A
note on the gradient of a multi-image", Computer Vision, Graphics, and Image Processing 33, 1986.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.camera.view import Points

#: The longer side of the small copy, px: at most.
_SMALL = 1000
#: As many lines are taken in at most.
_MOST_LINES = 28
#: As many pixels vote at most: those with the steepest steps.
_MOST_VOTES = 40_000
#: Directions are told apart by this, degrees.
_TURN_STEP = 0.5
#: A pixel votes for lines turned so far against its own, degrees.
_TURN_SPREAD = 3.0
#: Lines nearer than both are one, degrees and px of the small copy.
_SAME_TURN, _SAME_PLACE = 1.0, 2.0
#: A line has at least this share of the votes of the first.
_LEAST_VOTES = 0.04
#: So many are looked at, of which some may be found before.
_MOST_TRIES = 60
#: A pixel lies on a line that is so near, px of the small copy.
_ON_LINE = 2.2
#: Along a line, pixels are counted by cells of this length, px of the small copy.
_CELL = 4.0


@dataclass(frozen=True, slots=True, eq=False)
class LongLine:
    """A line x cos t + y sin t = place, px of the small copy; where along it steps lie.

    `filled` has a number from 0 to 1 for each cell along the line: how far it is filled with
    steps; cells are counted from `first`, along (-sin t, cos t).
    """

    normal: tuple[float, float]
    place: float
    first: float
    filled: NDArray[np.float64]

    @property
    def along(self) -> tuple[float, float]:
        """The direction that cells are counted in."""
        return -self.normal[1], self.normal[0]

    def share(self, begin: float, end: float) -> float:
        """How much of the line between two places along it has steps: 0 to 1."""
        low, high = sorted((begin, end))
        cells = (np.array([low, high]) - self.first) / _CELL
        return _mean_between(self.filled, float(cells[0]), float(cells[1]))


@dataclass(frozen=True, slots=True, eq=False)
class SmallCopy:
    """A picture made small, in which long lines are looked for; `factor` px of it are one."""

    rgb: NDArray[np.float32]
    factor: int

    def in_picture(self, points: Points) -> Points:
        """Points of the small copy in the picture, px."""
        out: Points = points * self.factor + (self.factor - 1) / 2
        return out


def small_copy(rgb: NDArray[np.uint8], longest: int = _SMALL) -> SmallCopy:
    """The picture made small by a whole factor, each pixel the mean of those that it stands for."""
    height, width = rgb.shape[:2]
    factor = max(1, -(-max(height, width) // longest))
    height, width = height // factor, width // factor
    total = np.zeros((height, width, 3), np.uint32)
    for row in range(factor):
        for column in range(factor):
            total += rgb[row : height * factor : factor, column : width * factor : factor]
    return SmallCopy(total.astype(np.float32) / np.float32(factor**2), factor)


def long_lines(small: NDArray[np.float32]) -> list[LongLine]:
    """The long lines of a small picture in coded values, those with most steps first."""
    strength, turn = _gradient(small)
    ys, xs = np.nonzero(_crests(strength, turn))
    if len(xs) > _MOST_VOTES:
        keep = np.argpartition(strength[ys, xs], -_MOST_VOTES)[-_MOST_VOTES:]
        ys, xs = ys[keep], xs[keep]
    if not len(xs):
        return []
    weights = np.sqrt(strength[ys, xs])
    turns = turn[ys, xs]
    places = np.column_stack([xs, ys]).astype(float)
    reach = int(np.hypot(*small.shape[:2])) + 2
    votes = _votes(places, turns, weights, reach)
    out: list[LongLine] = []
    least = 0.0
    for _ in range(_MOST_TRIES):
        angle, place, best = _peak(votes, reach)
        if best <= least or len(out) == _MOST_LINES:
            break
        least = least or best * _LEAST_VOTES
        line, near = _line(places, turns, angle, place, reach)
        if not any(_same(line, other) for other in out):
            out.append(line)
        # What lies on a line votes for no other, and a line is found once.
        votes -= _votes(places[near], turns[near], weights[near], reach)
        weights = np.where(near, 0, weights)
        row, column = round(np.degrees(angle) / _TURN_STEP), round(place) + reach
        votes[row, max(column - 1, 0) : column + 2] = 0
    return out


def _gradient(small: NDArray[np.float32]) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """The steepest change at each pixel, over all colours, and its direction, 0 to pi."""
    width = small.shape[1]
    padded = np.pad(small, [(1, 1), (1, 1), (0, 0)], "edge")
    rows = padded[:-2] + 2 * padded[1:-1] + padded[2:]  # a mean with weights 1, 2, 1
    soft = (rows[:, :width] + 2 * rows[:, 1 : width + 1] + rows[:, 2:]) / 16
    dy, dx = np.gradient(soft, axis=(0, 1))
    xx, yy, xy = (dx * dx).sum(2), (dy * dy).sum(2), (dx * dy).sum(2)
    turn = np.arctan2(2 * xy, xx - yy) / 2
    strength = np.sqrt((xx + yy + np.hypot(xx - yy, 2 * xy)) / 2)
    return strength.astype(np.float32), np.mod(turn, np.pi).astype(np.float32)


def _crests(strength: NDArray[np.float32], turn: NDArray[np.float32]) -> NDArray[np.bool_]:
    """The pixels whose step is steeper than those beside it, across it, and than most."""
    height, width = strength.shape
    dx, dy = np.rint(np.cos(turn)).astype(int), np.rint(np.sin(turn)).astype(int)
    ys, xs = np.mgrid[1 : height - 1, 1 : width - 1]
    dx, dy = dx[1:-1, 1:-1], dy[1:-1, 1:-1]
    here = strength[1:-1, 1:-1]
    highest = (here >= strength[ys + dy, xs + dx]) & (here > strength[ys - dy, xs - dx])
    least = max(1.0, 2.5 * float(np.median(strength)))
    out = np.zeros_like(strength, bool)
    out[1:-1, 1:-1] = highest & (here > least)
    return out


def _votes(
    places: Points, turns: NDArray[np.float32], weights: NDArray[np.float32], reach: int
) -> NDArray[np.float64]:
    """Votes for lines, by their direction and by how far off the origin they pass."""
    count = round(180 / _TURN_STEP)
    own = np.rint(np.degrees(turns) / _TURN_STEP).astype(int)
    spread = round(_TURN_SPREAD / _TURN_STEP)
    angle = (own[:, None] + np.arange(-spread, spread + 1)) % count
    t = np.radians(np.arange(count) * _TURN_STEP)
    ways = np.stack([np.cos(t), np.sin(t)])[:, angle]
    place = np.rint(places[:, :1] * ways[0] + places[:, 1:] * ways[1]).astype(int) + reach
    columns = 2 * reach + 1
    flat = (angle * columns + place).ravel()
    votes = np.bincount(flat, np.repeat(weights, angle.shape[1]), count * columns)
    return np.asarray(votes, float).reshape(count, columns)


def _peak(votes: NDArray[np.float64], reach: int) -> tuple[float, float, float]:
    """The line with most votes: its direction, radians, its place, and its votes."""
    row, column = np.unravel_index(int(np.argmax(votes)), votes.shape)
    return np.radians(row * _TURN_STEP), float(column - reach), float(votes[row, column])


def _same(one: LongLine, other: LongLine) -> bool:
    """Whether two lines are one and the same."""
    cosine = float(np.dot(one.normal, other.normal))
    same = 1.0 if cosine > 0 else -1.0
    turned = np.degrees(np.arccos(min(abs(cosine), 1.0)))
    return bool(turned < _SAME_TURN and abs(one.place - same * other.place) < _SAME_PLACE)


def _line(
    places: Points, turns: NDArray[np.float32], angle: float, place: float, reach: int
) -> tuple[LongLine, NDArray[np.bool_]]:
    """The line as the steps near it have it, where along it they lie, and which they are."""
    for _ in range(2):
        normal = np.array([np.cos(angle), np.sin(angle)])
        apart = places @ normal - place
        amiss = np.abs((turns - angle + np.pi / 2) % np.pi - np.pi / 2)
        near = (np.abs(apart) < 2 * _ON_LINE) & (amiss < np.radians(12))
        along = places[near] @ np.array([-normal[1], normal[0]])
        if len(along) < 8 or np.ptp(along) < 8:
            break
        close = np.abs(apart[near]) < _ON_LINE
        if close.sum() < 8:
            break
        slope, shift = np.polyfit(along[close], apart[near][close], 1)
        if abs(slope) > np.radians(_TURN_SPREAD):
            break
        middle = shift / np.hypot(1, slope)
        angle, place = angle - float(np.arctan(slope)), place + float(middle)
    normal = np.array([np.cos(angle), np.sin(angle)])
    apart = places @ normal - place
    amiss = np.abs((turns - angle + np.pi / 2) % np.pi - np.pi / 2)
    near = (np.abs(apart) < _ON_LINE) & (amiss < np.radians(15))
    along = places[near] @ np.array([-normal[1], normal[0]])
    cells = np.bincount(((along + reach) / _CELL).astype(int), minlength=int(2 * reach / _CELL) + 1)
    filled = np.minimum(cells / (0.6 * _CELL), 1.0)
    line = LongLine((float(normal[0]), float(normal[1])), place, float(-reach), filled)
    return line, near


def _mean_between(values: NDArray[np.float64], low: float, high: float) -> float:
    """The mean of cells between two places, counted in cells."""
    first, last = int(np.floor(low)), int(np.ceil(high))
    first, last = max(first, 0), min(last, len(values))
    return float(values[first:last].mean()) if last > first else 0.0
