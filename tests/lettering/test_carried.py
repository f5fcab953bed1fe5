"""What stock carries of the built-in face and the symbols: the table of it is true.

Every character and symbol is held by itself to the limits of the stock, by the measures that the
checks of a panel go by, and on rigid sheet with its bridges. A gap inside of a letter is held to
the whole of what the stock carries, though the checks let it off with a part of that.
"""

from __future__ import annotations

import math
import re
import unicodedata
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import pytest

from legend.description.tables.stock import StockLimits
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.folding import ALIKE
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.measuring import LET_PASS, across, counters, least_gap
from legend.lettering.outlines.mouths import narrowest_mouth
from legend.lettering.outlines.outline import Outline
from legend.lettering.superiors import RAISED_STROKE, has_raised
from legend.lettering.symbols.registry import SYMBOLS
from legend.lettering.typesetting import set_text
from legend.standards import FILM_LIMITS, MOST_BRIDGE_PER_HEIGHT, SHEET_LIMITS, SHUT_MOUTH
from legend.stencil.bridging.bridges import bridged

FONTS = Path(__file__).parents[2] / "fonts"
#: Characters that are put together: letters with marks, of Latin, Greek and Cyrillic, and small
#: figures.
COMPOSED = (
    *range(0xC0, 0x220),
    *range(0x386, 0x3D0),
    *range(0x400, 0x460),
    *range(0x2070, 0x20A0),
    *range(0x2150, 0x218A),
)
#: The height at which all are drawn, mm, as the face does to space them; and how nearly the
#: height is told that one needs.
DRAWN_AT, STEP = 3.5, 0.1


@dataclass(frozen=True)
class Stock:
    """What is cut, and how tall capitals and figures, and all others, are to be at least, mm."""

    name: str
    limits: StockLimits
    stroke: int
    capitals: float
    others: float

    @property
    def is_sheet(self) -> bool:
        return self.name == "sheet"

    def wanted(self, text: str) -> float:
        is_capital = len(text) == 1 and unicodedata.category(text) in ("Lu", "Nd")
        return self.capitals if is_capital else self.others


STOCKS = (
    Stock("film", StockLimits(**FILM_LIMITS), 7, 2.5, 2.5),
    Stock("film", StockLimits(**FILM_LIMITS), 6, 2.5, 2.5),
    Stock("sheet", StockLimits(**SHEET_LIMITS), 7, 3.5, 5.0),
)


def characters() -> list[str]:
    """Every character that the face draws, or puts together from what it draws."""
    svg = ET.parse(FONTS / "plain.svg")
    drawn = [glyph.get("unicode", "") for glyph in svg.iter("{http://www.w3.org/2000/svg}glyph")]
    stand_alone = [
        c for c in drawn if not unicodedata.combining(c) and c.isprintable() and c != " "
    ]
    composed = [c for c in map(chr, COMPOSED) if c not in {*drawn, *ALIKE} and plain().has(c)]
    return [*stand_alone, *composed]


def texts(stock: Stock) -> list[str]:
    """What is looked at: with the usual pen the symbols too."""
    return [*characters(), *(f"symbol:{name}" for name in SYMBOLS if stock.stroke == 7)]


@lru_cache(maxsize=4096)
def drawn(text: str, stroke: int) -> Outline:
    (letter,) = set_text(text, TextStyle(plain(), DRAWN_AT, stroke=1 / stroke)).letters
    return letter.outline


def enlarged(text: str, stock: Stock, height: float) -> Outline:
    times = height / DRAWN_AT
    return drawn(text, stock.stroke).transformed((times, 0, 0, times, 0, 0))


def falls_short(text: str, stock: Stock, height: float) -> float:
    """How many times as tall it must be for the stock to carry it: 1 where it does.

    More may fall short of it then, such as a bay that is large enough to count.
    """
    limits, shape = stock.limits, enlarged(text, stock, height).shape
    finer = RAISED_STROKE if has_raised(text, plain()) else 1.0
    enclosed = counters(shape)
    measured = [
        limits.stroke / (height / stock.stroke * finer),
        limits.gap / least_gap(shape),
        *(limits.counter / across(counter) for counter in enclosed),
    ]
    if stock.is_sheet:
        most = LET_PASS * limits.bridge
        measured.append(limits.bridge / narrowest_mouth(shape, SHUT_MOUTH * limits.bridge, most))
    if stock.is_sheet and enclosed:
        measured.append(limits.bridge / MOST_BRIDGE_PER_HEIGHT / height)
    worst = max(measured)
    return worst if worst * LET_PASS > 1 else 1.0


def least_height(text: str, stock: Stock) -> float:
    """From which height on the stock carries it, mm, of those that are tried."""
    height = stock.wanted(text)
    while (short := falls_short(text, stock, height)) > 1:
        height = math.ceil(height * short / STEP - 0.05) * STEP
    return round(height, 1)


@lru_cache
def carried(stock: Stock) -> dict[str, float]:
    """What needs more height than is wanted, and how much; letters only where their marks do."""
    heights = {text: least_height(text, stock) for text in texts(stock)}
    found = {}
    for text, height in heights.items():
        base = "" if text.startswith("symbol:") else unicodedata.normalize("NFD", text)[0]
        base = ALIKE.get(base, base)
        if height > max(stock.wanted(text), heights.get(base, 0.0) if base != text else 0.0):
            found[text] = height
    return found


def rows() -> Iterator[str]:
    """The table: what needs more height, by stock, stroke and height."""
    for stock in STOCKS:
        found = carried(stock)
        for height in sorted(set(found.values())):
            listed = " ".join(f"`{text}`" for text, tall in found.items() if tall == height)
            yield f"| {stock.name} | h/{stock.stroke} | {height:g} mm | {listed} |"


def test_the_table_says_what_needs_more_height() -> None:
    text = (FONTS / "README.md").read_text(encoding="utf-8")
    found = re.findall(r"^\| (?:film|sheet) \| h/\d .*$", text, re.MULTILINE)
    assert found == list(rows()), "The table ought to be:\n" + "\n".join(rows())


def test_all_letters_that_are_used_daily_are_carried_as_they_are_wanted() -> None:
    """The table may grow by what is seldom said, but not by these."""
    daily = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789abcdefghijklmnopqrstuvwxyz+−±=%°!?/½¼¾²³µΩ"
    for stock in STOCKS:
        if stock.stroke == 7:
            assert not set(daily) & carried(stock).keys(), stock.name


@pytest.mark.parametrize("ends", ["round", "square"])
def test_parts_keep_apart_with_ends_of_both_kinds(ends: str) -> None:
    """By what film carries at 2.5 mm."""
    for text in 'ij!?:;=±÷≤≥≈…"“”„«»¨ÄÉÊŐČÑĂȘ⁼½%':
        style = TextStyle(plain(), 2.5, ends=ends)  # type: ignore[arg-type]
        apart = least_gap(set_text(text, style).outline.shape)
        assert LET_PASS * FILM_LIMITS["gap"] <= apart < 1, text


def test_all_hold_by_their_bridges_on_sheet() -> None:
    stock = STOCKS[-1]
    heights = {text: carried(stock).get(text, stock.wanted(text)) for text in texts(stock)}
    outlines = [enlarged(text, stock, tall) for text, tall in heights.items()]
    held = bridged(outlines, [*heights.values()], stock.limits)
    for text, whole, cut in zip(heights, outlines, held, strict=True):
        assert not cut.loose and not cut.weak, text
        assert not counters(cut.outline.shape), text
        assert cut.outline.area > 0.7 * whole.area, text
