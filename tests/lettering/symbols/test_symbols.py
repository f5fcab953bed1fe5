"""Symbols are of one size and weight, sound at every stroke, and found by their names."""

import math
import re
from functools import lru_cache
from pathlib import Path

import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from legend.lettering.faces.face import LetteringError, TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.outlines.measuring import across, counters, least_gap, least_stroke
from legend.lettering.symbols.drawing import symbol
from legend.lettering.symbols.registry import GROUPS, SYMBOLS
from legend.lettering.symbols.symbol import OUR_OWN
from legend.standards import FILM_LIMITS, GAP_IN_LETTER, SHEET_LIMITS

ARROWS = [
    "arrow-up",
    "arrow-up-right",
    "arrow-right",
    "arrow-down-right",
    "arrow-down",
    "arrow-down-left",
    "arrow-left",
    "arrow-up-left",
]
CONNECTORS = ["dc-connector-centre-positive", "dc-connector-centre-negative"]
WANTED = [
    *ARROWS,
    "on",
    "off",
    "stand-by",
    "earth",
    "protective-earth",
    "frame-or-chassis",
    "direct-current",
    "alternating-current",
    "direct-and-alternating-current",
    "fuse",
    "battery",
    "lamp",
    "input",
    "output",
    "bell",
    "loudspeaker",
    "headphones",
    "microphone",
    "aerial",
    "variability",
    "plus",
    "minus",
    "dangerous-voltage",
    "caution",
    "rotary-increase",
    "on-off",
    "functional-earth",
    "equipotentiality",
    "electric-shock",
    "hot-surface",
    "class-ii",
    "run",
    "stop",
    "pause",
    "momentary",
    "sine-wave",
    "square-wave",
    "triangle-wave",
    "sawtooth-wave",
    "pulse-wave",
    "mono",
    "stereo",
    "line",
    "foot-switch",
    "record",
    "reset",
    "rotary-decrease",
    "rotary-both-ways",
    "brightness",
    "contrast",
    "day",
    "night",
    "thermometer",
    "heat",
    "fan",
    "drop",
    "flame",
    "clock",
    "lock",
    "unlock",
    "emergency-stop",
    "network",
    "data",
    "data-plug",
    "power-plug",
    "cell",
    *CONNECTORS,
]
#: Pairs that the standards give one frame, so that they differ in what is within it.
FRAMED = [("caution", "electric-shock"), tuple(CONNECTORS)]


def style(height: float = 5, stroke: float = 1 / 7, **more: float | str) -> TextStyle:
    return TextStyle(load_face("plain", Path()), height, stroke, **more)  # type: ignore[arg-type]


def test_the_symbols_that_panels_need_are_there() -> None:
    assert set(WANTED) <= set(SYMBOLS)


@pytest.mark.parametrize("name", SYMBOLS)
def test_every_symbol_says_what_it_is(name: str) -> None:
    assert SYMBOLS[name].title[0].isupper()
    assert re.fullmatch(
        r"IEC 60417-\d{4}B?(, from memory)?|ISO 7000-\d{4}B?(, from memory)?", SYMBOLS[name].number
    ) or (SYMBOLS[name].number == OUR_OWN)


def test_every_symbol_stands_in_one_group() -> None:
    names = [name for group in GROUPS for name in group.symbols]
    assert names == list(SYMBOLS)
    assert len({group.heading for group in GROUPS}) == len(GROUPS)


@pytest.mark.parametrize("name", SYMBOLS)
@pytest.mark.parametrize(
    ("stroke", "ends"), [(0.08, "square"), (0.1, "round"), (1 / 7, "square"), (1 / 6, "round")]
)
def test_sound_at_every_weight(name: str, stroke: float, ends: str) -> None:
    outline = symbol(name, style(3.5, stroke, ends=ends))
    assert outline.shape.is_valid
    signed = sum(contour.signed_area for contour in outline.contours)
    assert signed == pytest.approx(outline.area, rel=1e-3)
    for contour in outline.contours:
        assert shapely.is_simple(shapely.linearrings(contour.flat))


@pytest.mark.parametrize("name", sorted(SYMBOLS.keys() - CONNECTORS))
def test_as_large_as_the_others(name: str) -> None:
    """Across, it measures about the square root of two of the capital height."""
    outline = symbol(name, style(10))
    left, bottom, right, top = outline.bounds
    across = 2 * float(shapely.minimum_bounding_radius(outline.shape))
    assert 1.15 * 10 < across < 1.9 * 10
    assert (bottom + top) / 2 == pytest.approx(5, abs=2)
    assert left == pytest.approx(1)


@pytest.mark.parametrize("name", SYMBOLS)
def test_of_one_weight(name: str) -> None:
    """No ink is thinner than the stroke, and but where it is filled none is much thicker."""
    ink = symbol(name, style(10, 0.1)).shape
    assert ink.buffer(-0.47).area > 0
    opened = ink.buffer(-0.47).buffer(0.47)
    assert ink.difference(opened.buffer(0.03)).area < 0.02 * ink.area
    thick = ink.buffer(-0.7).buffer(0.7).area  # where strokes meet as well
    if not SYMBOLS[name].strokes:
        assert thick > 0.2 * ink.area
    elif SYMBOLS[name].filled:
        assert thick > 0.01 * ink.area
    else:
        assert thick < 0.2 * ink.area


