"""Move the sides of a panel, found by their sharpest steps, to where the panel ends.

The steps of a side tell truly how it runs, but the sharpest may be that of its bevel or of its
shadow. All its profiles together, each moved onto the line, tell which (see `edge_profile`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from legend.camera.panel.edges.edge_parts import Numbers
from legend.camera.panel.edges.edge_profile import (
    EdgeProfile,
    as_others,
    edge_profile,
    told_together,
)
from legend.camera.panel.edges.made_edge import made_ways
from legend.camera.panel.edges.normal import normal_cumulative
from legend.camera.panel.edges.profiles import Profiles
from legend.camera.panel.edges.steps import SeenSide
from legend.camera.panel.edges.straight_line import straight_line

#: Profiles are taken together by offsets of this many pixels.
_BIN = 0.5
#: The fewest samples of which a median is taken.
_FEWEST = 6
#: The fewest profiles that a line is laid through, and the least share of all.
_FEWEST_ENDS, _LEAST_SHARE = 8, 0.3
#: A bevel narrower than this many blurs is not told from a step.
_LEAST_BEVEL = 0.5
#: Linear light from here on is cut off by the camera.
_WHITE = 0.97
_ROOT_OF_2_PI = float(np.sqrt(2 * np.pi))


def with_true_edges(
    sides: Sequence[SeenSide], blur: float | None = None, leans: Sequence[float] | None = None
) -> list[SeenSide]:
    """The sides, each where the panel ends, and what tells so; they are judged together.

    `blur` is that of the picture, px, where other steps tell it; `leans` is how much a camera
    looks at each from aside (see `askew`): where it is negative, the wall may be seen. Without
    them, it may be seen of any.
    """
    means = [_mean_profile(side) for side in sides]
    blurs = [blur and blur * side.pixel for side in sides]
    askew = leans or [0.0] * len(sides)
    by_themselves = [
        made_ways(*mean, side.pixel, told, lean=lean)
        for side, mean, told, lean in zip(sides, means, blurs, askew, strict=True)
    ]
    alone = [each and edge_profile(each) for each in by_themselves]
    ways = []
    for k, (side, mean) in enumerate(zip(sides, means, strict=True)):
        others = [each for each in (*alone[:k], *alone[k + 1 :]) if each]
        told = as_others(others) if others else None
        walled = leans is None or askew[k] < 0
        ways.append(made_ways(*mean, side.pixel, blurs[k], told, walled, askew[k]))
    edges = told_together(ways)
    return [_moved(side, edge) for side, edge in zip(sides, edges, strict=True)]


def _moved(side: SeenSide, edge: EdgeProfile | None) -> SeenSide:
    """The side with each profile's end of the panel, as the edge is made up, and the line there."""
    if edge is None:
        return side
    line = side.line
    runs = line.middle + line.slope * (side.profiles.along - line.centre) + edge.shown
    found = _ends(side.profiles, runs, edge, side.pixel)
    good = np.isfinite(found) & (line.weights > 0.2)
    if good.sum() < max(_FEWEST_ENDS, _LEAST_SHARE * len(good)):
        return replace(side, line=replace(line, middle=line.middle + edge.place), edge=edge)
    line = straight_line(
        side.profiles.along, np.where(good, found, 0.0), good.astype(float), 0.02 * side.pixel
    )
    line = replace(line, middle=line.middle + edge.place - edge.shown)
    good &= line.weights > 0.2
    return replace(side, line=line, found=np.where(good, found, np.nan), edge=edge)


def _ends(profiles: Profiles, runs: Numbers, edge: EdgeProfile, pixel: float) -> Numbers:
    """Where the panel ends in each profile, mm outwards; nan where that cannot be told.

    Front, bevel and backing may be as light as they like in each; their widths and blur are those
    of the whole side. The place is found by steps of Gauss and Newton.
    """
    blur, step = edge.blur, profiles.step
    reach = min(3.0 * blur, edge.width) if edge.width > blur else 3.0 * blur
    low, high = round((edge.bevel + 3.5 * blur) / step), max(2, round(reach / step))
    middle = np.rint((runs - profiles.offsets[0]) / step).astype(int)
    index = middle[:, None] + np.arange(-low, high + 1)
    within = ((index >= 0) & (index < len(profiles.offsets))).all(axis=1)
    index = np.clip(index, 0, len(profiles.offsets) - 1)
    t = profiles.offsets[index]
    light = profiles.light[np.arange(len(index))[:, None], index].astype(float)
    # Light that is cut off at white has lost where its step was: it seems to lie further out.
    # A colour that is cut off does not count, and a profile whose colours all are.
    whole = ~(light > _WHITE).any(axis=1)
    within &= np.isfinite(light).all(axis=(1, 2)) & whole.any(axis=1)
    light = np.nan_to_num(light) * whole[:, None]
    place = runs.copy()
    for _ in range(5):
        z = (t - place[:, None]) / blur
        beyond, bell = normal_cumulative(z), np.exp(-0.5 * z**2) / _ROOT_OF_2_PI / blur
        ends, rim = beyond, bell
        columns = [1 - ends, beyond]
        if edge.bevel > _LEAST_BEVEL * blur:
            far = z + edge.bevel / blur
            ends, rim = normal_cumulative(far), np.exp(-0.5 * far**2) / _ROOT_OF_2_PI / blur
            columns = [1 - ends, beyond, ends - beyond]
        design = np.stack(columns, axis=2)
        turned = design.transpose(0, 2, 1)
        normal = turned @ design + 1e-6 * np.eye(len(columns))
        levels = np.linalg.solve(normal, turned @ light)
        rates = np.stack([rim, -bell, bell - rim][: len(columns)], axis=2) @ levels
        # What the levels could make good is no reason to move.
        rates -= design @ np.linalg.solve(normal, turned @ rates)
        left = light - design @ levels
        gain, size = (left * rates).sum(axis=(1, 2)), (rates**2).sum(axis=(1, 2))
        place = place + np.clip(gain / np.maximum(size, 1e-12), -0.7 * blur, 0.7 * blur)
    lost = ~within | (np.abs(place - runs) > 2.5 * blur + 0.5 * edge.bevel)
    return np.where(lost, np.nan, place)


def _mean_profile(side: SeenSide) -> tuple[Numbers, Numbers]:
    """Offsets from the side's line, mm, and the median light at each, of all profiles that count.

    Profiles lie at every part of a pixel, so the whole is finer than any of them.
    """
    profiles, line = side.profiles, side.line
    count = line.weights > 0.2
    runs = line.middle + line.slope * (profiles.along - line.centre)
    apart = (profiles.offsets[None] - runs[:, None])[count]
    light = profiles.light[count].reshape(-1, 3).astype(float)
    bins = np.rint(apart.ravel() / (_BIN * side.pixel)).astype(int)
    order = np.argsort(bins, kind="stable")
    first = np.unique(bins[order], return_index=True)[1]
    offsets, values = [], []
    for part in np.split(order, first[1:]):
        if len(part) >= _FEWEST:
            offsets.append(float(apart.ravel()[part].mean()))
            values.append(np.median(light[part], axis=0))
    return np.array(offsets), np.array(values).reshape(-1, 3)
