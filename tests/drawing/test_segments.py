"""Many outlines gathered into one array, and written as paths."""

from __future__ import annotations

import numpy as np
import pytest
from svgelements import Path as ParsedPath

from legend.drawing.segments import PDF, SVG, flattened, path_texts, segments_of
from legend.lettering.outlines.outline import Contour, Outline

RING = Outline.arc_stroke((3, 4), 2, 0, 360, 0.5)
SQUARE = Outline.polygon([(0, 0), (2, 0), (2, 1), (0, 1)])
LEAF = Outline((Contour("QLQ", np.array([[5, 1], [7, 1], [7, 3], [6, 3], [5, 3], [5, 1.0]])),))


def test_every_segment_is_there_with_its_owner() -> None:
    got = segments_of([RING, SQUARE, LEAF])
    want = [
        (owner, code, points)
        for owner, outline in enumerate((RING, SQUARE, LEAF))
        for contour in outline.contours
        for code, points in contour.segments()
    ]
    assert sorted(got.owner.tolist()) == sorted(owner for owner, _, _ in want)
    assert got.closing == 1  # only the square is left open
    assert got.begins.sum() == 4
    starts = {tuple(np.round(points[0], 9)) for _, _, points in want}
    assert {tuple(np.round(p, 9)) for p in got.cubics[:, 0]} == starts


def test_quadratics_are_raised_exactly() -> None:
    quadratic = segments_of([LEAF]).cubics[0]
    p0, p1, p2 = np.array([5.0, 1]), np.array([7.0, 1]), np.array([7.0, 3])
    for t in (0.0, 0.25, 0.5, 0.9, 1.0):
        s = 1 - t
        on_quadratic = s * s * p0 + 2 * s * t * p1 + t * t * p2
        weights = np.array([s**3, 3 * s * s * t, 3 * s * t * t, t**3])
        assert weights @ quadratic == pytest.approx(on_quadratic, abs=1e-12)


def test_flattened_edges_form_closed_rings_of_the_right_area() -> None:
    edges, owner = flattened(segments_of([RING, SQUARE]), 0.001)
    for index, area in ((0, np.pi * (2.25**2 - 1.75**2)), (1, 2.0)):
        own = edges[owner == index]
        cross = own[:, 0, 0] * own[:, 1, 1] - own[:, 1, 0] * own[:, 0, 1]
        assert abs(cross.sum() / 2) == pytest.approx(area, rel=2e-3)
        ends = np.round(own[:, 1], 9)
        begins = np.round(own[:, 0], 9)
        assert sorted(map(tuple, ends)) == sorted(map(tuple, begins))


def test_svg_paths_lie_where_the_outlines_do() -> None:
    outlines = [RING, SQUARE, LEAF]
    for outline, text in zip(outlines, path_texts(outlines, SVG, 10), strict=True):
        x0, y0, x1, y1 = outline.bounds
        assert ParsedPath(text).bbox() == pytest.approx((x0, 10 - y1, x1, 10 - y0), abs=2e-3)
        assert text.count("Z") == text.count("M") == len(outline.contours)


def test_pdf_paths_use_its_operators_only() -> None:
    (text,) = path_texts([LEAF], PDF)
    assert [line.split()[-1] for line in text.splitlines()] == ["m", "c", "l", "c", "h"]


def test_no_outlines_no_paths() -> None:
    assert path_texts([], SVG) == []
    assert path_texts([Outline(()), SQUARE], SVG)[0] == ""
    assert len(segments_of([Outline(())]).cubics) == 0
