"""The order in which one reads what stands on a panel."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from legend.stencil.pieces.reading_order import reading_order

CELLS = st.lists(st.tuples(st.integers(0, 5), st.integers(0, 4)), min_size=1, unique=True)
BITS = st.lists(st.floats(-1.5, 1.5), min_size=4, max_size=4)


@given(cells=CELLS, data=st.data())
def test_rows_that_stand_clear_are_read_one_after_the_other(
    cells: list[tuple[int, int]], data: st.DataObject
) -> None:
    # Things of 10 x 10 mm, 20 mm apart, each side off by a little.
    boxes = []
    for column, row in cells:
        a, b, c, d = data.draw(BITS)
        boxes.append((30 * column + a, -30 * row + b, 30 * column + 10 + c, -30 * row + 10 + d))
    read = [cells[i] for i in reading_order(boxes)]
    assert read == sorted(cells, key=lambda cell: (cell[1], cell[0]))


def test_a_tall_line_makes_no_single_row_of_what_is_beside_it() -> None:
    line = (50.0, 0.0, 51.0, 100.0)
    left = [(10.0, y, 30.0, y + 15) for y in (80.0, 40.0, 5.0)]
    right = [(70.0, y, 90.0, y + 15) for y in (81.0, 42.0, 4.0)]
    boxes = [line, *left, *right]
    assert reading_order(boxes) == [1, 4, 2, 0, 5, 3, 6]


@given(st.lists(st.tuples(*[st.floats(0, 50)] * 2, *[st.floats(1, 40)] * 2), max_size=12))
def test_everything_is_read_once(things: list[tuple[float, float, float, float]]) -> None:
    boxes = [(x, y, x + w, y + h) for x, y, w, h in things]
    assert sorted(reading_order(boxes)) == list(range(len(boxes)))
