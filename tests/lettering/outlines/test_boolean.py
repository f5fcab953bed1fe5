"""Joining, cutting and cleaning keep the area that shapely finds, and keep curves as curves."""

import math

import numpy as np
import pathops
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.lettering.outlines import boolean as curves
from legend.lettering.outlines.outline import Contour, Outline

places = st.tuples(st.floats(-8, 8), st.floats(-8, 8))


@st.composite
def shapes(draw: st.DrawFn) -> Outline:
    """A disc, a ring, a rounded rectangle or a triangle, somewhere near the origin."""
    at, size = draw(places), draw(st.floats(0.5, 6))
    made = draw(
        st.sampled_from(
            [
                Outline.disc((0, 0), size),
                Outline.arc_stroke((0, 0), size, 0, 360, size / 3),
                Outline.arc_stroke((0, 0), size, 20, 250, size / 2),
                Outline.rectangle(-size, -size / 2, size, size / 2, size / 4),
                Outline.polygon([(-size, -size), (size, -size / 3), (0, size)]),
            ]
        )
    )
    return made.turned(draw(st.floats(0, 360))).moved(*at)


def close(outline: Outline, wanted: shapely.Geometry) -> bool:
    return abs(outline.area - wanted.area) < max(2e-3 * wanted.area, 5e-3)


def is_clean(outline: Outline) -> bool:
    """No ring crosses itself, outsides run counter-clockwise and counters clockwise."""
    around = 0.0
    for contour in outline.contours:
        around += contour.signed_area
    return all(
        shapely.is_simple(shapely.linearrings(contour.flat)) for contour in outline.contours
    ) and around == pytest.approx(outline.area, rel=1e-3, abs=5e-3)


@given(st.lists(shapes(), min_size=1, max_size=5))
@settings(max_examples=40)
def test_united(outlines: list[Outline]) -> None:
    joined = curves.united(outlines)
    assert close(joined.outline, shapely.union_all([outline.shape for outline in outlines]))
    assert is_clean(joined.outline)


@given(shapes(), st.lists(shapes(), max_size=4))
@settings(max_examples=40)
def test_less(outline: Outline, cutters: list[Outline]) -> None:
    left = curves.less(outline, cutters)
    wanted = outline.shape.difference(shapely.union_all([each.shape for each in cutters]))
    assert close(left.outline, wanted)
    assert is_clean(left.outline)


@given(st.lists(shapes(), max_size=6))
@settings(max_examples=40)
def test_joined(outlines: list[Outline]) -> None:
    joined = curves.joined(outlines)
    wanted = shapely.union_all([outline.shape for outline in outlines])
    assert close(joined.outline, wanted)
    assert is_clean(joined.outline)
    assert joined.outline.shape.is_valid


def test_joined_leaves_what_touches_nothing_as_it_is() -> None:
    alone = Outline.disc((20, 0), 3)
    one, other = Outline.rectangle(0, 0, 4, 4), Outline.rectangle(2, 2, 6, 6)
    joined = curves.joined([one, alone, other]).outline
    assert len(joined.contours) == 2
    assert any(contour is alone.contours[0] for contour in joined.contours)
    assert joined.area == pytest.approx(28 + alone.area)


def test_curves_stay_curves() -> None:
    joined = curves.united([Outline.disc((0, 0), 5), Outline.disc((6, 0), 5)])
    assert not joined.flattened
    assert set(joined.outline.contours[0].codes) == {"C"}
    assert joined.outline.nodes == 12  # of 16: four lie inside the other disc


@given(st.lists(shapes(), min_size=1, max_size=4), st.booleans())
@settings(max_examples=40)
def test_cleaned_fills_by_the_nonzero_rule(outlines: list[Outline], is_turned: bool) -> None:
    contours = [contour for outline in outlines for contour in outline.contours]
    if is_turned:
        contours = [contour.reversed() for contour in contours]
    cleaned = curves.cleaned(contours)
    corner, across = np.meshgrid(np.linspace(-15, 15, 41), np.linspace(-15, 15, 41))
    grid = np.column_stack([corner.ravel(), across.ravel()])
    windings = np.zeros(len(grid), dtype=int)
    edge = np.full(len(grid), np.inf)
    for contour in contours:
        # Turning of the view from each point to a walk round the contour, in whole turns.
        view = contour.flat[:, None] - grid[None]
        angle = np.unwrap(np.arctan2(view[..., 1], view[..., 0]), axis=0)
        windings += np.rint((angle[-1] - angle[0]) / math.tau).astype(int)
        ring = shapely.linearrings(contour.flat)
        edge = np.minimum(edge, shapely.distance(ring, shapely.points(grid)))
    inked = shapely.contains_xy(cleaned.outline.shape, grid)
    clear = edge > 0.05
    assert (inked == (windings != 0))[clear].all()
    assert is_clean(cleaned.outline)


def test_cleaned_keeps_what_does_not_cross_point_for_point() -> None:
    ring = Outline.arc_stroke((0, 0), 5, 0, 360, 1).contours
    kept = curves.cleaned([contour.reversed() for contour in ring])
    assert not kept.flattened
    for before, after in zip(ring, kept.outline.contours, strict=True):
        assert (before.points == after.points).all()
        assert before.codes == after.codes


