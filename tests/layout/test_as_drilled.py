"""Legends of holes that came out a little off, and what is said of those that came out far off."""

from __future__ import annotations

from typing import Any

import pytest

from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Finding

IDS = ("A", "B", "C", "D")
ROW = {id: (40.0 + 40 * i, 50.0) for i, id in enumerate(IDS)}


def row(describe: Any, datum: str | None = None, **off: tuple[float, float]) -> Artwork:
    """Four toggles in a row, each so far off its place; their caps cover 12 mm of 6."""
    measured: dict[str, Any] = {
        "holes": {
            id: {"at": [x + off.get(id, (0, 0))[0], y + off.get(id, (0, 0))[1]]}
            for id, (x, y) in ROW.items()
        }
    }
    if datum:
        measured["datum"] = datum
    return lay_out(
        describe(
            holes={id: {"at": list(at), "drill": 6} for id, at in ROW.items()},
            control=[
                {
                    "hole": id,
                    "kind": "toggle",
                    "name": name,
                    "covers": 12,
                    "positions": {"up": "ON", "down": "OFF"},
                }
                for id, name in zip(IDS, ("FAN", "PUMP", "LIFT", "HEAT"), strict=True)
            ],
            as_drilled=measured,
        )
    )


def drilled_findings(artwork: Artwork) -> list[Finding]:
    return [finding for finding in inspect(artwork) if finding.code.startswith("drilled")]


def test_legends_follow_their_own_holes_and_the_row_stays_straight(describe: Any) -> None:
    """Holes 1.8 and 1.4 mm off their line: further apart than what is taken for one row."""
    off = {"A": (0.4, 1.8), "B": (-0.7, -1.4), "C": (0.0, 0.3), "D": (0.2, -0.3)}
    artwork = row(describe, **off)
    for id in IDS:
        assert artwork.opening(id).centre == pytest.approx(
            (ROW[id][0] + off[id][0], ROW[id][1] + off[id][1])
        )
        assert artwork.opening(id).nominal == pytest.approx(ROW[id])
    for text in ("ON", "OFF"):
        words = [mark for mark in artwork.marks if mark.text == text]
        bottoms = [mark.outline.bounds[1] for mark in words]
        assert bottoms == pytest.approx([bottoms[0]] * 4, abs=0.01)
    names = [mark for mark in artwork.marks if mark.text in ("FAN", "PUMP", "LIFT", "HEAT")]
    # U and P overshoot or not; the names share their baseline but for a round letter's ink.
    assert max(m.outline.bounds[1] for m in names) - min(m.outline.bounds[1] for m in names) < 0.1
    for mark in artwork.marks:
        x0, _, x1, _ = mark.outline.bounds
        assert (x0 + x1) / 2 == pytest.approx(artwork.opening(mark.owner).centre[0], abs=0.01)


@pytest.mark.parametrize(
    ("off", "codes"),
    [
        ({"A": (0.3, 0.3)}, []),  # as holes are
        ({"A": (0.9, 0.9)}, []),  # the cap covers 3 mm round the hole
        ({"A": (1.5, 1.5)}, ["drilled-off"]),  # it would stand visibly out of its row
        ({"A": (0.0, 5.1)}, ["drilled-slip"]),
        ({"A": (0.0, 5.1), "B": (2.1, 0.0)}, ["drilled-slip", "drilled-off"]),
    ],
)
def test_how_far_off_is_too_far(describe: Any, off: dict[str, Any], codes: list[str]) -> None:
    assert [finding.code for finding in drilled_findings(row(describe, **off))] == codes


def test_a_part_that_covers_little_takes_less(describe: Any) -> None:
    panel: dict[str, Any] = {
        "holes": {"A": {"at": [60, 50], "drill": 10}, "B": {"at": [120, 50], "drill": 10}},
        "control": [
            {"hole": "A", "kind": "lamp", "name": "FAN", "covers": 11},
            {"hole": "B", "kind": "lamp", "name": "PUMP", "covers": 13},
        ],
        "as_drilled": {"holes": {"A": {"at": [60, 50.8]}, "B": {"at": [120, 50.8]}}},
    }
    (found,) = drilled_findings(lay_out(describe(**panel)))
    assert found.message == (
        "Hole A was drilled 0.8 mm from its place, 0.8 mm up; "
        "what is fitted covers 0.5 mm round it."
    )


def test_holes_that_were_exchanged_are_told_by_name(describe: Any) -> None:
    found = drilled_findings(row(describe, A=(40.1, 0.1), B=(-40.0, 0.0)))
    assert [finding.code for finding in found] == ["drilled-slip"] * 2
    assert "where hole B was to be" in found[0].message
    assert "where hole A was to be" in found[1].message


def test_what_all_holes_have_in_common_is_told_once(describe: Any) -> None:
    shifted = dict.fromkeys(IDS, (2.5, -1.0))
    (found,) = drilled_findings(row(describe, **shifted | {"B": (2.6, -1.1)}))
    assert found.code == "drilled-as-a-whole" and found.severity == "warning"
    assert "2.5 mm to the right and 1.0 mm down" in found.message
    (found,) = drilled_findings(row(describe, **dict.fromkeys(IDS, (25.0, 10.0))))
    assert found.severity == "error"
    assert drilled_findings(row(describe, "best fit", **shifted)) == []
