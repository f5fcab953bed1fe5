"""Small print beside what it names, and on nothing else."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from legend.drawing.pdf.label_places import Room, grown, places_around
from legend.layout.artwork import Artwork
from legend.lettering.outlines.outline import box_round

EXTENT = (-10.0, -10.0, 20.0, 20.0)


def test_the_first_free_place_is_taken_and_then_no_longer_free() -> None:
    room = Room([shapely.box(0, 0, 2, 2)], [1.0], EXTENT)
    places = [(1.0, 1.0, 3.0, 3.0), (4.0, 0.0, 6.0, 2.0), (8.0, 0.0, 9.0, 2.0)]
    assert room.best(np.array(places)) == places[1]
    assert room.best(np.array(places)) == places[2]


def test_where_nothing_is_free_the_least_evil_is_taken() -> None:
    shapes = [shapely.box(0, 0, 2, 2), shapely.LineString([(4, -1), (4, 1)])]
    room = Room(shapes, [10.0, 2.0], EXTENT)
    assert room.best(np.array([(1, 1, 3, 3), (3.5, 0, 5, 1)])) == (3.5, 0.0, 5.0, 1.0)


def test_a_dislike_outweighs_a_line() -> None:
    room = Room([shapely.LineString([(0, 0), (0, 5)])], [1.0], EXTENT)
    on_line, beside = (-1.0, 0.0, 1.0, 2.0), (3.0, 0.0, 5.0, 2.0)
    assert room.best(np.array([on_line, beside]), np.array([0.0, 3.0])) == on_line


def test_nothing_runs_off_the_drawing() -> None:
    room = Room([shapely.box(0, 0, 2, 2)], [1.0], EXTENT)
    assert room.best(np.array([(18.0, 0, 21, 1), (1, 1, 3, 3)])) == (1.0, 1.0, 3.0, 3.0)


def test_boxes() -> None:
    assert grown((0, 0, 2, 1), 0.5) == (-0.5, -0.5, 2.5, 1.5)
    assert box_round([(0, 0, 2, 1), (-1, 0.5, 1, 3)]) == pytest.approx((-1, 0, 2, 3))


def test_a_leader_does_not_run_along_a_centre_line(artwork: Artwork) -> None:
    opening = artwork.opening("A")  # a drilled hole
    boxes, dislike = places_around(opening.outline, 8.0, 4.0, 0.0)
    turned, other = places_around(opening.outline, 8.0, 4.0, 45.0)
    assert (boxes == turned).all()
    x, y = opening.centre
    middles = (boxes[:, :2] + boxes[:, 2:]) / 2 - (x, y)
    level_or_plumb = (np.abs(middles) < 1e-9).any(axis=1)
    near = np.minimum(dislike, other) < 0.5  # so close by that there is no leader
    assert (dislike == other)[near].all()
    assert (dislike > other)[level_or_plumb & ~near].all()
