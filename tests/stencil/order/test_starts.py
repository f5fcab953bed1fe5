"""Where the knife begins: on a straight run before a corner, or on the flattest run."""

from __future__ import annotations

from pathlib import Path as File

import numpy as np
import pytest
import shapely
from font_files import SANS
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Stencil
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.outline import Contour, Outline
from legend.lettering.typesetting import set_text
from legend.standards import BLADE_SETTLES
from legend.stencil.order.starts import before_corner, begun
from legend.stencil.sheet import Cut, Path

FACES = {"plain": plain(), "sans": load_face(str(SANS), File())}


def started(outline: Outline, before: float = 1.0) -> list[Contour]:
    (path,) = begun([Path(Cut.MARK, outline)], before)
    return list(path.outline.contours)


def lines(contour: Contour) -> tuple[str, str]:
    """The kinds of the segments on which a contour begins and ends."""
    return contour.codes[0], contour.codes[-1]


@pytest.mark.parametrize("begin", range(4))
def test_a_contour_begins_on_its_longest_run_before_an_outward_corner(begin: int) -> None:
    # An arrow head with a notch: the run to the tip is one of the two longest.
    kite = np.array([(0, 0), (3, -1), (9, 0), (3, 1.0)])
    (contour,) = started(Outline.polygon(np.roll(kite, begin, axis=0)))
    assert contour.nodes == 5, "a node more, where it begins"
    x, y = contour.points[0]
    tip = np.hypot(9 - x, y)
    assert tip == pytest.approx(1.0)
    assert tuple(contour.points[1]) == (9, 0), "and goes to the corner first"


def test_a_run_that_is_too_short_for_all_is_shared_out() -> None:
    (contour,) = started(Outline.rectangle(0, 0, 1.2, 0.6), before=1.4)
    away = np.hypot(*(contour.points[1] - contour.points[0]))
    assert away == pytest.approx(1.2 * 1.4 / (1.4 + BLADE_SETTLES))


def test_the_straight_of_a_rounded_stroke_is_taken_though_it_has_no_corner() -> None:
    (contour,) = started(Outline.line_stroke((0, 0), (6, 0), 0.5))
    assert lines(contour) == ("L", "L")
    long = set_text("I", TextStyle(plain(), 5)).outline
    (contour,) = started(long)
    assert lines(contour) == ("L", "L")


def test_an_oval_begins_on_its_flattest_run() -> None:
    # An ellipse of 8 by 20: flattest at its left and right ends.
    oval = Outline.disc((0, 0), 1).transformed((4, 0, 0, 10, 0, 0))
    for segment in range(4):
        turned = Outline((oval.contours[0].started_at(segment),))
        (contour,) = started(turned)
        assert abs(contour.points[0][0]) == pytest.approx(4, abs=0.01)
        assert contour.nodes == turned.contours[0].nodes, "a node was there"


def test_a_short_end_of_a_stroke_is_no_run() -> None:
    # Half a ring, as a bridge leaves it of an O: its two ends are shorter than its sides are flat.
    half = Outline.arc_stroke((0, 0), 3, 0, 180, 0.7)
    assert "L" in half.contours[0].closed().codes
    (contour,) = started(half)
    assert contour.codes[0] == "C"


def test_a_circle_begins_where_it_began() -> None:
    disc = Outline.disc((3, 4), 5)
    (contour,) = started(disc)
    np.testing.assert_array_equal(contour.points, disc.contours[0].points)


def test_a_curve_without_flat_nodes_begins_in_the_middle_of_a_segment() -> None:
    # A lens: two arcs that meet in corners.
    lens = Contour("CC", np.array([(-5, 0), (-3, 2), (3, 2), (5, 0), (3, -2), (-3, -2), (-5, 0.0)]))
    (contour,) = started(Outline((lens,)))
    assert contour.nodes == 3
    assert contour.points[0][0] == pytest.approx(0)
    assert abs(contour.points[0][1]) == pytest.approx(1.5)


@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from("ABCDEGKMOQRS0123456789&%@?"),
    st.sampled_from(sorted(FACES)),
    st.floats(1.5, 15),
    st.floats(0.2, 4),
)
def test_nothing_but_the_beginning_is_changed(
    letter: str, face: str, height: float, before: float
) -> None:
    outline = set_text(letter, TextStyle(FACES[face], height)).outline
    contours = started(outline, before)
    assert len(contours) == len(outline.contours)
    for given_, contour in zip(outline.contours, contours, strict=True):
        assert not contour.is_open_ended
        assert given_.nodes <= contour.nodes <= given_.nodes + 1
        assert np.sign(contour.signed_area) == np.sign(given_.signed_area)
        one, other = (shapely.LinearRing(c.flat) for c in (given_, contour))
        assert one.hausdorff_distance(other) < 0.005
        assert one.length == pytest.approx(other.length, rel=1e-3)


@settings(max_examples=25, deadline=None)
@given(st.sampled_from("ACDEHKOS08&"), st.sampled_from(sorted(FACES)), st.floats(2, 12))
def test_no_cut_begins_at_a_corner(letter: str, face: str, height: float) -> None:
    for contour in started(set_text(letter, TextStyle(FACES[face], height)).outline):
        into = contour.points[-1] - contour.points[-2]
        out_of = contour.points[1] - contour.points[0]
        turn = np.arctan2(into[0] * out_of[1] - into[1] * out_of[0], into @ out_of)
        assert abs(np.degrees(turn)) < 20


def test_a_cut_begins_so_early_that_what_is_cut_twice_lies_on_the_run() -> None:
    assert before_corner(Stencil()) == BLADE_SETTLES
    assert before_corner(Stencil(overrun=0.3)) == BLADE_SETTLES
    assert before_corner(Stencil(overrun=2.5, lead_in=0.5)) == pytest.approx(3.0)
