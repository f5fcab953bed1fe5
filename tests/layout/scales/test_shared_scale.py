"""Scales that two slides share: one set of numerals between them, graduations beside each."""

from typing import Any

import pytest

from legend.description.tables.description import Description
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Mark, Role, Severity

PLACES = {"A": (40, 60), "B": (75.3, 60.4), "C": (110, 59.8)}


def bank(
    angle: float = 90, places: dict[str, tuple[float, float]] = PLACES, **more: Any
) -> Artwork:
    holes = {hole: {"at": list(at), "slot": [60, 3], "angle": angle} for hole, at in places.items()}
    table = {
        "holes": list(places),
        "kind": "slide",
        "covers": [66, 10],
        "scale": {"from": 0, "to": 10},
        "share_numerals": "neighbours",
    } | more
    raw = {"panel": {"size": [150, 150]}, "holes": holes, "bank": [table]}
    description = Description.model_validate(raw, context={"units": "mm"})
    return lay_out(description.with_banks_set_out())


def of_role(artwork: Artwork, role: Role, owner: str) -> list[Mark]:
    return [mark for mark in artwork.marks if mark.role is role and mark.owner == owner]


def middle(mark: Mark) -> tuple[float, float]:
    x0, y0, x1, y1 = mark.outline.bounds
    return (x0 + x1) / 2, (y0 + y1) / 2


def troubles(artwork: Artwork) -> list[str]:
    return [f.code for f in inspect(artwork) if f.severity != Severity.NOTE]


def test_one_set_of_numerals_stands_in_the_middle_of_every_two() -> None:
    artwork = bank()
    for one, other in (("A", "B"), ("B", "C")):
        (x, y), (next_x, next_y) = PLACES[one], PLACES[other]
        numerals = of_role(artwork, Role.NUMERAL, one)
        assert {"0", "10"} <= {mark.text for mark in numerals}
        for mark in numerals:
            level = (y + next_y) / 2 - 30 + 6 * float(mark.text)
            assert middle(mark) == pytest.approx(((x + next_x) / 2, level), abs=0.01)
    assert not of_role(artwork, Role.NUMERAL, "C")
    assert not troubles(artwork)


def test_each_slide_has_its_graduations_level_with_its_own_slot() -> None:
    artwork = bank()
    sides: dict[str, list[float]] = {}
    for hole, (x, y) in PLACES.items():
        marks = of_role(artwork, Role.GRADUATION, hole)
        heights = sorted({round(middle(mark)[1], 3) for mark in marks})
        assert heights[0] == pytest.approx(y - 30)
        assert heights[-1] == pytest.approx(y + 30)
        sides[hole] = [middle(mark)[0] - x for mark in marks]
        for mark in marks:
            x0, _, x1, _ = mark.outline.bounds
            assert min(abs(x0 - x), abs(x1 - x)) == pytest.approx(5 + 1, abs=0.01)
    assert min(sides["A"]) > 0 and max(sides["C"]) < 0
    assert sum(each > 0 for each in sides["B"]) == sum(each < 0 for each in sides["B"])


def test_signs_hang_out_of_numerals_that_are_centred_by_their_digits() -> None:
    artwork = bank(scale={"from": -10, "to": 10, "step": 10})
    signed, zero, plain = sorted(of_role(artwork, Role.NUMERAL, "A"), key=lambda m: middle(m)[1])
    assert (signed.text, zero.text, plain.text) == ("−10", "0", "10")
    assert signed.outline.bounds[2] == pytest.approx(plain.outline.bounds[2])


def test_the_unit_stands_over_the_numerals() -> None:
    artwork = bank(scale={"from": 0, "to": 10, "unit": "V"}, names=["ONE", "TWO", "THREE"])
    (unit,) = of_role(artwork, Role.NOTE, "A")
    top = max(mark.outline.bounds[3] for mark in of_role(artwork, Role.NUMERAL, "A"))
    assert unit.text == "V"
    assert middle(unit)[0] == pytest.approx((40 + 75.3) / 2, abs=0.01)
    assert unit.outline.bounds[1] > top + 1
    assert [m.text for m in artwork.marks if m.role is Role.NAME] == ["ONE", "TWO", "THREE"]


