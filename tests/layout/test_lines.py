"""Rules are joined where they meet, and stop before what is fitted."""

from __future__ import annotations

import pytest
import shapely
import shapely.affinity
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Description
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Role
from legend.layout.styles import gap

SIZE = [200, 100]


def _laid(rules: list[dict], **more: object) -> Artwork:
    panel = {"panel": {"size": SIZE}, "rule": rules, **more}
    return lay_out(Description.model_validate(panel))


def _shapes(artwork: Artwork) -> list[shapely.Geometry]:
    return [mark.outline.shape for mark in artwork.marks if mark.role == Role.RULE]


def test_a_line_through_corners_is_mitred() -> None:
    rule = {"from": [10, 10], "through": [[50, 10]], "to": [50, 50], "width": 2}
    (shape,) = _shapes(_laid([rule]))
    assert shape.equals(shapely.union_all([shapely.box(10, 9, 51, 11), shapely.box(49, 9, 51, 50)]))


def test_rules_that_end_at_one_point_are_as_one_with_a_corner() -> None:
    one = {"from": [10, 10], "to": [50, 10], "width": 2}
    other = {"from": [80, 40], "to": [50, 10], "width": 2}
    (apart,) = _shapes(_laid([one, other]))
    (whole,) = _shapes(_laid([{**one, "through": [[50, 10]], "to": [80, 40]}]))
    assert apart.equals(whole)


def test_rules_that_touch_are_one_mark_and_others_are_their_own() -> None:
    rules = [
        {"from": [10, 80], "to": [90, 80], "width": 1},
        {"from": [10, 20], "to": [90, 20], "width": 3},
        {"from": [50, 20], "to": [70, 40], "width": 1},
    ]
    artwork = _laid(rules)
    far, joined = _shapes(artwork)
    assert far.equals(shapely.box(10, 79.5, 90, 80.5))
    assert joined.geom_type == "Polygon" and joined.bounds[1] == pytest.approx(18.5)
    assert [f.code for f in inspect(artwork)] == []


def test_a_line_stops_at_what_is_fitted_and_goes_on_beyond() -> None:
    line = {"from": [10, 50], "to": [190, 50], "width": 2}
    artwork = _laid(
        [line],
        holes={"A": {"at": [60, 50.3], "drill": 7}, "B": {"at": [120, 49.9], "drill": 3}},
        control=[{"hole": "A", "kind": "button", "covers": 10}],
    )
    (shape,) = _shapes(artwork)
    assert shapely.get_num_geometries(shape) == 3
    assert shape.bounds == pytest.approx((10, 49, 190, 51))
    codes = {f.code: f for f in [*artwork.findings, *inspect(artwork)]}
    assert "A and B" in codes["rule-parted"].message
    assert not codes.keys() & {"over-hole", "hidden", "near-part"}


def test_a_line_that_is_wholly_hidden_is_told() -> None:
    artwork = _laid(
        [{"from": [58, 50], "to": [62, 50], "width": 1}],
        holes={"A": {"at": [60, 50], "drill": 7}},
        control=[{"hole": "A", "kind": "button", "covers": 20}],
    )
    assert "hidden" in {f.code for f in inspect(artwork)}


@settings(max_examples=40, deadline=None)
@given(
    angle=st.floats(0, 360),
    width=st.floats(0.5, 4),
    covers=st.sampled_from([12.0, [20, 8]]),
    turned=st.floats(0, 90),
    off=st.floats(-3, 3),
)
def test_what_is_left_keeps_its_gap(
    angle: float, width: float, covers: object, turned: float, off: float
) -> None:
    (x, y) = shapely.affinity.rotate(shapely.Point(140, 50), angle, (100, 50)).coords[0]
    artwork = _laid(
        [{"from": [200 - x, 100 - y], "to": [x, y], "width": width}],
        holes={"A": {"at": [100, 50 + off], "drill": 6, "angle": turned}},
        control=[{"hole": "A", "kind": "button", "covers": covers}],
    )
    (shape,) = _shapes(artwork)
    (cover,) = artwork.keep_outs
    assert shape.distance(cover.shape) >= gap(0) - 0.03
    assert shape.distance(cover.shape) <= gap(0) + width  # and comes as near as it may
