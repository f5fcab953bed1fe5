"""Where bridges stand: at joints, upright in the letter's own frame, and the same everywhere."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from font_files import DEJAVU, FACES, lettered, style_of
from hypothesis import given, settings
from hypothesis import strategies as st
from neck_judge import faults
from stroke_judge import bridges, severed

from legend.description.tables.description import Stencil
from legend.description.tables.stock import limits
from legend.lettering.faces.face import Letter, TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.on_arc import set_on_arc
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import set_text
from legend.stencil.bridging.bridges import bridged

SHEET = limits(Stencil(method="paint-through", stock="sheet"))
SIZES = (3.5, 5.0, 12.0)


def cut(before: Outline, height: float, letters: tuple[Letter, ...] = ()) -> Outline:
    return bridged([before], [height], SHEET, [letters] if letters else ())[0].outline


def gaps(text: str, face: str, height: float) -> list[shapely.Polygon]:
    """What the bridges take of a text, from left to right."""
    before = lettered(text, face, height)
    return sorted(bridges(before, cut(before, height)), key=lambda gap: gap.centroid.x)


# --- Joints before runs ---


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("height", SIZES)
@pytest.mark.parametrize("letter", "ABDPR4bdpq")
def test_strokes_are_cut_at_joints_alone(face: str, height: float, letter: str) -> None:
    before = lettered(letter, face, height)
    runs = severed(before, cut(before, height))
    # The leg of a serif R springs from the very place where its bowl ends at the stem.
    assert len(runs) <= (1 if (face, letter) == ("serif", "R") else 0)


@pytest.mark.parametrize("height", [10, 3.5])
def test_the_judge_finds_what_is_severed(height: float) -> None:
    """Legs cut level, a stem cut through, and a bowl cut in its middle; and no joint."""
    before = lettered("A", "sans", height)
    x0, y0, x1, y1 = before.bounds
    (hole,) = shapely.get_parts(before.shape)[0].interiors
    middle = hole.bounds[1] + 0.3 * (hole.bounds[3] - hole.bounds[1])
    level = shapely.box(x0, middle, x1, middle + 0.1 * height)
    assert len(severed(before, _less(before, level))) == 2
    bar = shapely.box(hole.bounds[0], y0, hole.bounds[0] + 0.1 * height, hole.bounds[1] + 0.01)
    assert not severed(before, _less(before, bar))
    stem = lettered("D", "sans", height)
    x0, y0, x1, y1 = stem.bounds
    through = shapely.box(x0 - 1, (y0 + y1) / 2, x1, (y0 + y1) / 2 + 0.1 * height)
    assert len(severed(stem, _less(stem, through))) == 2


def _less(before: Outline, taken: shapely.Polygon) -> Outline:
    from legend.lettering.outlines.boolean import from_shape

    return from_shape(before.shape.difference(taken))


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("height", SIZES)
def test_a_q_is_bridged_as_an_o_is(face: str, height: float) -> None:
    for letter in "OQ":
        before = lettered(letter, face, height)
        (hole,) = shapely.get_parts(before.shape)[0].interiors
        axis = (hole.bounds[0] + hole.bounds[2]) / 2
        top = max(gaps(letter, face, height), key=lambda gap: gap.centroid.y)
        assert top.centroid.x == pytest.approx(axis, abs=0.02 * height)


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("height", [5.0, 12.0])
@pytest.mark.parametrize(("letter", "stem"), [("b", "left"), ("p", "left"), ("d", "right")])
def test_round_bowls_are_cut_beside_the_stem(
    face: str, height: float, letter: str, stem: str
) -> None:
    before = lettered(letter, face, height)
    (hole,) = shapely.get_parts(before.shape)[0].interiors
    x0, _, x1, _ = hole.bounds
    upper, lower = sorted(gaps(letter, face, height), key=lambda gap: -gap.centroid.y)
    assert upper.bounds[0] == pytest.approx(lower.bounds[0], abs=0.12), "in one line"
    for gap in (upper, lower):
        from_stem = gap.centroid.x - x0 if stem == "left" else x1 - gap.centroid.x
        assert from_stem < 0.35 * (x1 - x0)


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("height", [5.0, 12.0])
def test_a_slashed_nought_keeps_its_own_two_and_its_slash_is_cut_at_its_ends(
    face: str, height: float
) -> None:
    before = lettered("Ø", face, height)
    found = gaps("Ø", face, height)
    x0, y0, x1, y1 = before.bounds
    on_axis = [g for g in found if g.centroid.x == pytest.approx((x0 + x1) / 2, abs=0.05 * height)]
    assert len(on_axis) == 2
    assert {gap.centroid.y > (y0 + y1) / 2 for gap in on_axis} == {True, False}
    for end in found:
        if end not in on_axis:
            middle = shapely.Point((x0 + x1) / 2, (y0 + y1) / 2)
            assert end.distance(middle) > 0.05 * height, "the middle of the slash is whole"


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("letter", "ABDPRObdpq")
def test_the_places_are_the_same_at_every_size(face: str, letter: str) -> None:
    """As parts of the height; where there is no room for all, those that are left."""

    def places(height: float) -> list[np.ndarray]:
        return [np.array(g.centroid.coords[0]) / height for g in gaps(letter, face, height)]

    large = places(12)
    for place in places(5.0):
        assert min(math.dist(place, other) for other in large) < 0.1


# --- In the letter's own frame ---


TURNED = st.floats(-180, 180)


@settings(max_examples=16, deadline=None)
@given(
    letter=st.sampled_from("ABDPRQ0468abdegq&@%Åß"),
    face=st.sampled_from(list(FACES)),
    degrees=TURNED,
    height=st.sampled_from([3.5, 7.0]),
)
def test_a_letter_that_is_turned_has_the_bridges_of_one_upright(
    letter: str, face: str, degrees: float, height: float
) -> None:
    upright = set_text(letter, style_of(face, height))
    here = [each.moved(31.7, -4.2).turned(degrees) for each in upright.letters]
    before = Outline.gathered([each.outline for each in here])
    after = cut(before, height, tuple(here))
    wanted = cut(upright.outline, height, upright.letters).moved(31.7, -4.2).turned(degrees)
    assert after.shape.symmetric_difference(wanted.shape).area < 0.004 * height
    assert not faults(before, after, SHEET.bridge)


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("at", [0, 180])
def test_words_on_an_arc_have_the_bridges_of_words_in_a_line(face: str, at: float) -> None:
    style = style_of(face, 5)
    straight, bent = (
        {
            letter.text: taken
            for letter in setting.letters
            if letter.outline
            for taken in [letter.outline.area - letter.outline.shape.intersection(left).area]
        }
        for setting in (set_text("BAD PQR 4689", style), set_on_arc("BAD PQR 4689", style, 14, at))
        for left in [cut(setting.outline, 5, setting.letters).shape]
    )
    assert straight.keys() == bent.keys()
    for letter, taken in straight.items():
        assert bent[letter] == pytest.approx(taken, abs=0.02), letter


@pytest.mark.parametrize("slope", [-12, 8, 15])
@pytest.mark.parametrize("face", ["plain", "sans"])
@pytest.mark.parametrize("letter", "ABDPRO4")
def test_bridges_of_letters_that_lean_lean_as_they_do(face: str, slope: float, letter: str) -> None:
    height = 7.0
    upright = set_text(letter, style_of(face, height))
    face_, lean = style_of(face, height).face, math.tan(math.radians(slope))
    leaning = set_text(letter, TextStyle(face_, height, slope=slope))
    after = cut(leaning.outline, height, leaning.letters)
    assert not faults(leaning.outline, after, SHEET.bridge)
    assert not severed(leaning.outline, after) or letter == "O"

    def places(outlines: tuple[Outline, Outline], sheared: float) -> list[tuple[float, float]]:
        found = (gap.centroid for gap in bridges(*outlines))
        spots = [(spot.x - sheared * spot.y, spot.y) for spot in found]
        return sorted(spots, key=lambda spot: (round(spot[1]), spot[0]))

    own = places((upright.outline, cut(upright.outline, height, upright.letters)), 0)
    leaned = places((leaning.outline, after), lean)
    left = leaning.letters[0].frame.foot[0] - upright.letters[0].frame.foot[0]
    assert len(own) == len(leaned)
    # A pen leans no further than the letters it draws: their corners do not lean quite alike.
    for (x, y), (there_x, there_y) in zip(own, leaned, strict=True):
        assert there_x == pytest.approx(x + left, abs=0.06 * height)
        assert there_y == pytest.approx(y, abs=0.06 * height)


def test_an_italic_is_bridged_along_its_own_stems() -> None:
    style = TextStyle(load_face(str(DEJAVU / "DejaVuSans-Oblique.ttf"), DEJAVU), 7)
    setting = set_text("D", style)
    lean = setting.letters[0].frame.lean
    assert lean == pytest.approx(math.tan(math.radians(11)), abs=0.02), "as its makers say"
    lower, upper = sorted(
        bridges(setting.outline, cut(setting.outline, 7, setting.letters)),
        key=lambda gap: gap.centroid.y,
    )
    up = upper.centroid.y - lower.centroid.y
    assert (upper.centroid.x - lower.centroid.x) / up == pytest.approx(lean, abs=0.02)


# --- Whatever it stands beside ---


@pytest.mark.parametrize("face", FACES)
def test_letters_that_touch_have_the_bridges_of_each_by_itself(face: str) -> None:
    style = TextStyle(style_of(face, 7).face, 7, tracking=-0.24)
    setting = set_text("BAD", style)
    assert len(shapely.get_parts(setting.outline.shape)) < 3, "some do touch"
    after = cut(setting.outline, 7, setting.letters)
    assert not faults(setting.outline, after, SHEET.bridge)
    for letter in setting.letters:
        alone = cut(letter.outline, 7, (letter,))
        for gap in bridges(letter.outline, alone):
            assert after.shape.intersection(gap.buffer(-0.02)).area < 1e-3, letter.text


@pytest.mark.parametrize("letter", ["A", "4", "R"])
def test_a_letter_among_others_is_bridged_as_it_is_alone(letter: str) -> None:
    style = style_of("sans", 5)
    setting = set_text(f"VA{letter}Y L{letter}T", style)
    after = cut(setting.outline, 5, setting.letters)
    alone = set_text(letter, style)
    wanted = cut(alone.outline, 5, alone.letters)
    x0, y0, *_ = alone.outline.bounds
    same = [each for each in setting.letters if each.text == letter]
    assert len(same) >= 2
    for each in same:
        x, y, *_ = each.outline.bounds
        here = after.shape.intersection(each.outline.shape.buffer(0.01))
        assert here.symmetric_difference(wanted.moved(x - x0, y - y0).shape).area < 0.02
