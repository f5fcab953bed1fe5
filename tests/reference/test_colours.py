"""Colours by name against Pillow's table of CSS, contrast against WCAG, paints against measuring.

The numbers of paints are written down here once more, so that a slip of the pen is seen.
"""

from contextlib import suppress

import pytest
from PIL import ImageColor

from legend.description.paint_colours import NAMES, contrast, luminance, rgb

#: FED-STD-595C, colours measured as CIELab under D65 and given in sRGB, from a public table.
MEASURED = {
    "30219": "917360",
    "33531": "c9b49e",
    "33613": "eac6a2",
    "34079": "555548",
    "34088": "675e4c",
    "34097": "5d6249",
    "34102": "595b45",
    "35042": "3d454a",
    "35164": "61727f",
    "35237": "7a888e",
    "36081": "575a5a",
    "36118": "5a6269",
    "36173": "6f787f",
    "36231": "7f8587",
    "36251": "828585",
    "36270": "848a8d",
    "36320": "8a959d",
    "36375": "9aa5ab",
    "36440": "aeada3",
    "36495": "c3c8c7",
    "36622": "c3c1b4",
    "37038": "373838",
    "37875": "e4e5da",
}

#: Some of RAL Classic, from a public list under the MIT licence.
LISTED = {
    "1003": "f9a800",
    "1013": "e3d9c7",
    "3020": "bb1f11",
    "4010": "bc4077",
    "5015": "007cb0",
    "6029": "006f3d",
    "6034": "7aacac",
    "7035": "c5c7c4",
    "8029": "7f4031",
    "9005": "0e0e10",
}


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


@pytest.mark.parametrize(
    ("grey", "linear"), [(0, 0.0), (1, 0.000303527), (10, 0.003035270), (11, 0.003346536), (255, 1)]
)
def test_greys_are_as_light_as_srgb_has_them(grey: int, linear: float) -> None:
    """IEC 61966-2-1: a straight line up to 0.04045, which is between 10 and 11 of 255, and a power
    from there on."""
    assert luminance(f"#{grey:02x}{grey:02x}{grey:02x}") == pytest.approx(linear, rel=1e-5)


@pytest.mark.parametrize(("number", "measured"), MEASURED.items())
def test_flat_paints_look_as_they_measure(number: str, measured: str) -> None:
    """FED-STD-595C, as above."""
    assert rgb(f"AMS-STD-595 {number}") == rgb(f"#{measured}")


def test_a_flat_black_is_lighter_than_a_glossy_one() -> None:
    """The first figure is the gloss; 37038 as measured above, 17038 from memory."""
    assert luminance("FS 37038") > 2 * luminance("FS 17038")


def test_all_of_ral_classic_is_known() -> None:
    """213 numbers, so many to each thousand: a public list under the MIT licence."""
    counts = []
    for thousand in range(1, 10):
        known = 0
        for number in range(1000 * thousand, 1000 * (thousand + 1)):
            with suppress(ValueError):
                rgb(f"RAL {number}")
                known += 1
        counts.append(known)
    assert counts == [30, 13, 25, 12, 25, 36, 38, 20, 14]


@pytest.mark.parametrize(("number", "listed"), LISTED.items())
def test_paints_look_as_they_are_listed(number: str, listed: str) -> None:
    """A public list, as above; each of red, green and blue within 1 of 255."""
    assert rgb(f"RAL {number}") == pytest.approx(rgb(f"#{listed}"), abs=1)
