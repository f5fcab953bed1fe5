"""A word that is no kind is told which kind to write: by this table, and by the reader."""

from __future__ import annotations

import re

import pytest

from legend.description.faults import DescriptionError
from legend.description.kinds import KINDS
from legend.description.other_words import _TOLD_APART, OTHER_WORDS, kind_meant
from legend.description.reading.description_file import parse


def test_words_lead_to_kinds_that_there_are_and_are_none_themselves() -> None:
    assert {kind for kinds in OTHER_WORDS.values() for kind in kinds} <= KINDS.keys()
    assert not OTHER_WORDS.keys() & KINDS.keys()


def test_where_a_word_may_be_several_kinds_each_is_told_apart() -> None:
    several = {kind for kinds in OTHER_WORDS.values() if len(kinds) > 1 for kind in kinds}
    assert several <= _TOLD_APART.keys()


@pytest.mark.parametrize(
    ("written", "kind"),
    [
        ("pot", "knob"),
        ("potentiometer", "knob"),
        ("Pots", "knob"),
        ("led", "lamp"),
        ("pilot lamp", "lamp"),
        ("post", "binding post"),
        ("viewport", "window"),
        ("sight-glass", "window"),
        ("slider", "slide"),
        ("fader", "slide"),
        ("push_button", "button"),
        ("foot switch socket", "jack"),
        ("ten-turn dial", "multi-turn dial"),
    ],
)
def test_a_word_with_one_meaning_is_told(written: str, kind: str) -> None:
    assert kind_meant(written).endswith(f' is "{kind}"')


@pytest.mark.parametrize(
    ("written", "kinds"),
    [
        ("switch", ["toggle", "rocker", "selector", "keyswitch", "button", "slide"]),
        ("socket", ["jack", "connector", "inlet"]),
        ("terminal", ["binding post", "stud", "connector"]),
        ("gauge", ["meter", "bargraph", "display"]),
        ("dial", ["knob", "multi-turn dial"]),
        ("key", ["button", "keyswitch", "keypad"]),
    ],
)
def test_a_word_with_several_meanings_is_asked_back(written: str, kinds: list[str]) -> None:
    said = kind_meant(written)
    assert said.startswith(f"a {written} may be ")
    assert [kind for kind in KINDS if f'"{kind}" (' in said] == sorted(kinds, key=[*KINDS].index)


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_written_otherwise_is_known_again(kind: str) -> None:
    for written in (
        kind.upper(),
        f"{kind}s",
        kind.replace(" ", "_"),
        kind.replace("-", " "),
        kind.replace(" ", ""),
    ):
        if written != kind and kind != "fuse":
            assert kind_meant(written) == f'write "{kind}"', written
    assert kind_meant("zorp") == ""


def test_the_reader_tells_it_in_place_of_all_kinds() -> None:
    text = "[panel]\nsize = [90, 60]\n[holes]\nA = { at = [30, 30], drill = 9 }\n"
    with pytest.raises(DescriptionError) as caught:
        parse(f'{text}[[control]]\nhole = "A"\nkind = "Pot"\n')
    (fault,) = caught.value.faults
    assert (fault.source.line, fault.message) == (
        7,
        'The control in hole "A" has kind = "Pot"; a pot is "knob".',
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('panel = { size = [90, 60], datum = "bottom left" }', 'did you mean "lower left"?'),
        ('panel = { size = [90, 60], datum = "Top-Right" }', 'did you mean "upper right"?'),
    ],
)
def test_other_words_for_a_datum_are_understood(text: str, said: str) -> None:
    with pytest.raises(DescriptionError, match=re.escape(said)):
        parse(text)


def test_another_word_for_inches_is_the_only_fault() -> None:
    with pytest.raises(DescriptionError) as told:
        parse('units = "inches"\npanel = { size = [4, 11], viewing_distance = 24 }\n')
    (fault,) = told.value.faults
    assert 'did you mean "in"?' in str(fault)
