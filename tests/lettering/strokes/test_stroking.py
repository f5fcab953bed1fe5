"""Strokes: the ink is all that is within half a pen of the skeleton, and nothing else."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from legend.lettering.outlines.boolean import Combined
from legend.lettering.outlines.outline import FLATNESS, Outline
from legend.lettering.strokes.pathdata import read_path
from legend.lettering.strokes.pen import Ends
from legend.lettering.strokes.skeleton import Arc, Bend, Run, Skeleton, bend_at, transformed
from legend.lettering.strokes.stroking import inked

PEN = 1 / 7
#: The size in mm at which ink is compared, and how far it may be from what is exact.
SIZE = 20.0
WITHIN = 0.005


def skeleton(d: str, width: float = 1.0, slope: float = 0.0) -> Skeleton:
    """The skeleton of a path on a grid 900 tall, in capital heights."""
    scale = (1 - PEN) / 900
    lean = math.tan(math.radians(slope))
    return transformed(read_path(d), (scale * width, 0, scale * lean, scale, 0, PEN / 2))


def lines(of: Skeleton) -> shapely.Geometry:
    """A skeleton as shapely lines, flattened finely, in mm."""
    parts = []
    for run in of:
        points = [run.start]
        for segment in run.segments:
            if isinstance(segment, Arc):
                (x, y), count = segment.centre, max(2, int(abs(segment.sweep) * 120))
                angles = segment.begin + np.arange(1, count) / count * segment.sweep
                unit = np.column_stack([np.cos(angles), np.sin(angles)])
                points += [*map(tuple, (x, y) + segment.radius * unit)]
            elif isinstance(segment, Bend):
                points += [bend_at(segment, i / 200) for i in range(1, 200)]
            points.append(segment.end)
        parts.append(shapely.LineString(points) if len(points) > 1 else shapely.Point(points[0]))
    return shapely.transform(shapely.union_all(parts), lambda p: p * SIZE)


def faults(outline: Outline, of: Skeleton, within: float = WITHIN) -> str:
    """What is wrong with the ink of a skeleton with round ends: nothing is an empty text."""
    shape, middle, half = outline.shape, lines(of), PEN * SIZE / 2
    if not shape.is_valid:
        return "not valid"
    shapely.prepare(shape)
    shapely.prepare(middle)
    edge = np.vstack([contour.flat for contour in outline.contours])
    off = np.abs(shapely.distance(shapely.points(edge), middle) - half).max()
    if off > within:
        return f"an edge is off by {off:.4f} mm"
    left, bottom, right, top = middle.bounds
    x, y = np.meshgrid(np.linspace(left - 3, right + 3, 50), np.linspace(bottom - 3, top + 3, 50))
    inside = shapely.contains_xy(shape, x, y)
    away = shapely.distance(shapely.points(x, y), middle)
    wrong = (inside & (away > half + within)) | (~inside & (away < half - within))
    return f"{wrong.sum()} places are wrong" if wrong.any() else ""


def ink(d: str, **style: float) -> tuple[Combined, Skeleton]:
    of = skeleton(d, **style)
    return drawn(of), of


def drawn(of: Skeleton, ends: Ends = "round") -> Combined:
    return inked(of, PEN, ends, SIZE).outline(SIZE)


def nodes(d: str) -> int:
    """How many nodes the ink has in letters of the usual size."""
    return inked(skeleton(d), PEN, "round", 3.5).outline(3.5).outline.nodes


def area(made: Combined) -> float:
    """Square capital heights of ink."""
    return made.outline.area / SIZE**2


# --- Any skeleton of lines and arcs ---

points = st.tuples(st.integers(0, 60), st.integers(0, 60)).map(lambda p: f"{p[0] * 15} {p[1] * 15}")
lines_to = points.map(lambda p: f"L {p}")
arcs_to = st.builds(
    lambda r, large, sweep, p: f"A {r * 15} {r * 15} 0 {large:d} {sweep:d} {p}",
    st.integers(1, 40),
    st.booleans(),
    st.booleans(),
    points,
)
runs = st.builds(
    lambda start, pieces, close: f"M {start} {' '.join(pieces)}{' Z' * close}",
    points,
    st.lists(st.one_of(lines_to, lines_to, arcs_to), min_size=1, max_size=4),
    st.booleans(),
)
paths = st.lists(runs, min_size=1, max_size=3).map(" ".join)


@settings(max_examples=30, deadline=None)
@given(paths)
@example("M 345 405 L 495 435 Z M 495 435 L 495 435")
@example("M 0 0 A 15 15 0 0 0 0 15 Z")
@example("M 0 0 A 75 75 0 1 0 0 120")
@example("M 75 225 L 75 225 M 75 225 Z M 300 300 A 90 90 0 0 1 480 300 M 480 300 Z")
def test_ink_of_lines_and_arcs_is_exact(d: str) -> None:
    """But for skeletons that run over themselves in ways that no letter does: there shapely's
    flattened ink stands in, which is good to about a hundredth of the pen."""
    made, of = ink(d)
    assume(any(run.segments for run in of))
    assert faults(made.outline, of, 0.02 if made.flattened else WITHIN) == ""


@pytest.mark.parametrize("width", [0.6, 0.8, 0.9, 1.0, 1.3])
@pytest.mark.parametrize(
    "d",
    [
        "M 75 225 L 0 0 A 15 15 0 0 0 15 0",
        "M 75 225 L 0 0 A 15 15 0 0 1 15 0",
        "M 75 225 L 0 0 A 15 15 0 1 0 15 15 L 300 15",
        "M 0 0 A 15 15 0 0 0 15 0 L 75 225",
        "M 0 300 L 300 300 A 30 30 0 0 1 330 330 L 330 600",
        "M 0 300 L 300 300 A 45 45 0 0 0 345 255 A 15 15 0 0 1 360 240 L 600 240",
    ],
)
def test_ink_is_exact_where_an_arc_is_tighter_than_the_pen(d: str, width: float) -> None:
    made, of = ink(d, width=width)
    assert not made.flattened
    assert faults(made.outline, of) == ""


def test_ink_of_lines_and_arcs_is_hardly_ever_flattened() -> None:
    random = np.random.default_rng(7)
    flattened = 0
    for _ in range(150):
        p, q = random.integers(0, 61, (2, 3, 2)) * 15
        r, s = random.integers(1, 61, 2) * 15
        large, sweep = random.integers(0, 2, 2)
        arc = f"A {r} {r} 0 {large} {sweep} {p[2][0]} {p[2][1]}"
        other = f"A {s} {s} 0 {sweep} {large} {q[1][0]} {q[1][1]}"
        d = f"M {p[0][0]} {p[0][1]} L {p[1][0]} {p[1][1]} {arc}"
        d += f"M {q[0][0]} {q[0][1]} {other} L {q[2][0]} {q[2][1]}"
        flattened += ink(d)[0].flattened
    assert flattened == 0


@settings(max_examples=25, deadline=None)
@given(paths)
def test_square_ends_change_strokes_at_their_ends_and_corners_only(d: str) -> None:
    """Elsewhere the ink is the same as with round ones; and there it reaches less than three
    half pens from the skeleton, wherever its mitres and level ends may point."""
    of = skeleton(d)
    made = drawn(of, "square")
    shape, middle, half = made.outline.shape, lines(of), PEN * SIZE / 2
    edge = shapely.points(shapely.get_coordinates(shape))
    assert shapely.distance(edge, middle).max() < 3 * half
    corners = shapely.multipoints(
        [(x * SIZE, y * SIZE) for run in of for x, y in _joints(run)] or [(-99, -99)]
    )
    left, bottom, right, top = middle.bounds
    x, y = np.meshgrid(np.linspace(left - 3, right + 3, 50), np.linspace(bottom - 3, top + 3, 50))
    grid = shapely.points(x, y)
    far = shapely.distance(grid, corners) > 3 * half
    away = shapely.distance(grid, middle)
    within = 0.02 if made.flattened else WITHIN
    inside = shapely.contains_xy(shape, x, y)
    assert not (far & inside & (away > half + within)).any()
    assert not (far & ~inside & (away < half - within)).any()


def _joints(run: Run) -> list[tuple[float, float]]:
    return [run.start, *(segment.end for segment in run.segments)]


# --- Cubics ---

ROUNDED = [
    "M 0 0 C 0 500 300 900 700 900",
    "M 0 450 C 0 700 200 900 450 900 C 700 900 900 700 900 450",
    "M 100 100 Q 450 1200 800 100",
    "M 0 0 C 900 0 0 900 900 900 M 0 900 L 900 0",
    "M 200 450 C 200 250 700 250 700 450 C 700 650 200 650 200 450 Z",
]
TIGHT = [
    "M 285 765 Q 95 635 450 480",
    "M 0 0 L 300 0 C 420 0 420 90 300 90 L 0 90",
    "M 45 240 Q 261 843 150 525",
    "M 100 100 C 900 900 900 0 100 800",
]


@pytest.mark.parametrize("d", ROUNDED + TIGHT)
def test_ink_of_cubics_keeps_within_its_tolerance(d: str) -> None:
    made, of = ink(d)
    assert not made.flattened
    assert faults(made.outline, of) == ""


@pytest.mark.parametrize("d", ROUNDED)
def test_edges_along_cubics_take_few_nodes(d: str) -> None:
    """Two edges along every cubic, each of at most four pieces, and the ends."""
    made, of = ink(d)
    cubics = sum(isinstance(segment, Bend) for run in of for segment in run.segments)
    straight = sum(not isinstance(segment, Bend) for run in of for segment in run.segments)
    assert made.outline.nodes <= 8 * cubics + 14 * (straight + len(of))


@settings(max_examples=25, deadline=None)
@given(paths, st.sampled_from([0.8, 0.9, 1.2]), st.sampled_from([0.0, 12.0]))
@example(
    "M 0 0 L 0 0 M 0 780 L 810 825 A 330 330 0 0 1 675 510 A 555 555 0 0 0 630 225 Z"
    " M 180 105 L 720 900",
    0.8,
    12.0,
)
def test_width_and_slope_leave_the_pen_as_it_is(d: str, width: float, slope: float) -> None:
    made, of = ink(d, width=width, slope=slope)
    assume(not made.flattened)
    assert faults(made.outline, of, WITHIN + FLATNESS) == ""


# --- Particular strokes ---


def box(d: str, ends: str = "round") -> list[float]:
    """Left, bottom, right, top of the ink of a path, in its own grid, with a pen of 150."""
    made = drawn(skeleton(d), "round" if ends == "round" else "square")
    left, bottom, right, top = (side / SIZE for side in made.outline.bounds)
    scale = (1 - PEN) / 900
    return [round(v / scale, 1) for v in (left, bottom - PEN / 2, right, top - PEN / 2)]


def test_a_straight_stroke_has_six_nodes() -> None:
    made, _ = ink("M 0 0 L 0 900")
    assert nodes("M 0 0 L 0 900") == 6  # four corners, and one at the top of each round end
    assert area(made) == pytest.approx(PEN * (1 - PEN) + math.pi * PEN**2 / 4, rel=1e-3)


@pytest.mark.parametrize("ends", ["round", "square"])
def test_both_ends_are_as_tall(ends: str) -> None:
    assert box("M 0 0 L 0 900", ends) == [-75, -75, 75, 975]


def test_slanted_ends_are_cut_level() -> None:
    """The feet and the point of a square A stand on the lines of a square H."""
    assert box("M 0 0 L 350 900 L 700 0", "square")[1::2] == [-75, 975]


def test_steep_curved_ends_are_cut_level() -> None:
    """The feet of an A whose sides are curves, and of an R with a curved leg, stand on the line."""
    assert box("M 0 0 C 60 480 150 900 350 900 C 550 900 640 480 700 0", "square")[1] == -75
    assert box("M 0 900 Q 130 500 200 0", "square")[1] == -75


@pytest.mark.parametrize("short", [0, 6, 15, -6])
def test_a_square_bar_that_ends_a_little_off_its_stem_stays_within_it(short: int) -> None:
    left, _, right, _ = box(f"M 0 0 L 0 900 M {short} 450 L 400 450", "square")
    assert (left, right) == (-75, 475)


def test_flat_ends_are_cut_square() -> None:
    assert box("M 0 450 L 500 450", "square") == [-75, 375, 575, 525]


def test_a_square_corner_is_mitred() -> None:
    made = drawn(skeleton("M 0 900 L 0 0 L 500 0"), "square").outline
    assert made.nodes == 6
    assert set(made.contours[0].codes) == {"L"}


def test_an_end_inside_another_stroke_adds_no_nodes() -> None:
    """A T of two strokes: the foot's round end lies inside the bar."""
    made, of = ink("M 0 900 L 600 900 M 300 900 L 300 0")
    assert nodes("M 0 900 L 600 900 M 300 900 L 300 0") == 6 + 2 + 3  # bar, two in its edge, foot
    assert faults(made.outline, of) == ""


