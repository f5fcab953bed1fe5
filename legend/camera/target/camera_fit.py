"""Fit a camera to corners whose places on a sheet of paper are known: least squares in numpy.

Worked out together are where the camera stands, its focal length, two terms of distortion, and
how the paper is: stretched by the printer, lifted beside the panel, and, where it is several
sheets, by how much each lies off its place. What one picture of a flat thing tells badly, such
as the focal length where it is taken square on, is held by what is known beforehand.

B. Triggs et al., "Bundle adjustment – a modern synthesis", Vision Algorithms: Theory and Practice,
2000; Z. Zhang, "A flexible new technique for camera calibration", IEEE Transactions on Pattern
Analysis and Machine Intelligence 22 (11), 2000.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from legend.camera.view import Lens, Points, View

Flags = NDArray[np.bool_]

#: What cameras of phones and others do before anything is measured: distortion terms, as they
#: are left by the camera's own correction, and by none. Common practice, no source.
_K1_LIKELY, _K2_LIKELY = 0.15, 0.15
#: By how much sheets that were taped by eye lie off their places, mm, and are turned, rad.
#: Common practice, no source.
_SHIFT_LIKELY, _TURN_LIKELY = 0.4, 0.003
#: By how much printers stretch one way more than the other, as a part; and how high paper rises
#: at the squares on a side of the panel, which holds it down, mm. Common practice, no source.
_STRETCH_LIKELY, _LIFT_LIKELY = 0.004, 0.4
#: How far beside the panel paper has risen by its lift, mm, more or less: it rises as a parabola.
_LIFTED_AT = 16.0
#: A corner is found no better than this, px, whatever the others say.
_LEAST_NOISE = 0.03
#: Corners further off than so many times the noise, and than so much at least, px, are none.
_OFF, _LEAST_OFF = 5.0, 0.5
#: The most steps of a fit; and it is at rest where a step gains less than this share: roughly,
#: while what does not fit is still looked for.
_STEPS, _AT_REST, _AT_REST_ROUGHLY = 60, 1e-9, 1e-6
#: The most that errors of corners beside each other are taken for alike.
_MOST_ALIKE = 0.95
#: So many unknowns are of the camera; the others are of the paper.
_OF_CAMERA = 9
#: Steps by which derivatives are found: of turns and of the lens; and of lengths, mm.
_TINY, _TINY_MM = 1e-5, 1e-3
_BITS = np.array([*[_TINY] * 6, *[_TINY_MM] * (_OF_CAMERA - 6)])


@dataclass(frozen=True, slots=True, eq=False)
class Corners:
    """Corners on the paper, mm, in the order in which they go round; where they are seen, px; and
    the sheet that each is on, from 0."""

    places: Points
    pixels: Points
    sheets: NDArray[np.int64]

    @property
    def middles(self) -> Points:
        """The middle of the corners on each sheet, about which it may be turned."""
        count = int(self.sheets.max()) + 1
        found = [self.places[self.sheets == sheet] for sheet in range(count)]
        return np.array([each.mean(axis=0) if len(each) else np.zeros(2) for each in found])

    def only(self, these: Flags) -> Corners:
        """Some of the corners."""
        return Corners(self.places[these], self.pixels[these], self.sheets[these])


@dataclass(frozen=True, slots=True)
class FocalGuess:
    """What the focal length is before anything is measured, px, and the share it may be off by."""

    focal: float
    likely: float


@dataclass(frozen=True, slots=True, eq=False)
class Camera:
    """A camera over the paper. `turn` and `shift` take panel coordinates, mm, to those of the
    camera: right, down, and away from it."""

    lens: Lens
    turn: Points
    shift: Points

    @property
    def eye(self) -> tuple[float, float, float]:
        """Where the camera stands, in panel coordinates, mm."""
        x, y, z = (-self.turn.T @ self.shift).tolist()
        return x, y, z

    def seen(self, solid: Points) -> Points:
        """Where points of three coordinates each are seen, px."""
        ways = solid @ self.turn.T + self.shift
        straight = ways[:, :2] / ways[:, 2:] * self.lens.focal + self.lens.middle
        return self.lens.bent(straight)

    def view(self, height: float = 0.0) -> View:
        """How the plane is seen that lies so many mm above the paper."""
        (middle_x, middle_y), focal = self.lens.middle, self.lens.focal
        inner = np.array([[focal, 0, middle_x], [0, focal, middle_y], [0, 0, 1]])
        x, y, z = self.eye
        shift = self.shift + height * self.turn[:, 2]
        onto = inner @ np.column_stack([self.turn[:, 0], self.turn[:, 1], shift])
        return View(onto / onto[2, 2], self.lens, (x, y, z - height))


@dataclass(frozen=True, slots=True, eq=False)
class Lying:
    """How the paper lies round a panel of this size, mm.

    `stretch` is by which part it is longer upwards than across; `lifts` how high it has risen at
    the squares to the left, beneath, to the right and above. `off` is by how much each sheet but
    the first is off its place, mm and rad, about its middle.
    """

    panel: tuple[float, float]
    middles: Points
    stretch: float
    lifts: Points
    off: Points

    def solid(self, places: Points, sheets: NDArray[np.int64]) -> Points:
        """Where places really are, three coordinates each, that are on these sheets."""
        off = np.vstack([np.zeros((1, 3)), self.off])[sheets]
        x, y = (places - self.middles[sheets]).T
        lain = places + np.column_stack([-y, x]) * off[:, 2:] + off[:, :2]
        size = np.array(self.panel)
        beside = np.maximum(np.column_stack([-lain, lain - size]), 0)
        height = (beside / _LIFTED_AT) ** 2 @ self.lifts
        lain[:, 1] += self.stretch * (lain[:, 1] - size[1] / 2)
        return np.column_stack([lain, height])

    @property
    def unknowns(self) -> Points:
        """All that is to be found of it, in a row."""
        return np.concatenate([[self.stretch], self.lifts, self.off.ravel()])

    def stepped(self, step: Points) -> Lying:
        """The same with its unknowns a step on."""
        return replace(
            self,
            stretch=self.stretch + float(step[0]),
            lifts=self.lifts + step[1:5],
            off=self.off + step[5:].reshape(-1, 3),
        )


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """A camera that was fitted. `kept` tells which corners it was fitted to; `noise` is how far
    these lie off, px along either axis, on the average, and never taken for nothing; `spread` is
    the covariance of the unknowns.
    """

    camera: Camera
    lying: Lying
    kept: Flags
    noise: float
    spread: Points

    @property
    def focal_doubt(self) -> float:
        """By which share the focal length may be off: its standard deviation."""
        return float(np.sqrt(self.spread[0, 0]))

    def uncertainty(self, places: Points, height: float = 0.0) -> float:
        """How far off the view is at the worst of places so high above the paper, mm, at 95 %."""
        solid = np.column_stack([places, np.full(len(places), height)])
        derived = _derived_of_camera(self.camera, solid)
        spread_of_camera = self.spread[:_OF_CAMERA, :_OF_CAMERA]
        view = self.camera.view(height)
        worst = 0.0
        for k, place in enumerate(places):
            rows = derived[2 * k : 2 * k + 2]
            here, right, above = view.to_picture(place + np.array([[0, 0], [1e-3, 0], [0, 1e-3]]))
            to_mm = np.linalg.inv(np.column_stack([right - here, above - here]) / 1e-3)
            spread = to_mm @ rows @ spread_of_camera @ rows.T @ to_mm.T
            worst = max(worst, float(np.linalg.eigvalsh(spread)[-1]))
        # The radius that holds 95 % of a round normal distribution.
        return math.sqrt(-2 * math.log(0.05) * worst)


def fitted(
    corners: Corners, size: tuple[int, int], guess: FocalGuess, panel: tuple[float, float]
) -> Fit:
    """The camera that took a picture of this size, px, in which corners round a panel are seen.

    Corners that do not fit with the others are left out. Error: ValueError for fewer than four, or
    for places in one line.
    """
    camera = first_camera(corners, size, guess.focal)
    middles = corners.middles
    lying = Lying(panel, middles, 0.0, np.zeros(4), np.zeros((len(middles) - 1, 3)))
    kept = np.ones(len(corners.places), dtype=bool)
    noise = counted = _LEAST_NOISE
    for robust in (True, True, False, False, False):
        camera, lying = _refined(camera, lying, corners.only(kept), counted, guess, robust)
        residuals = _residuals(camera, lying, corners)
        off = _lengths(residuals)
        kept = off < max(_OFF * _median_noise(off), _LEAST_OFF)
        if kept.sum() < 4:
            raise ValueError("no camera fits four of the corners")
        noise = max(float(np.sqrt((off[kept] ** 2).mean() / 2)), _LEAST_NOISE)
        counted = noise * _alike(residuals[kept])
    known = corners.only(kept)
    derived = _derived_of_all(camera, lying, known)
    held = np.diag(1 / _likely(guess, lying) ** 2)
    spread = np.linalg.inv(derived.T @ derived / counted**2 + held)
    return Fit(camera, lying, kept, noise, np.asarray(spread, float))


# --- Least squares ---


def _refined(
    camera: Camera, lying: Lying, corners: Corners, noise: float, guess: FocalGuess, robust: bool
) -> tuple[Camera, Lying]:
    """A better camera, by the steps of Levenberg and Marquardt."""
    likely = _likely(guess, lying)
    damping = 1e-3
    for _ in range(_STEPS):
        residuals = _residuals(camera, lying, corners).ravel()
        derived = _derived_of_all(camera, lying, corners)
        weights = _weights(residuals, noise, robust)
        held = _held(camera, lying, guess) / likely
        cost = float(weights @ residuals**2 + held @ held)
        normal = derived.T @ (weights[:, None] * derived) + np.diag(1 / likely**2)
        slope = derived.T @ (weights * residuals) + held / likely
        while True:
            step = np.asarray(-np.linalg.solve(normal + damping * np.diag(np.diag(normal)), slope))
            moved, lain = _camera_stepped(camera, step), lying.stepped(step[_OF_CAMERA:])
            after = _residuals(moved, lain, corners).ravel()
            held = _held(moved, lain, guess) / likely
            gained = cost - float(weights @ after**2 + held @ held)
            if gained >= 0:
                break
            damping *= 10
            if damping > 1e8:
                return camera, lying
        camera, lying, damping = moved, lain, max(damping / 10, 1e-9)
        if gained < (_AT_REST_ROUGHLY if robust else _AT_REST) * cost:
            break
    return camera, lying


def _alike(residuals: Points) -> float:
    """By how much more corners must be doubted because those beside each other are off alike.

    What paper does, they do together; so they tell less than as many that err by chance. For errors
    of which each has a share of the one before it, by that share: G. V. Bayley and J. M.
    Hammersley, "The effective number of independent observations in an autocorrelated time
    series", Supplement to the Journal of the Royal Statistical Society 8 (2), 1946.
    """
    following = np.roll(residuals, -1, axis=0)
    share = float((residuals * following).sum() / max((residuals**2).sum(), 1e-12))
    share = min(max(share, 0.0), _MOST_ALIKE)
    return math.sqrt((1 + share) / (1 - share))


def _weights(residuals: Points, noise: float, robust: bool) -> Points:
    """What each residual counts: one that is far off next to nothing, by Cauchy's weights."""
    lengths = np.repeat(_lengths(residuals.reshape(-1, 2)), 2)
    scale = max(_median_noise(lengths), _LEAST_NOISE) if robust else noise
    weights: Points = np.full(len(residuals), 1 / scale**2)
    if robust:
        weights /= 1 + (lengths / (2.5 * scale)) ** 2
    return weights


