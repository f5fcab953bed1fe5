"""The layout against published standards. Each test names its source.

What is quoted was compared with the documents, or with public copies of them, where it says
"read"; the rest is from memory of them, or second hand where it says so.
"""

import math
import tomllib
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from legend.description.laws import LAWS, LawSpec
from legend.description.tables.description import Description
from legend.layout import inspect, lay_out
from legend.layout.scales.graduations import Chosen, Room, graduate
from legend.layout.styles import choose_styles

SAMPLES = Path(__file__).parents[2] / "samples"


def describe(**tables: Any) -> Description:
    raw = {"panel": {"size": [200, 100]}} | tables
    return Description.model_validate(raw, context={"units": "mm"})


@pytest.mark.parametrize(
    ("distance", "least", "name"), [(500, 2.0, 3.5), (710, 2.84, 5.0), (1000, 4.0, 7.0)]
)
def test_heights_at_three_viewing_distances(distance: float, least: float, name: float) -> None:
    """NUREG-0700 rev. 3, 11.4.1.5-1, read: at least 0.004, preferably 0.006 of the distance; that
    is 3.0, 4.26 and 6.0 mm, next to which ISO 3098-0 has 3.5, 5 and 7 mm.
    """
    panel = {"size": [200, 100], "viewing_distance": distance}
    styles = choose_styles(describe(panel=panel))
    assert styles.least_height == pytest.approx(least)
    for role in ("title", "group", "name", "position", "numeral", "note"):
        assert styles[role].height >= least - 1e-9
    assert styles["name"].height == name
    small = lay_out(
        describe(
            panel=panel,
            lettering={"note": {"height": least * 0.95}},
            text=[{"at": [100, 50], "text": "NOTE"}],
        )
    )
    assert any(f.code == "too-small" for f in inspect(small))


@pytest.mark.parametrize(
    ("finish", "method", "least", "most"),
    [
        ({"base": "white", "top": "black"}, "lift-off", 1 / 8, 1 / 7),
        ({"base": "black", "top": "white"}, "lift-off", 1 / 6, 1 / 6),
        ({"base": "white", "top": "black"}, "paint-through", 1 / 6, 1 / 6),
        ({"base": "navy", "top": "ivory"}, "paint-through", 1 / 8, 1 / 7),
    ],
)
def test_strokes_suit_the_colours(
    finish: dict[str, str], method: str, least: float, most: float
) -> None:
    """DOD-HDBK-791(AM), 6-5.3.2.3, read: a sixth of the height dark on light, an eighth to a
    seventh light on dark. Measured across the stem of an I."""
    artwork = lay_out(
        describe(
            finish=finish,
            stencil={"method": method},
            text=[{"at": [100, 50], "text": "I", "role": "name"}],
        )
    )
    (mark,) = artwork.marks
    left, bottom, right, top = mark.outline.bounds
    assert least - 1e-3 <= (right - left) / (top - bottom) <= most + 1e-3


@pytest.mark.parametrize(
    ("law", "begin", "end"),
    [
        ("linear", 0, 10),
        ("linear", 0, 250),
        ("linear", -5, 5),
        ("log", 1, 1000),
        ("inverse", 500, 1600),
        ("inverse-square", 500, 1600),
        ("decibel", -20, 3),
    ],
)
def test_graduation_steps(law: str, begin: float, end: float) -> None:
    """MIL-HDBK-759B, 5.2.2.3.1.4.1, read: steps of 1, 2 or 5 and decimal multiples, at most
    nine between numbered marks."""
    made = LAWS[law](LawSpec(begin, end))

    def fits(a: float, b: float) -> bool:
        return abs(made.fraction(a) - made.fraction(b)) > 0.055

    graduations = graduate(made, begin, end, Room(fits, 0.012, lambda a, b: True), Chosen())
    for a, b in pairwise([i for i, g in enumerate(graduations) if g.numbered]):
        assert b - a - 1 <= 9
        values = [g.value for g in graduations[a : b + 1]]
        for low, high in pairwise(values):
            step = high - low
            digit = step / 10 ** math.floor(math.log10(step) + 1e-9)
            assert round(digit, 6) in (1, 2, 5)


