"""Symbols by their other names, and by the characters that stand for them."""

import re
import unicodedata

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


def test_no_name_or_character_is_that_of_two() -> None:
    names = [other for symbol in SYMBOLS.values() for other in symbol.also.split()]
    characters = [each for symbol in SYMBOLS.values() for each in symbol.characters]
    assert len(names) == len(ALIASES) and len(characters) == len(CHARACTERS)
    assert not {each for each in characters if not unicodedata.category(each).startswith("S")}


@pytest.mark.parametrize("name", ["push-button", "plug", "wave", "rotary", "mains", "switch"])
def test_a_name_that_several_go_by_is_asked_back_with_symbols_there_are(name: str) -> None:
    said = not_known(name)
    assert said.startswith("it may be ") and said.endswith("; say which")
    named = re.split(r", | or ", said.removeprefix("it may be ").removesuffix("; say which"))
    assert len(named) > 1 and set(named) <= set(SYMBOLS)
    assert known_as(name) not in SYMBOLS


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("latching", "on-off"),
        ("footswitch", "foot-switch"),
        ("sine", "sine-wave"),
        ("saw", "sawtooth-wave"),
        ("moon", "night"),
        ("sun", "day"),
        ("padlock", "lock"),
        ("e-stop", "emergency-stop"),
        ("timer", "clock"),
        ("temperature", "thermometer"),
        ("water", "drop"),
    ],
)
def test_words_that_builders_write(written: str, name: str) -> None:
    assert known_as(written) == name


@pytest.mark.parametrize(
    ("character", "says"),
    [
        ("⏛", "FUSE"),
        ("⏸", "DOUBLE VERTICAL BAR"),
        ("⏹", "BLACK SQUARE FOR STOP"),
        ("⏺", "BLACK CIRCLE FOR RECORD"),
        ("⏲", "TIMER CLOCK"),
        ("☀", "BLACK SUN WITH RAYS"),
        ("☾", "LAST QUARTER MOON"),
        ("🔒", "LOCK"),
        ("🔓", "OPEN LOCK"),
        ("💧", "DROPLET"),
        ("🔌", "ELECTRIC PLUG"),
        ("🖧", "THREE NETWORKED COMPUTERS"),
    ],
)
def test_characters_are_those_of_the_standard(character: str, says: str) -> None:
    """Their names as the database of the standard has them, which comes with Python."""
    assert unicodedata.name(character) == says
    assert character in CHARACTERS


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
        ("🔒 DOOR", "symbol:lock DOOR"),
        ("☀\ufe0f / ☾", "symbol:day / symbol:night"),
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