def _likely(guess: FocalGuess, lying: Lying) -> Points:
    """How far each unknown may be from what is known beforehand; places are quite unknown."""
    return np.array(
        [guess.likely, _K1_LIKELY, _K2_LIKELY, *[1e6] * 6, _STRETCH_LIKELY, *[_LIFT_LIKELY] * 4]
        + [_SHIFT_LIKELY, _SHIFT_LIKELY, _TURN_LIKELY] * len(lying.off)
    )


def _held(camera: Camera, lying: Lying, guess: FocalGuess) -> Points:
    """How far each unknown is from what is known beforehand."""
    lens = camera.lens
    off = [math.log(lens.focal / guess.focal), lens.k1, lens.k2, *[0.0] * 6]
    return np.concatenate([off, lying.unknowns])


def _camera_stepped(camera: Camera, step: Points) -> Camera:
    """The camera a step on: log of the focal length, k1, k2, turn, shift."""
    lens = camera.lens
    focal = lens.focal * math.exp(float(np.clip(step[0], -1, 1)))
    lens = replace(lens, focal=focal, k1=lens.k1 + float(step[1]), k2=lens.k2 + float(step[2]))
    return Camera(lens, turned_by(step[3:6]) @ camera.turn, camera.shift + step[6:9])


def _residuals(camera: Camera, lying: Lying, corners: Corners) -> Points:
    return camera.seen(lying.solid(corners.places, corners.sheets)) - corners.pixels


