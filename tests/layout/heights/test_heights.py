"""Heights that are found by what fits: all is well at them, and a step further it is not."""

import itertools
import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Description
from legend.description.values.asked_heights import GREATEST, SMALLEST
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Role, Severity
from legend.layout.heights import heights
from legend.layout.heights.heights import STEP
from legend.stencil import cut

HOLES = {"A": {"at": [30, 20], "drill": 6}, "B": {"at": [70.2, 20.3], "drill": 6}}
CONTROL = [
    {"hole": "A", "kind": "lamp", "name": "FAN", "covers": 9},
    {"hole": "B", "kind": "lamp", "name": "PUMP", "covers": 9},
]
PANEL: dict[str, Any] = {"panel": {"size": [100, 42]}, "holes": HOLES, "control": CONTROL}


def described(**tables: Any) -> Description:
    return Description.model_validate(PANEL | tables).after_drilling()


def faults(artwork: Artwork) -> list[str]:
    """All that is found of the artwork and of its stencil but plain notes."""
    findings = [*inspect(artwork), *cut(artwork).findings]
    told = {"fitted", "piece-split"}
    return [f.message for f in findings if f.severity != Severity.NOTE or f.code in told]


def height(artwork: Artwork, text: str) -> float:
    return next(mark.height for mark in artwork.marks if mark.text == text)


@settings(max_examples=3, phases=[Phase.generate])
@given(
    apart=st.floats(15, 60),
    words=st.permutations(["FAN", "LIFT", "HEAT", "ON"]),
    side=st.sampled_from(["above", "below"]),
)
def test_what_is_found_fits_and_a_step_more_does_not(
    apart: float, words: list[str], side: str
) -> None:
    def panel(height: object) -> Artwork:
        return lay_out(
            described(
                lettering={"name": {"height": height}},
                holes={"A": HOLES["A"], "B": {"at": [30 + apart, 20.3], "drill": 6}},
                control=[
                    each | {"name": word, "side": side}
                    for each, word in zip(CONTROL, words, strict=False)
                ],
            )
        )

    found = panel(GREATEST)
    tall = found.styles["name"].height
    assert {mark.height for mark in found.marks} == {tall}
    assert not faults(found)
    assert faults(panel(round(tall + STEP, 6)))


@pytest.mark.parametrize("role", ["", "name", "position"])
def test_a_height_may_be_asked_for_the_panel_or_for_a_role(role: str) -> None:
    lettering: dict[str, Any] = {"height": GREATEST}
    toggle = {"hole": "A", "kind": "toggle", "name": "FAN", "positions": {"up": "ON"}}
    panel: dict[str, Any] = {"holes": {"A": HOLES["A"]}, "control": [toggle]}
    usual = lay_out(described(**panel))
    artwork = lay_out(described(lettering={role: lettering} if role else lettering, **panel))
    assert not faults(artwork)
    grown = {text: height(artwork, text) > height(usual, text) + STEP / 2 for text in ("FAN", "ON")}
    assert grown == {"FAN": role != "position", "ON": True}  # positions follow names


def test_a_text_grows_to_the_edge_of_the_panel_or_of_the_stock() -> None:
    text = {"at": [50, 18], "text": "DRYING", "height": GREATEST}
    panel: dict[str, Any] = {"holes": {}, "control": [], "text": [text]}
    wide = lay_out(described(**panel))
    narrow = lay_out(described(stencil={"stock_size": [50, 200]}, **panel))
    assert not faults(wide)
    assert height(narrow, "DRYING") < height(wide, "DRYING")
    assert all(sheet.size[0] <= 50 for sheet in cut(narrow).sheets)
    assert not [f for f in cut(narrow).findings if f.code == "piece-split"]


