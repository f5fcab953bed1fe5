"""Gather the segments of many outlines into one array, and write outlines as path text.

A panel has some ten thousand segments; taken one by one they cost more than all the rest
of a drawing. Here they are gathered, and written, with a few operations for all of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from legend.lettering.outlines.curve_points import along, steps_along
from legend.lettering.outlines.outline import Outline, cubics_of

#: How finely coordinates are written, in decimals of a mm.
_DECIMALS = 3

#: So many outlines are written at once: enough to be quick, few enough to be small.
_BATCH = 256


@dataclass(frozen=True, eq=False)
class Segments:
    """Every segment of some outlines, in order, the lines that close their contours last.

    `cubics` has shape (n, 4, 2), mm: quadratics are raised exactly, and a line is the cubic
    with its control points on its ends. `straight` tells which are lines. `owner` is the
    index of the outline that each belongs to, and `begins` tells which are the first of a
    contour. The last `closing` of them are closing lines.
    """

    cubics: NDArray[np.float64]
    straight: NDArray[np.bool_]
    owner: NDArray[np.intp]
    begins: NDArray[np.bool_]
    closing: int


def segments_of(outlines: Sequence[Outline]) -> Segments:
    """Gather the segments of all outlines."""
    contours = [contour for outline in outlines for contour in outline.contours]
    if not contours:
        no = np.empty(0, dtype=bool)
        return Segments(np.empty((0, 4, 2)), no, np.empty(0, dtype=np.intp), no, 0)
    owner = np.repeat(np.arange(len(outlines)), [len(outline.contours) for outline in outlines])
    cubics, straight, of = cubics_of(contours)
    first = np.array([contour.points[0] for contour in contours])
    last = np.array([contour.points[-1] for contour in contours])
    ajar = np.abs(first - last).max(axis=1) > 1e-9
    closing = np.repeat(last[ajar][:, None], 4, axis=1)
    closing[:, 2:] = first[ajar][:, None]
    return Segments(
        np.concatenate([cubics, closing]),
        np.concatenate([straight, np.ones(len(closing), dtype=bool)]),
        np.concatenate([owner[of], owner[ajar]]),
        np.concatenate([np.diff(of, prepend=-1) > 0, np.zeros(len(closing), dtype=bool)]),
        len(closing),
    )


def flattened(segments: Segments, flatness: float) -> tuple[NDArray[np.float64], NDArray[np.intp]]:
    """The segments as straight edges that lie within `flatness` mm of their curves.

    Returns the edges, shape (m, 2, 2), and the owner of each.
    """
    steps = steps_along(segments.cubics, segments.straight, flatness)
    which = np.repeat(np.arange(len(steps)), steps)
    step = np.arange(len(which)) - (np.cumsum(steps) - steps)[which]
    edges = np.empty((len(which), 2, 2))
    edges[:, 1] = along(segments.cubics[which], (step + 1) / steps[which])
    edges[1:, 0] = edges[:-1, 1]
    edges[step == 0, 0] = segments.cubics[:, 0]
    return edges, segments.owner[which]


@dataclass(frozen=True, slots=True)
class PathSyntax:
    """How a kind of file writes a path: each operator with places for its coordinates."""

    move: str
    line: str
    cubic: str
    close: str


SVG = PathSyntax("M%.7g %.7g", "L%.7g %.7g", "C%.7g %.7g %.7g %.7g %.7g %.7g", "Z")
PDF = PathSyntax("%.7g %.7g m\n", "%.7g %.7g l\n", "%.7g %.7g %.7g %.7g %.7g %.7g c\n", "h\n")


def path_texts(
    outlines: Sequence[Outline], syntax: PathSyntax, top: float | None = None
) -> list[str]:
    """Each outline as the text of a closed path, in mm.

    Where `top` is given, y runs down from that height of the panel, as in SVG.
    """
    begins = range(0, len(outlines), _BATCH)
    return [text for k in begins for text in _texts(outlines[k : k + _BATCH], syntax, top)]


def _texts(outlines: Sequence[Outline], syntax: PathSyntax, top: float | None) -> list[str]:
    drawn = segments_of(outlines)
    count = len(drawn.cubics) - drawn.closing
    cubics, curved = drawn.cubics[:count], ~drawn.straight[:count]
    written = np.column_stack([drawn.begins[:count], curved, curved, np.ones(count, dtype=bool)])
    points = cubics[written]
    if top is not None:
        points = points * (1, -1) + (0, top)
    # Adding 0 turns -0 into 0.
    numbers = (np.round(points, _DECIMALS) + 0.0).ravel().tolist()
    per_segment = written.sum(axis=1)
    per_outline = np.bincount(drawn.owner[:count], per_segment, minlength=len(outlines)) * 2
    ends = np.cumsum(per_outline).astype(int).tolist()
    texts = []
    begin = 0
    for outline, end in zip(outlines, ends, strict=True):
        form = "".join([_form(contour.codes, syntax) for contour in outline.contours])
        texts.append(form % tuple(numbers[begin:end]))
        begin = end
    return texts


@lru_cache(maxsize=4096)
def _form(codes: str, syntax: PathSyntax) -> str:
    operators = {"L": syntax.line, "Q": syntax.cubic, "C": syntax.cubic}
    return syntax.move + "".join([operators[code] for code in codes]) + syntax.close