@pytest.mark.parametrize(
    "scale",
    [
        {"from": 0, "to": 10},
        {"law": "log", "from": 1, "to": 1000},
        {"law": "inverse-square", "from": 530, "to": 1600, "sweep": 180},
        {"from": 0, "to": 360, "sweep": 360},
    ],
)
def test_graduations_are_of_at_most_three_sizes(scale: dict[str, Any]) -> None:
    """MIL-HDBK-759B, 5.2.2.3.1.4.1, read. Measured on the marks: their extent along their rays."""
    artwork = lay_out(
        describe(
            holes={"A": {"at": [100, 50], "drill": 9.5}},
            control=[{"hole": "A", "kind": "knob", "covers": 40, "scale": scale}],
        )
    )
    lengths = []
    for mark in artwork.marks:
        if mark.role == "graduation":
            away = [math.hypot(x - 100, y - 50) for c in mark.outline.contours for x, y in c.flat]
            lengths.append(max(away) - min(away))
    assert len(lengths) > 10
    assert 2 <= len({round(length, 1) for length in lengths}) <= 3


def test_selectors_step_and_knobs_turn_as_is_common() -> None:
    """A rotary selector steps 30 degrees: common practice, no source. A carbon control turns 300,
    give or take 5: makers' data sheets, read. Measured on the marks."""
    artwork = lay_out(
        describe(
            holes={"A": {"at": [50, 50], "drill": 9.5}, "B": {"at": [140, 50], "drill": 7}},
            control=[
                {"hole": "A", "kind": "selector", "positions": ["1", "2", "3", "4"]},
                {"hole": "B", "kind": "knob", "scale": {"from": 0, "to": 10, "step": 10}},
            ],
        )
    )
    angles: dict[str, list[float]] = {"A": [], "B": []}
    for mark in artwork.marks:
        if mark.role == "graduation":
            (x0, y0, x1, y1), (x, _) = mark.outline.bounds, artwork.opening(mark.owner).centre
            angle = math.degrees(math.atan2((x0 + x1) / 2 - x, (y0 + y1) / 2 - 50))
            angles[mark.owner].append(angle)
    steps = [b - a for a, b in pairwise(sorted(angles["A"]))]
    assert steps == pytest.approx([30, 30, 30], abs=0.01)
    assert max(angles["B"]) - min(angles["B"]) == pytest.approx(300, abs=0.01)


def test_numerals_stand_upright_and_rise_clockwise() -> None:
    """MIL-STD-1472E, 5.2.3.3.2 (numerals upright) and 5.1.3.3 (values rise clockwise), read."""
    artwork = lay_out(
        describe(
            holes={"A": {"at": [100, 50], "drill": 9.5}},
            control=[{"hole": "A", "kind": "knob", "scale": {"from": 0, "to": 10}}],
        )
    )
    angles = {}
    for mark in artwork.marks:
        if mark.role == "numeral":
            x0, y0, x1, y1 = mark.outline.bounds
            angles[float(mark.text)] = math.atan2((x0 + x1) / 2 - 100, (y0 + y1) / 2 - 50)
            assert y1 - y0 == pytest.approx(mark.height, rel=0.03)
    assert [angles[v] for v in sorted(angles)] == sorted(angles.values())


@pytest.mark.parametrize(("angle", "axis"), [(90, 1), (0, 0)])
def test_values_rise_upward_and_to_the_right(angle: float, axis: int) -> None:
    """MIL-STD-1472E, 5.1.3.4, read: of a linear scale, values rise upward or to the right."""
    artwork = lay_out(
        describe(
            holes={"A": {"at": [100, 50], "slot": [60, 4], "angle": angle}},
            control=[{"hole": "A", "kind": "slide", "scale": {"from": 0, "to": 10}}],
        )
    )
    at = {float(m.text): m.outline.bounds[axis] for m in artwork.marks if m.role == "numeral"}
    assert len(at) > 2
    assert [at[v] for v in sorted(at)] == sorted(at.values())