def _derived_of_all(camera: Camera, lying: Lying, corners: Corners) -> Points:
    """How what is seen changes with each unknown of the camera, and then with each of the paper."""

    def seen(step: Points) -> Points:
        return camera.seen(lying.stepped(step).solid(corners.places, corners.sheets))

    of_lying = _derived(seen, np.full(len(lying.unknowns), _TINY_MM))
    solid = lying.solid(corners.places, corners.sheets)
    return np.hstack([_derived_of_camera(camera, solid), of_lying])


def _derived_of_camera(camera: Camera, solid: Points) -> Points:
    """How points are seen elsewhere with each unknown of the camera."""
    return _derived(lambda step: _camera_stepped(camera, step).seen(solid), _BITS)


def _derived(seen: Callable[[Points], Points], bits: Points) -> Points:
    """How what is seen changes with each of some unknowns, by differences of a bit both ways."""
    columns = []
    for step, bit in zip(np.diag(bits), bits, strict=True):
        columns.append((seen(step) - seen(-step)).ravel() / (2 * bit))
    return np.column_stack(columns)


def _lengths(residuals: Points) -> Points:
    out: Points = np.hypot(residuals[:, 0], residuals[:, 1])
    return out


def _median_noise(lengths: Points) -> float:
    """The standard deviation along one axis of errors whose median length this is (Rayleigh's)."""
    return float(np.median(lengths)) / math.sqrt(2 * math.log(2))


