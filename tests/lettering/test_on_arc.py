"""Texts on an arc stand where they should and read the right way up."""

import math
from itertools import pairwise
from pathlib import Path

import pytest
import shapely
from font_files import SANS
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.lettering.faces.face import LetteringError, TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.on_arc import set_on_arc
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import Setting, set_text


def sans(height: float = 3.5) -> TextStyle:
    return TextStyle(load_face(str(SANS), Path()), height)


def bearing(outline: Outline) -> float:
    """Where the ink stands, degrees clockwise from the top."""
    middle = outline.shape.centroid
    return math.degrees(math.atan2(middle.x, middle.y))


def band(setting: Setting) -> tuple[float, float]:
    """Nearest and furthest ink from the middle."""
    rings = [contour.flat for contour in setting.outline.contours]
    far = max(float(((ring**2).sum(axis=1) ** 0.5).max()) for ring in rings)
    return float(setting.outline.shape.distance(shapely.Point(0, 0))), far


@pytest.mark.parametrize("at", [-60, 0, 75, 130, 180, 250])
def test_capitals_stand_on_the_outside_of_the_circle(at: float) -> None:
    near, far = band(set_on_arc("HIHIH", sans(), 20, at))
    assert near == pytest.approx(20, abs=0.01)
    assert far == pytest.approx(23.5, abs=0.2)


@pytest.mark.parametrize("at", [-60, 0, 75, 130, 180, 250])
def test_capitals_hang_on_the_inside(at: float) -> None:
    near, far = band(set_on_arc("IIII", sans(), 20, at, inside=True))
    assert far == pytest.approx(20, abs=0.02)
    assert near == pytest.approx(16.5, abs=0.01)


@pytest.mark.parametrize(
    ("at", "clockwise"),
    [(-90, True), (0, True), (90, True), (91, False), (180, False), (269, False)],
)
def test_words_read_clockwise_above_and_anticlockwise_below(at: float, clockwise: bool) -> None:
    letters = set_on_arc("EFL", sans(), 25, at).letters
    turns = [(bearing(letter.outline) - at + 180) % 360 - 180 for letter in letters]
    assert turns == sorted(turns, reverse=not clockwise)


def test_upright_at_the_top_and_at_the_bottom() -> None:
    straight = set_text("T", sans()).outline
    left, _, right, _ = straight.bounds
    for at, base in ((0, 20), (180, -23.5)):
        letter = set_on_arc("T", sans(), 20, at).outline
        wanted = straight.moved(-(left + right) / 2, base)
        assert letter.bounds == pytest.approx(wanted.bounds, abs=1e-6)


@given(st.floats(-360, 360), st.floats(8, 80), st.booleans(), st.sampled_from(["AVA", "HIH", "8"]))
@settings(max_examples=25, deadline=None)
def test_the_ink_is_centred_where_asked(at: float, radius: float, inside: bool, text: str) -> None:
    setting = set_on_arc(text, sans(), radius, at, inside)
    away = (bearing(setting.outline) - at + 180) % 360 - 180
    assert math.radians(away) * radius == pytest.approx(0, abs=0.06)
    assert setting.outline.shape.is_valid


def test_letters_keep_their_shape() -> None:
    straight = set_text("TIME", sans())
    bent = set_on_arc("TIME", sans(), 15, 40)
    for one, other in zip(straight.letters, bent.letters, strict=True):
        assert other.text == one.text
        assert other.outline.area == pytest.approx(one.outline.area, rel=2e-3)
    assert bent.outline.nodes == straight.outline.nodes


def test_neighbours_at_the_inner_edge_are_kept_a_stroke_apart() -> None:
    style = sans()
    letters = set_on_arc("HHHHHH", style, 5, 0).letters
    stem = set_text("I", style).outline.bounds
    for one, other in pairwise(letters):
        assert one.outline.shape.distance(other.outline.shape) > 0.97 * (stem[2] - stem[0])


def test_on_a_wide_circle_spaces_are_those_of_a_straight_line() -> None:
    straight = [x.outline for x in set_text("LAMPS", sans()).letters]
    bent = [x.outline for x in set_on_arc("LAMPS", sans(), 4000, 0).letters]
    for (a, b), (c, d) in zip(pairwise(straight), pairwise(bent), strict=True):
        assert d.bounds[0] - c.bounds[0] == pytest.approx(b.bounds[0] - a.bounds[0], abs=0.01)


def test_what_has_no_room_is_told() -> None:
    with pytest.raises(LetteringError, match=r"3\.5 mm tall and cannot stand inside a circle"):
        set_on_arc("IN", sans(), 3, inside=True)
    with pytest.raises(LetteringError, match="too long for a circle of radius 8 mm"):
        set_on_arc("A VERY LONG LEGEND ROUND A KNOB", sans(), 8)
    with pytest.raises(LetteringError, match="has several lines"):
        set_on_arc("TWO\nLINES", sans(), 20)


def test_no_ink() -> None:
    assert not set_on_arc("  ", sans(), 20).outline
