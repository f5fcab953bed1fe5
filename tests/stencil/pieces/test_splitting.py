"""Pieces larger than the stock are split between letters, and at lines."""

from __future__ import annotations

import itertools
from functools import cache
from typing import Any

import numpy as np
import pytest
import shapely
from corners import corners

from legend.description.tables.description import Description
from legend.description.tables.stock import limits
from legend.layout import lay_out
from legend.layout.artwork import Artwork
from legend.stencil import cut
from legend.stencil.sheet import Cut, Piece, Stencils

STOCK = (180.0, 200.0)


def long_panel(
    method: str = "paint-through", stock: str = "film", **stencil: Any
) -> tuple[Artwork, Stencils]:
    """A row of six lamps in one frame, under a long title: both wider than the stock; and its
    stencils."""
    return _cut_once(method, stock, tuple(stencil.items()))


@cache
def _cut_once(
    method: str, stock: str, stencil: tuple[tuple[str, Any], ...]
) -> tuple[Artwork, Stencils]:
    holes = {f"H{i}": {"at": [40 + 80 * i, 35], "drill": 9.5} for i in range(6)}
    artwork = lay_out(
        Description.model_validate(
            {
                "panel": {"size": [480, 90]},
                "holes": holes,
                "control": [
                    {"hole": hole, "kind": "lamp", "name": f"LAMP {hole}"} for hole in holes
                ],
                "group": [{"name": "DOME LIGHTS OF THE OBSERVATORY", "holes": list(holes)}],
                "text": [{"at": [240, 78], "text": "A" * 60, "role": "title"}],
                "stencil": {"stock_size": STOCK, "method": method, "stock": stock} | dict(stencil),
            }
        )
    )
    return artwork, cut(artwork)


def long_pieces(**stencil: Any) -> list[Piece]:
    _, stencils = long_panel(**stencil)
    return pieces_in(stencils)


def pieces(artwork: Artwork) -> list[Piece]:
    return pieces_in(cut(artwork))


def pieces_in(stencils: Stencils) -> list[Piece]:
    placed = (placed for sheet in stencils.sheets for placed in sheet.placed)
    return sorted((p.piece for p in placed), key=lambda piece: piece.number)


def marks(found: list[Piece]) -> shapely.Geometry:
    return shapely.union_all([p.outline.shape for x in found for p in x.paths if p.cut is Cut.MARK])


def test_every_part_fits_and_nothing_is_reported_as_too_large() -> None:
    _, stencils = long_panel()
    # The title is one word of sixty letters: no lane runs clear of it.
    assert {finding.code for finding in stencils.findings} == {"piece-split", "cut-through"}
    for piece in (placed.piece for sheet in stencils.sheets for placed in sheet.placed):
        assert piece.box[2] - piece.box[0] <= STOCK[0]
        assert piece.box[3] - piece.box[1] <= STOCK[1]


def test_letters_stay_whole_and_lines_end_just_short_of_the_join() -> None:
    artwork, stencils = long_panel()
    found = pieces_in(stencils)
    wanted = shapely.union_all([mark.outline.shape for mark in artwork.marks])
    lost = shapely.get_parts(wanted.difference(marks(found)))
    joins = len([piece for piece in found if ", part" in piece.name]) - 2
    # The frame runs over each of its joins twice, above and below; its gap is two least gaps.
    assert joins >= 1
    assert len(lost[shapely.area(lost) > 0.01]) <= 2 * joins
    for gap in lost[shapely.area(lost) > 0.01]:
        x0, _, x1, _ = gap.bounds
        assert x1 - x0 == pytest.approx(0.6, abs=0.01)
    assert marks(found).difference(wanted).area < 1e-3


def _whole_pieces(parts: list[Piece]) -> list[list[Piece]]:
    """The parts of each piece that was split."""
    wholes: list[list[Piece]] = []
    for part in parts:
        if ", part 1 of" in part.name:
            wholes.append([])
        wholes[-1].append(part)
    return wholes


