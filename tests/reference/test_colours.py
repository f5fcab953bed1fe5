"""The named colours against Pillow's table of CSS colours."""

from PIL import ImageColor

from legend.description.colours import NAMES, rgb


def test_named_colours_are_those_of_css() -> None:
    """CSS Color Module Level 4, section 6.1, as Pillow has it."""
    assert set(NAMES) == set(ImageColor.colormap)
    for name in NAMES:
        assert rgb(name) == ImageColor.getrgb(name)


def test_numbers_are_those_of_css() -> None:
    for number in ("#5b6160", "#FFF", "#0a9", "#000000"):
        assert rgb(number) == ImageColor.getrgb(number)
