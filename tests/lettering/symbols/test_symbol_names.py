"""Symbols by their other names, and by the characters that stand for them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.lettering.symbols.names import (
    ALIASES,
    CHARACTERS,
    known_as,
    not_known,
    sign_meant,
    spelt,
)
from legend.lettering.symbols.registry import SYMBOLS


def test_every_other_name_is_that_of_a_symbol_and_no_symbols_own() -> None:
    assert set(ALIASES.values()) <= set(SYMBOLS)
    assert not set(ALIASES) & set(SYMBOLS)
    assert set(CHARACTERS.values()) <= set(SYMBOLS)


@pytest.mark.parametrize(
    ("written", "set_as"),
    [
        ("symbol:gnd", "symbol:earth"),
        ("symbol:Ground", "symbol:earth"),
        ("symbol:speaker OUT", "symbol:loudspeaker OUT"),
        ("⏚", "symbol:earth"),
        ("12 V⎓", "12 V symbol:direct-current"),
        ("⚠\ufe0f HOT", "symbol:caution HOT"),
        ("ON ⏽\nOFF ⭘", "ON symbol:on\nOFF symbol:off"),
        ("⏚⏚", "symbol:earth  symbol:earth"),
        ("PLAIN WORDS", "PLAIN WORDS"),
        ("symbol:nothing", "symbol:nothing"),
    ],
)
def test_texts_are_spelt_as_the_registry_has_them(written: str, set_as: str) -> None:
    assert spelt(written) == set_as


@given(st.text(st.sampled_from("AB ⏚⚠\ufe0f\n:symbol"), max_size=20))
def test_spelling_twice_changes_nothing_more(text: str) -> None:
    assert spelt(spelt(text)) == spelt(text)


def test_signs_alone() -> None:
    assert [sign_meant(sign) for sign in ("+", " - ", "−", "–")] == [
        "symbol:plus",
        *3 * ["symbol:minus"],
    ]
    assert sign_meant("+5 V") == sign_meant("") == ""


def test_what_is_not_known_is_asked_back_or_told_by_the_nearest_three() -> None:
    assert not_known("power") == "it may be on, off, stand-by or on-off; say which"
    for name in ("erth", "zzz"):
        said = not_known(name)
        assert said.count(",") == 2 and "the nearest are" in said
    assert known_as("PE") == "protective-earth"


def test_symbol_may_be_written_in_capitals() -> None:
    assert spelt("SYMBOL:GND Symbol:on") == "symbol:earth symbol:on"


def test_a_slip_of_a_name_that_several_go_by_is_asked_back() -> None:
    assert not_known("powr") == not_known("power")