def test_parts_of_a_text_are_called_by_their_own_words() -> None:
    text = {"text": "SMOKE TUNNEL WORKING SECTION", "at": [300, 50], "role": "title"}
    panel = {
        "panel": {"size": [600, 90]},
        "text": [text],
        "lettering": {"title": {"height": 20}},
        "stencil": {"stock_size": STOCK},
    }
    artwork = lay_out(Description.model_validate(panel))
    names = [piece.name for piece in pieces(artwork) if ", part" in piece.name]
    words = [name.split("”")[0].removeprefix("“") for name in names]
    assert len(words) > 1 and " ".join(words) == text["text"]


def test_parts_under_each_other_are_told_in_the_order_of_their_numbers() -> None:
    artwork = tall_panel()
    found = pieces(artwork)
    parts = [(piece.number, piece.name[-len("part 1 of 2") :]) for piece in found]
    assert parts == [(1, "part 1 of 2"), (2, "part 2 of 2")]
    assert found[0].box[3] > found[1].box[3]
    (note,) = (f for f in cut(artwork).findings if f.code == "piece-split")
    assert "split into pieces 1 and 2;" in note.message


def test_parts_meet_edge_to_edge_and_corner_to_corner() -> None:
    found = [piece for piece in long_pieces() if ", part" in piece.name]
    assert found
    for parts in _whole_pieces(found):
        assert parts[-1].name.endswith(f"part {len(parts)} of {len(parts)}") and len(parts) > 1
        for a, b in itertools.pairwise(parts):
            assert b.number == a.number + 1
            assert b.box[0] == a.box[2]
            assert (a.box[1], a.box[3]) == (b.box[1], b.box[3])


def test_no_cut_meets_the_box_of_its_part() -> None:
    for piece in long_pieces():
        ring = shapely.box(*piece.box).exterior
        cuts = [path.outline.shape for path in piece.paths if path.cut is not Cut.WEEDING]
        assert shapely.distance(ring, cuts).min() > 0.1


def test_each_hole_is_registered_on_the_part_it_lies_in() -> None:
    artwork, stencils = long_panel()
    found = pieces_in(stencils)
    for opening in artwork.openings:
        holders = [
            piece.number
            for piece in found
            for path in piece.paths
            if path.cut is Cut.REGISTRATION
            and np.hypot(*np.subtract(path.outline.shape.centroid.coords[0], opening.centre)) < 0.1
        ]
        assert len(holders) == 1
        (number,) = holders
        assert opening.id in found[number - 1].owners


def test_split_sheets_hang_together() -> None:
    for piece in long_pieces(stock="sheet"):
        openings = [path.outline.shape for path in piece.paths if path.cut is not Cut.WEEDING]
        left = shapely.box(*piece.box).difference(shapely.union_all(openings))
        assert left.geom_type == "Polygon"


def test_what_fits_turned_is_not_split_where_turning_is_allowed() -> None:
    _, stencils = long_panel(stock_size=(60, 480), turn=True)
    assert not stencils.findings
    assert all(
        placed.turned for sheet in stencils.sheets for placed in sheet.placed if placed.piece.owners
    )


def test_a_letter_wider_than_the_stock_is_reported() -> None:
    described = Description.model_validate(
        {
            "panel": {"size": [200, 100]},
            "text": [{"at": [100, 10], "text": "M", "role": "title"}],
            "lettering": {"title": {"height": 80}},
            "stencil": {"stock_size": [50, 50]},
        }
    )
    findings = cut(lay_out(described)).findings
    assert [finding.code for finding in findings] == ["piece-too-large"]


# --- Join marks ---


def join_marks(piece: Piece) -> list[np.ndarray]:
    """The corners of the triangles of a piece."""
    return [
        found
        for path in piece.paths
        if path.cut is Cut.REGISTRATION
        and set(path.outline.contours[0].codes) == {"L"}
        and len(found := corners(path.outline.contours[0].closed().points)) == 3
    ]


