"""Tell a round hole from its chamfer where that is as light as the front, or as dark as the hole.

In light from one side, half of a chamfer may be as light as the front, and the other half as dark
as the hole. Steps of light then lie on the hole's own rim on the one side and on the outer edge of
its chamfer on the other, which together are as round as one may wish, in the wrong place and of the
wrong size. So the light itself is made up, round and across the rim:

    hole | chamfer | front

each of a tone of its own that changes round the hole; the chamfer's may be any between black and
what glares. It is made up so in several ways, without a chamfer too, and each counts by how well it
fits: what they do not agree in is open.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from legend.camera.holes.light import Floats, Light
from legend.camera.holes.walls import sunk
from legend.camera.panel.edges.normal import normal_cumulative
from legend.camera.view import WITHIN_95, View

#: So far within the rim and beyond it light is made up, mm, at rays so many round the hole, sampled
#: every so many pixels.
_WITHIN, _BEYOND, _RAYS, _SAMPLED = 0.7, 1.1, 36, 0.7
#: The face is what lies further out than this, mm.
_FACE = 0.6
#: Widths of chamfers to begin with, mm; what was found may be the chamfer's outer edge, the hole's
#: own rim, or between the two.
_WIDTHS, _INWARDS = (0.18, 0.42), (0.0, 0.5, 1.0)
#: The narrowest and the widest chamfer, mm, and the narrowest in pixels.
_NARROWEST, _WIDEST, _NARROWEST_PIXELS = 0.1, 0.9, 1.2
#: What a picture is usually blurred by, px; how well that is known, as a share, and where it was
#: measured.
_BLUR, _BLUR_USUAL, _BLUR_KNOWN = 0.85, 0.2, 0.06
#: What is believed of the blur counts as samples that lie off by as much, of the lightest, squared.
_AS_SURE = 2e-5
#: Steps of a fit, and how far one goes at the most, mm and shares of the blur.
_STEPS, _AT_ONCE = 8, 0.12
#: Light counts less on what is light: by the root of its share of the lightest, and this more.
_DARK = 0.15
#: Light that lies off by so many deviations of the face's grain counts for nothing in a fit; and
#: off by more than this, of the lightest, no more when ways are compared.
_ASTRAY, _MOST_OFF = 7.0, 0.06
#: What is made up right lies off by this all the same; and how much less likely a way is that lies
#: off more: its share falls with this power of the mean square.
_OFF, _SURE = 0.012, 4.0
#: What a chamfer costs, since most holes have none, and it has more to fit.
_CHAMFER_COSTS = 2.0
#: A chamfer is no darker than the hole, and on its lighter side no darker than this share of the
#: face; it costs one more for each of these beyond.
_LEAST_LIT, _DARKER = 0.6, 0.06
#: Ways nearer than this to each other are one, mm.
_ONE = 0.03
#: A ring is told as a chamfer that is darker than this share of the face somewhere.
_SEEN = 0.85


@dataclass(frozen=True, slots=True, eq=False)
class LitChamfer:
    """A hole and its chamfer by all ways together.

    `moved` is how far its middle lies from where the rim was found, and `radius` its own, mm;
    `chamfer` how wide the chamfer is, None where none is likely, and `likely` how likely there is
    one. `place_open` and `radius_open` are how far both may be off by what the ways do not agree
    in, at 95 %.
    """

    moved: tuple[float, float]
    radius: float
    chamfer: float | None
    likely: float
    place_open: float
    radius_open: float


def lit_chamfer(
    light: Light, view: View, at: tuple[float, float], radius: float
) -> LitChamfer | None:
    """The hole within a circle that was found, mm; None where nothing can be told of it."""
    pixel = 1 / view.pixels_per_mm(at)
    patch = _patch(light, view, at, radius, pixel)
    if patch is None:
        return None
    begins = [(0.0, radius)]
    begins += [(width, radius - part * width) for width in _WIDTHS for part in _INWARDS]
    begins = [each for each in begins if each[0] == 0 or each[1] > _WIDEST / 2]
    ways = _made(patch, light, view, at, np.array([[0.0, 0.0, r, w] for w, r in begins]), pixel)
    keep = _apart(ways)
    places = ways.numbers[keep, :3]
    places[0] = 0.0, 0.0, radius  # without a chamfer, what was found by steps is surer
    likely = np.exp(-(ways.costs[keep] - ways.costs[keep].min()))
    likely[1:] /= max(len(keep) - 1, 1)  # one chamfer, however many ways there are to have it
    likely /= likely.sum()
    share = float(likely[1:].sum())
    told, width = places[0], None
    if share > 0.5:
        told = likely[1:] @ places[1:] / share
        best = keep[int(np.argmax(likely[1:])) + 1]
        width = float(ways.numbers[best, 3]) if ways.darkest[best] < _SEEN else None
    off = places - told
    return LitChamfer(
        (float(told[0]), float(told[1])),
        float(told[2]),
        width,
        share,
        WITHIN_95 * float(np.sqrt(likely @ (off[:, :2] ** 2).sum(axis=1))),
        WITHIN_95 * float(np.sqrt(likely @ off[:, 2] ** 2)),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Patch:
    """Linear light on rays round a rim: rays × offsets, and what each sample counts.

    `ways` are the rays' ways outwards, `far` how far out from the middle the samples lie, mm.
    """

    ways: Floats
    far: Floats
    light: Floats
    counts: Floats
    face: float


def _patch(
    light: Light, view: View, at: tuple[float, float], radius: float, pixel: float
) -> _Patch | None:
    phi = np.arange(_RAYS) * 2 * np.pi / _RAYS
    ways = np.column_stack([np.cos(phi), np.sin(phi)])
    offsets = np.arange(-min(_WITHIN, 0.7 * radius), _BEYOND, _SAMPLED * pixel)
    far = radius + offsets
    points = np.array(at) + ways[:, None] * far[None, :, None]
    values = light.at(view.to_picture(points.reshape(-1, 2)))[0].reshape(len(phi), -1)
    face = float(np.median(values[:, offsets > _FACE]))
    if face < 1.5 * float(np.median(values[:, offsets < 0])) + 1e-3:
        return None  # what is lighter within than the face tells nothing of dark chamfers
    counts = 1 / np.sqrt(np.maximum(values, 0) / face + _DARK) / face
    return _Patch(ways, far, values, counts, face)


@dataclass(frozen=True, slots=True, eq=False)
class _Ways:
    """Ways to make up a patch. The numbers of each: its middle, its radius, its chamfer's width.

    `costs` tell how unlikely each is, `darkest` how dark the chamfer is at its darkest, as a share
    of the face.
    """

    numbers: Floats
    costs: Floats
    darkest: Floats


def _apart(ways: _Ways) -> list[int]:
    """The plain way, and of all others that came to rest in one place the best."""
    keep = [0]
    for k in np.argsort(ways.costs):
        near = np.abs(ways.numbers[keep] - ways.numbers[k]).max(axis=1) < _ONE
        if k and not near[1:].any():
            keep.append(int(k))
    return keep


def _made(
    patch: _Patch,
    light: Light,
    view: View,
    at: tuple[float, float],
    begins: Floats,
    pixel: float,
) -> _Ways:
    """The best fits from where they begin, all side by side; the first has no chamfer.

    1. Each tone goes round the hole as a wave and its first overtone, held to no more than needed.
    2. Of circles as they stand, the blurred steps share each sample between hole, chamfer, front.
    3. What lies near the rim counts, but for samples that lay astray at the last step.
    4. The tones are solved for by linear least squares.
    5. How light changes with the numbers of the circles, less what the tones can make good: that
       is no reason to move.
    6. A step of Gauss and Newton, none of it too long, with the blur held to what is known of it.
    7. In the end each way costs by how far light lies off it, and by how unlike a chamfer it is.
    """
    count, rays = len(begins), len(patch.ways)
    # 1.
    phi = np.arctan2(patch.ways[:, 1], patch.ways[:, 0])
    waves = np.column_stack(
        [np.ones(rays), *(f(k * phi) for k in (1, 2) for f in (np.cos, np.sin))]
    )
    many = waves.shape[1]
    samples = patch.light.size
    hold = np.diag(np.where(np.arange(3 * many) % many, 1e-5, 1e-7) * samples / patch.face**2)
    usual = np.log((light.blur or _BLUR) * pixel)
    # x, y, radius, width, logarithm of the blur
    p = np.column_stack([begins, np.full(count, usual)])
    has = (begins[:, 3] > 0)[:, None, None]
    known = _AS_SURE * samples / (_BLUR_KNOWN if light.blur else _BLUR_USUAL) ** 2
    off = np.zeros((count, *patch.light.shape))
    grain = _MOST_OFF
    for step in range(_STEPS + 1):
        # 2.
        blur = np.exp(p[:, 4])[:, None, None]
        aside = np.array([sunk(view, at, float(width)) for width in p[:, 3]])
        inner = _along(patch.ways, p[:, :2] + aside, p[:, 2])
        outer = _along(patch.ways, p[:, :2], p[:, 2] + p[:, 3])
        z_in, z_out = ((patch.far - each[..., None]) / blur for each in (inner, outer))
        past_in, past_out = normal_cumulative(np.stack([z_in, z_out]))
        parts = [1 - past_in, past_in - past_out, past_out]
        design = np.concatenate([part[..., None] * waves[:, None] for part in parts], axis=3)
        # 3.
        near = (z_in > -3) & (patch.far < outer[..., None] + 3 * blur + 0.15)
        counts = patch.counts * near
        if step:
            counts = counts * np.sqrt(np.clip(1 - (off / (_ASTRAY * grain)) ** 2, 0, 1))
        # 4.
        weighted = (design * counts[..., None]).reshape(count, samples, -1)
        turned = weighted.transpose(0, 2, 1)
        normal = turned @ weighted + hold
        wanted = (patch.light * counts).reshape(count, samples, 1)
        tones = np.linalg.solve(normal, turned @ wanted)
        off = (patch.light - (design @ tones[:, None])[..., 0]) * patch.counts
        hole, chamfer, face = (tones[:, k * many : (k + 1) * many, 0] @ waves.T for k in range(3))
        if step == _STEPS:
            break
        grain = max(1.4826 * float(np.median(np.abs(off[0][:, -6:]))), 0.004)
        # 5.
        bell_in, bell_out = (
            np.exp(-0.5 * each**2) / np.sqrt(2 * np.pi) / blur for each in (z_in, z_out)
        )
        at_in = (hole - np.where(has[..., 0], chamfer, face))[..., None] * bell_in
        at_out = np.where(has, (chamfer - face)[..., None] * bell_out, 0)
        both = at_in + at_out
        x, y = (both * patch.ways[:, k, None] for k in (0, 1))
        rates = np.stack([x, y, both, at_out, (at_in * z_in + at_out * z_out) * blur], axis=-1)
        rates = (rates * counts[..., None]).reshape(count, samples, -1)
        rates = rates - weighted @ np.linalg.solve(normal, turned @ rates)
        left = wanted - weighted @ tones
        slopes = rates.transpose(0, 2, 1)
        # 6.
        square, right = slopes @ rates, (slopes @ left)[..., 0]
        square[:, 4, 4] += known
        right[:, 4] -= known * (p[:, 4] - usual)
        square = square * (1 + 1e-3 * np.eye(5)) + 1e-9 * samples * np.eye(5)
        change = np.clip(np.linalg.solve(square, right[..., None])[..., 0], -_AT_ONCE, _AT_ONCE)
        change[0, 3] = 0
        p = p + change
        p[:, 2] = np.maximum(p[:, 2], 0.3)
        least = max(_NARROWEST, _NARROWEST_PIXELS * pixel)
        p[1:, 3] = np.clip(p[1:, 3], least, _WIDEST)
    # 7.
    costs = _SURE * np.log((np.minimum(np.abs(off), _MOST_OFF) ** 2).mean(axis=(1, 2)) + _OFF**2)
    lit = chamfer.max(axis=1) / patch.face
    dark = (hole - chamfer).max(axis=1) / patch.face
    unlike = np.maximum(_LEAST_LIT - lit, 0) / _DARKER + np.maximum(dark, 0) / _DARKER
    costs = costs + has[:, 0, 0] * (_CHAMFER_COSTS + unlike)
    costs += _SURE * known / samples * (p[:, 4] - usual) ** 2 / _OFF**2
    return _Ways(p[:, :4], costs, chamfer.min(axis=1) / patch.face)


def _along(ways: Floats, middle: Floats, radius: Floats) -> Floats:
    """How far out along each ray circles are crossed, whose middles lie a little aside."""
    across = middle[:, :1] * ways[:, 1] - middle[:, 1:] * ways[:, 0]
    out: Floats = middle @ ways.T + np.sqrt(np.maximum(radius[:, None] ** 2 - across**2, 1e-6))
    return out
