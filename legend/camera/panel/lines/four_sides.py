"""Find four long lines of a picture that may be the sides of a panel."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from legend.camera.panel.lines.long_lines import LongLine
from legend.camera.view import Points

#: The least share of each side, and of all, that must have steps along it.
_LEAST_SIDE, _LEAST_ALL = 0.30, 0.5
#: Sides opposite to each other are parallel to this, degrees, where a camera may stand askew.
_ASKEW = 16.0
#: A panel takes at least this share of the longer side of the picture.
_LEAST_LENGTH = 0.12
#: A corner may lie so far beyond the picture, px of the small copy.
_BEYOND = 6.0
#: So many are looked at closely.
_MOST = 8


@dataclass(frozen=True, slots=True, eq=False)
class FourSides:
    """Four corners, px of the small copy, in turn; how well their sides are seen, 0 to 1.

    They go round as lower left, lower right, upper right, upper left of something upright, so
    clockwise against the axes of a picture; the first two are on a line nearest to level.
    """

    corners: Points
    support: float
    shares: tuple[float, float, float, float]

    @property
    def lengths(self) -> tuple[float, float]:
        """The mean length of the level sides, and of the others, px of the small copy."""
        a, b, c, d = (
            float(np.hypot(*(self.corners[(k + 1) % 4] - self.corners[k]))) for k in range(4)
        )
        return (a + c) / 2, (b + d) / 2


def four_sides(
    lines: list[LongLine], size: tuple[int, int], askew: float = _ASKEW
) -> list[FourSides]:
    """Fours of lines that may be a panel's sides, those that are seen best first.

    `size` is the width and height of the small copy; opposite sides are parallel to `askew`
    degrees.
    """
    crossings = _crossings(lines, size)
    cross = np.isfinite(crossings[..., 0]).tolist()
    pairs = [
        (a, b)
        for a, b in itertools.combinations(range(len(lines)), 2)
        if _between(lines[a], lines[b]) < askew
        and _apart(lines[a], lines[b], size) > _LEAST_LENGTH / 4 * max(size)
    ]
    out: list[FourSides] = []
    for (a, b), (c, d) in itertools.combinations(pairs, 2):
        if not (cross[a][c] and cross[a][d] and cross[b][c] and cross[b][d]):
            continue
        if _between(lines[a], lines[c]) < 90 - 2 * askew - 10:
            continue
        at = crossings[[[a], [b]], [c, d]]
        found = _corners((lines[a], lines[b]), (lines[c], lines[d]), at, size)
        if found is not None:
            out.append(found)
    out.sort(key=lambda each: -each.support)
    return out


def _between(one: LongLine, other: LongLine) -> float:
    """The angle between two lines, degrees, 0 to 90."""
    cosine = abs(one.normal[0] * other.normal[0] + one.normal[1] * other.normal[1])
    return float(np.degrees(np.arccos(min(cosine, 1.0))))


def _apart(one: LongLine, other: LongLine, size: tuple[int, int]) -> float:
    """How far two lines lie apart about the middle of the picture."""
    middle = np.array(size) / 2
    same = 1.0 if np.dot(one.normal, other.normal) > 0 else -1.0
    return float(
        abs(
            (one.place - np.dot(one.normal, middle))
            - same * (other.place - np.dot(other.normal, middle))
        )
    )


def _crossings(lines: list[LongLine], size: tuple[int, int]) -> Points:
    """Where each line crosses each other one; NaN where it does so beyond the picture, or hardly.

    No line crosses itself, so that of two pairs that share a line not all four cross.
    """
    normals = np.array([line.normal for line in lines]).reshape(-1, 2)
    places = np.array([line.place for line in lines])
    (x, x_), (y, y_) = ((each[:, None], each[None]) for each in normals.T)
    place, place_ = places[:, None], places[None]
    determinant = x * y_ - y * x_
    with np.errstate(all="ignore"):
        out = np.stack([place * y_ - y * place_, x * place_ - place * x_], axis=-1)
        out /= determinant[..., None]
        beyond = (out < -_BEYOND) | (out > np.array(size) - 1 + _BEYOND)
    out[(np.abs(determinant) < 0.3) | beyond.any(axis=-1)] = np.nan
    return np.asarray(out)


def _corners(
    one: tuple[LongLine, LongLine],
    other: tuple[LongLine, LongLine],
    crossings: Points,
    size: tuple[int, int],
) -> FourSides | None:
    """The four corners of two pairs of lines, and how well the sides between them are seen.

    `crossings` has those of each of the one pair with each of the other.
    """
    lengths = [
        float(np.hypot(*(crossings[0, 0] - crossings[0, 1]))),
        float(np.hypot(*(crossings[0, 0] - crossings[1, 0]))),
    ]
    if max(lengths) < _LEAST_LENGTH * max(size) or min(lengths) < 8:
        return None
    shares = []
    for line, ends in (
        (one[0], crossings[0]),
        (one[1], crossings[1]),
        (other[0], crossings[:, 0]),
        (other[1], crossings[:, 1]),
    ):
        shares.append(_share(line, *ends))
        if shares[-1] < _LEAST_SIDE:
            return None
    if sum(shares) / 4 < _LEAST_ALL:
        return None
    around = np.array([crossings[0, 0], crossings[0, 1], crossings[1, 1], crossings[1, 0]])
    # Sides in the order of the corners: one[0], other[1], one[1], other[0].
    ordered = [shares[0], shares[3], shares[1], shares[2]]
    return _in_turn(around, ordered)


def _share(line: LongLine, begin: Points, end: Points) -> float:
    along = np.array(line.along)
    return line.share(float(begin @ along), float(end @ along))


def _in_turn(corners: Points, shares: list[float]) -> FourSides:
    """The corners as of something upright: from the lower left, to the right, and up."""
    middle = corners.mean(axis=0)
    area = sum(
        float((a - middle)[0] * (b - middle)[1] - (a - middle)[1] * (b - middle)[0])
        for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True)
    )
    if area > 0:  # clockwise as seen, since y runs down: turn it round
        corners, shares = corners[::-1], [shares[2], shares[1], shares[0], shares[3]]
    ways = np.roll(corners, -1, axis=0) - corners
    level = int(np.argmax(ways[:, 0] / np.hypot(ways[:, 0], ways[:, 1])))
    corners = np.roll(corners, -level, axis=0)
    shares = shares[level:] + shares[:level]
    support = min(shares) + sum(shares) / 4
    return FourSides(corners, support, (shares[0], shares[1], shares[2], shares[3]))