def test_cleaned_drops_a_contour_inside_ink() -> None:
    outer, inner = (Outline.disc((0, 0), radius).contours[0] for radius in (5, 2))
    kept = curves.cleaned([outer, inner]).outline
    assert len(kept.contours) == 1
    assert kept.area == pytest.approx(math.pi * 25, rel=1e-3)


def test_cleaned_lifts_a_hole_out_of_what_covers_it() -> None:
    outer, hole = (Outline.disc((0, 0), radius).contours[0] for radius in (5, 2))
    bar = Outline.rectangle(-8, -3, 8, 3).contours[0]
    kept = curves.cleaned([outer, hole.reversed(), bar]).outline
    assert len(kept.contours) == 1
    assert kept.shape.contains(shapely.Point(0, 0))


def test_cleaned_passes_over_what_encloses_nothing() -> None:
    line = Contour("LL", np.array([[0.0, 0.0], [5.0, 0.0], [0.0, 0.0]]))
    kept = curves.cleaned([line, *Outline.disc((0, 0), 2).contours])
    assert len(kept.outline.contours) == 1
    assert not curves.cleaned([line]).outline
    assert not curves.cleaned([]).outline


def is_apart(outline: Outline) -> bool:
    """Whether no contour touches itself or another, nor as good as does."""
    rings = [shapely.LinearRing(contour.flat) for contour in outline.contours]
    one, other = shapely.STRtree(rings).query(rings, "dwithin", distance=3e-4)
    return bool(shapely.is_simple(rings).all()) and bool((one == other).all())


def square(*corners: tuple[float, float]) -> Contour:
    return Outline.polygon(corners).contours[0]


BLOCK = square((0, 0), (6, 0), (6, 4), (0, 4))
TOUCHING = {
    "a counter that touches the outside": [BLOCK, square((3, 4), (4, 2), (3, 1), (2, 2))],
    "a counter that touches it twice": [BLOCK, square((3, 4), (4, 2), (3, 0), (2, 2))],
    "an outside that comes back to itself": [
        square((0, 0), (6, 0), (6, 4), (3, 4), (4, 2), (3, 1), (2, 2), (3, 4), (0, 4))
    ],
    "two parts corner to corner": [
        square((0, 0), (2, 0), (2, 2), (0, 2)),
        square((2, 2), (4, 2), (4, 4), (2, 4)),
    ],
    "a spike that is a line there and back": [
        square((0, 0), (4, 0), (4, 3), (2, 3), (2, 3.003), (2, 3), (0, 3))
    ],
}


@pytest.mark.parametrize(("what", "parts"), [*zip(TOUCHING, (1, 2, 1, 2, 1), strict=True)])
def test_contours_that_touch_are_parted_by_a_hair(what: str, parts: int) -> None:
    cleaned = curves.cleaned(TOUCHING[what]).outline
    assert is_apart(cleaned)
    shape = cleaned.shape
    assert len(shapely.get_parts(shape)) == parts
    assert not sum(len(part.interiors) for part in shapely.get_parts(shape))
    assert shape.area == pytest.approx(Outline(tuple(TOUCHING[what])).area, abs=2e-3)


def test_curves_that_touch_stay_curves() -> None:
    joined = curves.united([Outline.arc_stroke((0, 0), 3, 0, 360, 1), Outline.disc((0, 4.5), 1)])
    assert not joined.flattened
    assert is_apart(joined.outline)


class _Failing(pathops.Path):
    """An engine that gives up."""

    def simplify(self, **_: object) -> None:
        raise pathops.PathOpsError


class _Losing(pathops.Path):
    """An engine that loses everything."""

    def simplify(self, **_: object) -> None:
        self.reset()


@pytest.mark.parametrize("engine", [_Failing, _Losing])
def test_a_wrong_result_is_replaced_and_told(
    engine: type[pathops.Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    outlines = [Outline.disc((0, 0), 5), Outline.disc((6, 0), 5)]
    wanted = shapely.union_all([outline.shape for outline in outlines])
    monkeypatch.setattr(pathops, "Path", engine)
    joined = curves.united(outlines)
    assert joined.flattened
    assert set(joined.outline.contours[0].codes) == {"L"}
    assert joined.outline.area == pytest.approx(wanted.area, rel=1e-6)


def test_from_shape_keeps_holes() -> None:
    shape = shapely.Point(0, 0).buffer(5).difference(shapely.Point(0, 0).buffer(2))
    outline = curves.from_shape(shapely.MultiPolygon([shape, shapely.Point(20, 0).buffer(1)]))
    assert len(outline.contours) == 3
    assert is_clean(outline)
    assert outline.area == pytest.approx(shape.area + shapely.Point(0, 0).buffer(1).area)


@pytest.mark.parametrize("seed", [0, 13, 15, 17])  # of scribbles too fine for GEOS at first
def test_a_scribble_can_be_measured(seed: int) -> None:
    chance = np.random.default_rng(seed)
    points = np.round(chance.normal(0, 0.2, (int(chance.integers(20, 60)), 2)), 3)
    scribble = curves.cleaned([Contour("L" * (len(points) - 1), points)]).outline
    assert scribble.shape.is_valid
    assert scribble.area == pytest.approx(sum(c.signed_area for c in scribble.contours), rel=0.01)
