"""What of holes places are measured by: rims, the ends of slots and the corners of windows."""

import numpy as np
import pytest
import shapely

import legend
from legend.camera.letters.by_holes.landmarks import (
    Landmark,
    are_in_one_line,
    parted_rims,
    whole_rims,
)

_PANEL = "[panel]\nsize = [120, 90]\n[holes]\n"


def _parted(holes: str) -> list[Landmark]:
    return parted_rims(legend.lay_out(legend.parse(_PANEL + holes)).openings)


@pytest.mark.parametrize(
    ("hole", "places"),
    [
        ("A = { at = [60, 40], drill = 12 }", [(60, 40)]),
        ("A = { at = [60, 40], slot = [6, 3] }", [(60, 40)]),
        ("A = { at = [60, 40], slot = [30, 3], angle = 90 }", [(60, 25), (60, 55)]),
        ("A = { at = [60, 40], cutout = [30, 4] }", [(45, 40), (75, 40)]),
        (
            "A = { at = [60, 40], cutout = [30, 16], corner_radius = 1 }",
            [(45, 32), (45, 48), (75, 32), (75, 48)],
        ),
    ],
)
def test_long_holes_are_parted(hole: str, places: list[tuple[float, float]]) -> None:
    found = _parted(hole)
    assert np.allclose(sorted(each.at for each in found), places, atol=1e-6)
    for each in found:
        edge = each.opening.outline.shape
        assert each.is_whole == (len(found) == 1)
        assert 8 <= len(each.points) <= 160
        within = shapely.contains_xy(edge, each.points - 0.05 * each.normals)
        outside = ~shapely.contains_xy(edge, each.points + 0.05 * each.normals)
        assert (within & outside).mean() > 0.9


def test_slots_side_by_side_are_not_in_one_line() -> None:
    slots = "\n".join(
        f"S{k} = {{ at = [{20 * k}, 40], slot = [40, 3], angle = 90 }}" for k in (1, 2, 3, 4)
    )
    openings = legend.lay_out(legend.parse(_PANEL + slots)).openings
    assert are_in_one_line(whole_rims(openings))
    assert not are_in_one_line(parted_rims(openings))
    assert are_in_one_line(whole_rims(openings)[:2])
