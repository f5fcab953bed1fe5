"""The order on a sheet: pieces one after the other, each from where the knife comes."""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
import pytest

from legend.stencil import cut
from legend.stencil.sheet import Cut, Path


@pytest.mark.parametrize("tables", [{}, {"mirror": True}, {"turn": True, "copies": 2}])
def test_every_piece_has_all_its_cuts_once_and_its_box_last(
    panel: Any, tables: dict[str, Any]
) -> None:
    for sheet in cut(panel(**tables)).sheets:
        for placed in sheet.placed:
            kinds = [path.cut for path in placed.shapes]
            assert kinds.count(Cut.WEEDING) == 1 and kinds[-1] is Cut.WEEDING
        for one, other in itertools.combinations(sheet.placed, 2):
            if (
                one.piece.number == other.piece.number
            ):  # a spare has the same, maybe in its own turn
                areas = [
                    sorted(path.outline.area for path in each.piece.paths) for each in (one, other)
                ]
                assert areas[0] == pytest.approx(areas[1], abs=1e-3)


def test_a_weeding_box_begins_on_a_side_before_the_corner_nearest_to_the_knife(panel: Any) -> None:
    for sheet in cut(panel(method="paint-through", stock="sheet", piece="control")).sheets:
        for placed in sheet.placed:
            *inner, box = placed.paths
            assert isinstance(box, Path)
            (contour,) = box.outline.contours
            begin, corner = contour.points[:2]
            assert np.hypot(*(corner - begin)) == pytest.approx(1.0)
            last = inner[-1].outline.contours[-1].points[0]
            away = np.hypot(*(contour.points[1:-1] - last).T)
            assert away.argmin() == 0
