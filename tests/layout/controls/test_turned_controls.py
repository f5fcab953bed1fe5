"""Two knobs on one hole: their rings, their names, and what is told of them."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from legend.description.tables.description import Description
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Mark, Role

_SCALE = {"from": 10, "to": 100, "law": "log", "unit": "kHz"}
_LEVEL = {"name": "LEVEL", "covers": 14.0, "scale": {"from": 0, "to": 10}}


def dual(inner: dict[str, Any], height: float = 3.5, **outer: Any) -> Description:
    control = {"hole": "A", "kind": "knob", "name": "TUNE", "covers": 24.0, "scale": _SCALE}
    raw = {
        "panel": {"size": [200, 200]},
        "lettering": {"height": height},
        "holes": {"A": {"at": [100.3, 99.8], "drill": 9}},
        "control": [{**control, **outer, "inner": inner}],
    }
    return Description.model_validate(raw, context={"units": "mm"})


def _rings(artwork: Artwork) -> tuple[list[Mark], list[Mark]]:
    """The marks of the outer knob's scale, and those of the inner one's, in order of drawing."""
    marks = [m for m in artwork.marks if m.role in (Role.GRADUATION, Role.NUMERAL, Role.POSITION)]
    ticks = [i for i, m in enumerate(marks) if m.role is Role.GRADUATION]
    begin = next(i for i, j in pairwise(ticks) if j > i + 1)
    split = ticks[ticks.index(begin) + 1]
    return marks[:split], marks[split:]


def _reach(marks: list[Mark], artwork: Artwork) -> tuple[float, float]:
    """How near to the axis these marks come, and how far they reach."""
    centre = shapely.Point(artwork.opening("A").centre)
    shapes = [mark.outline.shape for mark in marks]
    return (
        float(shapely.distance(centre, shapes).min()),
        max(float(shapely.hausdorff_distance(centre, shape)) for shape in shapes),
    )


@settings(max_examples=15, deadline=None)
@given(st.floats(2.5, 7), st.floats(15, 40), st.floats(8, 60))
def test_the_rings_stand_clear_of_the_greater_knob_and_of_each_other(
    height: float, outer: float, inner: float
) -> None:
    description = dual(_LEVEL | {"covers": inner}, height, covers=outer)
    artwork = lay_out(description)
    first, second = _rings(artwork)
    begin, end = _reach(first, artwork)
    assert begin >= max(outer, inner) / 2 + 0.9
    assert _reach(second, artwork)[0] > end + 0.9
    assert {mark.owner for mark in artwork.marks} == {"A"}


def test_its_names_stand_on_two_sides_and_carry_the_units() -> None:
    artwork = lay_out(dual(_LEVEL | {"scale": {"from": 0, "to": 10, "unit": "dB"}}))
    names = {mark.text: mark for mark in artwork.marks if mark.role is Role.NAME}
    assert set(names) == {"TUNE (kHz)", "LEVEL (dB)"}
    _, y = artwork.opening("A").centre
    # The ring of the inner knob lies outside, and closed at the top: its name is next to it there.
    assert names["LEVEL (dB)"].outline.bounds[1] > y > names["TUNE (kHz)"].outline.bounds[3]
    for mark in names.values():  # each by its ink on the axis of the one hole
        left, _, right, _ = mark.outline.bounds
        assert (left + right) / 2 == pytest.approx(100.3, abs=0.01)


def test_the_name_of_the_inner_knob_stands_no_nearer_than_the_ends_of_its_scale() -> None:
    level = _LEVEL | {"side": "below"}
    artwork = lay_out(dual(level, scale={"low": "SLOW", "high": "FAST", "sweep": 90}))
    (name,) = (mark for mark in artwork.marks if mark.text == "LEVEL")
    ends = [mark for mark in artwork.marks if mark.text in ("0", "10")]
    assert name.baselines[0] <= min(mark.baselines[0] for mark in ends) + 1e-6


def test_positions_of_one_knob_go_with_the_scale_of_the_other() -> None:
    inner = {"name": "MODE", "positions": ["AM", "CW", "USB"], "detent": 40, "start": -40}
    artwork = lay_out(dual(inner))
    words = {mark.text for mark in artwork.marks if mark.role is Role.POSITION}
    assert words == {"AM", "CW", "USB"}
    numerals = [mark for mark in artwork.marks if mark.role is Role.NUMERAL]
    _, end = _reach(numerals, artwork)
    for mark in artwork.marks:
        if mark.role is Role.POSITION:
            assert _reach([mark], artwork)[0] > end
    assert not [f for f in inspect(artwork) if f.severity in ("error", "warning")]


def test_findings_say_which_knob_they_are_about() -> None:
    artwork = lay_out(dual(_LEVEL | {"scale": {"from": 10, "to": 0}}))
    found = {finding.code: finding.message for finding in inspect(artwork)}
    assert "the inner knob on A falls" in found["scale-backwards"]
    artwork = lay_out(dual(_LEVEL | {"name": "TUNE"}))
    found = {finding.code: finding.message for finding in inspect(artwork)}
    assert found["same-name"] == "Both knobs on A are named 'TUNE'."


@pytest.mark.parametrize(
    ("inner", "outer", "said"),
    [
        (_LEVEL | {"side": "above"}, {"side": "above"}, "another side"),
        (_LEVEL, {"note": "600 Ω"}, "has a note, which stands above it"),
        (_LEVEL, {"kind": "toggle"}, "has an inner knob, which a toggle"),
        ({"positions": ["1"] * 14}, {}, "more than one turn"),
        ({"scale": {"from": 0, "to": 9, "track": 320}}, {}, "has a track of 320 degrees"),
    ],
)
def test_what_does_not_go_together_is_told(
    inner: dict[str, Any], outer: dict[str, Any], said: str
) -> None:
    with pytest.raises(ValidationError, match=said):
        dual(inner, **outer)


def test_the_rings_are_concentric() -> None:
    artwork = lay_out(dual(_LEVEL))
    x, y = artwork.opening("A").centre
    for text, degrees in (("5", 0.0), ("10", 150.0)):
        marks = [mark for mark in artwork.marks if mark.text == text]
        left, bottom, right, top = marks[-1].outline.bounds
        angle = math.degrees(math.atan2((left + right) / 2 - x, (bottom + top) / 2 - y))
        assert angle == pytest.approx(degrees, abs=3)
