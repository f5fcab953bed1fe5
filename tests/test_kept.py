"""What is kept is made again as soon as it is made of something else."""

from __future__ import annotations

import pytest

from legend.kept import Kept


def test_it_is_made_once_while_it_is_made_of_the_same() -> None:
    made: list[str] = []

    def shouted(word: str, times: list[int]) -> str:
        made.append(word)
        return word.upper() * times[0]

    kept: Kept[str] = Kept()
    assert kept.made("a", shouted, "on", [2]) == "ONON"
    assert kept.made("a", shouted, "on", [2]) == "ONON"
    assert kept.made("b", shouted, "on", [1]) == "ON"
    assert kept.made("a", shouted, "off", [2]) == "OFFOFF"
    assert kept.made("a", shouted, "on", [2]) == "ONON"
    assert made == ["on", "on", "off", "on"]


def test_what_fails_is_tried_again() -> None:
    kept: Kept[float] = Kept()
    for _ in range(2):
        with pytest.raises(ZeroDivisionError):
            kept.made("a", lambda x: 1 / x, 0)
    assert kept.made("a", lambda x: 1 / x, 4) == 0.25


def test_the_oldest_is_forgotten_when_there_is_too_much() -> None:
    kept: Kept[list[int]] = Kept()
    first, second = (kept.made(name, lambda x: [x], name) for name in (-2, -1))
    for number in range(4095):
        kept.made(-1, lambda x: [x], -1)  # which is asked for all the time
        kept.made(number, lambda x: [x], number)
    assert kept.made(-1, lambda x: [x], -1) is second
    assert kept.made(-2, lambda x: [x], -2) is not first
