"""Pieces: who travels with whom, and where the weeding boxes run."""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.source import Source
from legend.description.tables.description import Description
from legend.description.tables.stock import limits
from legend.layout.artwork import Artwork, Mark, Role
from legend.layout.openings import lay_openings
from legend.layout.styles import choose_styles
from legend.lettering.outlines.outline import Outline
from legend.stencil.pieces.pieces import gather
from legend.stencil.pieces.uncut_piece import UncutPiece

FILM = limits(Description.model_validate({"panel": {"size": [100, 50]}}).stencil)


def gathered(artwork: Artwork) -> tuple[UncutPiece, ...]:
    return gather(artwork, limits(artwork.description.stencil)).pieces


def owners(artwork: Artwork) -> list[tuple[str, ...]]:
    return [piece.owners for piece in gathered(artwork)]


def test_a_piece_a_control_a_text_and_a_bare_disc(panel: Any) -> None:
    pieces = gathered(panel())
    assert sorted(piece.owners for piece in pieces) == [
        (),
        ("A",),
        ("B",),
        ("E",),
        ("E",),
        ("S",),
        ("W",),
    ]
    assert [piece.name for piece in pieces if not piece.owners] == ["“ENLARGER TIMER”"]
    bare = [piece for piece in pieces if piece.bare]
    assert [piece.name for piece in bare] == ["bare disc (E)"]
    assert not bare[0].marks
    # The holes of screws carry nothing, and so have no piece.
    assert not any("X" in piece.owners for piece in pieces)


def test_rows_and_the_whole_panel(panel: Any) -> None:
    assert {frozenset(o) for o in owners(panel(piece="row"))} == {
        frozenset(),
        frozenset("AB"),
        frozenset("WS"),
        frozenset("E"),
    }
    whole = [piece for piece in gathered(panel(piece="panel")) if not piece.bare]
    assert len(whole) == 1
    assert set(whole[0].owners) == set("ABWSE")
    assert any(not mark.owner for mark in whole[0].marks)


def test_every_mark_is_on_one_piece(panel: Any) -> None:
    for by in ("control", "row", "panel"):
        artwork = panel(piece=by)
        marks = [mark for piece in gathered(artwork) for mark in piece.marks]
        assert sorted(map(id, marks)) == sorted(map(id, artwork.marks))


def test_a_group_frame_travels_with_what_it_encloses(panel: Any) -> None:
    artwork = panel(group=[{"name": "LIGHT", "holes": ["A", "B"]}])
    piece = next(piece for piece in gathered(artwork) if "A" in piece.owners)
    assert set(piece.owners) == {"A", "B"}
    assert {"group", "frame"} <= {mark.role.value for mark in piece.marks}


def test_neighbours_whose_boxes_would_overlap_share_a_side() -> None:
    bars = [("A", (20, 40, 40, 44)), ("B", (43.4, 40, 60, 44))]
    holes = [("A", (30, 30), 6.0), ("B", (52, 30), 6.0)]
    one, other = gathered(by_hand(holes, bars, margin=4))
    assert one.box[2] == other.box[0] == 41.5  # in the middle of 3.4 mm, on half a millimetre
    assert not gather(by_hand(holes, bars, margin=4), FILM).findings


def test_what_stands_too_near_is_one_piece_and_told() -> None:
    bars = [("A", (20, 40, 40, 44)), ("B", (41.4, 40, 60, 44))]
    artwork = by_hand([("A", (30, 30), 6.0), ("B", (52, 30), 6.0)], bars, margin=4)
    (piece,) = gathered(artwork)
    assert piece.owners == ("A", "B")
    (told,) = gather(artwork, FILM).findings
    assert told.code == "pieces-joined"
    assert "0.6 mm more between them would part them" in told.message


def test_an_overlap_in_the_middle_joins_two_and_no_more() -> None:
    """A row of names, two of which interlock, under a title that runs over all of them."""
    names = [(f"H{k}", (20 + 30 * k, 30, 45 + 30 * k, 34)) for k in range(5)]
    names[2] = ("H2", (78, 30, 109.5, 34))
    holes = [(f"H{k}", (32 + 30 * k, 20), 6.0) for k in range(5)]
    title = ("", (30, 37, 160, 44))
    pieces = gathered(by_hand(holes, [*names, title], margin=3))
    assert sorted(piece.owners for piece in pieces) == [
        (),
        ("H0",),
        ("H1",),
        ("H2", "H3"),
        ("H4",),
    ]
    for one, other in itertools.combinations(pieces, 2):
        assert one.edge.shape.intersection(other.edge.shape).area < 1e-9