@pytest.mark.parametrize("name", SYMBOLS)
def test_stock_carries_it(name: str) -> None:
    """No part is narrower than film carries at 2.5 mm, or a rigid sheet at 5 mm, and no white."""
    for ends, stroke in (("round", 1 / 7), ("round", 1 / 6), ("square", 1 / 6)):
        drawn = symbol(name, style(5, stroke, ends=ends))
        usual = ends == "round" and stroke == 1 / 7
        for stock, height in ((FILM_LIMITS, 2.5), (SHEET_LIMITS, 5)):
            ink = drawn.scaled(height / 5).shape
            assert least_stroke(ink) > stock["stroke"], height
            assert least_gap(ink) > stock["gap"] * (1 if usual else GAP_IN_LETTER), height
            assert all(across(counter) > stock["counter"] for counter in counters(ink)), height


@pytest.mark.parametrize("name", SYMBOLS)
def test_no_stroke_runs_close_beside_another(name: str) -> None:
    """White narrower than three tenths of a millimetre at 2.5 mm is in sharp corners only."""
    for stroke in (1 / 7, 1 / 6):
        ink = symbol(name, style(2.5, stroke)).shape
        white = ink.envelope.buffer(1).difference(ink)
        narrow = white.difference(white.buffer(-0.148).buffer(0.155))
        assert max((part.area for part in shapely.get_parts(narrow)), default=0) < 0.035


@pytest.mark.parametrize("name", SYMBOLS)
def test_no_other_is_like_it(name: str) -> None:
    """One laid over another, a seventh or more of their ink is not in both."""
    ink = centred(name)
    before = list(SYMBOLS)[: list(SYMBOLS).index(name)]  # each two are compared but once
    for other in set(before) - {pair[name == pair[0]] for pair in FRAMED}:
        apart = ink.symmetric_difference(centred(other)).area
        assert apart > ink.union(centred(other)).area / 7, other


@pytest.mark.parametrize(("name", "other"), FRAMED)
def test_those_in_one_frame_differ_in_what_it_holds(name: str, other: str) -> None:
    """More than three dots as broad as a stroke, at 10 mm, are in one of them alone."""
    apart = centred(name).symmetric_difference(centred(other)).area
    assert apart > 3 * (10 / 7) ** 2


@lru_cache
def centred(name: str) -> BaseGeometry:
    outline = symbol(name, style(10))
    left, bottom, right, top = outline.bounds
    return outline.moved(-(left + right) / 2, -(bottom + top) / 2).shape


@pytest.mark.parametrize("name", CONNECTORS)
def test_connectors_are_broad_and_no_taller_than_the_others(name: str) -> None:
    left, bottom, right, top = symbol(name, style(10)).bounds
    assert 4 * 10 < right - left < 4.6 * 10
    assert top - bottom < 1.45 * 10


def test_the_senses_of_a_connector_are_told_by_which_ring_holds_the_plus() -> None:
    """They are mirror images in their rings alone: the dot is on the right in both."""
    one, other = (symbol(name, style(10)).shape for name in CONNECTORS)
    apart = shapely.symmetric_difference(one, other)
    left, right = (side for side in sorted(apart.geoms, key=lambda part: part.bounds)[::3])
    assert one.contains(right.buffer(-0.01)) and other.contains(left.buffer(-0.01))
    middle = (one.bounds[0] + one.bounds[2]) / 2
    dot = shapely.Point(middle, 5).buffer(1.2)
    assert one.contains(dot) and other.contains(dot)


@pytest.mark.parametrize("place", range(8))
def test_arrows_point_where_they_say(place: int) -> None:
    outline = symbol(ARROWS[place], style(10))
    left, bottom, right, top = outline.bounds
    centred = outline.moved(-(left + right) / 2, -(bottom + top) / 2).turned(-45 * place)
    heavy = centred.shape.centroid
    assert heavy.y > 0.5
    assert heavy.x == pytest.approx(0, abs=0.6)
    assert centred.area == pytest.approx(symbol("arrow-up", style(10)).area, rel=1e-3)


def test_on_and_off_are_equally_tall() -> None:
    heights = [b[3] - b[1] for b in (symbol(name, style()).bounds for name in ("on", "off"))]
    assert heights[0] == pytest.approx(heights[1], abs=1e-6)
    assert heights[0] == pytest.approx(5 * math.sqrt(2))


def test_neither_narrowed_nor_leaning_nor_filled_in() -> None:
    usual = symbol("earth", style(stroke=0.14))
    assert symbol("earth", style(stroke=0.14, width=0.6, slope=20)).bounds == usual.bounds
    assert symbol("earth", style(stroke=0.3)).area == symbol("earth", style(stroke=1 / 6)).area


def test_the_wedge_grows_clockwise() -> None:
    outline = symbol("rotary-increase", style(10))
    left, bottom, right, top = outline.bounds
    middle = outline.moved(-(left + right) / 2, -top + (right - left) / 2)
    widths = []
    for degrees in (-120, -45, 30, 120):
        ray = shapely.LineString([(0, 0), (0, 20)])
        widths.append(middle.turned(-degrees).shape.intersection(ray).length)
    assert widths == sorted(widths)
    assert widths[-1] > 2 * widths[0]


def test_an_unknown_name_is_told_with_the_nearest() -> None:
    with pytest.raises(
        LetteringError, match="no symbol 'Loudspeeker'; the nearest are loudspeaker"
    ):
        symbol("Loudspeeker", style())
    with pytest.raises(
        LetteringError, match=r"no symbol 'zzz'; the nearest are [a-z-]+, [a-z-]+, [a-z-]+; the"
    ):
        symbol("zzz", style())


def test_a_symbol_is_drawn_once() -> None:
    assert symbol("bell", style()) is symbol("bell", style())
