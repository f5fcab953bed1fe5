"""The pictures of placement cards that the README shows are those that the program draws."""

from __future__ import annotations

from pathlib import Path

import pytest
from bench.card_pictures import SAMPLES, SHOWN, picture_of


def test_pins_and_stops_are_both_shown() -> None:
    pinned, stopped = (picture_of(sample).decode() for sample in SHOWN)
    assert "stroke-dasharray" in stopped and "stroke-dasharray" not in pinned


@pytest.mark.parametrize("sample", SHOWN)
def test_the_picture_in_the_readme_is_up_to_date(sample: str) -> None:
    shown = SAMPLES / sample / "placement-card.svg"
    assert shown.read_bytes() == picture_of(sample), "draw it anew: tests/bench/card_pictures.py"
    readme = (Path(SAMPLES).parent / "README.md").read_text(encoding="utf-8")
    assert f"](samples/{sample}/placement-card.svg)" in readme