def test_level_slides_over_each_other_share_numerals_between_them() -> None:
    places = {"A": (75.0, 60.0), "B": (75.2, 90.0)}
    artwork = bank(0, places)
    numerals = of_role(artwork, Role.NUMERAL, "A")
    assert len({mark.baselines for mark in numerals}) == 1
    assert numerals[0].baselines[0] + numerals[0].height / 2 == pytest.approx(75)
    for hole, (_, y) in places.items():
        toward = [middle(m)[1] - y for m in of_role(artwork, Role.GRADUATION, hole)]
        assert all(each > 0 for each in toward) == (hole == "A")
    assert not troubles(artwork)


@pytest.mark.parametrize(
    "places",
    [
        {"A": (40.0, 60.0), "B": (75.0, 64.0)},  # not level
        {"A": (40.0, 60.0), "B": (51.5, 60.0)},  # no room between their parts
    ],
)
def test_slides_that_do_not_face_each_other_share_nothing(
    places: dict[str, tuple[float, float]],
) -> None:
    artwork = bank(places=places)
    (finding,) = [f for f in inspect(artwork) if f.code == "not-shared"]
    assert finding.severity is Severity.ERROR
    assert of_role(artwork, Role.NUMERAL, "A")
    assert not of_role(artwork, Role.GRADUATION, "B")


@pytest.mark.parametrize("frame", [None, 0.8])
@pytest.mark.parametrize("kind", ["bargraph", "edge meter"])
def test_bars_and_edge_meters_share_as_slides_do(kind: str, frame: float | None) -> None:
    holes = {hole: {"at": list(at), "cutout": [10, 60]} for hole, at in PLACES.items()}
    table = {
        "holes": list(PLACES),
        "kind": kind,
        "covers": [14, 66],
        "scale": {"from": 0, "to": 10, "step": 5},
        "share_numerals": "neighbours",
    }
    if frame:
        table["frame"] = frame
    raw = {"panel": {"size": [150, 150]}, "holes": holes, "bank": [table]}
    artwork = lay_out(Description.model_validate(raw, context={"units": "mm"}).with_banks_set_out())
    for one, other in (("A", "B"), ("B", "C")):
        for mark in of_role(artwork, Role.NUMERAL, one):
            x, y = ((a + b) / 2 for a, b in zip(PLACES[one], PLACES[other], strict=True))
            assert middle(mark) == pytest.approx((x, y - 30 + 6 * float(mark.text)), abs=0.01)
    assert not of_role(artwork, Role.NUMERAL, "C")
    reach = 7 + (1 + frame if frame else 0) + 1
    for hole, (x, _) in PLACES.items():
        for mark in of_role(artwork, Role.GRADUATION, hole):
            x0, _, x1, _ = mark.outline.bounds
            assert min(abs(x0 - x), abs(x1 - x)) == pytest.approx(reach, abs=0.01)
    assert not troubles(artwork)


def test_a_slide_shares_with_the_bar_that_shows_what_it_sets() -> None:
    raw = {
        "panel": {"size": [150, 150]},
        "holes": {
            "A": {"at": [40, 60], "slot": [60, 3], "angle": 90},
            "B": {"at": [75, 60], "cutout": [8, 60]},
        },
        "control": [
            {
                "hole": "A",
                "kind": "slide",
                "covers": [66, 10],
                "scale": {"from": 0, "to": 10, "shared_with": "B"},
            },
            {"hole": "B", "kind": "bargraph", "covers": [12, 64]},
        ],
    }
    artwork = lay_out(Description.model_validate(raw, context={"units": "mm"}))
    assert of_role(artwork, Role.GRADUATION, "B")
    assert not troubles(artwork)