def test_strokes_that_meet_end_to_end_are_one() -> None:
    apart, _ = ink("M 0 0 L 0 900 M 500 900 L 0 900 M 0 0 L 500 0")
    whole, _ = ink("M 500 900 L 0 900 L 0 0 L 500 0")
    assert apart.outline.nodes == whole.outline.nodes
    assert area(apart) == pytest.approx(area(whole), rel=1e-6)


def test_a_run_that_comes_back_on_itself_is_one_stroke() -> None:
    there, _ = ink("M 0 0 L 0 900")
    back, of = ink("M 0 0 L 0 900 L 0 0")
    assert area(back) == pytest.approx(area(there), rel=1e-6)
    assert faults(back.outline, of) == ""


def test_a_dot_is_a_disc_or_a_square() -> None:
    disc = drawn(skeleton("M 300 300 Z"))
    square = drawn(skeleton("M 300 300 Z"), "square")
    assert area(disc) == pytest.approx(math.pi * PEN**2 / 4, rel=3e-3)
    assert area(square) == pytest.approx(PEN**2)
    assert square.outline.nodes == 4


def test_a_ring_smaller_than_the_pen_is_a_larger_dot() -> None:
    d = "M 14 0 A 14 14 0 0 1 -14 0 A 14 14 0 0 1 14 0 Z"
    made, of = ink(d)
    assert len(made.outline.contours) == 1
    assert faults(made.outline, of) == ""
    square = drawn(skeleton(d), "square").outline
    left, bottom, right, top = (side / SIZE for side in square.bounds)
    assert right - left == pytest.approx(top - bottom) == pytest.approx(PEN + 28 * (1 - PEN) / 900)
    assert square.nodes == 4


def test_a_ring_has_a_hole() -> None:
    made, of = ink("M 500 450 A 250 250 0 0 1 0 450 A 250 250 0 0 1 500 450 Z")
    assert len(made.outline.contours) == 2
    assert faults(made.outline, of) == ""


def test_arcs_take_more_cubics_at_larger_sizes() -> None:
    of = skeleton("M 500 450 A 250 250 0 0 1 0 450 A 250 250 0 0 1 500 450 Z")
    made = inked(of, PEN, "round", SIZE)
    nodes = [made.outline(height).outline.nodes for height in (1.8, 7.0, 50.0)]
    assert nodes == sorted(nodes)
    assert nodes[0] < nodes[-1]
    for height in (1.8, 7.0, 50.0):
        radius = (250 * (1 - PEN) / 900 + PEN / 2) * height
        outer = np.hypot(*(made.outline(height).outline.contours[0].flat - _centre(height)).T)
        assert np.abs(outer - radius).max() < 0.0035


def _centre(height: float) -> np.ndarray:
    scale = (1 - PEN) / 900
    return np.array([250 * scale, 450 * scale + PEN / 2]) * height
