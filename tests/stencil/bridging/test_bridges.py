"""Bridges: no island is left, none hangs by less than the least, and they stand well."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely
from font_files import FACES, lettered, style_of
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Stencil
from legend.description.tables.stock import StockLimits, limits
from legend.lettering.outlines.boolean import united
from legend.lettering.outlines.outline import Outline
from legend.stencil.bridging.bridges import bridged
from legend.stencil.contours import parts

SHEET = limits(Stencil(method="paint-through", stock="sheet"))


def letters(text: str, name: str = "sans", height: float = 5) -> Outline:
    return lettered(text, name, height)


def settable(text: str, name: str) -> bool:
    """Whether a face, or the built-in one in its stead, has all these characters."""
    faces = [style_of(each, 1).face for each in (name, "plain")]
    return all(c == " " or any(face.has(c) for face in faces) for c in text)


def stock(openings: list[Outline], margin: float = 5) -> shapely.Geometry:
    """What is left of a piece of stock round these openings."""
    ink = shapely.union_all([opening.shape for opening in openings])
    return shapely.box(*ink.bounds).buffer(margin, join_style="mitre").difference(ink)


def is_one(openings: list[Outline]) -> bool:
    return len(shapely.get_parts(stock(openings))) == 1


def cut_one(outline: Outline, height: float = 5, least: StockLimits = SHEET) -> Outline:
    return bridged([outline], [height], least)[0].outline


def hangs_by(before: Outline, after: Outline) -> float:
    """The width of stock by which the enclosed parts of one letter hang on to the rest.

    A part that is itself narrower is left out, so that 3 stands for "as wide as it is".
    """
    sheet = stock([after])
    islands = [
        shapely.Polygon(ring) for p in shapely.get_parts(before.shape) for ring in p.interiors
    ]
    low, high = 0.0, 3.0
    while high - low > 0.01:
        middle = (low + high) / 2
        worn = shapely.get_parts(sheet.buffer(-middle / 2))
        cores = [c for i in islands if (c := i.buffer(-middle / 2)) and c.area > 0.01]
        rest = worn[shapely.area(worn).argmax()]
        if all(rest.intersects(core) for core in cores):
            low = middle
        else:
            high = middle
    return low


# --- No island, whatever the letter ---


@settings(max_examples=25, deadline=None)
@given(
    text=st.text("ABDOPQR0468@&%#abdegopqéÅØ®ß§ ", min_size=1, max_size=12),
    name=st.sampled_from(list(FACES)),
    height=st.sampled_from([2.5, 3.5, 5, 12]),
)
def test_any_text_leaves_one_sheet(text: str, name: str, height: float) -> None:
    assume(settable(text, name))
    outline = letters(text, name, height)
    assume(bool(outline))
    assert is_one([cut_one(outline, height)])


_LONG = (
    "ABCDEFGHIJKLMNOPQRSTUVWXYZ",
    "abcdefghijklmnopqrstuvwxyz",
    "0123456789 & @ % ° § Ø #",
    "PLEASE DO NOT OPEN THE DOOR OF THE DARKROOM BEFORE THE PAPER IS BACK IN ITS BOX",
)


@pytest.mark.parametrize(
    ("name", "height", "text"),
    # each text in each face, and each of both at each height
    [
        (name, (3.0, 5.0, 12.0)[(row + column) % 3], text)
        for row, name in enumerate(FACES)
        for column, text in enumerate(_LONG)
    ],
)
def test_alphabets_and_long_texts(name: str, height: float, text: str) -> None:
    """One sheet; bridges only take away; no opening is thinner than it was, nor crosses itself."""
    before = letters(text, name, height)
    after = cut_one(before, height)
    assert is_one([after])
    assert after.shape.difference(before.shape.buffer(0.01)).area < 1e-3
    removed = 1 - after.area / before.area
    assert 0 < removed < 0.12
    assert after.shape.is_valid
    thick = before.shape.buffer(-0.49 * SHEET.stroke)
    for part in shapely.get_parts(after.shape):
        if part.buffer(-0.49 * SHEET.stroke).is_empty:
            assert not thick.intersects(part.buffer(-0.05))


@settings(max_examples=20, deadline=None)
@given(
    text=st.text(
        st.characters(min_codepoint=0x21, max_codepoint=0xFF, exclude_categories=["C", "Z"]),
        min_size=1,
        max_size=10,
    ),
    name=st.sampled_from(list(FACES)),
    height=st.sampled_from([3.0, 5.0, 12.0]),
)
def test_any_characters_at_all(text: str, name: str, height: float) -> None:
    assume(settable(text, name))
    outline = letters(text, name, height)
    assume(bool(outline))
    after = cut_one(outline, height)
    assert is_one([after])
    assert after.shape.difference(outline.shape.buffer(0.01)).area < 1e-3


@st.composite
def shapes(draw: st.DrawFn) -> Outline:
    """Rings, discs and bars that lie over each other anyhow."""
    place = st.tuples(st.floats(0, 30), st.floats(0, 30))
    made: list[Outline] = []
    for kind in draw(st.lists(st.sampled_from(["ring", "disc", "bar"]), min_size=1, max_size=7)):
        x, y = draw(place)
        if kind == "ring":
            made.append(Outline.arc_stroke((x, y), draw(st.floats(1.5, 9)), 0, 360, 0.8))
        elif kind == "disc":
            made.append(Outline.disc((x, y), draw(st.floats(0.5, 4))))
        else:
            angle = draw(st.floats(0, 180))
            bar = Outline.rectangle(x, y, x + draw(st.floats(2, 20)), y + 0.8)
            made.append(bar.turned(angle, (x, y)))
    return united(made).outline


@settings(max_examples=25, deadline=None)
@given(shapes())
def test_any_shape_leaves_one_sheet(outline: Outline) -> None:
    cut = cut_one(outline, 0)
    assert is_one([cut])
    # Bridges only take away.
    assert cut.shape.difference(outline.shape.buffer(0.01)).area < 1e-3


def test_islands_within_islands() -> None:
    rings = [Outline.arc_stroke((0, 0), r, 0, 360, 1) for r in (3, 6, 9)]
    target = Outline.gathered([*rings, Outline.disc((0, 0), 1)])
    assert len(shapely.get_parts(stock([target]))) == 4
    assert is_one([cut_one(target)])


# --- Where bridges stand ---


def gaps(before: Outline, after: Outline) -> list[shapely.Polygon]:
    """What the bridges took away, each by itself, from the bottom up."""
    taken = shapely.get_parts(before.shape.difference(after.shape).buffer(-0.005))
    return sorted(taken[shapely.area(taken) > 0.02], key=lambda gap: gap.centroid.y)


@pytest.mark.parametrize("name", ["sans", "serif", "bold"])
@pytest.mark.parametrize(("letter", "count"), [("O", 2), ("B", 3), ("8", 3), ("D", 2), ("P", 2)])
def test_upright_in_line_and_on_two_sides(name: str, letter: str, count: int) -> None:
    before = letters(letter, name, 12)
    found = gaps(before, cut_one(before, 12))
    assert len(found) == count
    lefts = np.array([gap.bounds[0] for gap in found])
    rights = np.array([gap.bounds[2] for gap in found])
    np.testing.assert_allclose(lefts, lefts[0], atol=0.01)
    np.testing.assert_allclose(rights, rights[0], atol=0.01)
    width = max(SHEET.bridge, 0.06 * 12)
    np.testing.assert_allclose(rights - lefts, width, atol=0.015)


def test_a_small_island_has_one_bridge() -> None:
    ring = Outline.arc_stroke((0, 0), 0.75, 0, 360, 0.6)
    assert len(gaps(ring, cut_one(ring, 3))) == 1


def test_a_stroke_that_runs_upright_is_crossed_level() -> None:
    # A tall slot with a hole far from its ends: only the sides can be crossed squarely.
    ring = Outline.rectangle(0, 0, 4, 20)
    hole = Outline.rectangle(0.8, 7, 3.2, 13)
    target = Outline((*ring.contours, hole.contours[0].reversed()))
    found = gaps(target, cut_one(target, 0))
    assert len(found) == 2
    for gap in found:
        x0, y0, x1, y1 = gap.bounds
        assert x1 - x0 == pytest.approx(0.8, abs=0.05), "as long as the side is wide"
        assert y1 - y0 == pytest.approx(SHEET.bridge, abs=0.05)


@pytest.mark.parametrize("name", ["plain", "sans", "serif", "bold"])
@pytest.mark.parametrize("height", [3.5, 12])
def test_bridges_are_no_narrower_than_the_least(name: str, height: float) -> None:
    for letter in "ABDOPQR0468":
        before = letters(letter, name, height)
        for part in parts(before):
            if len(part.contours) > 1:
                by = hangs_by(part, cut_one(part, height))
                assert by >= SHEET.bridge - 0.03, (letter, by)


@pytest.mark.parametrize("name", ["sans", "serif", "bold"])
def test_curves_stay_curves(name: str) -> None:
    before = letters("ABDOPQR0689", name, 5)
    after = cut_one(before, 5)
    cubics = sum(contour.codes.count("C") + contour.codes.count("Q") for contour in before.contours)
    kept = sum(contour.codes.count("C") + contour.codes.count("Q") for contour in after.contours)
    # A short curve may fall into the gap of a bridge altogether.
    assert kept >= cubics - len(gaps(before, after))
    # Each bridge cuts two edges, each in two places, and adds a straight line for each cut.
    assert after.nodes <= before.nodes + 8 * len(gaps(before, after))
    strayed = after.shape.exterior if after.shape.geom_type == "Polygon" else after.shape.boundary
    points = shapely.points(shapely.get_coordinates(strayed))
    took = shapely.union_all(gaps(before, after)).buffer(0.05)
    own = points[~shapely.intersects(took, points)]
    assert shapely.distance(before.shape.boundary, own).max() < 0.005


def test_letters_without_islands_are_left_as_they_are() -> None:
    before = letters("CEFHIKLMN")
    after = cut_one(before)
    assert [c.codes for c in after.contours] == [c.codes for c in before.contours]
    assert all(a is b for a, b in zip(after.contours, before.contours, strict=True))


# --- Frames and long lines ---


def frame(width: float, height: float, radius: float = 0, line: float = 0.8) -> Outline:
    inner = Outline.rectangle(0, 0, width, height, radius).contours[0].reversed()
    outer = Outline.rectangle(-line, -line, width + line, height + line, radius and radius + line)
    return Outline((*outer.contours, inner))


def longest_edge(cut: Outline) -> float:
    """The longest piece of line left, corner to corner of its box."""
    return max(
        max(p.bounds[2] - p.bounds[0], p.bounds[3] - p.bounds[1])
        for p in shapely.get_parts(cut.shape)
    )


@pytest.mark.parametrize("radius", [0, 2])
@pytest.mark.parametrize(("width", "height"), [(40, 18), (100, 60), (61, 35), (35, 10)])
def test_frames_are_tied_on_every_side_at_even_spacing(
    width: float, height: float, radius: float
) -> None:
    before = frame(width, height, radius)
    after = cut_one(before, 0)
    assert is_one([after])
    found = gaps(before, after)
    for side in (0, 1):
        middles = sorted(gap.centroid.x for gap in found if abs(gap.centroid.y - side * height) < 1)
        assert len(middles) == -(-width // SHEET.free_edge)
        spaces = np.diff([-middles[0], *middles, 2 * width - middles[-1]])
        np.testing.assert_allclose(spaces, width / len(middles), atol=1.0)
        mirrored = [width - x for x in reversed(middles)]
        np.testing.assert_allclose(middles, mirrored, atol=0.2)


def test_a_ring_is_tied_at_the_top_first_and_all_round() -> None:
    before = Outline.arc_stroke((0, 0), 25, 0, 360, 0.6)
    found = gaps(before, cut_one(before, 0))
    angles = sorted(np.degrees(np.arctan2(g.centroid.x, g.centroid.y)) % 360 for g in found)
    assert len(angles) == 6
    np.testing.assert_allclose(np.diff(angles), 60, atol=1)
    assert min(abs(a - 360) if a > 180 else a for a in angles) < 0.5


@pytest.mark.parametrize(("length", "count"), [(25, 0), (40, 1), (100, 3), (200, 6)])
def test_long_lines_are_divided_evenly(length: float, count: int) -> None:
    before = Outline.line_stroke((3, 2), (3 + length, 2), 0.5)
    after = cut_one(before, 0)
    found = gaps(before, after)
    assert len(found) == count
    places = np.diff([3, *sorted(gap.centroid.x for gap in found), 3 + length])
    np.testing.assert_allclose(places, length / (count + 1), atol=0.1)


def test_an_arc_with_graduations_is_tied_between_them() -> None:
    radius = 20.0
    ticks = []
    for angle in np.arange(0, 271, 9):
        x, y = np.sin(np.radians(angle)), np.cos(np.radians(angle))
        ticks.append(Outline.line_stroke((radius * x, radius * y), (23 * x, 23 * y), 0.4))
    before = united([Outline.arc_stroke((0, 0), radius, 0, 270, 0.4), *ticks]).outline
    found = gaps(before, cut_one(before, 0))
    assert len(found) == 3
    for gap in found:
        assert gap.area < 0.5, "the arc alone, and no graduation"
        assert gap.distance(shapely.Point(0, 0)) == pytest.approx(radius - 0.2, abs=0.1)


def test_no_free_edge_is_longer_than_the_stock_allows() -> None:
    for target in (frame(100, 60), frame(80, 30, 2), Outline.line_stroke((0, 0), (170, 30), 0.6)):
        assert longest_edge(cut_one(target, 0)) <= SHEET.free_edge + 1


def ring_of_graduations(radius: float, sweep: float, step: float) -> Outline:
    """An arc about the top, with graduations on its outside from end to end."""
    angles = np.radians(np.arange(-sweep / 2, sweep / 2 + step / 2, step))
    ticks = [
        Outline.line_stroke((radius * x, radius * y), ((radius + 2) * x, (radius + 2) * y), 0.4)
        for x, y in zip(np.sin(angles), np.cos(angles), strict=True)
    ]
    arc = Outline.arc_stroke((0, 0), radius, -sweep / 2, sweep / 2, 0.4)
    return united([arc, *ticks]).outline


def bearings(found: list[shapely.Polygon]) -> list[float]:
    """Where gaps are, degrees clockwise from the top, from -180 to 180."""
    return sorted(float(np.degrees(np.arctan2(g.centroid.x, g.centroid.y))) for g in found)


@settings(max_examples=16, deadline=None)
@given(radius=st.floats(5, 25), sweep=st.floats(150, 330), count=st.integers(6, 30))
def test_an_arc_is_judged_by_its_length_however_small_it_is(
    radius: float, sweep: float, count: int
) -> None:
    step = sweep / count
    assume(np.radians(step) * radius > 2.0)
    before = ring_of_graduations(radius, sweep, step)
    found = gaps(before, cut_one(before, 0))
    inside = radius - 0.2
    places = bearings(found)
    edges = np.diff([-sweep / 2, *places, sweep / 2])
    assert np.radians(edges.max()) * inside < SHEET.free_edge + 3.5
    assert all(gap.area < 0.5 for gap in found), "the arc alone, and no graduation"
    if np.radians(sweep) * inside < SHEET.free_edge - 1:
        assert not found
    # Off the graduations by as much as there is room, and alike on the left and the right, but
    # for a step of half a tie's width.
    off = np.array([abs((place + sweep / 2 + step / 2) % step - step / 2) for place in places])
    assert (np.radians(off) * radius > min(0.7, np.radians(step) * radius / 2 - 0.3)).all()
    if len(places) % 2 == 0:
        mirrored = [-place for place in reversed(places)]
        np.testing.assert_allclose(np.radians(places), np.radians(mirrored), atol=0.45 / radius)


def test_a_full_ring_of_graduations_round_a_small_knob_is_tied() -> None:
    before = ring_of_graduations(11, 360, 10)
    places = bearings(gaps(before, cut_one(before, 0)))
    assert len(places) == 4
    np.testing.assert_allclose(np.abs(np.diff(places)), 90, atol=12)


def test_a_letter_of_the_same_size_is_left_as_it_is() -> None:
    arc = Outline.arc_stroke((0, 0), 8, -150, 150, 1.2)
    assert gaps(arc, cut_one(arc, 0))
    assert not gaps(arc, cut_one(arc, 16))


@pytest.mark.parametrize("radius", [0, 2, 5])
def test_a_small_frame_is_tied_on_every_side(radius: float) -> None:
    before = frame(24, 22, radius)
    found = gaps(before, cut_one(before, 0))
    middles = {(round(gap.centroid.x), round(gap.centroid.y)) for gap in found}
    assert middles == {(12, 0), (12, 22), (0, 11), (24, 11)}


@pytest.mark.parametrize(("width", "height", "radius"), [(50, 30, 8), (46, 20, 10), (60, 24, 12)])
def test_ties_of_a_rounded_frame_match_left_and_right_and_up_and_down(
    width: float, height: float, radius: float
) -> None:
    before = frame(width, height, radius)
    found = gaps(before, cut_one(before, 0))
    assert len(found) >= 4
    middles = np.array([[gap.centroid.x - width / 2, gap.centroid.y - height / 2] for gap in found])
    for flip in ((-1, 1), (1, -1)):
        apart = np.linalg.norm(middles[:, None] * flip - middles, axis=2)
        assert apart.min(axis=1).max() < 0.2


# --- For the look ---


def test_the_look_of_bridges_on_film(panel: Any) -> None:
    from legend.stencil import cut

    plain = panel(lettering={})
    looks = panel(lettering={"name": {"bridged": True}})

    def holes(artwork: Any, text: str) -> int:
        (mark,) = (m for m in artwork.marks if m.text == text)
        area = shapely.box(*mark.outline.bounds).buffer(0.1)
        return sum(
            len(polygon.interiors)
            for sheet in cut(artwork).sheets
            for placed in sheet.placed
            for path in placed.piece.paths
            if path.cut == "mark" and area.covers(path.outline.shape)
            for polygon in shapely.get_parts(path.outline.shape)
        )

    assert holes(plain, "EXPOSURE") == 3
    assert holes(looks, "EXPOSURE") == 0
    assert holes(looks, "ENLARGER TIMER") == holes(plain, "ENLARGER TIMER") > 0


# --- Tongues that nothing holds ---


def block_with_a_slot(side: float) -> Outline:
    """A square of ink with a long narrow tongue of stock in its middle, open at the top."""
    left, right = side / 2 - 0.4, side / 2 + 0.4
    outside = [(0, 24), (0, 0), (side, 0), (side, 24)]
    return Outline.polygon(np.array([*outside, (right, 24), (right, 6), (left, 6), (left, 24)]))


def test_a_tongue_is_tied_where_a_short_bridge_reaches_it() -> None:
    (done,) = bridged([block_with_a_slot(4)], [0], SHEET)
    assert not done.loose
    assert gaps(block_with_a_slot(4), done.outline)


def test_a_tongue_that_no_short_bridge_reaches_is_told() -> None:
    before = block_with_a_slot(20)
    (done,) = bridged([before.moved(5, 3)], [0], SHEET)
    assert done.outline.area == pytest.approx(before.area)
    ((x, y),) = done.loose
    assert 14 < x < 16
    assert 9 < y < 27


@pytest.mark.parametrize(("stock", "found"), [("sheet", True), ("film", False)])
def test_a_loose_tongue_is_a_finding_for_stock_that_does_not_stick(
    panel: Any, stock: str, found: bool
) -> None:
    from legend.layout.artwork import Artwork, Mark, Role
    from legend.stencil import cut

    artwork = panel(method="paint-through", stock=stock, holes={}, control=[], bare=[], text=[])
    block = block_with_a_slot(20).moved(30, 20)
    mark = Mark(block, Role.SYMBOL, "", artwork.description.source, "symbol:caution", 24)
    artwork = Artwork(artwork.description, artwork.styles, artwork.panel, (), (mark,), (), ())
    findings = cut(artwork).findings
    assert [f.code for f in findings] == ["loose-tongue"] * found
    if found:
        assert findings[0].rule
        x, y = findings[0].place
        assert block.bounds[0] < x < block.bounds[2]
        assert block.bounds[1] < y < block.bounds[3]


@pytest.mark.parametrize("count", [3, 6, 9])  # with ties, without the look for the best, a heap
def test_no_island_is_left_among_lines_that_cross(count: int) -> None:
    places = [4.0 + 7 * i for i in range(count)]
    lines = [Outline.line_stroke((x, 0), (x, 7 * count), 0.8) for x in places]
    lines += [Outline.line_stroke((0, x), (7 * count, x), 0.8) for x in places]
    grid = united(lines).outline
    assert len(shapely.get_parts(grid.shape)[0].interiors) == (count - 1) ** 2
    cut = cut_one(grid, height=0)
    assert is_one([cut])
    assert cut.area > 0.4 * grid.area


def test_an_island_that_meets_the_stock_in_a_point_is_opened_there() -> None:
    corner = Outline.polygon([(5, 10), (6, 5), (4, 5)]).contours[0]
    ink = Outline((*Outline.rectangle(0, 0, 10, 10).contours, corner))
    assert len(ink.shape.interiors) == 1
    after = cut_one(ink)
    assert hangs_by(ink, after) >= 0.95 * SHEET.bridge
    left, right = sorted(gaps(ink, after), key=lambda gap: gap.bounds[0])
    assert left.bounds[3] == pytest.approx(10, abs=0.01)
    assert right.bounds[2] - left.bounds[0] == pytest.approx(SHEET.bridge, abs=0.03)
