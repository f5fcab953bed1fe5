"""Groups in line with each other, headings without a line, and lines below."""

from typing import Any

import pytest
import shapely

from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Mark, Role, Severity
from legend.layout.styles import gap

HOLES = {
    "A": {"at": [40.2, 80], "drill": 6},
    "B": {"at": [80, 80.3], "drill": 6},
    "C": {"at": [40, 30.1], "drill": 6},
    "D": {"at": [79.7, 30], "drill": 6},
    "E": {"at": [140, 79.8], "drill": 6},
    "F": {"at": [170, 80.1], "drill": 6},
}


def laid(describe: Any, *groups: dict[str, Any], **names: str) -> Artwork:
    controls = [
        {"hole": hole, "kind": "jack", "covers": 8, "name": names.get(hole, "")} for hole in HOLES
    ]
    return lay_out(
        describe(panel={"size": [220, 110]}, holes=HOLES, control=controls, group=list(groups))
    )


def lines(artwork: Artwork) -> list[tuple[float, float, float, float]]:
    return [mark.outline.bounds for mark in artwork.marks if mark.role is Role.FRAME]


def heading(artwork: Artwork) -> Mark:
    (mark,) = [mark for mark in artwork.marks if mark.role is Role.GROUP]
    return mark


def troubles(artwork: Artwork) -> list[str]:
    return [f.code for f in inspect(artwork) if f.severity != Severity.NOTE]


def test_frames_over_each_other_are_of_one_width(describe) -> None:
    names = {"A": "COARSE OUTPUT", "C": "FINE"}
    artwork = laid(describe, {"holes": ["A", "B"]}, {"holes": ["C", "D"]}, **names)
    upper, lower = lines(artwork)
    assert (upper[0], upper[2]) == pytest.approx((lower[0], lower[2]))
    assert lower[3] < upper[1]
    assert not troubles(artwork)


def test_frames_side_by_side_are_of_one_height(describe) -> None:
    left, right = lines(laid(describe, {"holes": ["A", "B"]}, {"holes": ["E", "F"]}, A="IN"))
    assert (left[1], left[3]) == pytest.approx((right[1], right[3]))
    assert left[2] < right[0]


def test_groups_that_are_not_in_line_keep_their_own_size(describe) -> None:
    upper, lower = lines(laid(describe, {"holes": ["A", "B"]}, {"holes": ["C"]}))
    assert upper[2] - lower[2] > 30


def test_groups_share_their_edges_where_that_is_asked_for(describe) -> None:
    upper, lower = lines(
        laid(describe, {"holes": ["A", "B"], "in_line": True}, {"holes": ["C"], "in_line": True})
    )
    assert (upper[0], upper[2]) == pytest.approx((lower[0], lower[2]))


def test_a_group_may_keep_out_of_line(describe) -> None:
    names = {"A": "COARSE OUTPUT"}
    groups = {"holes": ["A", "B"]}, {"holes": ["C", "D"], "in_line": False}
    upper, lower = lines(laid(describe, *groups, **names))
    assert lower[0] - upper[0] > 5


def test_no_frame_grows_over_another(describe) -> None:
    """To be as wide as that of C and D, the frame of A would take B's in."""
    groups: list[dict[str, Any]] = [
        {"holes": ["A"], "in_line": True},
        {"holes": ["B"]},
        {"holes": ["C", "D"], "in_line": True},
    ]
    first, second, below = lines(laid(describe, *groups))
    assert first[2] < second[0]
    assert below[2] - below[0] > 2 * (first[2] - first[0])


def test_a_heading_has_no_line(describe) -> None:
    artwork = laid(describe, {"holes": ["A", "B"], "name": "OUT", "style": "heading"}, A="1", B="2")
    x0, y0, x1, _ = heading(artwork).outline.bounds
    assert not lines(artwork)
    assert (x0 + x1) / 2 == pytest.approx((40.2 + 80) / 2, abs=0.01)
    names = [m for m in artwork.marks if m.text in ("1", "2")]
    assert y0 > max(mark.outline.bounds[3] for mark in names)
    assert not troubles(artwork)


def test_a_heading_stands_over_the_frame_of_the_same_controls(describe) -> None:
    both = {"holes": ["A", "B"]}, {"holes": ["A", "B"], "name": "OUT", "style": "heading"}
    artwork = laid(describe, *both)
    ((_, _, _, top),) = lines(artwork)
    assert heading(artwork).outline.bounds[1] > top + 1
    assert not troubles(artwork)


