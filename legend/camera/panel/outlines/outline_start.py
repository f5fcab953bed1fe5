"""Find roughly how a panel that is no rectangle lies in a scan: as one patch on one backing.

And tell in which ways it may lie there, since its outline may look the same turned.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from legend.camera.opencv import outline_of, parts_of
from legend.camera.panel.lines.long_lines import small_copy
from legend.camera.picture import Picture
from legend.camera.view import Points, View
from legend.description.tables.panel import Panel

#: The frame of the picture in which only backing is expected, as a share of its shorter side.
_FRAME = 0.02
#: A panel takes at least this share of the picture.
_LEAST_AREA = 0.01
#: An outline whose points lie as far from its middle, within this, mm, is round; and one that looks
#: the same turned lies no further off itself than this then, mm, on the average.
_ROUND, _ALIKE = 0.1, 0.15
#: Turns that differ by less than this are one, degrees.
_SAME_TURN = 5.0
#: So many turns are looked at, those that fit best.
_MOST_TURNS = 12
#: Turns that fit nearly as well as the best are tried too: their misfit is this much more at most.
_NEARLY = 1.5

#: A place of the panel, mm.
Point = tuple[float, float]


def outline_starts(picture: Picture, panel: Panel) -> list[View]:
    """Views by which the panel's outline lies about where the picture shows a patch of its area.

    The likeliest comes first; none where there is no such patch.
    """
    small = small_copy(picture.rgb)
    patch = _patch(small.rgb)
    if patch is None:
        return []
    seen = small.in_picture(patch)
    given = np.array(panel.edge.points(360), float)
    (middle, area), (centre, wanted) = _balance(seen), _balance(given)
    scale = float(np.sqrt(area / wanted))
    turns = [0.0] if is_round(panel) else _unlike(_turns((seen - middle) * (1, -1), given), panel)
    out = []
    for turn in turns:
        c, s = scale * np.cos(turn), scale * np.sin(turn)
        # y of the panel goes up and that of the picture down.
        matrix = np.array([[c, -s], [-s, -c]])
        onto = np.eye(3)
        onto[:2, :2] = matrix
        onto[:2, 2] = middle - matrix @ centre
        out.append(View(onto))
    return out


def _unlike(turns: list[float], panel: Panel) -> list[float]:
    """Turns, radians, without those by which the outline looks as by one before."""
    alike = turned_alike(panel)[1]
    out: list[float] = []
    for turn in turns:
        apart = [np.degrees(turn - other) - each for other in out for each in alike]
        if all(abs((degrees + 180) % 360 - 180) > _SAME_TURN for degrees in apart):
            out.append(turn)
    return out


def is_round(panel: Panel) -> bool:
    """Whether nothing of a panel's outline tells how it is turned."""
    given = np.array(panel.edge.points(360), float)
    return bool(np.ptp(_far(given - _balance(given)[0])) < _ROUND)


def turned_alike(panel: Panel) -> tuple[Point, list[float]]:
    """The place about which a panel's outline may be turned, mm, and by which angles it then looks
    the same: degrees anticlockwise, the first of them 0."""
    given = np.array(panel.edge.points(360), float)
    middle = _balance(given)[0]
    turns = [0.0]
    for turn in _turns(given - middle, given):
        c, s = np.cos(turn), np.sin(turn)
        moved = (given - middle) @ np.array([[c, s], [-s, c]])
        off = _far(moved) - _far(given - middle)
        if np.degrees(abs(turn)) % 360 > 1 and np.sqrt((off**2).mean()) < _ALIKE:
            turns.append(float(np.degrees(turn)))
    return (float(middle[0]), float(middle[1])), turns


def _patch(rgb: NDArray[np.float32]) -> Points | None:
    """The outline of the largest patch that differs from what lies along the picture's border."""
    height, width = rgb.shape[:2]
    frame = max(2, round(_FRAME * min(height, width)))
    inner = np.s_[frame : height - frame, frame : width - frame]
    border = np.ones((height, width), bool)
    border[inner] = False
    backing = np.median(rgb[border], axis=0)
    apart = np.sqrt(((rgb - backing) ** 2).sum(axis=2))
    mask = (apart > _threshold(apart)).astype(np.uint8)
    numbers, boxes = parts_of(mask)
    areas = boxes[:, 4].copy()
    areas[0] = 0
    touching = (boxes[:, 0] == 0) | (boxes[:, 1] == 0)
    touching |= (boxes[:, 0] + boxes[:, 2] == width) | (boxes[:, 1] + boxes[:, 3] == height)
    areas[touching] = 0
    best = int(np.argmax(areas))
    if areas[best] < _LEAST_AREA * width * height:
        return None
    return outline_of((numbers == best).astype(np.uint8))


def _threshold(values: NDArray[np.float32]) -> float:
    """The value that parts others best in two. N. Otsu, "A threshold selection method from
    gray-level histograms", IEEE Transactions on Systems, Man, and Cybernetics 9 (1), 1979.
    """
    counts, edges = np.histogram(values, 256)
    middles = (edges[:-1] + edges[1:]) / 2
    below = np.cumsum(counts)
    above = below[-1] - below
    sums = np.cumsum(counts * middles)
    with np.errstate(all="ignore"):
        gap = (sums / below - (sums[-1] - sums) / above) ** 2 * below * above
    return float(edges[1:][int(np.nanargmax(gap))])


def _balance(points: Points) -> tuple[Points, float]:
    """The middle of the area that a closed line goes round, and that area."""
    x, y = points.T
    u, v = np.roll(points, -1, axis=0).T
    cross = x * v - u * y
    area = cross.sum() / 2
    middle = np.array([((x + u) * cross).sum(), ((y + v) * cross).sum()]) / (6 * area)
    return middle, abs(float(area))


def _turns(seen: Points, given: Points) -> list[float]:
    """The turns of the given outline that fit what is seen, radians anticlockwise: the best first.

    What is seen lies round the origin, as a panel goes, y upwards.
    """
    centre, area = _balance(given)
    wanted = _far(given - centre) / np.sqrt(area)
    found = _far(seen) / np.sqrt(_balance(seen)[1])
    misfits = np.array([((np.roll(wanted, k) - found) ** 2).mean() for k in range(len(wanted))])
    crests = (misfits <= np.roll(misfits, 1)) & (misfits < np.roll(misfits, -1))
    likely = [k for k in np.flatnonzero(crests) if misfits[k] < _NEARLY * misfits.min() + 1e-5]
    likely.sort(key=lambda k: misfits[k])
    return [2 * np.pi * float(k) / len(wanted) for k in likely[:_MOST_TURNS]]


def _far(points: Points, count: int = 360) -> Points:
    """How far a closed line round the origin reaches in each direction, anticlockwise."""
    closed = np.vstack([points, points[:1]])
    parts = np.linspace(0, 1, 9)[:-1, None, None]
    fine = (closed[:-1] * (1 - parts) + closed[1:] * parts).reshape(-1, 2)
    bearing = np.floor(np.arctan2(fine[:, 1], fine[:, 0]) / (2 * np.pi) * count).astype(int) % count
    out = np.full(count, np.nan)
    np.fmax.at(out, bearing, np.hypot(*fine.T))
    known = np.flatnonzero(np.isfinite(out))
    every = np.arange(count)
    filled: Points = np.interp(every, known, out[known], period=count)
    return filled
