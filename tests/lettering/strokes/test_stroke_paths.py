"""Path data: the same curves as another reader of SVG finds, and clear faults."""

from __future__ import annotations

import math

import numpy as np
import pytest
import svgelements
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.lettering.strokes.pathdata import read_path
from legend.lettering.strokes.skeleton import Arc, Bend, bend_at

number = st.floats(-9, 9).map(lambda v: f"{v:.2f}")
radius = st.floats(1, 20).map(lambda v: f"{v:.2f}")


def after(letters: str, count: int) -> st.SearchStrategy[str]:
    return st.builds(
        lambda letter, numbers: letter + ",".join(numbers),
        st.sampled_from(letters),
        st.lists(number, min_size=count, max_size=count),
    )


arc = st.builds(
    lambda letter, rx, ry, turn, flags, x, y: f"{letter}{rx} {ry} {turn} {flags}{x} {y}",
    st.sampled_from("Aa"),
    radius,
    radius,
    st.sampled_from(["0", "30", "-75"]),
    st.sampled_from(["0 0 ", "0,1,", "10 ", "1 1 "]),
    number,
    number,
)
smooth = st.builds(lambda first, then: first + then, after("Cc", 6), after("Ss", 4))
smooth_quadratic = st.builds(lambda first, then: first + then, after("Qq", 4), after("Tt", 2))
piece = st.one_of(after("Ll", 2), after("Hh", 1), after("Vv", 1), smooth, smooth_quadratic, arc)
path = st.builds(
    lambda start, pieces, close: start + "".join(pieces) + "z" * close,
    after("M", 2),
    st.lists(piece, min_size=1, max_size=4),
    st.booleans(),
)


@settings(max_examples=40, deadline=None)
@given(path)
def test_the_same_points_as_another_reader(d: str) -> None:
    theirs = np.array(
        [
            (point.x, point.y)
            for segment in svgelements.Path(d)
            if not isinstance(segment, svgelements.Move)
            for point in (segment.point(t) for t in np.linspace(0, 1, 300))
        ]
    )
    steps = np.hypot(*np.diff(theirs, axis=0).T)
    for run in read_path(d):
        for segment in run.segments:
            for t in (0.0, 0.3, 0.5, 0.8, 1.0):
                x, y = _at(segment, t)
                assert np.hypot(*(theirs - (x, y)).T).min() <= steps.max() / 2 + 0.01


def _at(segment: object, t: float) -> tuple[float, float]:
    if isinstance(segment, Arc):
        angle = segment.begin + t * segment.sweep
        return (
            segment.centre[0] + segment.radius * math.cos(angle),
            segment.centre[1] + segment.radius * math.sin(angle),
        )
    if isinstance(segment, Bend):
        return bend_at(segment, t)
    (x0, y0), (x1, y1) = segment  # type: ignore[misc]
    return x0 + t * (x1 - x0), y0 + t * (y1 - y0)


def test_circles_stay_arcs_and_ellipses_do_not() -> None:
    (circle,) = read_path("M 0 0 A 5 5 30 0 1 10 0")
    (ellipse,) = read_path("M 0 0 A 5 4 0 0 1 10 0")
    assert [type(segment) for segment in circle.segments] == [Arc]
    assert {type(segment) for segment in ellipse.segments} == {Bend}


def test_an_arc_too_small_for_its_chord_grows() -> None:
    """SVG 1.1, appendix F.6.6."""
    (run,) = read_path("M 0 0 A 1 1 0 0 1 10 0")
    (segment,) = run.segments
    assert isinstance(segment, Arc)
    assert segment.radius == pytest.approx(5)


def test_the_sweep_flag_turns_towards_y() -> None:
    """SVG 1.1, 8.3.8: 1 is the direction of positive angles, here with y upwards."""
    (run,) = read_path("M 0 0 A 5 5 0 0 1 10 0")
    (segment,) = run.segments
    assert _at(segment, 0.5) == pytest.approx((5, -5))


def test_a_dot_is_a_run_without_length_and_a_move_alone_is_nothing() -> None:
    assert [len(run.segments) for run in read_path("M 1 1 Z M 2 2 L 2 2 M 3 3 M 4 4 L 5 5")] == [
        0,
        0,
        1,
    ]


@pytest.mark.parametrize(
    ("d", "fault"),
    [
        ("10 10", "a command was expected"),
        ("L 1 1", "begins with M"),
        ("M 1", "a number was expected after 3 characters, but it ends"),
        ("M 1 2 L 3 4 x 5", "a command was expected after 11 characters, but found 'x'"),
        ("M 0 0 A 1 1 0 2 1 3 3", "a flag of an arc is 0 or 1"),
        ("M 0 0 L 1 1 2", "a number was expected"),
        ("Z", "nothing is there to close"),
        ("M 0 0 L 1 nan", "a number was expected"),
    ],
)
def test_damage_is_told(d: str, fault: str) -> None:
    with pytest.raises(ValueError, match=fault):
        read_path(d)
