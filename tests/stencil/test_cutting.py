"""The cuts themselves: closed, simple, none crossing another, none made twice."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely

from legend.layout.artwork import Artwork, Mark, Role
from legend.lettering.outlines.outline import Outline
from legend.stencil import cut
from legend.stencil.sheet import Cut, Piece

WAYS = [
    {"method": "lift-off"},
    {"method": "paint-through"},
    {"method": "paint-through", "stock": "sheet"},
]


def pieces(artwork: Artwork) -> list[Piece]:
    placed = (placed for sheet in cut(artwork).sheets for placed in sheet.placed)
    return sorted((p.piece for p in placed), key=lambda piece: piece.number)


@pytest.mark.parametrize("way", WAYS)
def test_contours_are_simple_and_cross_nothing(panel: Any, way: dict[str, Any]) -> None:
    artwork = panel(group=[{"name": "LIGHT", "holes": ["A", "B"]}], **way)
    for piece in pieces(artwork):
        contours = [c for path in piece.paths for c in path.outline.contours]
        rings = np.array([shapely.LinearRing(c.flat) for c in contours])
        assert shapely.is_simple(rings).all()
        for contour in contours:
            np.testing.assert_allclose(contour.points[0], contour.points[-1], atol=1e-9)
        a, b = shapely.STRtree(rings).query(rings, "intersects")
        assert (a == b).all(), "a cut meets another"


@pytest.mark.parametrize("way", WAYS[:2])
def test_on_film_the_marks_are_cut_as_they_were_laid(panel: Any, way: dict[str, Any]) -> None:
    artwork = panel(**way)
    cuts = [p.outline for piece in pieces(artwork) for p in piece.paths if p.cut == "mark"]
    wanted = [mark.outline for mark in artwork.marks]
    # Enlarged, since a curve that is begun elsewhere is flattened elsewhere.
    one, other = (
        shapely.union_all([each.scaled(50).shape for each in outlines])
        for outlines in (cuts, wanted)
    )
    assert one.symmetric_difference(other).area / 50**2 < 1e-4


def test_a_sheet_less_its_openings_is_one_polygon(panel: Any) -> None:
    artwork = panel(method="paint-through", stock="sheet")
    for piece in pieces(artwork):
        openings = [path.outline.shape for path in piece.paths if path.cut is not Cut.WEEDING]
        left = shapely.box(*piece.box).difference(shapely.union_all(openings))
        assert left.geom_type == "Polygon", piece.name


def with_marks(artwork: Artwork, *outlines: Outline) -> Artwork:
    source = artwork.marks[0].source
    marks = tuple(Mark(outline, Role.RULE, "A", source) for outline in outlines)
    return replace(artwork, marks=marks, keep_outs=())


def test_marks_that_touch_or_overlap_are_joined(panel: Any) -> None:
    crossing = [Outline.rectangle(60, 10, 80, 11), Outline.rectangle(65, 5, 66, 20)]
    touching = [Outline.rectangle(90, 10, 95, 11), Outline.rectangle(95, 10, 99, 11)]
    alone = Outline.rectangle(110, 10, 111, 20)
    artwork = with_marks(panel(), *crossing, *touching, alone)
    marks = [p.outline for piece in pieces(artwork) for p in piece.paths if p.cut is Cut.MARK]
    assert len(marks) == 3
    areas = sorted(outline.area for outline in marks)
    np.testing.assert_allclose(areas, [9, 10, 20 + 15 - 1], atol=1e-3)
    assert sum(len(outline.contours) for outline in marks) == 3


def test_pieces_are_numbered_once_each_and_named(panel: Any) -> None:
    found = pieces(panel())
    assert [piece.number for piece in found] == list(range(1, len(found) + 1))
    names = {piece.name for piece in found}
    assert {"EXPOSURE (A)", "SECONDS (W)", "“ENLARGER TIMER”", "bare disc (E)"} <= names


def test_each_piece_of_lettering_has_its_own_holes_marked(panel: Any) -> None:
    artwork = panel()
    for piece in pieces(artwork):
        found = [p.outline for p in piece.paths if p.cut is Cut.REGISTRATION]
        middles = [shapely.Point(artwork.opening(owner).centre) for owner in piece.owners]
        discs = [shapely.Polygon(outline.shape.exterior) for outline in found]
        for owner, middle in itertools.zip_longest(piece.owners, middles):
            assert any(disc.contains(middle) for disc in discs), owner


def test_an_empty_panel_has_no_stencil(panel: Any) -> None:
    assert cut(panel(control=[], text=[], bare=[], holes={})).sheets == ()


def test_bare_discs_are_cut_as_they_are(panel: Any) -> None:
    artwork = panel()
    (piece,) = (p for p in pieces(artwork) if any(path.cut is Cut.BARE for path in p.paths))
    bare = [p.outline for p in piece.paths if p.cut is Cut.BARE]
    assert len(bare) == 1
    assert bare[0].area == pytest.approx(np.pi * 36, rel=1e-3)
    assert not any(p.cut is Cut.MARK for p in piece.paths)
    # The hole inside it comes first, so that the disc is still held by the film round it.
    assert [p.cut for p in piece.paths] == [Cut.REGISTRATION, Cut.BARE, Cut.WEEDING]
