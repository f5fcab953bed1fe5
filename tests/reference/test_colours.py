"""The named colours against Pillow's table of CSS colours, and contrast against WCAG."""

import pytest
from PIL import ImageColor

from legend.description.colours import NAMES, contrast, rgb


def test_named_colours_are_those_of_css() -> None:
    """CSS Color Module Level 4, section 6.1, as Pillow has it."""
    assert set(NAMES) == set(ImageColor.colormap)
    for name in NAMES:
        assert rgb(name) == ImageColor.getrgb(name)


def test_numbers_are_those_of_css() -> None:
    """CSS Color Module Level 4, section 5.2, as Pillow reads it."""
    for number in ("#5b6160", "#FFF", "#0a9", "#000000"):
        assert rgb(number) == ImageColor.getrgb(number)


@pytest.mark.parametrize(
    ("colour", "ratio"), [("black", 21.0), ("white", 1.0), ("#767676", 4.54), ("red", 4.0)]
)
def test_contrast_with_white_is_that_of_wcag(colour: str, ratio: float) -> None:
    """WCAG 2.2, definition of contrast ratio: from 1 to 21. That #767676 has 4.54 and red 4.00
    against white is often quoted; from memory."""
    assert contrast("white", colour) == pytest.approx(ratio, abs=0.005)
