"""The layout against published standards. Each test names its source.

Values are quoted from memory of the documents named, as the design of the project lists them.
"""

import math
import tomllib
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from legend.description.laws import LAWS, LawSpec
from legend.description.schema import Description
from legend.layout import inspect, lay_out
from legend.layout.graduations import graduate
from legend.layout.styles import choose_styles
from legend.standards import ISO_HEIGHTS

SAMPLES = Path(__file__).parents[2] / "samples"


def describe(**tables: Any) -> Description:
    raw = {"panel": {"size": [200, 100]}} | tables
    return Description.model_validate(raw, context={"units": "mm"})


@pytest.mark.parametrize(
    ("distance", "least", "preferred"), [(500, 2.0, 3.0), (710, 2.84, 4.26), (1000, 4.0, 6.0)]
)
def test_heights_at_three_viewing_distances(
    distance: float, least: float, preferred: float
) -> None:
    """NUREG-0700 rev. 3, 11.4.1.5-1: at least 0.004, preferably 0.006 of the distance."""
    panel = {"size": [200, 100], "viewing_distance": distance}
    styles = choose_styles(describe(panel=panel))
    assert styles.least_height == pytest.approx(least)
    for role in ("title", "group", "name", "position", "numeral", "note"):
        assert styles[role].height >= least - 1e-9
    nearest = min(
        (h for h in ISO_HEIGHTS if h >= least), key=lambda h: abs(math.log(h / preferred))
    )
    assert styles["name"].height == nearest
    small = lay_out(
        describe(
            panel=panel,
            lettering={"note": {"height": least * 0.95}},
            text=[{"at": [100, 50], "text": "NOTE"}],
        )
    )
    assert any(f.code == "too-small" for f in inspect(small))


def test_fifteen_minutes_of_arc() -> None:
    """NUREG-0700 gives 15 minutes as 0.004 of the distance; trigonometry gives 0.00436."""
    assert math.tan(math.radians(15 / 60)) == pytest.approx(0.004, rel=0.1)


@pytest.mark.parametrize(
    ("law", "begin", "end"),
    [("linear", 0, 10), ("linear", 0, 250), ("linear", -5, 5), ("log", 1, 1000)],
)
def test_graduation_steps(law: str, begin: float, end: float) -> None:
    """MIL-HDBK-759B, 5.2.2.3.1.4.1: steps of 1, 2 or 5 and decimal multiples, at most three
    sizes of mark, at most nine between numbered marks."""
    made = LAWS[law](LawSpec(begin, end))

    def fits(a: float, b: float) -> bool:
        return abs(made.fraction(a) - made.fraction(b)) > 0.055

    graduations = graduate(made, begin, end, fits, 0.012)
    assert len({g.length for g in graduations}) <= 3
    for a, b in pairwise([i for i, g in enumerate(graduations) if g.numbered]):
        assert b - a - 1 <= 9
        values = [g.value for g in graduations[a : b + 1]]
        for low, high in pairwise(values):
            step = high - low
            digit = step / 10 ** math.floor(math.log10(step) + 1e-9)
            assert round(digit, 6) in (1, 2, 5)


def test_numerals_stand_upright_and_rise_clockwise() -> None:
    """MIL-STD-1472E, 5.2.3.3."""
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


def test_labels_read_level() -> None:
    """MIL-STD-1472E, 5.5.2: labels read horizontally."""
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
    """EIA-310: 482.6 mm wide, unit 44.45 mm, columns of holes 465.1 mm apart, holes 15.875,
    15.875 and 12.7 mm apart."""
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
