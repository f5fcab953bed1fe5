"""Space letters by the white between their shapes.

No table of pairs. Level bands are laid through both letters, and the white between them is
measured in each. A band crowds by the inverse of its white to the power of `_NEARNESS`, as
the eye judges by where letters come near, not by what is deep inside an open one. The mean is
made equal to that of two upright stems at their proper space. Apart from that, inked edges
never come nearer to each other, in any direction, than a given least.

Everything is in capital heights, so that one letter is measured once for all sizes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

_Bands = NDArray[np.float64]

#: Height of a band.
_BAND = 0.01
#: Where the lowest band begins, and how many there are: from below a descender to above an
#: accent. What reaches further counts as if it were at the end.
_LOWEST = -0.5
_BANDS = 200
#: The bands from the baseline to the capital height.
_BASELINE = round(-_LOWEST / _BAND)
_CAPITAL = _BASELINE + round(1 / _BAND)

#: How much more near places count than far ones.
_NEARNESS = 7.0

#: What is kept clear at the beginning of a word.
NOTHING_KEPT_CLEAR: _Bands = np.full(_BANDS, -np.inf)


@dataclass(frozen=True, slots=True)
class Profile:
    """How far the ink of a letter reaches to the left and to the right, in capital heights.

    `lefts` and `rights` hold it for each band: infinite where a band has no ink.
    `kept_clear` is the right side again, of the ink and all that is nearer to it than the
    least distance. `low` and `high` are the first band with ink and the one after the last.
    """

    left: float
    right: float
    lefts: _Bands
    rights: _Bands
    kept_clear: _Bands
    low: int
    high: int


def profile_of(rings: Sequence[_Bands], least: float) -> Profile:
    """The profile of a letter from its edges, rings of points with shape (n, 2).

    `least` is the distance that the ink of the next letter has to keep.
    """
    x, y = _dense(rings).T
    band = ((y - _LOWEST) / _BAND).astype(int).clip(0, _BANDS - 1)
    lefts, rights = np.full(_BANDS, np.inf), np.full(_BANDS, -np.inf)
    np.minimum.at(lefts, band, x)
    np.maximum.at(rights, band, x)
    return Profile(
        float(x.min()),
        float(x.max()),
        lefts,
        rights,
        _dilated(rights, least),
        int(band.min()),
        int(band.max()) + 1,
    )


@dataclass(frozen=True, slots=True)
class Rhythm:
    """What every pair of letters is spaced to: the space between upright stems, in capital
    heights, and how crowded two stems are at that space (1 where their ends are square)."""

    stems: float
    crowding: float = 1.0

    @classmethod
    def of(cls, stem: Profile, stems: float) -> Rhythm:
        """The rhythm of a face from a letter with upright stems on both sides, as H.

        One that has no ink where capitals have it tells of no rhythm.
        """
        pen = stem.right - stem.left + stems
        white = pen + stem.lefts[_BASELINE:_CAPITAL] - stem.rights[_BASELINE:_CAPITAL]
        return cls(stems, float(np.mean((stems / white) ** _NEARNESS)) or 1.0)


def space_between(before: Profile, after: Profile, rhythm: Rhythm) -> float:
    """From the pen of one letter to the pen of the next, by the white between them alone.

    Letters that share no level, as a comma and a dash, or a broken bar and a dot in its gap,
    have their boxes half the space of stems apart.
    """
    low, high = max(before.low, after.low), min(before.high, after.high)
    if low < _BASELINE < high:
        low = _BASELINE
    if low < _CAPITAL < high:
        high = _CAPITAL
    white = after.lefts[low:high] - before.rights[low:high]
    if not np.isfinite(white).any():
        return before.right - after.left + rhythm.stems / 2
    return _balanced(white, rhythm)


def clearing_space(kept_clear: _Bands, after: Profile) -> float:
    """From where `kept_clear` is measured to the least pen of a letter that stands clear of it."""
    return float((kept_clear - after.lefts).max())


def _balanced(white: _Bands, rhythm: Rhythm) -> float:
    """The pen at which the white, there 0 wide where it is negative, is as crowded as stems.

    By Newton's rule on the crowding to the power of -1 / `_NEARNESS`, which grows nearly
    straight with the pen.
    """
    stems = rhythm.stems
    wanted = rhythm.crowding ** (-1 / _NEARNESS)
    # Begin where the narrowest band alone is as crowded, and approach from that side.
    pen: float = stems * wanted * len(white) ** (-1 / _NEARNESS) - float(white.min())
    for _ in range(20):
        share = stems / (white + pen)
        power = share**_NEARNESS
        crowded = float(power.sum()) / len(white)
        open_ = crowded ** (-1 / _NEARNESS)
        slope = open_ / crowded * float(power @ share) / len(white) / stems
        pen += (wanted - open_) / slope
        if abs(wanted - open_) < 1e-4 * wanted:
            break
    return pen


def _dense(rings: Sequence[_Bands]) -> _Bands:
    """The points of all rings, and more so near to each other that no band is passed over."""
    points = np.vstack(rings)
    step = np.diff(points, axis=0)
    step[np.cumsum([len(ring) for ring in rings])[:-1] - 1] = 0.0  # from ring to ring
    counts = np.maximum(1, np.ceil(np.abs(step).max(axis=1) / (_BAND / 2))).astype(int)
    which = np.repeat(np.arange(len(counts)), counts)
    part = (np.arange(len(which)) - (np.cumsum(counts) - counts)[which]) / counts[which]
    dense: _Bands = points[which] + step[which] * part[:, None]
    return dense


def _dilated(rights: _Bands, least: float) -> _Bands:
    """The right side with all that is nearer to it than `least`, band for band.

    Ink may lie anywhere in its band, so that two bands are as far apart as their near edges.
    """
    reach = math.ceil(least / _BAND)
    apart = np.maximum(np.abs(np.arange(-reach, reach + 1)) - 1, 0) * _BAND
    across = np.sqrt(np.maximum(least * least - apart * apart, 0.0))
    padded = np.full(_BANDS + 2 * reach, -np.inf)
    padded[reach:-reach] = rights
    dilated: _Bands = (sliding_window_view(padded, 2 * reach + 1) + across).max(axis=1)
    return dilated
