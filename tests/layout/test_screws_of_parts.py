"""The screws that hold a part belong to it: no findings, and every legend keeps clear of them."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
import shapely

from legend.description.reading.description_file import parse
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Role, Severity

_PANEL = """\
[panel]
size = [200, 120]
[holes]
V = {{ at = [60, 55], drill = 56 }}
L = {{ at = [150, 55], drill = 8 }}
S1 = {{ at = [28, 87], drill = 3.2 }}
S2 = {{ at = [92, 87.2], drill = 3.2 }}
[[control]]
hole = "L"
kind = "lamp"
name = "READY"
[[control]]
hole = "V"
kind = "meter"
name = "VOLTS"
{meter}
"""
_BY_PATTERN = "fixings = { square = 64, drill = 3.2 }"
_BY_NAME = 'fixings = ["S1", "S2"]'


def _laid(meter: str) -> Artwork:
    text = _PANEL.format(meter=meter)
    if _BY_NAME not in meter:
        text = "\n".join(line for line in text.splitlines() if not line.startswith(("S1", "S2")))
    return lay_out(parse(text))


def _codes(artwork: Artwork) -> Sequence[str]:
    return [f.code for f in inspect(artwork) if f.severity is not Severity.NOTE]


@pytest.mark.parametrize("fixings", [_BY_PATTERN, _BY_NAME])
@pytest.mark.parametrize("covers", ["", "covers = 60", "covers = 90"])
def test_nothing_is_found_of_the_screws_of_a_part(fixings: str, covers: str) -> None:
    assert _codes(_laid(f"{fixings}\n{covers}")) == []


@pytest.mark.parametrize(("across", "codes"), [(26.5, []), (24, ["holes-close"] * 2)])
def test_screws_may_stand_near_their_own_part_but_not_in_its_hole(
    across: float, codes: list[str]
) -> None:
    text = "[panel]\nsize = [90, 60]\n[holes]\nA = { at = [45, 30], drill = 22 }\n"
    text += (
        f'[[control]]\nhole = "A"\nkind = "jack"\nfixings = {{ across = {across}, drill = 3 }}\n'
    )
    assert _codes(lay_out(parse(text))) == codes


def test_the_same_holes_are_told_where_they_hold_nothing() -> None:
    text = _PANEL.format(meter=_BY_NAME)
    artwork = lay_out(parse(text.replace(_BY_NAME, "")))
    assert _codes(artwork).count("hole-unused") == 2


def test_the_heads_are_kept_clear_of_legends_of_others() -> None:
    artwork = _laid(f"{_BY_PATTERN}\ncovers = 60")
    heads = [keep_out for keep_out in artwork.keep_outs if keep_out.screw]
    assert [head.screw for head in heads] == ["V.1", "V.2", "V.3", "V.4"]
    assert {head.owner for head in heads} == {"V"}
    for head, at in zip(heads, [(28, 87), (92, 87), (92, 23), (28, 23)], strict=True):
        assert head.shape.centroid.coords[0] == pytest.approx(at, abs=1e-3)
        assert head.shape.bounds[2] - head.shape.bounds[0] == pytest.approx(6.4, abs=1e-3)
    near = parse(
        _PANEL.format(meter="")
        .replace("[holes]", "[holes]\nN = { at = [92, 100], drill = 6 }")
        .replace('name = "VOLTS"', f'{_BY_NAME}\n[[control]]\nhole = "N"\nkind = "lamp"\n')
        + 'name = "NEON"\nside = "below"\n'
    )
    assert "near-part" in _codes(lay_out(near)) or "hidden" in _codes(lay_out(near))


def test_a_name_stands_beyond_heads_that_reach_past_the_part() -> None:
    (name,) = (
        mark
        for mark in _laid(f"{_BY_NAME}\ncovers = 56\nin_row = false").marks
        if mark.text == "VOLTS"
    )
    alone = _laid("covers = 56\nin_row = false").marks
    (free,) = (mark for mark in alone if mark.text == "VOLTS")
    assert name.outline.bounds[1] >= free.outline.bounds[1]
    heads = [shapely.Point(28, 87).buffer(3.2), shapely.Point(92, 87.2).buffer(3.2)]
    assert min(shapely.distance(name.outline.shape, heads)) > 1


def test_what_a_part_is_taken_to_cover_spans_its_screws() -> None:
    cover = next(keep_out for keep_out in _laid(_BY_PATTERN).keep_outs if keep_out.owner == "V")
    assert cover.assumed
    assert cover.shape.bounds == pytest.approx((24.8, 19.8, 95.2, 90.2), abs=1e-3)


def test_a_flange_that_spans_its_screws_stays_as_it_is() -> None:
    holes = (
        "[panel]\nsize = [90, 60]\n[holes]\nD = { at = [45, 30], d_connector = 25, angle = 90 }\n"
    )
    control = '[[control]]\nhole = "D"\nkind = "connector"\n'
    covers = [
        lay_out(parse(holes + control + more)).keep_outs[0].shape
        for more in ("", "fixings = { across = 47, drill = 3.2 }\n")
    ]
    assert covers[0].equals(covers[1])


def test_a_frame_goes_round_the_screws_as_well() -> None:
    artwork = _laid(f"{_BY_PATTERN}\nframe = 0.8")
    assert _codes(artwork) == []
    (frame,) = (mark for mark in artwork.marks if mark.role is Role.FRAME)
    assert frame.outline.bounds[0] < 24.8 - 0.8


# --- What is covered round an opening ---


@pytest.mark.parametrize("covers", ["88", "[66, 60]", "{ margin = 3 }", "100"])
def test_a_frame_goes_round_screws_that_stand_beyond_what_the_part_covers(covers: str) -> None:
    """Or it would run through their heads."""
    artwork = _laid(f"{_BY_PATTERN}\nframe = 0.8\ncovers = {covers}")
    assert _codes(artwork) == []
    (frame,) = (mark for mark in artwork.marks if mark.role is Role.FRAME)
    inside = shapely.Polygon(frame.outline.shape.interiors[0])
    heads = [cover for cover in artwork.keep_outs if cover.fitted and cover.owner == "V"]
    assert len(heads) == 5  # four of screws, and the part
    assert all(inside.contains(head.shape) for head in heads)
    assert min(head.shape.distance(frame.outline.shape) for head in heads) > 1 - 0.01


@pytest.mark.parametrize(
    ("shape", "grown"),
    [
        ("drill = 20", (26, 26)),
        ("cutout = [30, 12]", (36, 18)),
        ("cutout = [30, 12], angle = 90", (18, 36)),
        ("slot = [30, 6]", (36, 12)),
        ("polygon = [[-9, -5], [9, -5], [9, 5], [-9, 5]]", (24, 16)),
    ],
)
def test_a_margin_is_so_much_larger_all_round(shape: str, grown: tuple[float, float]) -> None:
    text = f"[panel]\nsize = [100, 60]\n[holes]\nD = {{ at = [50, 30], {shape} }}\n"
    text += '[[control]]\nhole = "D"\nkind = "display"\ncovers = { margin = 3 }\nframe = 0.8\n'
    artwork = lay_out(parse(text))
    (cover,) = artwork.keep_outs
    assert not cover.assumed
    x0, y0, x1, y1 = cover.shape.bounds
    assert (x1 - x0, y1 - y0) == pytest.approx(grown, abs=1e-3)
    opening = artwork.opening("D").outline.shape
    assert cover.shape.exterior.distance(opening) == pytest.approx(3, abs=0.01)
    assert _codes(artwork) == []


# --- Screws of parts that are turned ---


def _slide(shape: str, fixings: str) -> Artwork:
    text = f"[panel]\nsize = [140, 120]\n[holes]\nS = {{ at = [70, 60], {shape} }}\n"
    text += f'[[control]]\nhole = "S"\nkind = "slide"\nfixings = {{ {fixings}, drill = 3 }}\n'
    return lay_out(parse(text))


def _told(artwork: Artwork, code: str) -> list[tuple[str, str]]:
    return [(f.message, f.remedy) for f in inspect(artwork) if f.code == code]


def test_screws_are_turned_with_the_part_that_they_hold() -> None:
    artwork = _slide("slot = [60, 4], angle = 90", "across = 80")
    places = [artwork.opening(f"S.{number}").centre for number in (1, 2)]
    assert [place[0] for place in places] == pytest.approx([70, 70])
    assert sorted(place[1] for place in places) == pytest.approx([20, 100])
    ((message, remedy),) = _told(artwork, "fixings-turned")
    assert "stand over each other, 80.0 mm apart" in message and "90 degrees" in message
    assert "exchange across and up" in remedy
    assert not _told(artwork, "holes-close")


@pytest.mark.parametrize(
    ("shape", "fixings"),
    [
        ("slot = [60, 4]", "across = 80"),
        ("slot = [60, 4], angle = 180", "across = 80"),
        ("cutout = [30, 12], angle = 90", "square = 40"),
        ("cutout = [30, 12], angle = 90", "across = 40, up = 40"),
    ],
)
def test_nothing_is_told_of_screws_that_stand_as_they_are_written(shape: str, fixings: str) -> None:
    assert not _told(_slide(shape, fixings), "fixings-turned")


@pytest.mark.parametrize("angle", [0, 90, 30])
def test_a_screw_in_the_hole_of_its_own_part_asks_whether_the_ways_are_exchanged(
    angle: float,
) -> None:
    wrong = _slide(f"cutout = [60, 8], angle = {angle}", "across = 40")
    for message, remedy in (found := _told(wrong, "holes-close")):
        assert "runs into hole S itself" in message
        assert remedy.startswith("Are across and up exchanged?")
    assert len(found) == 2
    assert not _told(_slide(f"cutout = [60, 8], angle = {angle}", "up = 40"), "holes-close")


def test_it_does_not_ask_where_that_would_cure_nothing() -> None:
    found = _told(_slide("drill = 50", "across = 40"), "holes-close")
    assert [remedy for _, remedy in found] == ["Check how far its screws stand apart."] * 2
