"""Groups in line with each other, headings without a line, and lines below."""

from typing import Any

import pytest

from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Mark, Role, Severity

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