@pytest.mark.parametrize(
    ("scale", "told"),
    [
        ({"from": 0, "to": 10}, None),  # 30 degrees from numeral to numeral, 60 at the bottom
        ({"from": 0, "to": 10, "sweep": 325}, None),  # 32.5 and 35
        ({"from": 0, "to": 10, "sweep": 335}, "note"),  # 33.5 and 25
        ({"from": 0, "to": 10, "numbered": [5]}, None),  # 150 and 60, but as usual
        ({"from": 0, "to": 10, "numbered": [5], "sweep": 310}, "note"),
        ({"from": 0, "to": 360, "sweep": 360}, None),
    ],
)
def test_the_gap_of_a_round_scale(scale: dict[str, Any], told: str | None) -> None:
    """NUREG-0700 rev. 2, 1.6.4-11, read: a round scale has a gap between its ends, at six
    o'clock, of at least one numbered interval. Measured on the graduations."""
    artwork = lay_out(
        describe(
            holes={"A": {"at": [100, 50], "drill": 9.5}},
            control=[{"hole": "A", "kind": "knob", "covers": 24, "scale": scale}],
        )
    )
    angles = []
    for mark in artwork.marks:
        if mark.role == "graduation":
            x0, y0, x1, y1 = mark.outline.bounds
            angles.append(math.degrees(math.atan2((x0 + x1) / 2 - 100, (y0 + y1) / 2 - 50)))
    assert max(angles) == pytest.approx(-min(angles), abs=0.01) or scale.get("sweep") == 360
    found = [f.severity for f in inspect(artwork) if f.code == "no-dead-zone"]
    assert found == ([told] if told else [])


@pytest.mark.parametrize(
    ("top", "told"),
    [("#767676", None), ("#777777", "note"), ("#949494", "note"), ("#959595", "warning")],
)
def test_the_contrast_of_text(top: str, told: str | None) -> None:
    """WCAG 2.2: text 4.5 to 1 (1.4.3), and what is none 3 to 1 (1.4.11). That #767676 and
    #949494 are the lightest greys to have these against white is often quoted; from memory."""
    artwork = lay_out(
        describe(finish={"base": "white", "top": top}, text=[{"at": [100, 50], "text": "KILN"}])
    )
    found = [f.severity for f in inspect(artwork) if f.code == "low-contrast"]
    assert found == ([told] if told else [])


def test_labels_read_level() -> None:
    """MIL-STD-1472E, 5.5.2.1, read: labels read horizontally."""
    artwork = lay_out(
        describe(
            holes={"A": {"at": [100, 50], "drill": 9.5}},
            control=[{"hole": "A", "kind": "toggle", "name": "HHHHHH"}],
        )
    )
    (name,) = [m for m in artwork.marks if m.role == "name"]
    x0, y0, x1, y1 = name.outline.bounds
    assert y1 - y0 == pytest.approx(name.height, abs=0.01)
    assert x1 - x0 > 3 * (y1 - y0)


def test_rack_panel_of_the_sample() -> None:
    """EIA-310, second hand: 482.6 mm wide, unit 44.45 mm, columns of holes 465.1 mm apart, holes
    15.875, 15.875 and 12.7 mm apart."""
    raw = tomllib.loads((SAMPLES / "dome-rotator" / "panel.toml").read_text(encoding="utf-8"))
    width, height = raw["panel"]["size"]
    assert width == 482.6
    assert 2 * 44.45 - 1.0 < height < 2 * 44.45
    left, right = raw["holes"]["R1"]["at"], raw["holes"]["R3"]["at"]
    assert right[0] - left[0] == pytest.approx(465.1)
    apart = raw["holes"]["R2"]["at"][1] - left[1]
    steps = [15.875, 15.875, 12.7] * 2
    spans = [sum(steps[i:j]) for i in range(6) for j in range(i + 1, 7)]
    assert any(apart == pytest.approx(span) for span in spans)
