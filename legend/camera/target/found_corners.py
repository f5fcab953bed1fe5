"""Find the corners of a target page in a picture, to parts of a pixel, and how sharp they are."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from legend.camera.opencv import found_markers, sharpened_saddles, shrunk
from legend.camera.picture import LUMINANCE, Picture
from legend.camera.target.camera_fit import Corners, homography
from legend.camera.target.target_page import RUN, RUNS, Cell, TargetPage
from legend.camera.view import Points, View

#: Markers are looked for in a picture shrunk to about so many pixels along its longer side, and
#: in the whole one where too few are found there.
_SHRUNK_TO = 2400
#: Fewer than this share of the markers are too few to be content with.
_CONTENT = 0.8
#: A marker is taken for one of the page whose middle lies no further off than so many squares
#: from where the others put it: a lens bends the page less than that.
_OFF = 1.0
_TRIES = 300
#: Where round a crossing the tone of each square is looked at, and how far from the middle of
#: the crossing it is sharpened, as parts of what is clear of markers there.
_LOOKED_AT, _WITHIN = 0.55, 0.8
#: The least and the largest half side of the square in which it is sharpened, px.
_LEAST_HALF, _MOST_HALF = 2, 12
#: White is at least so much lighter than black, of 255.
_CONTRAST = 25.0


@dataclass(frozen=True, slots=True, eq=False)
class FoundPage:
    """What was found of a page: `crossings` are places in the list of those of the page, in the
    order of `corners`. `markers` are how many markers were found in all, and `misplaced` how many
    of these are where no such page has them."""

    crossings: NDArray[np.int64]
    corners: Corners
    markers: int
    misplaced: int


def found_page(picture: Picture, page: TargetPage) -> FoundPage:
    """The corners of a page that are seen in a picture."""
    green = np.ascontiguousarray(picture.rgb[:, :, 1])
    seen = _markers(green, page)
    ours = _of_the_page(seen, page)
    height, width = green.shape
    guessed = {
        k: guess
        for k, guess in _guessed(ours, page).items()
        if (guess[0] >= 0).all() and (guess[0] <= (width - 1, height - 1)).all()
    }
    order = np.array(sorted(guessed), dtype=np.int64)
    near = np.array([guessed[k][0] for k in order]).reshape(-1, 2)
    runs = np.array([guessed[k][1] for k in order], dtype=np.int64)
    pixels = sharpened_saddles(green, near, _half(ours, page))
    moved = np.hypot(*(pixels - near).T)
    scale = np.array([guessed[k][2] for k in order])
    good = (moved < page.clear_round_crossing * scale) & _chequered(
        green, pixels, order, page, ours
    )
    places = page.crossing_places[order[good]]
    sheets = _sheets(order[good], runs[good])
    return FoundPage(
        order[good], Corners(places, pixels[good], sheets), len(seen), len(seen) - len(ours)
    )


# --- Markers ---


@dataclass(frozen=True, slots=True, eq=False)
class _Marker:
    """A marker of the page: its square, the run it is of, and where its four corners are seen."""

    cell: Cell
    run: int
    pixels: Points


def _markers(green: NDArray[np.uint8], page: TargetPage) -> list[_Marker]:
    """The markers that are seen, whether or not they are where they should be."""
    times = max(1, round(max(green.shape) / _SHRUNK_TO))
    numbers = [RUN * run + k for run in range(RUNS) for k in range(len(page.marked))]
    found = []
    for factor in sorted({times, 1}, reverse=True):
        small = shrunk(green, factor)
        found = [
            _Marker(page.marked[number % RUN], number // RUN, (corners + 0.5) * factor - 0.5)
            for number, corners in found_markers(small, numbers)
        ]
        if len(found) > _CONTENT * len(page.marked):
            break
    return found


def _of_the_page(seen: list[_Marker], page: TargetPage) -> list[_Marker]:
    """Those that lie with respect to each other as the page has them, but for what a lens bends.

    M. A. Fischler and R. C. Bolles, "Random sample consensus", Communications of the ACM 24 (6),
    1981.
    """
    if len(seen) < 4:
        return []
    places = np.array([_middle(page.marker_box(marker.cell)) for marker in seen])
    pixels = np.array([marker.pixels.mean(axis=0) for marker in seen])
    random = np.random.default_rng(0)
    best = np.zeros(len(seen), dtype=bool)
    for _ in range(_TRIES):
        four = random.choice(len(seen), 4, replace=False)
        try:
            back = View(homography(pixels[four], places[four]))
        except (ValueError, np.linalg.LinAlgError):
            continue
        with np.errstate(all="ignore"):
            off = np.hypot(*(back.to_picture(pixels) - places).T)
        near = off < _OFF * page.side
        if near.sum() > best.sum():
            best = near
        if best.all():
            break
    return [marker for marker, is_one in zip(seen, best, strict=True) if is_one]


def _middle(box: tuple[float, float, float, float]) -> tuple[float, float]:
    return (box[0] + box[2]) / 2, (box[1] + box[3]) / 2


def _local(marker: _Marker, page: TargetPage) -> View:
    """How the neighbourhood of a marker is seen, by its own four corners."""
    x0, y0, x1, y1 = page.marker_box(marker.cell)
    corners = np.array([(x0, y1), (x1, y1), (x1, y0), (x0, y0)])
    return View(homography(corners, marker.pixels))


# --- Crossings ---


def _guessed(ours: list[_Marker], page: TargetPage) -> dict[int, tuple[Points, int, float]]:
    """About where crossings are seen that have a marker beside them, with its run, and px per mm.

    A crossing between two sheets of paper, whose markers are of different runs, is left out.
    """
    at = {cell: k for k, cell in enumerate(page.crossings)}
    by: dict[int, list[tuple[Points, int, float]]] = {}
    for marker in ours:
        i, j = marker.cell
        view = _local(marker, page)
        for cell in ((i, j), (i + 1, j), (i, j + 1), (i + 1, j + 1)):
            if (k := at.get(cell)) is not None:
                place = page.corner(cell)
                pixel = view.to_picture(np.array([place]))[0]
                by.setdefault(k, []).append((pixel, marker.run, view.pixels_per_mm(place)))
    guessed = {}
    for k, guesses in by.items():
        pixels, runs, scales = zip(*guesses, strict=True)
        if len(set(runs)) == 1:
            guessed[k] = (np.mean(pixels, axis=0), runs[0], float(np.mean(scales)))
    return guessed


def _half(ours: list[_Marker], page: TargetPage) -> int:
    """Half the side of the square in which crossings are sharpened, px: clear of markers."""
    if not ours:
        return _LEAST_HALF
    sides = [
        np.hypot(*(marker.pixels - np.roll(marker.pixels, 1, axis=0)).T).min() for marker in ours
    ]
    x0, _, x1, _ = page.marker_box(page.marked[0])
    least = float(np.percentile(sides, 10)) / (x1 - x0)
    half = math.floor(least * page.clear_round_crossing * _WITHIN)
    return min(max(half, _LEAST_HALF), _MOST_HALF)


def _chequered(
    green: NDArray[np.uint8], pixels: Points, order: NDArray[np.int64],
    page: TargetPage, ours: list[_Marker],
) -> NDArray[np.bool_]:  # fmt: skip
    """Which crossings have black and white squares about them as the page has: not covered ones."""
    views = {marker.cell: _local(marker, page) for marker in ours}
    out = np.zeros(len(order), dtype=bool)
    away = page.clear_round_crossing * _LOOKED_AT
    for k, (which, pixel) in enumerate(zip(order.tolist(), pixels, strict=True)):
        i, j = page.crossings[which]
        beside = ((i, j), (i - 1, j - 1), (i, j - 1), (i - 1, j))
        view = next(views[cell] for cell in beside if cell in views)
        place = np.array(page.corner((i, j)))
        # Towards the middles of the two squares that are black where the first is, then the others.
        ways = np.array([(1, 1), (-1, -1), (1, -1), (-1, 1)])
        around = view.to_picture(place + ways * away) - view.to_picture(place[None]) + pixel
        tones = sampled(green, around)
        black, white = (tones[:2], tones[2:]) if not (i + j) % 2 else (tones[2:], tones[:2])
        out[k] = white.min() - black.max() > _CONTRAST
    return out


def _sheets(order: NDArray[np.int64], runs: NDArray[np.int64]) -> NDArray[np.int64]:
    """The sheet that each crossing is on: a new one wherever, once round, the markers' run changes.

    The first and the last are on the same sheet where they are of the same run.
    """
    if not len(order):
        return np.zeros(0, dtype=np.int64)
    sheets = np.concatenate([[0], np.cumsum(runs[1:] != runs[:-1])])
    if runs[0] == runs[-1]:
        sheets[sheets == sheets[-1]] = 0
    return np.asarray(sheets, dtype=np.int64)


# --- Sharpness ---


def blur(picture: Picture, view: View, found: FoundPage, page: TargetPage) -> float:
    """How far light is spread at the edges of squares: the standard deviation, mm on the paper.

    An edge that is spread so has its steepest slope there, which is told from its step. `view` is
    that of the paper.
    """
    across = np.linspace(-1, 1, 41) * page.clear_round_crossing * 0.9
    spreads = []
    seen = set(found.crossings.tolist())
    places = page.crossing_places
    for k in sorted(seen):
        after = (k + 1) % len(places)
        if after not in seen:
            continue
        along = places[after] - places[k]
        normal = np.array([-along[1], along[0]]) / np.hypot(*along)
        line = (places[k] + places[after]) / 2 + across[:, None] * normal
        tones = picture.linear_at(view.to_picture(line)) @ LUMINANCE
        step = abs(float(tones[-4:].mean() - tones[:4].mean()))
        slope = float(np.abs(np.gradient(tones, across)).max())
        if slope > 0:
            spreads.append(step / slope / math.sqrt(2 * math.pi))
    return float(np.median(spreads)) if spreads else math.inf


def sampled(values: NDArray[np.uint8], pixels: Points) -> NDArray[np.float64]:
    """What an array of rows has at points between its pixels; beyond its edges, as at these."""
    rows, columns = values.shape
    x, y = (np.clip(p, 0, most - 1.001) for p, most in zip(pixels.T, (columns, rows), strict=True))
    left, top = x.astype(int), y.astype(int)
    dx, dy = x - left, y - top
    upper = values[top, left] * (1 - dx) + values[top, left + 1] * dx
    lower = values[top + 1, left] * (1 - dx) + values[top + 1, left + 1] * dx
    return np.asarray(upper * (1 - dy) + lower * dy, float)
