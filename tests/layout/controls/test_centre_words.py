"""What the centre of a switch is called stands beside it, on one side in a whole row."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.reading.description_file import parse
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Severity

_HAND_OFF_AUTO = '{ up = "HAND", centre = "OFF", down = "AUTO" }'


def _laid(holes: str, *controls: str) -> Artwork:
    tables = "".join(f'[[control]]\nkind = "toggle"\ncovers = 12\n{each}\n' for each in controls)
    return lay_out(parse(f"[panel]\nsize = [160, 80]\n[holes]\n{holes}\n{tables}"))


def _middles(artwork: Artwork, word: str) -> dict[str, tuple[float, float]]:
    found = {}
    for mark in artwork.marks:
        if mark.text == word:
            x0, y0, x1, y1 = mark.outline.bounds
            x, y = artwork.opening(mark.owner).centre
            found[mark.owner] = ((x0 + x1) / 2 - x, (y0 + y1) / 2 - y)
    return found


def _sound(artwork: Artwork) -> bool:
    return not [f for f in inspect(artwork) if f.severity is not Severity.NOTE]


def test_it_stands_beside_the_lever_at_its_height() -> None:
    artwork = _laid("A = { at = [50, 40], drill = 6 }", f'hole = "A"\npositions = {_HAND_OFF_AUTO}')
    (x, y) = _middles(artwork, "OFF")["A"]
    assert x > 6 and y == pytest.approx(0, abs=0.01)
    assert _sound(artwork)


def test_a_row_keeps_it_on_one_side_where_one_of_them_has_no_room_on_the_other() -> None:
    artwork = _laid(
        "A = { at = [50, 40], drill = 6 }\nB = { at = [152, 40.4], drill = 6 }",
        f'holes = ["A", "B"]\npositions = {_HAND_OFF_AUTO}',
    )
    places = _middles(artwork, "OFF")
    assert [x < -6 for x, _ in places.values()] == [True, True]
    heights = {round(m.outline.bounds[1], 6) for m in artwork.marks if m.text == "OFF"}
    assert len(heights) == 1
    assert _sound(artwork)


def test_it_keeps_clear_of_a_part_beside_it() -> None:
    artwork = _laid(
        "A = { at = [50, 40], drill = 6 }\nB = { at = [66, 40], drill = 6 }",
        f'hole = "A"\npositions = {_HAND_OFF_AUTO}',
        'hole = "B"',
    )
    assert _middles(artwork, "OFF")["A"][0] < -6
    assert _sound(artwork)


@pytest.mark.parametrize(
    ("side", "below"), [("", True), ('side = "above"', True), ('side = "below"', False)]
)
def test_it_stands_across_from_the_name_where_the_lever_moves_to_the_sides(
    side: str, below: bool
) -> None:
    positions = '{ left = "LEFT", centre = "OFF", right = "RIGHT" }'
    artwork = _laid(
        "A = { at = [50, 40], drill = 6 }",
        f'hole = "A"\nname = "DOOR"\n{side}\npositions = {positions}',
    )
    (x, y) = _middles(artwork, "OFF")["A"]
    assert x == pytest.approx(0, abs=0.01) and (y < -6) == below
    assert _sound(artwork)


@pytest.mark.parametrize(
    ("taken", "way"),
    [
        (("up", "left", "right"), (0, -1)),
        (("up", "down", "right"), (-1, 0)),
        (("up", "down", "left"), (1, 0)),
        (("left", "right", "down"), (0, 1)),
        (("up", "right"), (-1, 0)),
    ],
)
def test_it_takes_the_side_that_is_left(taken: tuple[str, ...], way: tuple[int, int]) -> None:
    given = ", ".join(f'{side} = "{side.upper()}"' for side in taken)
    artwork = _laid(
        "A = { at = [80, 40], drill = 6 }", f'hole = "A"\npositions = {{ {given}, centre = "0" }}'
    )
    x, y = _middles(artwork, "0")["A"]
    assert (round(x / 8), round(y / 8)) == way
    assert _sound(artwork)


def test_the_other_side_has_as_much_room_as_is_free_there() -> None:
    """A part to the left leaves more than the word needs there, and one to the right less."""
    for left, is_left in ((30, True), (36.5, False)):
        artwork = _laid(
            f"A = {{ at = [50, 40], drill = 6 }}\nL = {{ at = [{left}, 40], drill = 3 }}\n"
            "R = { at = [64.5, 40], drill = 3 }",
            f'hole = "A"\npositions = {_HAND_OFF_AUTO}',
            'hole = "L"',
            'hole = "R"',
        )
        assert (_middles(artwork, "OFF")["A"][0] < 0) is is_left


@settings(max_examples=16, deadline=None)
@given(st.floats(13.5, 15), st.floats(0.3, 2), st.booleans(), st.booleans())
def test_of_two_sides_that_both_lack_room_it_takes_the_one_that_lacks_less(
    near: float, further: float, first_is_near: bool, upright: bool
) -> None:
    """The same parts stand to both sides, and the word is as wide as it is high."""
    first, second = (near, near + further) if first_is_near else (near + further, near)
    places = [(80 + second, 40), (80 - first, 40)]
    positions = '{ up = "HAND", centre = "O", down = "AUTO" }'
    if not upright:
        places = [(80, 40 + second), (80, 40 - first)]
        positions = '{ left = "HAND", centre = "O", right = "AUTO" }'
    holes = "".join(f"P{k} = {{ at = {list(at)}, drill = 5 }}\n" for k, at in enumerate(places))
    artwork = _laid(
        f"A = {{ at = [80, 40], drill = 6 }}\n{holes}",
        f'hole = "A"\npositions = {positions}',
        *(f'hole = "P{k}"' for k in range(2)),
    )
    across, up = _middles(artwork, "O")["A"]
    assert ((across if upright else up) > 0) is first_is_near
