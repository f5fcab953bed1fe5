"""What is written on the page stands out from what it stands on, in light and in dark."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import legend.page

_LOOK = Path(legend.page.__file__).parent / "browser" / "look"
#: What text may be written in, and what it may stand on.
_INKS = ("ink", "soft", "blue", "red", "ochre", "grey")
_PAPERS = ("sheet", "paper", "here")
#: WCAG 2.2, success criterion 1.4.3: text of ordinary size.
_LEAST = 4.5


def _colours(dark: bool) -> dict[str, str]:
    blocks = re.findall(r":root \{(.*?)\}", (_LOOK / "sheet.css").read_text(), re.DOTALL)
    assert len(blocks) == 2
    light, over = (dict(re.findall(r"--([\w-]+): (#\w{6});", block)) for block in blocks)
    return light | over if dark else light


def _luminance(colour: str) -> float:
    """Relative luminance, as WCAG 2.2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one: str, other: str) -> float:
    low, high = sorted((_luminance(one), _luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("dark", [False, True])
def test_words_stand_out(dark: bool) -> None:
    colours = _colours(dark)
    pairs = [("ink", "lit"), *((ink, paper) for ink in _INKS for paper in _PAPERS)]
    faint = {pair: _contrast(*(colours[name] for name in pair)) for pair in pairs}
    assert {pair: ratio for pair, ratio in faint.items() if ratio < _LEAST} == {}
