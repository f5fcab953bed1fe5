"""A legend too wide for its room: the remedies, in their order."""

import pytest

from legend.layout import inspect, lay_out
from legend.layout.artwork import Severity
from legend.layout.fitting import balanced, fitted, ink_width
from legend.lettering.face import TextStyle
from legend.lettering.stroke_face import plain
from legend.lettering.typesetting import set_text

STYLE = TextStyle(plain(), 3.5)


def width(text: str) -> float:
    return ink_width(set_text(text, STYLE))


def test_what_fits_is_left_alone() -> None:
    fit = fitted("MAIN LIGHT", STYLE, lambda lines: 100, 2.4)
    assert (fit.done, fit.short, fit.style) == ("", 0, STYLE)


def test_first_two_lines() -> None:
    fit = fitted("MAIN LIGHT", STYLE, lambda lines: width("LIGHT") + 1, 2.4)
    assert fit.setting.text == "MAIN\nLIGHT"
    assert fit.style == STYLE
    assert fit.done == "set in two lines"


def test_then_narrower() -> None:
    room = width("LIGHT") * 0.9
    fit = fitted("MAIN LIGHT", STYLE, lambda lines: room, 2.4)
    assert fit.setting.text == "MAIN\nLIGHT"
    assert 0.8 <= fit.style.width < 1
    assert fit.style.height == 3.5
    assert ink_width(fit.setting) <= room


def test_how_much_narrower_is_told_against_what_was_asked_for() -> None:
    wide = TextStyle(plain(), 3.5, width=1.2)
    room = 0.9 * ink_width(set_text("EXPOSURE", wide))
    fit = fitted("EXPOSURE", wide, lambda lines: room, 2.4)
    assert fit.done == f"narrowed to {fit.style.width / 1.2:.2f} of its width"
    assert fit.style.width > 1


def test_then_smaller() -> None:
    room = width("LIGHT") * 0.7
    fit = fitted("LIGHT", STYLE, lambda lines: room, 2.4)
    assert fit.style.width == pytest.approx(0.8, abs=0.01)
    assert 2.4 <= fit.style.height < 3.5
    assert ink_width(fit.setting) <= room


def test_what_cannot_fit_says_by_how_much() -> None:
    fit = fitted("ILLUMINATION", STYLE, lambda lines: 10, 3.0)
    assert fit.style.height == pytest.approx(3.0)
    assert fit.short == pytest.approx(ink_width(fit.setting) - 10)


def test_lines_are_balanced() -> None:
    assert balanced("ONE TWO THREE FOUR", STYLE) == "ONE TWO\nTHREE FOUR"
    assert balanced("ONE", STYLE) == "ONE"


def test_neighbours_in_a_row_do_not_touch_and_it_is_noted(describe) -> None:
    artwork = lay_out(
        describe(
            holes={"A": {"at": [50, 50], "drill": 6}, "B": {"at": [70, 50], "drill": 6}},
            control=[
                {"hole": "A", "kind": "toggle", "name": "CIRCULATION"},
                {"hole": "B", "kind": "toggle", "name": "HUMIDITY"},
            ],
        )
    )
    found = inspect(artwork)
    assert [f.code for f in found if f.severity == Severity.ERROR] == []
    assert sum(f.code == "fitted" for f in found) >= 1
    a, b = (m for m in artwork.marks if m.text in ("CIRCULATION", "HUMIDITY"))
    assert a.outline.shape.distance(b.outline.shape) >= 1.0


def test_no_room_at_all_is_an_error_with_the_shortfall(describe) -> None:
    artwork = lay_out(
        describe(
            holes={"A": {"at": [50, 50], "drill": 3}, "B": {"at": [58, 50], "drill": 3}},
            control=[
                {"hole": "A", "kind": "button", "name": "CIRCULATION"},
                {"hole": "B", "kind": "button", "name": "HUMIDITY"},
            ],
        )
    )
    (first, *_) = [f for f in inspect(artwork) if f.code == "no-room"]
    assert "mm too wide" in first.message
    assert first.severity == Severity.ERROR
