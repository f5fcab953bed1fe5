"""Letters that stand nearer than a stock carries are parted, and all others stay."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from font_files import BOLD, CONDENSED, FACES, HANDWRITTEN, ROUNDED
from hypothesis import given
from hypothesis import strategies as st

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.outlines.measuring import LET_PASS, gaps_of_letters
from legend.lettering.typesetting import Setting, set_text

ALL = [*FACES.values(), str(ROUNDED), str(CONDENSED), str(HANDWRITTEN)]
WORDS = st.text("ABEFKLMNORSTVWXYZ0123456789aefgijkrtvwxyz.,-/ ", min_size=2, max_size=9)


def style_of(face: str, height: float) -> TextStyle:
    return TextStyle(load_face(face, Path()), height)


def between(setting: Setting) -> float:
    letters = [letter.outline.shape for letter in setting.letters if letter.outline]
    return gaps_of_letters(setting.outline.shape, letters, 5.0)[0]


@given(st.sampled_from(ALL), WORDS.filter(str.strip), st.sampled_from([(2.5, 0.3), (2.95, 0.5)]))
def test_no_letters_are_nearer_than_the_least_gap(
    face: str, text: str, size: tuple[float, float]
) -> None:
    height, least = size
    style = replace(style_of(face, height), least_gap=least)
    assert between(set_text(text, style)) >= LET_PASS * least


@given(st.sampled_from(ALL), WORDS.filter(str.strip))
def test_pairs_that_are_far_enough_apart_keep_their_space(face: str, text: str) -> None:
    style = style_of(face, 2.95)
    plain = [letter for letter in set_text(text, style).letters if letter.outline]
    wide = [
        letter for letter in set_text(text, replace(style, least_gap=0.5)).letters if letter.outline
    ]
    for (a, b), (c, d) in zip(pairwise(plain), pairwise(wide), strict=True):
        step = b.outline.bounds[0] - a.outline.bounds[0]
        opened = d.outline.bounds[0] - c.outline.bounds[0] - step
        assert opened > -1e-6
        if a.outline.shape.distance(b.outline.shape) >= 0.5 and opened > 1e-6:
            # What came too near stands over the letter between: a long arm, or a mark.
            assert b.outline.bounds[0] - a.outline.bounds[2] < 0.5


@pytest.mark.parametrize("text", ["HIFI", "ON"])
def test_a_line_that_the_stock_carries_is_left_as_it_is(text: str) -> None:
    style = style_of("plain", 3.5)
    assert set_text(text, replace(style, least_gap=0.3)).outline.bounds == (
        set_text(text, style).outline.bounds
    )


def test_a_pair_is_opened_by_no_more_than_it_lacks() -> None:
    style = style_of(str(BOLD), 2.5)
    tight, opened = set_text("VY", style), set_text("VY", replace(style, least_gap=0.3))
    lacked = 0.3 - between(tight)
    widened = opened.outline.bounds[2] - tight.outline.bounds[2]
    assert lacked <= widened + 0.003 <= 2 * lacked


def test_letters_that_touch_stay_together() -> None:
    style = replace(style_of(str(BOLD), 3.5), tracking=-0.2)
    touching = set_text("HH", style)
    assert len(touching.outline.contours) == 1
    assert set_text("HH", replace(style, least_gap=0.3)).outline.bounds == touching.outline.bounds


def test_parted_letters_keep_their_frames_under_them() -> None:
    """A letter is bridged as it stands upright in its own frame, which goes with it."""
    style = replace(style_of("plain", 2.95), slope=12.0)
    wide = replace(style, least_gap=0.8)
    near, far = (set_text("LATTY", each).letters for each in (style, wide))
    assert far[-1].outline.bounds[0] > near[-1].outline.bounds[0] + 0.5
    for one, other in zip(near, far, strict=True):
        assert other.frame.lean == one.frame.lean > 0
        moved = other.outline.bounds[0] - one.outline.bounds[0]
        assert other.frame.foot[0] - one.frame.foot[0] == pytest.approx(moved, abs=1e-6)