@pytest.mark.parametrize("stock", ["film", "sheet"])
@pytest.mark.parametrize("upright", [False, True])
def test_marks_meet_tip_to_tip_when_the_parts_are_laid(stock: str, upright: bool) -> None:
    all_of_it = pieces(tall_panel(stock=stock)) if upright else long_pieces(stock=stock)
    axis = int(upright)
    found = [piece for piece in all_of_it if ", part" in piece.name]
    joins = 0
    for a, b in itertools.pairwise(found):
        if ", part 1 of" in b.name:
            continue
        joins += 1
        edges = sorted({a.box[axis], a.box[axis + 2]} & {b.box[axis], b.box[axis + 2]})
        (join,) = edges
        tips = []
        for piece, side in ((a, a.box[axis] == join), (b, b.box[axis] == join)):
            near = [m for m in join_marks(piece) if abs(m[:, axis] - join).min() < 1]
            assert len(near) == 2
            away = 1 if side else -1
            for triangle in near:
                order = np.argsort(away * triangle[:, axis])
                tip = triangle[order[0]]
                base = triangle[order[1:]]
                assert away * (tip[axis] - join) > 0.1
                np.testing.assert_allclose(base[:, axis], base[0, axis])
                assert tip[1 - axis] == pytest.approx(base[:, 1 - axis].mean())
                tips.append(round(float(tip[1 - axis]), 6))
        assert sorted(tips[:2]) == sorted(tips[2:])
    assert joins


def tall_panel(**stencil: Any) -> Artwork:
    """A column of lamps in one frame, taller than the stock."""
    holes = {f"H{i}": {"at": [40, 30 + 60 * i], "drill": 9.5} for i in range(6)}
    return lay_out(
        Description.model_validate(
            {
                "panel": {"size": [80, 400]},
                "holes": holes,
                "control": [{"hole": hole, "kind": "lamp", "name": hole} for hole in holes],
                "group": [{"name": "DOME", "holes": list(holes)}],
                "stencil": {"stock_size": STOCK, "method": "paint-through"} | stencil,
            }
        )
    )


@pytest.mark.parametrize(
    ("method", "stock", "says"),
    [
        ("lift-off", "film", "peel the marks off again before you paint"),
        ("paint-through", "film", "leave the film in the marks as it is"),
        ("paint-through", "sheet", "cover the join and its marks with tape before you paint"),
    ],
)
def test_what_becomes_of_the_marks_is_told(method: str, stock: str, says: str) -> None:
    _, stencils = long_panel(method, stock)
    notes = [finding for finding in stencils.findings if finding.code == "piece-split"]
    assert notes
    assert all(says in note.message for note in notes)


def test_no_marks_where_the_margin_has_no_room_for_them() -> None:
    assert not any(join_marks(piece) for piece in long_pieces(margin=0.5))