def test_a_piece_has_corners_where_a_rectangle_would_be_in_the_way() -> None:
    """Two names at a step interlock; two more stand in the corners that the step leaves."""
    bars = [
        ("A", (20, 20, 60, 24)),
        ("B", (59, 25.5, 100, 29.5)),
        ("C", (20, 27, 50, 31)),
        ("D", (70, 18, 100, 22)),
    ]
    pieces = gathered(by_hand([(k, (150 + 9 * n, 80), 1) for n, k in enumerate("ABCD")], bars))
    assert sorted(piece.owners for piece in pieces) == [("B", "A"), ("C",), ("D",)]
    (both,) = (piece for piece in pieces if len(piece.owners) == 2)
    assert len(both.edge.contours[0].points) > 4


def test_the_controls_of_a_joined_piece_are_told_as_one_reads() -> None:
    """From the left in a row, though the one in the middle was drilled a little higher."""
    bars = [
        ("R", (59.5, 20, 80, 24)),
        ("M", (40, 20.4, 59, 24.4)),
        ("L", (20, 20, 39.5, 24)),
        ("OVER", (20, 25, 80, 29)),
    ]
    holes = [(hole, (150 + 9 * n, 80), 1.0) for n, (hole, _) in enumerate(bars)]
    (piece,) = gathered(by_hand(holes, bars))
    assert piece.owners == ("OVER", "L", "M", "R")


@pytest.mark.parametrize(("units", "step"), [("mm", 0.5), ("in", 25.4 / 32)])
def test_boxes_stand_the_margin_off_and_at_whole_steps(panel: Any, units: str, step: float) -> None:
    holes = {
        k: {key: v if key == "angle" else f"{v} mm" for key, v in hole.items() if key == "drill"}
        | {"at": [f"{c} mm" for c in hole["at"]]}
        for k, hole in {
            "A": {"at": [35, 40], "drill": 9.5},
            "B": {"at": [90, 40], "drill": 6},
        }.items()
    }
    controls = [
        {"hole": "A", "kind": "knob", "name": "EXPOSURE"},
        {"hole": "B", "kind": "toggle", "name": "LAMP"},
    ]
    artwork = panel(
        units=units,
        holes=holes,
        control=controls,
        text=[],
        bare=[],
        panel={"size": ["200 mm", "90 mm"]},
        margin="3 mm",
    )
    for piece in gathered(artwork):
        ink = shapely.total_bounds(
            [m.outline.shape for m in piece.marks] + [r.shape for r in piece.registration]
        )
        off = np.array([*(ink[:2] - piece.box[:2]), *(piece.box[2:] - ink[2:])])
        assert off.min() >= 3 - 1e-6
        assert off.max() < 3 + step
        steps = np.array(piece.box) / step
        np.testing.assert_allclose(steps, np.round(steps), atol=1e-6)


def test_numbered_in_reading_order(panel: Any) -> None:
    boxes = [piece.box for piece in gathered(panel())]
    tops = [box[3] for box in boxes]
    assert tops[0] == max(tops)
    for a, b in itertools.pairwise(boxes):
        assert b[0] > a[0] or b[3] < a[3], "to the right of the one before, or in a lower row"


def test_other_holes_inside_a_box_are_registered_too(panel: Any) -> None:
    artwork = panel(piece="panel", margin=2, registration_holes=100)
    (whole,) = (piece for piece in gathered(artwork) if not piece.bare)
    middles = [shapely.Point(o.centre) for o in artwork.openings]
    for opening, middle in zip(artwork.openings, middles, strict=True):
        x0, y0, x1, y1 = opening.outline.bounds
        inside = whole.box[0] < x0 and whole.box[1] < y0 and whole.box[2] > x1 and whole.box[3] > y1
        marked = any(r.shape.convex_hull.contains(middle) for r in whole.registration)
        assert marked == inside, opening.id


def test_a_rigid_sheet_is_one_piece_and_has_two_holes() -> None:
    holes = [("A", (30, 30), 6.0), ("B", (150, 80), 4.0)]
    bars = [("A", (20, 40, 40, 44)), ("", (90, 60, 110, 66))]
    sheet = {"method": "paint-through", "stock": "sheet"}
    (whole,) = gathered(by_hand(holes, bars, **sheet))
    assert len(whole.marks) == len(whole.registration) == 2
    alone = gather(by_hand(holes, bars, **sheet, piece="control"), FILM)
    assert [finding.code for finding in alone.findings] == ["one-hole", "one-hole"]
    told = sorted(finding.message for finding in alone.findings)
    assert "held by one round hole alone" in told[0]
    assert "has no hole" in told[1]


def test_words_travel_with_the_control_that_they_stand_by(panel: Any) -> None:
    text = {"around": "A", "radius": 16, "angle": 180, "text": "ROUND IT"}
    pieces = gathered(panel(text=[text]))
    (carrier,) = (p for p in pieces if any(mark.text == "ROUND IT" for mark in p.marks))
    assert "A" in carrier.owners


