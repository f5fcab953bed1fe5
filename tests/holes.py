"""Holes of every shape: as a description gives them, and drawn by chance."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from legend.description.tables.description import Hole

#: One of each shape, and more where a shape has further keys, as a table says them.
EVERY_SHAPE: dict[str, dict[str, Any]] = {
    "drill": {"drill": 9.5},
    "cutout": {"cutout": [20, 12]},
    "rounded cutout": {"cutout": [20, 12], "corner_radius": 2},
    "slot": {"slot": [20, 6]},
    "single_d": {"single_d": [12, 11]},
    "double_d": {"double_d": [12, 10]},
    "keyed": {"keyed": [12, 3, 1.5]},
    "hexagon": {"hexagon": 10},
    "d_connector": {"d_connector": 15},
    "d_connector from the front": {"d_connector": 25, "front_mounted": True},
    "polygon": {"polygon": [[-12, -8], [12, -8], [12, 2], [6, 8], [-12, 8]]},
    "rounded polygon": {
        "polygon": [[-12, -8, 4], [12, -8], [12, 8], [3, 8], [0, 4], [-3, 8], [-12, 8]],
        "corner_radius": 1,
    },
}


def hole_of(table: dict[str, Any], **more: Any) -> Hole:
    """The hole that a table without a place describes, at the origin."""
    return Hole.model_validate({"at": [0, 0]} | table | more)


def _size(least: float, most: float) -> st.SearchStrategy[float]:
    return st.floats(least, most).map(lambda size: round(size, 3))


@st.composite
def holes(draw: st.DrawFn) -> Hole:
    """A hole of any shape, of a size as holes in panels are, turned by any angle."""
    size, part, less = draw(_size(3, 60)), draw(_size(0.55, 0.98)), draw(_size(0.1, 0.9))
    table = draw(
        st.sampled_from(
            [
                {"drill": size},
                {"cutout": [size, size * part]},
                {"cutout": [size * part, size], "corner_radius": size * part / 2 * less},
                {"slot": [size, size * less]},
                {"single_d": [size, size * part]},
                {"double_d": [size, size * less]},
                {"keyed": [size, size * less * 0.8, size * part / 4]},
                {"hexagon": size},
                {"d_connector": draw(st.sampled_from([9, 15, 25, 37, 50]))},
                {"d_connector": 25, "front_mounted": True},
                {"polygon": _star(size, part)},
                {"polygon": _star(size, part), "corner_radius": size * (1 - part) / 5},
            ]
        )
    )
    return hole_of(table, angle=draw(_size(-360, 360)))


def _star(size: float, part: float) -> list[list[float]]:
    """A plus whose four corners stand in, as far as `part` says."""
    far, near = size / 2, size / 2 * part
    quarter = [(far, -near), (far, near), (near, near)]
    turns = ((1, 0), (0, 1), (-1, 0), (0, -1))
    return [[c * x - s * y, s * x + c * y] for c, s in turns for x, y in quarter]
