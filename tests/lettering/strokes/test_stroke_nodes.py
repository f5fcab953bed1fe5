"""The built-in face takes no more nodes than an exact stroke of lines and arcs needs.

The need is counted apart from the code that draws: the exact pieces of every stroke (the
strip along a line, the ring along an arc, the disc at every end and corner) are joined by
shapely, and its edge is walked, each stretch named by the line or circle on which it lies.
A line counts one node; an arc as many cubics as keep within the roundness of the outlines.
"""

from __future__ import annotations

import itertools
import math
from typing import NamedTuple

import numpy as np
import shapely

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.curve_points import ROUNDNESS
from legend.lettering.strokes.skeleton import Arc, Skeleton, Straight, transformed

CHARACTERS = [chr(code) for code in range(0x21, 0x7F)] + list("ÅçñÆßΩΔΣΦµπθλφαβ±×≤∞√←↕•")
CHARACTERS.remove("%")  # put together from figures, as fractions are
NEAR = 5e-5


class Line(NamedTuple):
    point: np.ndarray
    along: np.ndarray

    def holds(self, p: np.ndarray) -> bool:
        dx, dy = p - self.point
        return bool(abs(dx * self.along[1] - dy * self.along[0]) < NEAR)


class Circle(NamedTuple):
    centre: np.ndarray
    radius: float

    def holds(self, p: np.ndarray) -> bool:
        return bool(abs(np.hypot(*(p - self.centre)) - self.radius) < NEAR)


Curve = Line | Circle


def exact_pieces(skeleton: Skeleton, half: float) -> tuple[shapely.Geometry, list[Curve]]:
    """All that the strokes cover, and the curves on which its edge can lie."""
    pieces, curves = [], []
    for run in skeleton:
        ends = [run.start, *(segment.end for segment in run.segments)]
        for end in ends:
            pieces.append(shapely.Point(end).buffer(half, quad_segs=60))
            curves.append(Circle(np.array(end), half))
        for segment in run.segments:
            if isinstance(segment, Straight):
                start, end = np.array(segment.start), np.array(segment.end)
                along = (end - start) / np.hypot(*(end - start))
                aside = half * np.array([-along[1], along[0]])
                pieces.append(
                    shapely.Polygon([start + aside, end + aside, end - aside, start - aside])
                )
                curves += [Line(start + aside, along), Line(start - aside, along)]
            elif isinstance(segment, Arc):
                count = 8 + round(80 * abs(segment.sweep))
                angles = segment.begin + np.linspace(0, 1, count) * segment.sweep
                unit = np.column_stack([np.cos(angles), np.sin(angles)])
                centre = np.array(segment.centre)
                radii = (segment.radius + half, max(segment.radius - half, 0.0))
                outer, inner = (centre + radius * unit for radius in radii)
                pieces.append(shapely.make_valid(shapely.Polygon([*outer, *inner[::-1]])))
                curves += [Circle(centre, radius) for radius in radii if radius > NEAR]
    return shapely.union_all(pieces), curves


def nodes_needed(skeleton: Skeleton, half: float, height: float) -> int:
    shape, curves = exact_pieces(skeleton, half)
    needed = 0
    for part in shapely.get_parts(shape):
        for ring in (part.exterior, *part.interiors):
            if shapely.Polygon(ring).area > 1e-6:
                needed += ring_nodes(np.array(ring.coords), curves, height)
    return needed


def ring_nodes(points: np.ndarray, curves: list[Curve], height: float) -> int:
    """Nodes for one closed edge: its stretches, each as long as one curve goes on."""
    steps = [(p, q) for p, q in itertools.pairwise(points) if np.hypot(*(q - p)) > 1e-5]
    holding = [
        {i for i, curve in enumerate(curves) if curve.holds(p) and curve.holds((p + q) / 2)}
        for p, q in steps
    ]
    holding = [names for names in holding if names]
    # Begin where one curve gives way to another.
    first = next((i for i in range(len(steps)) if not holding[i - 1] & holding[i]), 0)
    stretches: list[tuple[set[int], list[np.ndarray]]] = []
    for i in (*range(first, len(holding)), *range(first)):
        p, q = steps[i]
        if stretches and stretches[-1][0] & holding[i]:
            stretches[-1] = (stretches[-1][0] & holding[i], [*stretches[-1][1], q])
        else:
            stretches.append((holding[i], [p, q]))
    return sum(stretch_nodes(curves[min(names)], along, height) for names, along in stretches)


def stretch_nodes(curve: Curve, along: list[np.ndarray], height: float) -> int:
    if isinstance(curve, Line):
        return 1
    angles = np.unwrap([math.atan2(*(p - curve.centre)[::-1]) for p in along])
    return max(
        1, math.ceil(abs(angles[-1] - angles[0]) / cubic_reach(curve.radius * height) - 0.02)
    )


def cubic_reach(radius: float) -> float:
    """The angle that one cubic may cover, a whole part of a right angle."""
    count = 1
    while True:
        quarter = math.pi / 2 / count / 4
        if radius * 4 / 27 * math.sin(quarter) ** 6 / math.cos(quarter) ** 2 <= ROUNDNESS:
            return math.pi / 2 / count
        count += 1


def test_no_more_nodes_than_an_exact_stroke_needs() -> None:
    height, stroke = 3.5, 1 / 7
    drawn = needed = 0
    for character in CHARACTERS:
        scale = (1 - stroke) / plain().cap_height
        skeleton = transformed(plain().skeleton(character), (scale, 0, 0, scale, 0, stroke / 2))
        (letter,) = plain().set_line(character, TextStyle(plain(), height, stroke=stroke)).letters
        need = nodes_needed(skeleton, stroke / 2, height)
        assert letter.outline.nodes <= 1.1 * need, (character, letter.outline.nodes, need)
        drawn += letter.outline.nodes
        needed += need
    assert drawn <= 1.01 * needed