def test_words_along_the_rim_are_by_themselves_where_another_control_stands_between(
    panel: Any,
) -> None:
    """Or the dial in the middle would take all that lies under them on to its piece."""
    holes = {"A": {"at": [75, 75], "drill": 9.5}, "B": {"at": [75, 27], "drill": 8}}
    text = {"around": "A", "radius": 70, "angle": 180, "inside": True, "text": "4 A IN ALL"}
    artwork = panel(
        panel={"outline": {"diameter": 150}},
        holes=holes,
        control=[{"hole": hole, "kind": "jack", "name": hole} for hole in holes],
        group=[],
        bare=[],
        text=[text],
    )
    assert sorted(owners(artwork)) == [(), ("A",), ("B",)]


def test_registration_that_a_mark_would_touch_is_left_out() -> None:
    artwork = by_hand([("A", (30, 30), 10)], [("A", (29, 29, 31, 31)), ("A", (20, 10, 40, 12))])
    (piece,) = gathered(artwork)
    assert piece.registration == ()
    assert len(piece.marks) == 2


def by_hand(
    holes: list[tuple[str, tuple[float, float], float]],
    marks: list[tuple[str, tuple[float, float, float, float]]],
    **stencil: Any,
) -> Artwork:
    """An artwork of drilled holes and plain bars, each bar with the hole it belongs to."""
    description = Description.model_validate(
        {
            "panel": {"size": [200, 100]},
            "holes": {name: {"at": at, "drill": drill} for name, at, drill in holes},
            "stencil": stencil,
        }
    )
    bars = tuple(
        Mark(
            Outline.rectangle(*box),
            Role.NAME if owner else Role.NOTE,
            owner,
            Source("panel.toml", line),
        )
        for line, (owner, box) in enumerate(marks)
    )
    panel = Outline.rectangle(0, 0, 200, 100)
    return Artwork(
        description, choose_styles(description), panel, lay_openings(description), bars, (), ()
    )


places = st.tuples(st.floats(5, 190), st.floats(5, 90))


@settings(max_examples=40, deadline=None)
@given(
    holes=st.lists(st.tuples(places, st.floats(2, 12)), max_size=8),
    bars=st.lists(
        st.tuples(st.integers(-3, 7), places, st.floats(0.5, 40), st.floats(0.5, 8)),
        min_size=1,
        max_size=20,
    ),
    piece=st.sampled_from(["control", "row", "panel"]),
    margin=st.floats(0, 6),
)
def test_no_box_meets_another_or_crosses_a_letter(
    holes: list[Any], bars: list[Any], piece: str, margin: float
) -> None:
    names = [f"H{i}" for i in range(len(holes))]
    artwork = by_hand(
        [(name, at, drill) for name, (at, drill) in zip(names, holes, strict=True)],
        [
            (names[i] if 0 <= i < len(names) else "", (x, y, x + w, y + h))
            for i, (x, y), w, h in bars
        ],
        piece=piece,
        margin=margin,
    )
    pieces = gathered(artwork)
    assert sum(len(piece.marks) for piece in pieces) == len(bars)
    areas = [piece.edge.shape for piece in pieces]
    rings = shapely.get_exterior_ring(areas)
    for a, b in itertools.combinations(areas, 2):
        assert a.intersection(b).area < 1e-9
    for mark in artwork.marks:
        assert not shapely.intersects(rings, mark.outline.shape).any()
    for piece_, area in zip(pieces, areas, strict=True):
        for outline in (*(m.outline for m in piece_.marks), *piece_.registration):
            assert area.contains_properly(outline.shape)


# --- Plugs ---


def test_a_plug_covers_its_opening_and_a_margin_and_has_no_cut_within(panel: Any) -> None:
    artwork = panel(bare=[{"hole": hole, "margin": 1.5} for hole in ("W", "S", "A")])
    plugs = {piece.owners[0]: piece for piece in gathered(artwork) if piece.bare}
    assert [piece.name for piece in plugs.values()] == [f"bare plug ({hole})" for hole in plugs]
    assert plugs.keys() == {"W", "S", "A"}
    for hole, piece in plugs.items():
        assert piece.bare
        assert not piece.registration
        opening = artwork.opening(hole).outline
        wanted = opening.shape.buffer(1.5, quad_segs=32)
        assert piece.bare.shape.symmetric_difference(wanted).area < 0.01 * wanted.area
    sizes = {disc.bare.hole: disc.size for disc in artwork.bare_discs}
    assert sizes == {"W": (43, 21), "S": (17, 7), "A": (12.5, 12.5)}


def test_what_stands_by_a_plug_is_brought_to_its_edge(panel: Any) -> None:
    """The hole under it cannot be seen; the edge of the plug shows under the paint."""
    artwork = panel(bare=[{"hole": "W", "margin": 0.4}])
    gap = limits(artwork.description.stencil).registration_gap
    (plug,) = artwork.bare_discs
    (piece,) = [each for each in gathered(artwork) if "W" in each.owners and not each.bare]
    (disc,) = [each for each in piece.registration if plug.outline.shape.covers(each.shape)]
    within = plug.outline.shape.buffer(-gap, join_style="mitre")
    assert shapely.Polygon(disc.shape.exterior).hausdorff_distance(within) < 0.02
