"""The cut-outs of D-connectors against the shells, bodies and screws of the connectors themselves.

All from memory of makers' drawings, without a document in hand; but of other parts than the
cut-outs, so that a slip in one size does not hide behind the same slip in the other.
"""

from __future__ import annotations

import pytest

from legend.description.shapes.hole_shapes import DConnector
from legend.standards import D_CONNECTORS

#: By the number of ways: the shell of a plug, which passes through from behind, wide side and
#: height; the body behind the flange, which passes through from the front; the distance of the
#: two screws.
CONNECTORS = {
    9: ((16.92, 8.36), (19.28, 10.72), 24.99),
    15: ((25.25, 8.36), (27.51, 10.72), 33.32),
    25: ((38.96, 8.36), (41.30, 10.72), 47.04),
    37: ((55.42, 8.36), (57.70, 10.72), 63.50),
    50: ((52.81, 11.08), (55.30, 13.60), 61.11),
}
#: The holes of the screws.
SCREW = 3.05


@pytest.mark.parametrize(("front", "room"), [(False, (3.55, 3.05)), (True, (3.0, 1.58))])
def test_cut_outs_give_all_shells_the_same_room(front: bool, room: tuple[float, float]) -> None:
    for ways, (shell, body, _) in CONNECTORS.items():
        width, height = DConnector(ways, front).size
        through = body if front else shell
        assert (width - through[0], height - through[1]) == pytest.approx(room, abs=0.15)


@pytest.mark.parametrize("ways", D_CONNECTORS)
def test_cut_outs_leave_metal_at_the_screws_and_lie_under_the_flange(ways: int) -> None:
    _, _, screws = CONNECTORS[ways]
    flange = D_CONNECTORS[ways]["flange"]
    assert flange[0] - screws - SCREW == pytest.approx(2.8, abs=0.15)
    for front in (False, True):
        edge = DConnector(ways, front).edge
        assert edge.distance((screws / 2, 0)) - SCREW / 2 > 0.2
        assert edge.size[0] < flange[0] and edge.size[1] <= flange[1]
