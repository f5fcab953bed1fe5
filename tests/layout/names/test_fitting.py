"""A legend too wide for its room: the remedies, in their order."""

from dataclasses import replace

import pytest

from legend.layout import inspect, lay_out
from legend.layout.artwork import Severity
from legend.layout.names.fitting import fitted, fitted_alike, ink_width
from legend.layout.names.line_breaks import balanced
from legend.lettering.faces.face import Line, TextStyle
from legend.lettering.faces.stroke_face import StrokeFace, plain
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


def test_then_three() -> None:
    room = max(width("SHIELD"), width("FAN"), width("SUN")) + 1
    fit = fitted("SUN SHIELD FAN", STYLE, lambda lines: room, 2.4)
    assert (fit.setting.text, fit.lines) == ("SUN\nSHIELD\nFAN", 3)
    assert (fit.style, fit.done) == (STYLE, "set in three lines")


def test_three_lines_are_no_more_than_their_room_is_for() -> None:
    room = {1: width("SHIELD") + 1, 2: width("SHIELD") + 1, 3: 0.0}
    fit = fitted("SUN SHIELD FAN", STYLE, room.__getitem__, 2.4)
    assert fit.lines == 2
    assert fit.short == 0


def test_lines_that_were_given_are_kept() -> None:
    fit = fitted("SUN SHIELD\nFAN", STYLE, lambda lines: width("SHIELD"), 2.4)
    assert fit.setting.text == "SUN SHIELD\nFAN"


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


def row(describe, **names: str):
    """Jacks 20 mm apart, under these names."""
    holes = {id: {"at": [30 + 20 * i, 50], "drill": 6} for i, id in enumerate(names)}
    controls = [{"hole": id, "kind": "jack", "name": name} for id, name in names.items()]
    return lay_out(describe(holes=holes, control=controls))


def test_names_of_a_row_keep_a_capital_height_so_that_they_do_not_read_as_one(describe) -> None:
    artwork = row(describe, A="THERMOCOUPLES", B="OUT")
    left, right = (mark.outline.bounds for mark in artwork.marks if mark.text)
    assert right[0] - left[2] >= artwork.marks[0].height
    assert not [f for f in inspect(artwork) if f.severity != Severity.NOTE]


def test_a_row_that_has_to_be_made_smaller_is_made_so_alike(describe) -> None:
    artwork = row(describe, A="THERMOCOUPLES", B="OUT", C="FAN", D="PUMP")
    heights = {mark.height for mark in artwork.marks if mark.text}
    assert len(heights) == 1 and 2.4 <= min(heights) < 3.5
    (told,) = [f.message for f in inspect(artwork) if f.code == "fitted"]
    assert told == (
        f"'THERMOCOUPLES' of A was narrowed to 0.80 of its width, made {min(heights):.2f} mm tall "
        "with its row, to fit its room."
    )


def test_no_larger_height_would_have_done() -> None:
    texts, room = ["THERMOCOUPLES", "OUT"], 0.7 * width("THERMOCOUPLES")
    fits = fitted_alike(texts, STYLE, lambda _: [lambda lines: room] * 2, 2.4)
    taller = replace(STYLE, height=fits[0].style.height + 0.02, width=0.8)
    assert ink_width(fits[0].setting) <= room < ink_width(set_text(texts[0], taller))
    assert fits[0].style.height == fits[1].style.height
    assert (fits[1].style.width, fits[1].done) == (1, "")


def test_one_that_fits_nowhere_does_not_make_the_others_smaller() -> None:
    texts = ["ILLUMINATION", "OUT"]
    fits = fitted_alike(texts, STYLE, lambda _: [lambda lines: 10] * 2, 3.0)
    assert [fit.style.height for fit in fits] == [3.0, 3.5]
    assert fits[0].short > 0 == fits[1].short


@pytest.mark.parametrize("part", [0.99, 0.95, 0.9, 0.85])
@pytest.mark.parametrize("text", ["PHONES", "W", "IMPEDANCE", "I)/:pi87SApmhP"])
def test_letters_are_no_smaller_and_no_narrower_than_they_must_be(text: str, part: float) -> None:
    widest = width(text)
    narrowest = ink_width(set_text(text, replace(STYLE, width=0.8)))
    room = narrowest + part * (widest - narrowest)
    fit = fitted(text, STYLE, lambda lines: room, 2.4)
    assert (fit.style.height, fit.short) == (3.5, 0)
    assert ink_width(fit.setting) <= room
    wider = replace(STYLE, width=fit.style.width + 0.01)
    assert ink_width(set_text(text, wider)) > room


def test_making_smaller_sets_the_letters_in_few_heights_and_widths(monkeypatch) -> None:
    set_in: set[tuple[float, float]] = set()
    set_line = StrokeFace.set_line

    def counted(face: StrokeFace, text: str, style: TextStyle) -> Line:
        set_in.add((style.height, style.width))
        return set_line(face, text, style)

    monkeypatch.setattr(StrokeFace, "set_line", counted)
    fit = fitted("TRANSCONDUCTANCE?", STYLE, lambda lines: 30.0, 1.4)
    assert fit.style.height < 3 and fit.short == 0
    assert 2 <= len(set_in) <= 5
