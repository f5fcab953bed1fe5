"""The baselines that names of a row share, and where frames of groups come between."""

from __future__ import annotations

from typing import Any

import pytest

from legend.description.tables.description import Description
from legend.layout import inspect, lay_out
from legend.layout.artwork import Role, Severity

#: Lamps with a part of this size in a row, mm: the larger, the higher its name by itself.
_SMALL, _LARGE = 8.0, 18.0


def _baselines(
    covers: dict[str, float], *framed: str, style: str = "frame", side: str = "above"
) -> dict[str, float]:
    """The baseline of each name, by hole; `framed` are the holes of each group, one letter each."""
    holes = {hole: {"at": [30 + 30 * i, 50], "drill": 6} for i, hole in enumerate(covers)}
    control: list[dict[str, Any]] = [
        {"hole": hole, "kind": "lamp", "name": f"L {hole}", "covers": size, "side": side}
        for hole, size in covers.items()
    ]
    group = [{"holes": list(each), "style": style} for each in framed]
    raw = {"panel": {"size": [260, 100]}, "holes": holes, "control": control, "group": group}
    artwork = lay_out(Description.model_validate(raw, context={"units": "mm"}))
    assert not [f for f in inspect(artwork) if f.severity is not Severity.NOTE]
    return {mark.owner: mark.baselines[0] for mark in artwork.marks if mark.role is Role.NAME}


_ROW = {"A": _SMALL, "B": _SMALL, "C": _LARGE}


@pytest.mark.parametrize("side", ["above", "below"])
def test_a_name_in_a_frame_is_not_moved_for_one_outside(side: str) -> None:
    alone = _baselines({"A": _SMALL, "B": _SMALL}, "AB", side=side)
    beside = _baselines(_ROW, "AB", side=side)
    assert beside["A"] == beside["B"] == alone["A"]
    assert beside["C"] != beside["A"]


@pytest.mark.parametrize("style", ["bracket", "rule"])
def test_other_lines_of_groups_do_not_part_a_row(style: str) -> None:
    assert len(set(_baselines(_ROW, "AB", style=style).values())) == 1


def test_without_a_frame_all_stand_on_one_line() -> None:
    assert len(set(_baselines(_ROW).values())) == 1


def test_names_outside_follow_those_in_the_frame() -> None:
    assert len(set(_baselines(_ROW, "BC").values())) == 1


def test_names_in_one_frame_follow_each_other_and_not_those_in_another() -> None:
    found = _baselines(_ROW | {"D": _SMALL, "E": _SMALL}, "AB", "CD")
    assert found["A"] == found["B"] < found["C"] == found["D"] == found["E"]


def test_names_that_are_nearly_level_are_level_whatever_is_between() -> None:
    nearly = {"A": 10.0, "B": 10.0, "C": 12.0}
    assert len(set(_baselines(nearly, "AB").values())) == 1


def test_of_frames_in_one_another_the_inner_one_counts() -> None:
    found = _baselines(_ROW, "AB", "ABC")
    assert found["A"] == found["B"] < found["C"]
