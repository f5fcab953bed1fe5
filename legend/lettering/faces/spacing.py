"""Space letters by the white between their shapes.

No table of pairs. Level bands are laid through both letters, and the white between their facing
sides is measured in each. A side is seen as the eye sees it: no deeper than `_RECESS`, since what
lies deep inside an open letter is its own white, and with what sticks out, an arm or a corner,
counting a little above and below itself too. A band crowds by the inverse of its white to the
power of a nearness, as the eye judges by where letters come near. The mean is made equal to that
of two upright stems at their proper space.

The space of stems grows with the pen, see `space_of_stems`. Signs of arithmetic keep it all round
them. Apart from that, inked edges never come nearer to each other, in any direction, than a given
least.

Everything is in capital heights, so that one letter is measured once for all sizes.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from legend.standards import ISO_B_BETWEEN_CHARACTERS, ISO_B_STROKE

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
#: What goes below the baseline or above the capital height by fewer bands is judged with the rest.
_BEYOND = 5
#: Which bands lie further out.
_IS_OUTSIDE = np.ones(_BANDS, dtype=bool)
_IS_OUTSIDE[_BASELINE - _BEYOND : _CAPITAL + _BEYOND] = False
#: How high each band lies.
_HEIGHTS: _Bands = np.array([_LOWEST + (band + 0.5) * _BAND for band in range(_BANDS)])

#: How much more near places count than far ones; and more so with the pen of ISO 3098, whose
#: letters have less space to come near in than with pens from `_BROAD` on. By eye, no source.
_NEARNESS = 3.0
_NEARNESS_FINE = 5.0
_BROAD = 1 / 8
#: How far behind its foremost point a side is seen. By eye, no source.
_RECESS = 0.16
#: How far above and below itself what sticks out counts, falling off as a round end does.
#: By eye, no source.
_ROUND = 0.15

#: How much the space of stems grows with the pen, beyond that of ISO 3098 type B. With a pen of
#: 1/7 it is then 1.82 pens; well-made faces have 1.6 to 2. Common practice, no source.
_GROWS = 1.4
#: How much further apart than stems open letters may stand, for each tenth that the pen is
#: broader than that of ISO 3098, whose letters stand no further apart than stems.
_FURTHER = 1.0

#: How near to a neighbour an accent, or anything else outside of capitals, may come, in the space
#: of stems: so that no accent is nearer than the letters of the word. By eye, no source.
_OUTSIDE = 0.7

#: Signs that stand clear of all beside them, besides those of mathematics.
_CLEAR = frozenset("/\\%‰-‐‑–—")

#: How far the edges that are measured may lie inside of their curves, both together.
_FLATTENED = 0.003

#: What is kept clear at the beginning of a word.
NOTHING_KEPT_CLEAR: _Bands = np.full(_BANDS, -np.inf)


def space_of_stems(stroke: float) -> float:
    """Between two upright stems, in capital heights, by the pen's.

    >>> round(space_of_stems(1 / 10), 3), round(space_of_stems(1 / 7), 3)
    (0.2, 0.26)
    """
    return ISO_B_BETWEEN_CHARACTERS + _GROWS * max(0.0, stroke - ISO_B_STROKE)


def stands_clear(character: str) -> bool:
    """Whether it is a sign that keeps the whole space of stems from what is beside it."""
    return character in _CLEAR or unicodedata.category(character[0]) == "Sm"


@dataclass(frozen=True, slots=True)
class Profile:
    """How far the ink of a letter reaches to the left and to the right, in capital heights.

    `lefts` and `rights` hold it for each band: infinite where a band has no ink. `seen_left`
    and `seen_right` hold the same of the letter set upright, as the eye sees it.
    `kept_clear` is the right side again, of the ink and all that is nearer to it than the
    least distance. `low` and `high` are the first band with ink and the one after the last.
    """

    left: float
    right: float
    lefts: _Bands
    rights: _Bands
    seen_left: _Bands
    seen_right: _Bands
    kept_clear: _Bands
    low: int
    high: int
    _grown: dict[tuple[float, int, bool], _Bands] = field(default_factory=dict, repr=False)

    def clear_by(self, least: float, outside: bool = False) -> _Bands:
        """The right side with all that is nearer to it than `least`; or to what of it is
        outside of capitals."""
        return self._right_grown(least, -1, outside)

    def within(self, most: float) -> _Bands:
        """The right side with all that is surely no further from it than `most`."""
        return self._right_grown(most, 1, False)

    def _right_grown(self, by: float, edge: int, outside: bool) -> _Bands:
        key = (by, edge, outside)
        if key not in self._grown:
            rights = np.where(_IS_OUTSIDE, self.rights, -np.inf) if outside else self.rights
            self._grown[key] = _grown(rights, by, edge)
        return self._grown[key]


def profile_of(rings: Sequence[_Bands], least: float, lean: float = 0.0) -> Profile:
    """The profile of a letter from its edges, rings of points with shape (n, 2).

    `least` is the distance that the ink of the next letter has to keep, and `lean` how far
    the letters lean over for each of their height.
    """
    x, y = _dense(rings).T
    band = ((y - _LOWEST) / _BAND).astype(int).clip(0, _BANDS - 1)
    lefts, rights = np.full(_BANDS, np.inf), np.full(_BANDS, -np.inf)
    np.minimum.at(lefts, band, x)
    np.maximum.at(rights, band, x)
    leaned = lean * _HEIGHTS
    return Profile(
        float(x.min()),
        float(x.max()),
        lefts,
        rights,
        _ROUND - _dilated(leaned - lefts, _ROUND),
        _dilated(rights - leaned, _ROUND) - _ROUND,
        _dilated(rights, least),
        int(band.min()),
        int(band.max()) + 1,
    )


@dataclass(frozen=True, slots=True)
class Rhythm:
    """What every pair of letters is spaced to, in capital heights.

    `stems` is the space between upright stems, `furthest` how far apart any two letters may
    stand, and `nearness` how much more near places count than far ones. `crowding` is how
    crowded two stems are at their space: 1 where their ends are square.
    """

    stems: float
    furthest: float
    nearness: float
    crowding: float = 1.0

    @classmethod
    def of(cls, stroke: float, stem: Profile | None) -> Rhythm:
        """The rhythm of a face from a letter with upright stems on both sides, as H.

        A face without one, or with one that has no ink where capitals have it, has the
        crowding of stems with square ends.
        """
        stems = space_of_stems(stroke)
        furthest = stems * (1 + _FURTHER * max(0.0, stroke - ISO_B_STROKE) / 0.1)
        pens = (ISO_B_STROKE, _BROAD)
        nearness = float(np.interp(stroke, pens, (_NEARNESS_FINE, _NEARNESS)))
        crowding = 1.0
        if stem is not None and stem.low < _CAPITAL and stem.high > _BASELINE:
            right, left = stem.seen_right[_BASELINE:_CAPITAL], stem.seen_left[_BASELINE:_CAPITAL]
            white = stems + right.max() - left.min() + left - right
            crowding = float(np.mean((stems / white) ** nearness))
        return cls(stems, furthest, nearness, crowding)


def space_between(before: Profile, after: Profile, rhythm: Rhythm, clear: bool = False) -> float:
    """From the pen of one letter to the pen of the next, by the white between them.

    The white below the baseline, between it and the capital height, and above is judged each by
    itself, and the widest space taken. Where they have to stand `clear` of each other, they are
    nowhere nearer than stems, and what is below or above capitals, as accents are, nowhere
    nearer than `_OUTSIDE` of that. Letters that share no level, as a comma and a quote, or a
    broken bar and a dot in its gap, have their boxes half the space of stems apart.
    """
    zones = _shared_zones(before, after)
    if zones:
        even = max(_even_space(before, after, zone, rhythm) for zone in zones)
        space = min(even, clearing_space(before.within(rhythm.furthest), after))
    else:
        space = before.right - after.left + rhythm.stems / 2
    if clear:
        return max(space, clearing_space(before.clear_by(rhythm.stems + _FLATTENED), after))
    least = _OUTSIDE * rhythm.stems
    of_before = before.clear_by(least, outside=True) - after.lefts
    of_after = (before.clear_by(least) - after.lefts)[_IS_OUTSIDE]
    return max(space, float(of_before.max()), float(of_after.max()))


def _shared_zones(before: Profile, after: Profile) -> list[slice]:
    """The levels that both letters have ink on: below the baseline, above it, above capitals."""
    low, high = max(before.low, after.low), min(before.high, after.high)
    inked = np.isfinite(after.lefts - before.rights)
    zones = []
    for start, end in (
        (0, _BASELINE - _BEYOND),
        (_BASELINE, _CAPITAL),
        (_CAPITAL + _BEYOND, _BANDS),
    ):
        zone = slice(max(low, start), min(high, end))
        if inked[zone].any():
            zones.append(zone)
    return zones


def _even_space(before: Profile, after: Profile, zone: slice, rhythm: Rhythm) -> float:
    right, left = before.seen_right[zone], after.seen_left[zone]
    right = np.maximum(right, right.max() - _RECESS)
    left = np.minimum(left, left.min() + _RECESS)
    return _balanced(left - right, rhythm)


def clearing_space(kept_clear: _Bands, after: Profile) -> float:
    """From where `kept_clear` is measured to the least pen of a letter that stands clear of it."""
    return float((kept_clear - after.lefts).max())


def _balanced(white: _Bands, rhythm: Rhythm) -> float:
    """The pen at which the white, there 0 wide where it is negative, is as crowded as stems.

    By Newton's rule on the crowding to the power of -1 / nearness, which grows nearly
    straight with the pen.
    """
    stems, nearness = rhythm.stems, rhythm.nearness
    wanted = rhythm.crowding ** (-1 / nearness)
    # Begin where the narrowest band alone is as crowded, and approach from that side.
    pen: float = stems * wanted * len(white) ** (-1 / nearness) - float(white.min())
    for _ in range(20):
        share = stems / (white + pen)
        power = share**nearness
        crowded = float(power.sum()) / len(white)
        open_ = crowded ** (-1 / nearness)
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
    counts = np.maximum(1, np.ceil(np.abs(step).max(axis=1) / (_BAND / 5))).astype(int)
    which = np.repeat(np.arange(len(counts)), counts)
    part = (np.arange(len(which)) - (np.cumsum(counts) - counts)[which]) / counts[which]
    dense: _Bands = points[which] + step[which] * part[:, None]
    return dense


def _dilated(rights: _Bands, least: float) -> _Bands:
    """The right side with all that is nearer to it than `least`, band for band.

    Ink may lie anywhere in its band, so that two bands are as far apart as their near edges.
    """
    return _grown(rights, least, -1)


def _grown(rights: _Bands, by: float, edge: int) -> _Bands:
    """The right side grown all round; bands count as `edge` bands further apart than they are."""
    reach = math.ceil(by / _BAND) + 1
    bands = np.abs(np.arange(-reach, reach + 1))
    apart = np.where(bands == 0, 0, np.maximum(bands + edge, 0)) * _BAND
    across = np.where(apart <= by, np.sqrt(np.maximum(by * by - apart * apart, 0.0)), -np.inf)
    padded = np.full(_BANDS + 2 * reach, -np.inf)
    padded[reach:-reach] = rights
    grown: _Bands = (sliding_window_view(padded, 2 * reach + 1) + across).max(axis=1)
    return grown
