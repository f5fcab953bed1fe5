"""Knife order: the innermost first, short travel."""

from __future__ import annotations

import itertools
import tracemalloc
from pathlib import Path as File
from typing import Any

import numpy as np
import pytest
import shapely
from font_files import SANS
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import set_text
from legend.stencil import cut
from legend.stencil.order.knife import cuts_of, in_knife_order
from legend.stencil.order.travel import tour
from legend.stencil.sheet import Cut, Path, Piece


def ring(x: float, y: float, radius: float) -> Outline:
    return Outline.arc_stroke((x, y), radius, 0, 360, 0.5)


def marks(*outlines: Outline) -> list[Path]:
    return [Path(Cut.MARK, outline) for outline in outlines]


def test_what_lies_in_a_hole_comes_before_what_surrounds_it() -> None:
    rings = [ring(0, 0, r) for r in (9, 3, 6)]
    (ordered,) = in_knife_order([marks(*rings, Outline.disc((0, 0), 1))])
    sizes = [path.outline.area for path in ordered]
    assert sizes == sorted(sizes)


def test_counters_come_before_the_outside() -> None:
    outline = set_text("A%B8®", TextStyle(load_face(str(SANS), File()), 8)).outline
    (ordered,) = in_knife_order([marks(outline)])
    rings = [shapely.Polygon(c.flat) for c in ordered[0].outline.contours]
    for first, second in itertools.combinations(range(len(rings)), 2):
        assert not rings[first].contains_properly(rings[second]), "the outer one was cut first"
    # Letter by letter: the outsides stand from left to right.
    outsides = [r for r in rings if not any(o.contains_properly(r) for o in rings)]
    lefts = [r.bounds[0] for r in outsides]
    assert lefts == sorted(lefts)


def test_nothing_is_lost_or_changed() -> None:
    given_ = [marks(ring(0, 0, 5), Outline.rectangle(-1, -1, 1, 1)), marks(ring(30, 0, 2))]
    ordered = in_knife_order(given_)
    for before, after in zip(given_, ordered, strict=True):
        assert len(before) == len(after)
        for path in before:
            match = [p for p in after if abs(p.outline.area - path.outline.area) < 1e-9]
            assert len(match) == 1
            assert match[0].outline.shape.symmetric_difference(path.outline.shape).area < 1e-9


def length(order: list[int], entry: Any, leave: Any) -> float:
    return float(sum(np.hypot(*(entry[b] - leave[a])) for a, b in itertools.pairwise(order)))


coordinates = st.tuples(st.floats(0, 100), st.floats(0, 100))
steps = st.tuples(st.floats(-2, 2), st.floats(-2, 2))


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(coordinates, steps), min_size=1, max_size=6))
def test_a_tour_visits_all_and_is_nearly_the_shortest(places: list[Any]) -> None:
    entry, step = (np.array([place[k] for place in places]) for k in (0, 1))
    leave = entry + step
    order = tour(entry, leave)
    assert sorted(order) == list(range(len(places)))
    best = min(length(list(p), entry, leave) for p in itertools.permutations(range(len(places))))
    assert length(order, entry, leave) <= 1.2 * best + 3


@settings(max_examples=20, deadline=None)
@given(st.lists(coordinates, min_size=2, max_size=6, unique=True), coordinates)
def test_the_cuts_of_a_piece_begin_where_the_knife_comes_from(
    places: list[Any], begin: tuple[float, float]
) -> None:
    discs = [Outline.disc(place, 0.001) for place in places]
    (cuts,) = cuts_of([marks(*discs)], 1.0)
    ordered = cuts.in_order(np.array(begin))
    at = np.array([begin, *(path.outline.contours[0].points[0] for path in ordered)])
    own = np.hypot(*np.diff(at, axis=0).T).sum()
    ways = [np.array([begin, *each]) for each in itertools.permutations(places)]
    best = min(np.hypot(*np.diff(way, axis=0).T).sum() for way in ways)
    assert own <= 1.2 * best + 3
    if len(places) == 2:
        assert own <= best + 0.01


def test_what_lies_in_a_frame_is_ordered_from_where_the_knife_comes_too() -> None:
    frame = ring(0, 0, 50)
    dots = [Outline.disc((x, 0), 1) for x in (-30, -10, 10, 30)]
    (cuts,) = cuts_of([marks(frame, *dots)], 1.0)
    for begin, wanted in (((-90.0, 0.0), [-30, -10, 10, 30]), ((90.0, 0.0), [30, 10, -10, -30])):
        *inner, last = cuts.in_order(np.array(begin))
        assert last.outline.area > 100
        middles = [sum(path.outline.bounds[::2]) / 2 for path in inner]
        assert middles == pytest.approx(wanted)


def test_a_ring_of_graduations_is_cut_round_and_round() -> None:
    angles = np.random.default_rng(3).permutation(np.arange(0, 360, 9))
    places = np.column_stack([np.cos(np.radians(angles)), np.sin(np.radians(angles))]) * 20
    order = tour(places, places)
    assert length(order, places, places) == pytest.approx(39 * 2 * 20 * np.sin(np.radians(4.5)))


def test_a_tour_of_very_many_visits_is_short_and_takes_little_room() -> None:
    places = np.random.default_rng(5).uniform(0, 300, (2500, 2))
    tracemalloc.start()
    order = tour(places, places)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert sorted(order) == list(range(len(places)))
    # Up and down through strips, as wide as suits so many places.
    strip = np.floor(places[:, 0] / 300 * 29)
    along = np.where(strip % 2, -places[:, 1], places[:, 1])
    in_strips = np.lexsort([along, strip]).tolist()
    assert length(order, places, places) < length(in_strips, places, places)
    assert peak < 5_000_000  # all ways at once would take 50 MB


def pieces(artwork: Any) -> list[Piece]:
    return [placed.piece for sheet in cut(artwork).sheets for placed in sheet.placed]


def test_the_weeding_box_is_cut_last(panel: Any) -> None:
    for piece in pieces(panel()):
        kinds = [path.cut for path in piece.paths]
        assert kinds.count(Cut.WEEDING) == 1
        assert kinds[-1] is Cut.WEEDING
        assert shapely.Polygon(piece.paths[-1].outline.contours[0].flat).bounds == piece.box


def test_inside_a_piece_no_outer_cut_comes_before_an_inner_one(panel: Any) -> None:
    for piece in pieces(panel(group=[{"name": "LIGHT", "holes": ["A", "B"]}])):
        flat = [shapely.Polygon(c.flat) for path in piece.paths for c in path.outline.contours]
        tree = shapely.STRtree(flat)
        outer, inner = tree.query(flat, "contains_properly")
        # An open frame is cut when its own turn comes; what it encloses is not inside its line.
        assert (inner < outer).all()
