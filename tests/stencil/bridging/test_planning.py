"""The habits of the stencil cutter: each build of letter is bridged alike, whatever its size."""

from __future__ import annotations

import pytest
import shapely
from font_files import FACES, lettered

from legend.description.tables.description import Stencil
from legend.description.tables.stock import limits
from legend.lettering.outlines.outline import Outline
from legend.stencil.bridging.bridges import bridged
from legend.stencil.bridging.tongues import Narrow, loose_tongues, narrow_stock

SHEET = limits(Stencil(method="paint-through", stock="sheet"))
SIZES = (4.0, 5.0, 7.0, 10.0, 20.0)


def cut(before: Outline, height: float) -> Outline:
    return bridged([before], [height], SHEET)[0].outline


def bridges(before: Outline, height: float) -> list[shapely.Polygon]:
    """What the bridges took, each by itself, from left to right."""
    taken = before.shape.difference(cut(before, height).shape).buffer(-0.01)
    parts = shapely.get_parts(taken)
    return sorted(parts[shapely.area(parts) > 0.02], key=lambda part: part.centroid.x)


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("height", SIZES)
def test_the_bar_of_an_a_is_cut_free_and_its_legs_stay_whole(face: str, height: float) -> None:
    before = lettered("A", face, height)
    (hole,) = shapely.get_parts(before.shape)[0].interiors
    x0, y0, x1, y1 = hole.bounds
    found = bridges(before, height)
    assert len(found) in (1, 2)
    # The edges of the legs, straight on from the hole down past the bar.
    level = shapely.LineString([(x0, (y0 + y1) / 2), (x1, (y0 + y1) / 2)]).intersection(hole)
    lean = (level.bounds[0] - x0) / ((y1 - y0) / 2)
    for bridge in found:
        for x, y in bridge.exterior.coords:
            off = lean * (y0 - y)
            assert x0 - off - 0.01 < x < x1 + off + 0.01, "no leg is cut"
        assert bridge.centroid.y < y0
    flush = min(x + lean * (y0 - y) - x0 for x, y in found[0].exterior.coords)
    assert flush < 0.02, "no stub is left where the bar meets the leg"
    if len(found) == 2:
        assert max(x - lean * (y0 - y) - x1 for x, y in found[1].exterior.coords) > -0.02
    # From foot to apex and down again without a break.
    (legs,) = (p for p in shapely.get_parts(cut(before, height).shape) if p.area > before.area / 2)
    assert legs.bounds == pytest.approx(before.bounds, abs=0.01)


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("height", SIZES)
@pytest.mark.parametrize("letter", "BDPR")
def test_letters_with_a_stem_are_bridged_along_it(face: str, height: float, letter: str) -> None:
    before = lettered(letter, face, height)
    holes = [h for part in shapely.get_parts(before.shape) for h in part.interiors]
    found = bridges(before, height)
    assert len(found) == len(holes) + 1
    for bridge in found:
        assert bridge.bounds[0] == pytest.approx(holes[0].bounds[0], abs=0.01 + 0.01 * height)
        assert bridge.bounds[2] == pytest.approx(found[0].bounds[2], abs=0.01)


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("height", [3.0, *SIZES])
@pytest.mark.parametrize("letter", "O0o")
def test_round_letters_are_bridged_on_their_axis(face: str, height: float, letter: str) -> None:
    before = lettered(letter, face, height)
    x0, _, x1, _ = before.bounds
    found = bridges(before, height)
    assert len(found) == 2
    for bridge in found:
        assert bridge.centroid.x == pytest.approx((x0 + x1) / 2, abs=0.03)


@pytest.mark.parametrize("face", FACES)
def test_a_letter_is_bridged_alike_wherever_it_stands(face: str) -> None:
    """The A of one word as the A of another, however they are kerned and placed."""
    whole = lettered("AERIAL CRYSTAL EARTH", face, 7)
    own = lettered("A", face, 7)
    wanted = cut(own, 7)
    size = own.bounds[2] - own.bounds[0]
    found = 0
    after = cut(whole.moved(13.37, 4.2), 7).shape
    for part in shapely.get_parts(whole.moved(13.37, 4.2).shape):
        x0, y0, x1, _ = part.bounds
        if len(part.interiors) == 1 and x1 - x0 == pytest.approx(size, abs=1e-6):
            there = wanted.moved(x0 - own.bounds[0], y0 - own.bounds[1]).shape
            here = after.intersection(part.buffer(0.01))
            assert here.symmetric_difference(there).area < 0.02
            found += 1
    assert found == 4


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("height", [2.5, 3.5, 7])
def test_a_rough_look_misses_no_tongue(face: str, height: float) -> None:
    tongues = 0
    for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789@&§Œæ":
        for part in shapely.get_parts(lettered(letter, face, height).shape):
            polygon = shapely.orient_polygons(part.simplify(0.008))
            if loose_tongues(polygon, SHEET):
                tongues += 1
                assert narrow_stock(polygon, SHEET) is Narrow.FAR, letter
    assert tongues or height > 3, "there was something to miss"
