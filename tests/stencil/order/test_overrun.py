"""Cuts that go on past their start: the same line, and so far again."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from legend.description.tables.description import Stencil
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.outline import Contour, Outline
from legend.lettering.typesetting import set_text
from legend.stencil.order.overrun import run_on
from legend.stencil.order.starts import before_corner, begun
from legend.stencil.sheet import Cut, Path

LETTERS = [
    contour
    for letter in "AOS8"
    for contour in set_text(letter, TextStyle(plain(), 5)).outline.contours
]
CONTOURS = [
    *LETTERS,
    Outline.disc((3, 4), 2).contours[0],
    Contour("LLL", np.array([(0, 0), (4, 0), (4, 3), (0, 3.0)])),
]


def line_of(contour: Contour) -> shapely.LineString:
    """The line that the knife draws, without any last line home."""
    points = [contour.points[:1]]
    at = 0
    for code in contour.codes:
        p = contour.points[at : at + {"L": 2, "Q": 3, "C": 4}[code]]
        at += len(p) - 1
        t = np.linspace(0, 1, 200)[:, None]
        if code == "L":
            points.append(p[1:])
        elif code == "Q":
            points.append((1 - t) ** 2 * p[0] + 2 * t * (1 - t) * p[1] + t**2 * p[2])
        else:
            s = 1 - t
            points.append(s**3 * p[0] + 3 * s * s * t * p[1] + 3 * s * t * t * p[2] + t**3 * p[3])
    return shapely.LineString(np.vstack(points))


@given(st.sampled_from(CONTOURS), st.floats(0.05, 3))
def test_it_runs_on_for_its_length_along_the_same_line(contour: Contour, length: float) -> None:
    once = shapely.LinearRing(contour.flat)
    line = line_of(run_on(contour, length))
    wanted = once.length + min(length, once.length)
    assert line.length == pytest.approx(wanted, rel=1e-3, abs=0.01)
    assert line.hausdorff_distance(once) < 0.005
    np.testing.assert_allclose(line.coords[0], contour.points[0])
    # The end lies `length` past the start, along the contour.
    end = shapely.Point(line.coords[-1])
    past = once.project(end)
    short = abs(past - min(length, once.length))
    assert min(short, once.length - short) < 0.02


@given(st.floats(0, 1.5), st.floats(0, 1.5))
def test_with_a_lead_in_the_cut_begins_so_much_before_where_it_would_and_ends_as_far_on(
    lead_in: float, overrun: float
) -> None:
    stencil = Stencil(lead_in=lead_in, overrun=overrun)
    square = Outline.rectangle(0, 0, 20, 20)

    def knife(given_: Stencil) -> Contour:
        (path,) = begun([Path(Cut.MARK, square)], before_corner(given_))
        return run_on(path.outline.contours[0], given_.overlap)

    plain, led = knife(Stencil(overrun=overrun)), knife(stencil)
    corner = plain.points[1]
    np.testing.assert_array_equal(led.points[1], corner)
    begins = [np.hypot(*(each.points[0] - corner)) for each in (plain, led)]
    assert begins[1] - begins[0] == pytest.approx(lead_in, abs=1e-9)
    np.testing.assert_allclose(plain.points[-1], led.points[-1], atol=1e-6)


def test_without_an_overrun_nothing_is_added() -> None:
    square = CONTOURS[-1]
    assert run_on(square, 0).codes == "LLLL"
    np.testing.assert_allclose(run_on(square, 0).points[-1], square.points[0])


def test_curves_go_on_as_curves() -> None:
    disc = Outline.disc((0, 0), 5).contours[0]
    assert run_on(disc, 2).codes == disc.codes + "C"