def _of_octets(piece: str, length: float = 300) -> list[Piece]:
    """Three brackets of eight switches each, 16 mm apart, with 30 mm from octet to octet."""
    at = {f"T{k}": [40 + 16 * k + 14 * (k // 8), 30] for k in range(24)}
    octets = {"of": 8, "style": "bracket", "names": ["HIGH", "MIDDLE", "LOW"]}
    bank = {"holes": list(at), "kind": "toggle", "names": [f"{23 - k}" for k in range(24)]}
    described = {
        "panel": {"size": [480, 70]},
        "holes": {hole: {"at": place, "drill": 6.4} for hole, place in at.items()},
        "bank": [bank | {"side": "below", "covers": 11, "groups": octets}],
        "stencil": {"stock_size": (length, 600), "piece": piece},
    }
    return pieces(lay_out(Description.model_validate(described).with_banks_set_out()))


def test_a_row_is_split_between_its_groups() -> None:
    first, second = (piece for piece in _of_octets("row") if piece.owners)
    assert first.box[2] == second.box[0] == 309  # between T15 and T16, which stand 30 mm apart
    assert (len(first.owners), len(second.owners)) == (16, 8)


def test_brackets_in_line_are_one_piece_of_a_row_and_stay_whole_where_it_is_split() -> None:
    first, second = (piece for piece in _of_octets("row") if not piece.owners)
    assert first.box[2] == second.box[0]
    cut_out = [[p for p in each.paths if p.cut is Cut.MARK] for each in (first, second)]
    assert [len(paths) for paths in cut_out] == [4, 2]  # a name and a line of each


def test_brackets_of_one_bank_are_pieces_of_their_own() -> None:
    brackets = [piece for piece in _of_octets("control") if not piece.owners]
    assert [piece.name for piece in brackets] == ["“HIGH”", "“MIDDLE”", "“LOW”"]


def test_parts_of_a_row_are_called_by_the_controls_that_are_on_them() -> None:
    names = [piece.name for piece in _of_octets("row") if piece.owners]
    assert names == [
        "23 (T0), 22 (T1) … 8 (T15), part 1 of 2",
        "7 (T16), 6 (T17) … 0 (T23), part 2 of 2",
    ]


# --- Along clear lanes, into few parts, each held by two holes ---


def on_sheet(size: tuple[float, float], stock: tuple[float, float], **tables: Any) -> Artwork:
    described = {
        "panel": {"size": size},
        "stencil": {"method": "paint-through", "stock": "sheet", "stock_size": stock},
    } | tables
    return lay_out(Description.model_validate(described).with_banks_set_out())


def grid(columns: int, rows: int, pitch: float = 40) -> dict[str, Any]:
    """A field of lamps, each with its name."""
    at = [(30 + pitch * k, 30 + pitch * j) for j in range(rows) for k in range(columns)]
    holes = {f"H{n}": {"at": place, "drill": 8} for n, place in enumerate(at)}
    controls = [{"hole": hole, "kind": "lamp", "name": hole} for hole in holes]
    return {"holes": holes, "control": controls}


def rings_of(piece: Piece) -> list[shapely.Polygon]:
    """The round holes that a piece is pinned by."""
    cuts = (p.outline.shape for p in piece.paths if p.cut is Cut.REGISTRATION)
    return [shape for shape in cuts if shape.area > 0.99 * np.pi / 4 * shape.envelope.area]


@pytest.mark.parametrize(
    ("size", "stock", "count"),
    [
        ((370, 110), (200, 200), 2),
        ((370, 110), (200, 100), 2),
        ((370, 190), (200, 120), 4),
        ((570, 190), (200, 120), 6),
        ((370, 190), (370, 100), 2),
    ],
)
def test_a_panel_is_parted_into_as_few_pieces_as_the_stock_takes(
    size: tuple[float, float], stock: tuple[float, float], count: int
) -> None:
    columns, rows = int((size[0] - 10) // 40), int((size[1] - 30) // 40)
    artwork = on_sheet(size, stock, **grid(columns, rows))
    found = pieces(artwork)
    whole = artwork.description.panel.size
    assert len(found) == count, whole
    assert not {f.code for f in cut(artwork).findings} & {"cut-through", "one-hole"}
    widths = [piece.box[2] - piece.box[0] for piece in found]
    assert max(widths) < 1.5 * min(widths), "the parts are much alike"
    for piece in found:
        assert len(rings_of(piece)) >= 2
        assert len(set(piece.owners)) >= 2


def test_each_part_has_two_holes_where_that_costs_no_more_parts() -> None:
    """Five lamps at even distances: three and two, though four and one fit as well."""
    artwork = on_sheet((250, 80), (150, 100), **grid(5, 1))
    found = pieces(artwork)
    assert sorted(len(piece.owners) for piece in found) == [2, 3]
    assert "one-hole" not in {finding.code for finding in cut(artwork).findings}


def test_a_part_on_one_hole_is_told_and_by_what_it_is_laid() -> None:
    artwork = on_sheet((250, 80), (80, 100), **grid(3, 1, pitch=90))
    told = [f for f in cut(artwork).findings if f.code == "one-hole"]
    assert len(told) == len(pieces(artwork)) == 3
    assert all("by the edges of the parts beside it" in finding.message for finding in told)


def test_a_title_over_all_comes_off_as_a_strip_before_a_word_is_cut() -> None:
    """Two windows side by side, and a title over the lane between them."""
    title = {"text": "OBSERVATORY", "at": [150, 90], "role": "title"}
    holes = {k: {"at": [x, 45], "cutout": [100, 30]} for k, x in (("L", 80), ("R", 220))}
    windows = [{"hole": k, "kind": "window", "name": k, "frame": 1} for k in holes]
    tall = {"title": {"height": 14}}
    artwork = on_sheet(
        (300, 120), (160, 150), text=[title], lettering=tall, holes=holes, control=windows
    )
    found = pieces(artwork)
    assert "cut-through" not in {finding.code for finding in cut(artwork).findings}
    (strip,) = (piece for piece in found if "OBSERVATORY" in piece.name)
    assert not strip.owners and strip.box[1] > 70
    assert sorted(piece.owners for piece in found) == [(), ("L",), ("R",)]
    # Beside the title nothing is cut: what would point there at a join is left out as well.
    assert strip.box[2] - strip.box[0] < 160
    marked = [(piece.number, mark) for piece in found for mark in join_marks(piece)]
    assert marked
    for number, mark in marked:
        others = [np.hypot(*(m[:, None] - mark).T).min() for n, m in marked if n != number]
        assert min(others) == pytest.approx(1.0, abs=1e-6)  # twice the least gap
    (note,) = (f for f in cut(artwork).findings if f.code == "piece-split")
    assert "edge to edge, the join marks" in note.message


def test_a_word_that_is_cut_through_is_told_by_its_name() -> None:
    text = {"text": "OF THE OBSERVATORY", "at": [300, 50], "role": "title"}
    panel = {
        "panel": {"size": [600, 90]},
        "text": [text],
        "lettering": {"title": {"height": 40}},
        "stencil": {"stock_size": STOCK},
    }
    findings = cut(lay_out(Description.model_validate(panel))).findings
    (told,) = (finding for finding in findings if finding.code == "cut-through")
    assert told.severity == "warning"
    assert "The word “OBSERVATORY”" in told.message and "larger stock" in told.remedy


def larger_than_its_stock() -> Artwork:
    """A dial whose scale is wider than the stock."""
    dial: dict[str, Any] = {"hole": "A", "kind": "knob", "name": "TUNING", "covers": 60}
    dial["scale"] = {"law": "linear", "from": 0, "to": 100}
    panel: dict[str, Any] = {
        "panel": {"size": [200, 200]},
        "holes": {"A": {"at": [100, 100], "drill": 9.5}},
        "control": [dial],
        "lettering": {"height": 5},
        "stencil": {"stock_size": [70, 200]},
    }
    return lay_out(Description.model_validate(panel))


def test_a_scale_that_is_cut_through_is_told_by_its_control() -> None:
    findings = cut(larger_than_its_stock()).findings
    told = [finding for finding in findings if finding.code == "cut-through"]
    assert any("TUNING (A)" in finding.message for finding in told)


def test_joins_of_an_inch_panel_stand_on_divisions_of_its_rule() -> None:
    artwork = on_sheet((370, 110), (200, 200), units="in", **grid(9, 2))
    first, second = pieces(artwork)
    (join,) = {first.box[2]} & {second.box[0]}
    assert join / (25.4 / 32) == pytest.approx(round(join / (25.4 / 32)), abs=1e-6)


def test_parts_that_are_not_numbered_in_a_row_are_told_one_by_one() -> None:
    """A bare disc in the midst of a row is numbered among its parts."""
    artwork = on_sheet((370, 110), (200, 200), **grid(9, 2), bare=[{"hole": "H13", "diameter": 16}])
    (note,) = (f for f in cut(artwork).findings if f.code == "piece-split")
    parts = [str(p.number) for p in pieces(artwork) if ", part" in p.name]
    assert f"pieces {' and '.join(parts)};" in note.message


def test_what_no_lane_runs_clear_of_is_cut_through_and_lacks_no_more_than_the_join() -> None:
    artwork = larger_than_its_stock()
    first, second = pieces(artwork)
    (join,) = {first.box[2]} & {second.box[0]}
    whole = shapely.union_all([mark.outline.shape for mark in artwork.marks])
    parted = [
        shapely.union_all([path.outline.shape for path in piece.paths if path.cut is Cut.MARK])
        for piece in (first, second)
    ]
    least = limits(artwork.description.stencil)
    assert parted[0].bounds[2] <= join - least.gap + 1e-6
    assert parted[1].bounds[0] >= join + least.gap - 1e-6
    # What is lost lies at the join, but for slivers that are finer than any stroke.
    at_the_join = shapely.box(join - least.gap, 0, join + least.gap, 200)
    lost = shapely.get_parts(whole.difference(shapely.union_all([*parted, at_the_join])))
    assert (shapely.area(lost) < least.stroke**2).all()
    kept = np.concatenate([shapely.get_parts(each) for each in parted])
    assert (shapely.area(kept) >= least.stroke**2 - 1e-9).all()
