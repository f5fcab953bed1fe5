"""Rows of mixed parts, their holes a few tenths off the straight: every legend by its own part."""

import math
from collections.abc import Iterator
from itertools import combinations
from typing import Any

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Description
from legend.layout import lay_out
from legend.layout.artwork import Artwork, Mark, Role
from legend.layout.inspection import inspect

_WORDS = st.sampled_from(
    ["ON", "FAN", "PAPER OUT", "THERMOCOUPLES", "HEAT", "AUX IN", "Plug", "MAIN LIGHT"]
)
_SIDES = st.sampled_from(["above", "below", "left", "right"])
_PARTS: list[dict[str, Any]] = [
    {"kind": "lamp"},
    {"kind": "meter", "covers": [34, 30]},
    {"kind": "meter", "covers": [26, 40], "frame": 0.8},
    {"kind": "toggle", "positions": {"up": "ON", "down": "OFF"}},
    {"kind": "toggle", "covers": 17, "positions": {"up": "FAST", "down": "SLOW", "centre": "OFF"}},
    {"kind": "toggle", "positions": {"left": "IN", "right": "OUT"}},
    {"kind": "fuse", "note": "T 1 A 250 V"},
    {"kind": "selector", "positions": ["TEST", "TOP", "BASE", "FREE"]},
    {"kind": "slide", "covers": [12, 30], "scale": {"from": 0, "to": 10}},
    {"kind": "knob", "covers": 18, "scale": {"from": 0, "to": 10, "low": "LO", "high": "HIGH"}},
    {"kind": "jack"},
]
#: What the check for it lets pass as well, mm.
_UNSEEN = 0.5
_OFF_THE_STRAIGHT = st.floats(-0.4, 0.4)

#: A lamp whose name followed that of a meter, and came to stand by the meter.
_LAMP_BESIDE_A_METER = {
    "panel": {"size": [220, 150]},
    "holes": {
        "MET": {"at": [70.1, 44.9], "cutout": [46, 24]},
        "ON": {"at": [103.3, 45.2], "drill": 6},
        "FAN": {"at": [122.0, 45.4], "drill": 6.4},
    },
    "control": [
        {"hole": "MET", "kind": "meter", "name": "DENSITY", "covers": [50, 28]},
        {"hole": "ON", "kind": "lamp", "name": "ON"},
        {"hole": "FAN", "kind": "toggle", "name": "FAN", "positions": {"up": "ON", "down": "OFF"}},
    ],
}


@st.composite
def rows(draw: st.DrawFn) -> dict[str, Any]:
    """A panel with one or two rows of parts, as close to each other as they can be fitted."""
    holes: dict[str, Any] = {}
    controls: list[dict[str, Any]] = []
    for row in range(draw(st.integers(1, 2))):
        x = 8.0
        while len(controls) < 5:
            part = draw(st.sampled_from(_PARTS))
            half = part.get("covers", 12)
            half = (half if isinstance(half, int) else half[0]) / 2
            x += half + draw(st.floats(1, 25))
            if x > 195:
                break
            hole = f"H{len(holes)}"
            at = [x + draw(_OFF_THE_STRAIGHT), 45 + 60 * row + draw(_OFF_THE_STRAIGHT)]
            holes[hole] = {"at": at, "drill": 6.4}
            controls.append({"hole": hole, "name": draw(_WORDS)} | part)
            if draw(st.booleans()):
                controls[-1]["side"] = draw(_SIDES)
            if draw(st.integers(0, 5)) == 0:
                controls[-1]["in_row"] = False
            x += half
    return {"panel": {"size": [220, 150]}, "holes": holes, "control": controls}


def laid(tables: dict[str, Any]) -> Artwork:
    return lay_out(Description.model_validate(tables, context={"units": "mm"}))


def named(artwork: Artwork) -> dict[tuple[str, str, str], Mark]:
    """All legends but numerals, by whose they are, and what they say."""
    texts = [mark for mark in artwork.marks if mark.text and mark.role != Role.NUMERAL]
    return {(mark.owner, str(mark.role), mark.text): mark for mark in texts}


def distances(artwork: Artwork, mark: Mark, dx: float, dy: float) -> tuple[float, float]:
    """How far a legend would stand from its own, and from the nearest of another's parts, mm.

    Its own are its part and the rest of that part's legends, among which it is read as one.
    """
    shape = mark.outline.moved(dx, dy).shape
    parts = [cover for cover in artwork.keep_outs if cover.fitted]
    own = [shape.distance(part.shape) for part in parts if part.owner == mark.owner]
    family = (each for each in artwork.marks if each.owner == mark.owner and each is not mark)
    own += [shape.distance(each.outline.shape) for each in family]
    others = [shape.distance(part.shape) for part in parts if part.owner != mark.owner]
    return min(own), min(others, default=math.inf)


def pulled(artwork: Artwork, mark: Mark, alone: Mark) -> tuple[float, float]:
    """How far the row has moved a legend from where it stands by itself, mm."""
    x = artwork.opening(mark.owner).centre[0]
    (left, bottom, right, _), theirs = mark.outline.bounds, alone.outline.bounds
    if left > x:
        return left - theirs[0], 0.0
    if right < x:
        return right - theirs[2], 0.0
    line = -1 if bottom > artwork.opening(mark.owner).centre[1] else 0
    return 0.0, mark.baselines[line] - alone.baselines[line]


