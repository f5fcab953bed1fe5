"""A key that its table does not have: what was meant, and where it belongs."""

import pytest

from legend.description.faults import DescriptionError
from legend.description.reading.description_file import parse

_SOUND = """\
[panel]
size = [200, 100]
[holes]
A = { at = [30, 45], drill = 9.5 }
"""
_KNOB = '[[control]]\nhole = "A"\nkind = "knob"\n'
_CONTROL = '[[control]]\nhole = "A"\nkind = "toggle"\n'


def faults(text: str) -> list[str]:
    with pytest.raises(DescriptionError) as caught:
        parse(text)
    return [fault.message for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("before", "behind", "says"),
    [
        ("", '[finish]\ntitle = "X"', "it belongs before the first table, at the top"),
        ('method = "lift-off"', "", "it is a key of [stencil]"),
        ("height = 3", "", "it is a key of [lettering]"),
        ("", '[stencil]\nviewing_distance = "1 m"', "it is a key of [panel]"),
        ("", '[stencil]\nfont = "x"', "it may be meant as face of [lettering]"),
        ("", '[lettering]\nfont = "x"', "write face instead, which must be the name of a face"),
        ("", '[finish]\ncolour = "red"', "write top instead"),
        ("", _CONTROL + 'label = "X"', "write name instead"),
        ("", _CONTROL + 'rating = "X"', "write note instead"),
        ("", _CONTROL + 'up = "ON"\ndown = "OFF"', '{ up = "ON", down = "OFF" }'),
        ("", _CONTROL + "cutout = [1, 2]", "it is a key of a hole"),
        ("", _CONTROL + "naem = 1", 'did you mean "name"'),
        ("", '[[bank]]\nholes = ["A"]\nkind = "lamp"\ntitle = "X"', "write names instead"),
        ("", '[[text]]\nlabel = "X"\nat = [1, 2]', "write text instead"),
        ("", "B = { at = [1, 2], diameter = 3 }", "write drill instead"),
        ("", "B = { x = 1, y = 2, drill = 3 }", "write at instead, which must be [x, y]"),
        ("", _KNOB + "scale = { min = 1, max = 2 }", "write from"),
    ],
)
def test_each_is_told_what_to_write(before: str, behind: str, says: str) -> None:
    text = f"{before}\n{_SOUND}{behind}\n"
    assert any(says in message for message in faults(text)), faults(text)


def test_the_width_and_the_height_of_a_panel_are_one_fault_and_no_size_is_called_lacking() -> None:
    (message,) = faults("[panel]\nwidth = 200\nheight = 100\n")
    assert message.startswith('"width" is not a key of [panel]; write size instead, which must be')


def test_a_hole_that_is_no_table_may_be_a_key_that_strayed() -> None:
    (message,) = faults(_SOUND + 'title = "OVEN"\n')
    assert message.endswith("it belongs before the first table, at the top of the file.")


def test_what_is_allowed_is_told_in_the_units_of_the_file() -> None:
    text = 'units = "in"\n[panel]\nsize = [8, 4]\n[holes]\nA = { at = [500, 1], drill = 100 }\n'
    told = " ".join(faults(text))
    assert "500 is more than 393.701 in" in told
    assert "a length of 0.0004 to 78.74 in, such as" in told
    text = text.replace("at = [500, 1], drill = 100", "at = [1, 1], single_d = [0.5, 0.1]")
    assert "has a flat 0.100 in from the other side of a hole of 1/2 in" in faults(text)[0].replace(
        "0.1 in", "0.100 in"
    )


def test_decimal_commas_in_a_list_are_told() -> None:
    (message,) = faults("[panel]\nsize = [220,5, 90]\n")
    assert message.endswith("a decimal is written with a point, as in 2.5.")