@pytest.mark.parametrize("style", ["frame", "bracket", "rule", "heading"])
def test_what_stands_below_is_the_mirror_image(describe, style: str) -> None:
    def boxes(side: str) -> list[tuple[float, float]]:
        group = {"holes": ["C", "D"], "name": "OUT", "style": style, "side": side}
        marks = [m for m in laid(describe, group).marks if not m.owner]
        up = 1 if side == "above" else -1
        ends = [
            (up * (m.outline.bounds[1] - 30.05), up * (m.outline.bounds[3] - 30.05)) for m in marks
        ]
        return [(min(pair), max(pair)) for pair in ends]

    above, below = boxes("above"), boxes("below")
    assert len(above) == len(below)
    for one, other in zip(above, below, strict=True):
        assert one == pytest.approx(other, abs=0.15)  # round letters overshoot above and below


# --- Side by side, and narrow ---


def row(describe: Any, pitch: float, covers: float, *groups: dict[str, Any]) -> Artwork:
    """Four controls in a row, and two groups of two of them."""
    holes = {f"P{i}": {"at": [40 + i * pitch, 50], "drill": 6} for i in range(4)}
    controls = [{"hole": hole, "kind": "jack", "covers": covers} for hole in holes]
    pairs = ["P0", "P1"], ["P2", "P3"]
    return lay_out(
        describe(
            panel={"size": [220, 110]},
            holes=holes,
            control=controls,
            group=[{"holes": pair, **group} for pair, group in zip(pairs, groups, strict=True)],
        )
    )


@pytest.mark.parametrize(("style", "between"), [("bracket", 4), ("rule", 3), ("frame", 8)])
def test_lines_side_by_side_share_what_room_there_is(describe, style: str, between: float) -> None:
    """Each alone would reach over the middle between two groups that are close."""
    group = {"style": style, "side": "below"}
    covers = 15.0
    artwork = row(describe, covers + between, covers, group, group)
    left, right = lines(artwork)
    assert right[0] - left[2] > 0.99
    assert left[2] + right[0] == pytest.approx(2 * (40 + 1.5 * (covers + between)))
    assert (left[1], left[3]) == pytest.approx((right[1], right[3]))
    assert not troubles(artwork)


def test_a_line_that_draws_in_stays_over_the_middle_of_its_controls(describe) -> None:
    group = {"style": "bracket", "name": "A"}
    artwork = row(describe, 19, 15, group, group)
    marks = [mark.outline.bounds for mark in artwork.marks if mark.role is Role.GROUP]
    middles = [(x0 + x1) / 2 for x0, _, x1, _ in marks]
    assert middles == pytest.approx([40 + 9.5, 40 + 9.5 + 38], abs=0.01)


def narrow(describe: Any, x: float, **group: Any) -> Artwork:
    """Two small controls over each other, and a group whose name is broader than they are."""
    return lay_out(
        describe(
            panel={"size": [220, 110]},
            holes={"A": {"at": [x, 70], "drill": 6}, "B": {"at": [x, 40], "drill": 6}},
            control=[{"hole": hole, "kind": "jack", "covers": 8} for hole in "AB"],
            group=[{"holes": ["A", "B"], "name": "CALLING THE HOUSE", **group}],
        )
    )


@pytest.mark.parametrize("style", ["frame", "bracket"])
def test_a_line_is_broad_enough_for_the_name_in_it(describe, style: str) -> None:
    """Both ends of it are left beside the name, with their corners."""
    artwork = narrow(describe, 110, style=style)
    ((x0, _, x1, y1),) = lines(artwork)
    left, low, right, high = heading(artwork).outline.bounds
    assert left - x0 > 2
    assert x1 - right > 2
    assert low < y1 - 0.3 < high  # the line runs through the name, which is let into it
    assert not troubles(artwork)


def test_a_line_is_not_broadened_off_the_panel(describe) -> None:
    artwork = narrow(describe, 40)
    ((x0, _, _, _),) = lines(artwork)
    assert x0 > 1
    assert "off-panel" not in troubles(artwork)


@pytest.mark.parametrize("side", ["above", "below"])
@pytest.mark.parametrize("style", ["frame", "bracket"])
def test_where_the_name_would_take_up_the_line_it_stands_beyond_it(
    describe, style: str, side: str
) -> None:
    """The line is whole, with all its corners, and the name clear of it by the gap."""
    artwork = narrow(describe, 40, style=style, side=side)
    ((x0, y0, x1, y1),) = lines(artwork)
    left, low, right, high = heading(artwork).outline.bounds
    assert left < x0 and right > x1
    apart = low - y1 if side == "above" else y0 - high
    assert apart == pytest.approx(gap(heading(artwork).height), abs=0.25)  # round letters overshoot
    (line,) = [mark for mark in artwork.marks if mark.role is Role.FRAME]
    assert len(shapely.get_parts(line.outline.shape)) == 1