@settings(max_examples=20, suppress_health_check=[HealthCheck.too_slow])
@given(rows())
@example(_LAMP_BESIDE_A_METER)
def test_no_row_pulls_a_legend_nearer_to_another_part_than_to_its_own(
    tables: dict[str, Any],
) -> None:
    """Where one stands nearer to another, its own side has put it there, row or no row; or it is
    told to have no room at all, as a name too wide for the place between its neighbours."""
    artwork = laid(tables)
    hopeless = [f.message for f in inspect(artwork) if f.code == "no-room"]
    by_itself = [control | {"in_row": False} for control in tables["control"]]
    alone = named(laid(tables | {"control": by_itself}))
    for legend, mark in named(artwork).items():
        if any(f"{mark.text!r} of {mark.owner} " in told for told in hopeless):
            continue
        dx, dy = pulled(artwork, mark, alone[legend])
        own_before, other_before = distances(artwork, mark, -dx, -dy)
        if max(abs(dx), abs(dy)) > 0.01 and own_before <= other_before:
            own, other = distances(artwork, mark, 0.0, 0.0)
            assert own <= other + _UNSEEN


def beside(artwork: Artwork) -> Iterator[tuple[str, Role, list[Mark]]]:
    """The holes that have legends of a role level beside them, and these."""
    for control in artwork.description.control:
        if control.side in ("left", "right"):
            for role in (Role.NAME, Role.NOTE):
                marks = [m for m in artwork.marks if (m.owner, m.role) == (control.hole, role)]
                if marks:
                    yield control.hole, role, marks
        if isinstance(control.positions, dict):
            words = [w for side, w in control.positions.items() if side not in ("up", "down")]
            marks = [m for m in artwork.marks if m.owner == control.hole and m.text in words]
            marks = [m for m in marks if m.role == Role.POSITION]
            if marks:
                yield control.hole, Role.POSITION, marks


@settings(max_examples=15, suppress_health_check=[HealthCheck.too_slow])
@given(rows())
def test_what_stands_beside_a_control_is_level_with_its_hole_or_with_its_row(
    tables: dict[str, Any],
) -> None:
    artwork = laid(tables)
    in_row = {control.hole: control.in_row for control in artwork.description.control}
    found = list(beside(artwork))
    for hole, role, marks in found:
        y = artwork.opening(hole).centre[1]
        mates = [
            theirs[0]
            for other, their_role, theirs in found
            if other != hole and their_role == role and in_row[hole] and in_row[other]
            and abs(artwork.opening(other).centre[1] - y) < 20
        ]  # fmt: skip
        if mates:
            for mate in mates:
                if len(mate.baselines) == len(marks[0].baselines) == 1:
                    assert abs(mate.baselines[0] - marks[0].baselines[0]) < 1e-6
            middle = (marks[0].baselines[0] + marks[0].height + marks[0].baselines[-1]) / 2
            assert abs(middle - y) < 1.0
        else:
            bottom = min(mark.outline.bounds[1] for mark in marks)
            top = max(mark.outline.bounds[3] for mark in marks)
            assert abs((bottom + top) / 2 - y) < 0.01


@settings(max_examples=15, suppress_health_check=[HealthCheck.too_slow])
@given(rows())
def test_legends_on_one_baseline_keep_a_capital_height_or_it_is_told(
    tables: dict[str, Any],
) -> None:
    artwork = laid(tables)
    told = [f.message for f in inspect(artwork) if f.code in ("run-together", "touching")]
    texts = [mark for mark in artwork.marks if mark.baselines]
    for a, b in combinations(texts, 2):
        if a.owner == b.owner and a.role == b.role == Role.NUMERAL:
            continue
        if min(abs(i - j) for i in a.baselines for j in b.baselines) > 0.1:
            continue
        (a0, _, a1, _), (b0, _, b1, _) = a.outline.bounds, b.outline.bounds
        apart = max(b0 - a1, a0 - b1)
        if apart < max(a.height, b.height) - 0.03:
            assert any(f" of {a.owner} " in said and f" of {b.owner}" in said for said in told)


@settings(max_examples=15, suppress_health_check=[HealthCheck.too_slow])
@given(rows())
def test_names_on_one_line_are_of_one_height(tables: dict[str, Any]) -> None:
    artwork = laid(tables)
    hopeless = [f.message for f in inspect(artwork) if f.code == "no-room"]
    in_row = {control.hole for control in artwork.description.control if control.in_row}
    names = [m for m in artwork.marks if m.role == Role.NAME and m.owner in in_row]
    sides = {control.hole: control.side or "above" for control in artwork.description.control}
    for a, b in combinations(names, 2):
        if sides[a.owner] == sides[b.owner] in ("above", "below") and not any(
            repr(mark.text) in said for mark in (a, b) for said in hopeless
        ):
            line = -1 if sides[a.owner] == "above" else 0
            if abs(a.baselines[line] - b.baselines[line]) < 1e-9:
                assert a.height == b.height
