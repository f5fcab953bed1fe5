"""Raised figures, by the built-in face and by font files that have them, some of them, or none."""

from __future__ import annotations

from importlib.util import find_spec
from itertools import pairwise
from pathlib import Path

import pytest

from legend.lettering.faces.face import Face, TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.faces.stroke_face import plain
from legend.lettering.superiors import RAISED_FOOT, RAISED_HEIGHT, raised_stretches
from legend.lettering.typesetting import set_text

_MANROPE = Path(find_spec("font_manrope").origin).parent / "files"  # type: ignore[union-attr, arg-type]


def _faces() -> list[Face]:
    bold = load_face(str(_MANROPE / "Manrope-Bold.ttf"), Path(), None, 0)
    return [plain(), bold]


@pytest.mark.parametrize("face", _faces(), ids=lambda face: face.name)
@pytest.mark.parametrize("text", ["10⁻³", "10⁶", "10⁺⁹", "m·s⁻²", "10²"])
def test_raised_figures_stand_above_the_others_and_are_smaller(face: Face, text: str) -> None:
    setting = set_text(text, TextStyle(face, 10.0))
    assert "".join(letter.text for letter in setting.letters) == text
    for letter in setting.letters:
        if letter.text in "⁰¹²³⁴⁵⁶⁷⁸⁹":
            _, bottom, _, top = letter.outline.bounds
            assert bottom > 2.5 and 8.5 < top < 12.5
            assert top - bottom < 8
    inked = [letter.outline.shape for letter in setting.letters]
    assert all(a.distance(b) > 0.3 for a, b in pairwise(inked))


def test_all_powers_of_the_built_in_face_are_alike() -> None:
    style = TextStyle(plain(), 10.0)
    boxes = [set_text(text, style).letters[-1].outline.bounds for text in ("10²", "10³", "10⁴")]
    for _, bottom, _, top in boxes:
        assert bottom == pytest.approx(10 * RAISED_FOOT, abs=0.1)
        assert top == pytest.approx(10 * (RAISED_FOOT + RAISED_HEIGHT), abs=0.1)


def test_what_a_face_has_of_its_own_stays_where_no_power_stands() -> None:
    assert list(raised_stretches("m² 10³", plain())) == [("m² 10", False), ("³", True)]
    assert list(raised_stretches("s⁻¹", plain())) == [("s", False), ("⁻¹", True)]
    assert list(raised_stretches("", plain())) == []


def test_a_sloped_exponent_and_words_after_it_stand_clear() -> None:
    setting = set_text("10⁻³ Pa", TextStyle(plain(), 3.5, slope=15))
    inked = [letter.outline for letter in setting.letters if letter.outline]
    assert [letter.text for letter in setting.letters if letter.outline] == [*"10⁻³Pa"]
    lefts = [outline.bounds[0] for outline in inked]
    assert lefts == sorted(lefts)
