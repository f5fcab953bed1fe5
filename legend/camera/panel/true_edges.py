"""Move the sides of a panel, found by their sharpest steps, to where the panel ends.

The steps of a side tell truly how it runs, but the sharpest may be that of its bevel or of its
shadow. All its profiles together, each moved onto the line, tell which (see `edge_profile`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from legend.camera.panel.edge_profile import EdgeProfile, Numbers, as_others, edge_profile
from legend.camera.panel.steps import SeenSide

#: Profiles are taken together by offsets of this many pixels.
_BIN = 0.5
#: The fewest samples of which a median is taken.
_FEWEST = 6


def with_true_edges(sides: Sequence[SeenSide]) -> list[SeenSide]:
    """The sides, each where the panel ends, and what tells so; they are judged together."""
    means = [_mean_profile(side) for side in sides]
    alone = [edge_profile(*mean, side.pixel) for side, mean in zip(sides, means, strict=True)]
    seen = [each for each in alone if each]
    if not seen:
        return list(sides)
    others = as_others(seen)
    edges = [
        edge_profile(*mean, side.pixel, others) for side, mean in zip(sides, means, strict=True)
    ]
    return [_moved(side, edge) for side, edge in zip(sides, edges, strict=True)]


def _moved(side: SeenSide, edge: EdgeProfile | None) -> SeenSide:
    if edge is None:
        return side
    line = replace(side.line, middle=side.line.middle + edge.place)
    return replace(side, line=line, edge=edge)


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