def test_texts_on_one_baseline_have_one_height_and_others_their_own() -> None:
    texts = [
        {"at": [20, 34], "text": "I", "height": GREATEST},
        {"at": [60, 34.2], "text": "STANDING ROOM", "height": GREATEST},
        {"at": [50, 4], "text": "II", "height": GREATEST},
        {"at": [92, 4], "text": "small", "height": 2.5},
    ]
    artwork = lay_out(described(text=texts))
    assert height(artwork, "I") == height(artwork, "STANDING ROOM") < height(artwork, "II")
    assert height(artwork, "small") == 2.5


def test_no_scale_loses_numbers_to_greater_ones() -> None:
    knob = {"hole": "A", "kind": "knob", "covers": 14, "scale": {"from": 0, "to": 10}}
    panel: dict[str, Any] = {"control": [knob], "panel": {"size": [60, 42]}}
    usual = lay_out(described(**panel))
    great = lay_out(described(lettering={"numeral": {"height": GREATEST}}, **panel))

    def numbers(artwork: Artwork) -> int:
        return sum(mark.role is Role.NUMERAL for mark in artwork.marks)

    assert great.styles["numeral"].height > usual.styles["numeral"].height
    assert numbers(great) >= numbers(usual)


def test_as_small_as_can_be_cut_is_cut_well_and_a_step_smaller_is_not() -> None:
    def panel(height: object) -> Artwork:
        return lay_out(
            described(
                panel={"size": [100, 42], "viewing_distance": 300},
                lettering={"height": height},
                stencil={"least_counter": 0.5, "least_stroke": 0.2},
                control=[each | {"name": name} for each, name in zip(CONTROL, "80", strict=True)],
            )
        )

    small = panel(SMALLEST)
    tall = small.styles["name"].height
    assert not faults(small)
    assert any("counter" in each for each in faults(panel(round(tall - STEP, 6))))


def test_where_there_is_no_room_to_be_cut_it_comes_as_near_as_it_can() -> None:
    artwork = lay_out(
        described(
            lettering={"height": SMALLEST},
            stencil={"least_counter": 3.0},
            control=[each | {"name": name} for each, name in zip(CONTROL, "80", strict=True)],
        )
    )
    findings = inspect(artwork)
    (note,) = [f for f in findings if f.code == "height-found"]
    assert "but taller:" in note.message
    assert [f.code for f in findings if f.severity != Severity.NOTE] == ["small-counter"]


def test_what_stops_a_height_is_told_where_it_is_asked_for() -> None:
    artwork = lay_out(described(lettering={"name": {"height": GREATEST}}))
    (note,) = [f for f in inspect(artwork) if f.code == "height-found"]
    assert note.severity == Severity.NOTE
    assert note.message.startswith("Every name is ")
    assert "mm tall, as large as fits. A step taller: " in note.message


def test_a_height_that_nothing_uses_is_left_out() -> None:
    artwork = lay_out(described(lettering={"group": {"height": GREATEST}}))
    assert artwork.styles["group"].height == lay_out(described()).styles["group"].height


def test_it_is_found_in_few_layouts(monkeypatch: pytest.MonkeyPatch) -> None:
    from legend.layout.heights import heights

    laid: list[Description] = []
    lay: Callable[..., Artwork] = heights.lay

    def counted(description: Description, *rest: Any, **more: Any) -> Artwork:
        laid.append(description)
        return lay(description, *rest, **more)

    monkeypatch.setattr(heights, "lay", counted)
    lay_out(described(lettering={"height": GREATEST}))
    assert len(laid) <= 20


def test_that_a_long_search_goes_on_is_told_ever_less_often(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    seconds = itertools.count(step=2)
    monkeypatch.setattr(heights.time, "monotonic", lambda: float(next(seconds)))
    with caplog.at_level("INFO", "legend"):
        lay_out(described(lettering={"height": GREATEST}))
    said = [record.getMessage() for record in caplog.records]
    assert said[0].startswith("Still finding the heights that fit: 2 seconds so far, ")
    assert said[1].startswith("Still finding the heights that fit: 4 seconds so far, ")
    assert len(said) <= math.log2(next(seconds))
