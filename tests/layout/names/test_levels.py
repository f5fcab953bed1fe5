"""Names on two levels with their leaders, and names for several controls."""

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Description
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Mark, Role, Severity
from legend.layout.styles import gap

NAMES = ["Rain gauge tipping", "Wind over 17 m/s", "T 2 A 250 V", "Soil moisture", "Frost warning"]


def row(
    names: list[str], pitch: float = 24, wobble: tuple[float, ...] = (), **more: Any
) -> Artwork:
    """Lamps in a row, a few tenths off the straight, on a panel that is large enough."""
    wobbles = wobble or (0.2, -0.3, 0.1, 0.0, -0.1)
    holes = {
        f"L{i}": {"at": [40 + pitch * i + d, 60 - d], "drill": 5}
        for i, d in zip(range(len(names)), wobbles, strict=False)
    }
    bank = {"holes": list(holes), "kind": "lamp", "covers": 7, "names": names} | more
    raw = {"panel": {"size": [250, 120]}, "holes": holes, "bank": [bank]}
    description = Description.model_validate(raw, context={"units": "mm"})
    return lay_out(description.with_banks_set_out())


def of_role(artwork: Artwork, role: Role) -> list[Mark]:
    return [mark for mark in artwork.marks if mark.role is role]


def troubles(artwork: Artwork) -> list[str]:
    return [f.code for f in inspect(artwork) if f.severity != Severity.NOTE]


@pytest.mark.parametrize("side", ["above", "below"])
def test_every_other_name_stands_beyond_the_others(side: str) -> None:
    artwork = row(NAMES, levels=2, side=side)
    names = {mark.owner: mark for mark in of_role(artwork, Role.NAME)}
    near, far = [[names[f"L{i}"] for i in places] for places in ((0, 2, 4), (1, 3))]
    inner = 0 if side == "below" else -1
    for level in (near, far):
        assert len({round(mark.baselines[inner], 6) for mark in level}) == 1
    if side == "above":
        assert min(m.outline.bounds[1] for m in far) > max(m.outline.bounds[3] for m in near) + 1
    else:
        assert max(m.outline.bounds[3] for m in far) < min(m.outline.bounds[1] for m in near) - 1
    assert not troubles(artwork)


@pytest.mark.parametrize("side", ["above", "below"])
def test_a_fine_line_leads_from_the_second_level_to_the_part(side: str) -> None:
    artwork = row(NAMES, levels=2, side=side)
    lines = of_role(artwork, Role.RULE)
    assert [line.owner for line in lines] == ["L1", "L3"]
    for line in lines:
        x0, y0, x1, y1 = line.outline.bounds
        x, y = artwork.opening(line.owner).centre
        (name,) = [m for m in of_role(artwork, Role.NAME) if m.owner == line.owner]
        assert (x0 + x1) / 2 == pytest.approx(x)
        assert x1 - x0 < 0.14 * name.height
        near, far = (y0 - y, y1) if side == "above" else (y - y1, y0)
        assert near == pytest.approx(3.5 + 1, abs=0.5)  # its part, and the least gap
        assert line.outline.shape.distance(name.outline.shape) > 1
        assert abs(far - name.baselines[0]) < 6
        others = [m for m in of_role(artwork, Role.NAME) if m.owner != line.owner]
        clear = min(line.outline.shape.distance(m.outline.shape) for m in others)
        assert clear >= gap(name.height) - 0.01


def test_two_levels_leave_names_whole_that_one_does_not() -> None:
    names = ["Anemometer", "Barometer", "Pluviometer", "Hygrometer", "Heliograph"]
    one, two = (row(names, 20, levels=n) for n in (1, 2))
    assert any("narrowed" in f.message or f.code == "no-room" for f in one.findings)
    assert not two.findings


@given(
    st.lists(st.sampled_from(["OUT", "Echo return", "Rain 4 mm", "Wind", "T 2 A"]), min_size=5,
             max_size=5),
    st.floats(22, 30),
    st.sampled_from(["above", "below"]),
)  # fmt: skip
@settings(max_examples=16, deadline=None)
def test_no_names_on_two_levels_touch(names: list[str], pitch: float, side: str) -> None:
    artwork = row(names, pitch, levels=2, side=side)
    assert not {"touching", "crowded", "no-room"} & set(troubles(artwork))


def test_names_for_pairs_share_a_baseline_and_their_numbers_stand_across() -> None:
    holes = [f"L{i}" for i in range(4)]
    pitch = 16
    raw = {
        "panel": {"size": [120, 60]},
        "holes": {
            hole: {"at": [30 + pitch * i + d, 30 + d], "drill": 6.4}
            for i, (hole, d) in enumerate(zip(holes, (0.2, -0.1, 0.3, 0), strict=True))
        },
        "bank": [
            {"holes": holes, "kind": "jack", "names": ["RECORDER", "OSC"], "holes_per_name": 2,
             "side": "below", "notes": "1 to 4"}
        ],
    }  # fmt: skip
    description = Description.model_validate(raw, context={"units": "mm"})
    artwork = lay_out(description.with_banks_set_out())
    names, numbers = of_role(artwork, Role.NAME), of_role(artwork, Role.NOTE)
    for name, first in zip(names, (0, 2), strict=True):
        x0, _, x1, _ = name.outline.bounds
        pair = [artwork.opening(hole).centre[0] for hole in holes[first : first + 2]]
        assert (x0 + x1) / 2 == pytest.approx(sum(pair) / 2, abs=0.01)
    assert names[0].baselines == names[1].baselines
    assert {number.owner: number.text for number in numbers} == dict(
        zip(holes, "1234", strict=True)
    )
    assert all(a.baselines == b.baselines for a, b in pairwise(numbers))
    assert not troubles(artwork)


def test_a_short_name_between_two_parts_far_apart_stands_level_with_their_edges() -> None:
    raw = {
        "panel": {"size": [120, 60]},
        "holes": {"L": {"at": [30, 30], "drill": 6}, "R": {"at": [90, 30], "drill": 6}},
        "control": [
            {"hole": "L", "kind": "jack", "covers": 8, "name": "IN", "name_for": ["L", "R"]},
            {"hole": "R", "kind": "jack", "covers": 8},
        ],
    }
    artwork = lay_out(Description.model_validate(raw, context={"units": "mm"}))
    (name,) = of_role(artwork, Role.NAME)
    assert name.outline.bounds[1] == pytest.approx(34 + 0.7 * 3.5, abs=0.1)
    assert name.outline.bounds[0] < 60 < name.outline.bounds[2]


def test_second_lines_of_a_row_are_in_line_as_well() -> None:
    artwork = row(["Frost warning", "T 2 A 250 V", "Wind"], 20, side="below")
    frost, fuse, _ = sorted(of_role(artwork, Role.NAME), key=lambda mark: mark.owner)
    assert fuse.setting and fuse.setting.text == "T 2 A\n250 V"
    assert len(frost.baselines) == 2
    assert frost.baselines == pytest.approx(fuse.baselines)
