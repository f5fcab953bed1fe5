"""Colours by name, by number, and by the numbers of paints."""

import pytest

from legend.description.faults import DescriptionError
from legend.description.paint_colours import is_paint, luminance, rgb
from legend.description.reading.description_file import parse


@pytest.mark.parametrize("written", ["RAL 7035", "ral 7035", "RAL7035", "RAL-7035", " RAL 7035 "])
def test_ral_numbers_in_every_spelling(written: str) -> None:
    assert rgb(written) == rgb("RAL 7035")
    assert is_paint(written)


@pytest.mark.parametrize(
    "written", ["AMS-STD-595 26152", "ams std 595 26152", "FED-STD-595B 26152", "FS 26152"]
)
def test_numbers_of_the_standard_and_of_the_one_before_it(written: str) -> None:
    assert rgb(written) == rgb("AMS-STD-595 36152")  # the first figure is the gloss
    assert is_paint(written)


def test_paints_look_about_as_they_are_called() -> None:
    """Common knowledge of the lists, no source: light grey, jet black, flame red and others."""
    for light, dark in (("RAL 7035", "RAL 7016"), ("RAL 9010", "RAL 9005")):
        assert sum(rgb(light)) > sum(rgb(dark)) + 200
    for grey in ("RAL 7035", "AMS-STD-595 26307", "RAL 9005", "FS 37875"):
        assert max(rgb(grey)) - min(rgb(grey)) < 16
    for paint, strongest in (("RAL 3000", 0), ("RAL 6018", 1), ("RAL 5010", 2), ("FS 11136", 0)):
        assert rgb(paint).index(max(rgb(paint))) == strongest
    assert sum(rgb("FS 17038")) < 120 < 650 < sum(rgb("FS 17875"))
    # The last figures of the greys rise with their lightness.
    greys = [sum(rgb(f"FS 2{n}")) for n in (6076, 6118, 6173, 6231, 6270, 6307, 6375, 6440, 6622)]
    assert greys == sorted(greys)


def test_a_number_that_was_changed_is_known_by_both() -> None:
    assert rgb("FS 34087") == rgb("FS 34088")


@pytest.mark.parametrize("number", ["14187", "15123"])
def test_colours_between_their_neighbours(number: str) -> None:
    """The last figures rise with the lightness of a hue; common knowledge of the list."""
    before, after = {"14187": ("4102", "4227"), "15123": ("5109", "5164")}[number]
    dark, light = luminance(f"FS 3{before}"), luminance(f"FS 3{after}")
    assert dark < luminance(f"FS {number}") < light


@pytest.mark.parametrize("written", ["white", "#fff", "#5b6160", "Dark green"])
def test_what_css_knows_is_no_paint(written: str) -> None:
    assert not is_paint(written)


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("RAL 1234", "is not among the numbers of RAL Classic"),
        ("AMS-STD-595 20001", "is not among the numbers of AMS-STD-595"),
        ("RAL 70355", "is not a colour"),
        ("AMS-STD-595 96152", "is not a colour"),
        ("off-white", "is not a colour"),
    ],
)
def test_a_number_that_is_not_known_is_told(written: str, says: str) -> None:
    text = f'[panel]\nsize = [80, 60]\n[finish]\nbase = "{written}"\n'
    with pytest.raises(DescriptionError) as told:
        parse(text)
    assert str(told.value).startswith("panel.toml:4: ")
    assert says in str(told.value)
    assert "AMS-STD-595 26152" in str(told.value)