def turned_by(vector: Points) -> Points:
    """The turn about a vector by its length, rad, by the formula of Rodrigues."""
    angle = float(np.linalg.norm(vector))
    if angle < 1e-12:
        return np.eye(3)
    x, y, z = vector / angle
    across = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.asarray(
        np.eye(3) + math.sin(angle) * across + (1 - math.cos(angle)) * across @ across
    )


# --- Where it begins ---


def first_camera(corners: Corners, size: tuple[int, int], focal: float) -> Camera:
    """A camera that is about right, with a lens that does not distort."""
    middle = (size[0] - 1) / 2, (size[1] - 1) / 2
    onto = homography(corners.places, corners.pixels)
    inner = np.array([[focal, 0, middle[0]], [0, focal, middle[1]], [0, 0, 1]])
    first, second, shift = np.linalg.solve(inner, onto).T
    scale = 2 / (np.linalg.norm(first) + np.linalg.norm(second))
    if shift[2] < 0:
        scale = -scale
    first, second, shift = first * scale, second * scale, shift * scale
    u, _, v = np.linalg.svd(np.column_stack([first, second, np.cross(first, second)]))
    return Camera(Lens(focal, middle), np.asarray(u @ v), shift)


def homography(places: Points, pixels: Points) -> Points:
    """The 3 × 3 matrix that takes places to pixels, for all alike.

    R. Hartley, "In defense of the eight-point algorithm", IEEE Transactions on Pattern Analysis and
    Machine Intelligence 19 (6), 1997. Error: ValueError for fewer than four, or all in one line.
    """
    if len(places) < 4:
        raise ValueError("a homography takes four points")
    one, other = _evened(places), _evened(pixels)
    (x, y), (u, v) = (
        (points * evened[0, 0] + evened[:2, 2]).T
        for points, evened in ((places, one), (pixels, other))
    )
    ones, noughts = np.ones_like(x), np.zeros_like(x)
    rows = np.vstack(
        [
            np.column_stack([x, y, ones, noughts, noughts, noughts, -u * x, -u * y, -u]),
            np.column_stack([noughts, noughts, noughts, x, y, ones, -v * x, -v * y, -v]),
        ]
    )
    _, sizes, ways = np.linalg.svd(rows, full_matrices=len(rows) < 9)
    if sizes[7] < 1e-9 * sizes[0]:
        raise ValueError("the points lie in one line")
    onto = np.linalg.solve(other, ways[8].reshape(3, 3) @ one)
    return np.asarray(onto / onto[2, 2])


def _evened(points: Points) -> Points:
    """The matrix that moves points about 0, at a mean distance of the root of 2."""
    middle = points.mean(axis=0)
    spread = float(_lengths(points - middle).mean())
    if spread < 1e-12:
        raise ValueError("the points lie in one place")
    scale = math.sqrt(2) / spread
    return np.array([[scale, 0, -scale * middle[0]], [0, scale, -scale * middle[1]], [0, 0, 1]])
