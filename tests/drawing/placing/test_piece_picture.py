"""The picture of a piece: what is in it, that it keeps its size, and that nothing overlaps."""

from __future__ import annotations

import itertools
import math
import re
from typing import Any
from xml.etree import ElementTree

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Description
from legend.drawing.placing.piece_picture import Picture, PictureSize, piece_picture
from legend.drawing.placing.piece_places import PiecePlace, piece_places
from legend.drawing.placing.sketch import INK, MEASURED
from legend.layout import lay_out
from legend.layout.artwork import Artwork
from legend.length_words import Lengths
from legend.stencil import cut
from legend.stencil.sheet import pieces_of

SIZE = PictureSize(56.0, 42.0, 2.6, 1.0)


def laid(at: tuple[float, float], name: str = "GAIN", **panel: Any) -> tuple[Artwork, PiecePlace]:
    """A panel with one socket, and where its piece goes."""
    raw = {
        "panel": {"size": [200, 120], **panel} if "outline" not in panel else panel,
        "holes": {"A": {"at": at, "drill": 8.0}},
        "control": [{"hole": "A", "kind": "jack", "name": name}],
    }
    description = Description.model_validate(raw)
    artwork = lay_out(description)
    pieces = pieces_of(cut(artwork).sheets)
    (place,) = piece_places(description.panel, pieces, Lengths(description.units))
    return artwork, place


def elements(picture: Picture) -> list[ElementTree.Element]:
    return list(ElementTree.fromstring(picture.svg).iter())


def words(picture: Picture) -> list[str]:
    return [each.text or "" for each in elements(picture) if each.tag.endswith("text")]


def boxes_of_words(picture: Picture) -> dict[str, list[shapely.Geometry]]:
    """About where each text stands, in the unit of the picture."""
    found: dict[str, list[shapely.Geometry]] = {}
    for each in elements(picture):
        if not each.tag.endswith("text"):
            continue
        x, y, size = (float(each.attrib[key]) for key in ("x", "y", "font-size"))
        long = 0.5 * size * len(each.text or "")
        begin = {"start": 0.0, "middle": -long / 2, "end": -long}[each.attrib["text-anchor"]]
        box = shapely.box(x + begin, y - 0.7 * size, x + begin + long, y)
        if turned := re.match(r"rotate\(-90,([-\d.]+),([-\d.]+)\)", each.get("transform", "")):
            box = shapely.affinity.rotate(box, -90, origin=(float(turned[1]), float(turned[2])))
        found.setdefault(each.text or "", []).append(box)
    return found


def weeding_box(picture: Picture) -> shapely.Geometry:
    """Where the weeding box is drawn, in the unit of the picture."""
    (box,) = [
        each
        for each in elements(picture)
        if each.tag.endswith("path") and each.attrib["fill"] == "none"
    ]
    numbers = [float(each) for each in re.findall(r"-?[\d.]+", box.attrib["d"])]
    x, y, scale = map(float, re.findall(r"-?[\d.]+", box.attrib["transform"]))
    xs, ys = numbers[::2], numbers[1::2]
    return shapely.box(
        x + scale * min(xs), y + scale * min(ys), x + scale * max(xs), y + scale * max(ys)
    )


def lines_of(picture: Picture, ink: str) -> list[shapely.LineString]:
    """The straight lines of one ink."""
    found = []
    for each in elements(picture):
        if each.tag.endswith("line") and each.attrib["stroke"] == ink:
            x1, y1, x2, y2 = (float(each.attrib[key]) for key in ("x1", "y1", "x2", "y2"))
            found.append(shapely.LineString([(x1, y1), (x2, y2)]))
    return found


def arrows_of(picture: Picture) -> list[list[tuple[float, float]]]:
    """The corners of the arrowheads, the tip of each first."""
    return [
        [(float(x), float(y)) for x, y in re.findall(r"([-\d.]+),([-\d.]+)", each.attrib["points"])]
        for each in elements(picture)
        if each.tag.endswith("polygon") and each.attrib["fill"] == MEASURED
    ]


def size_of(picture: Picture) -> tuple[float, float]:
    root = elements(picture)[0]
    _, _, width, height = map(float, root.attrib["viewBox"].split())
    return width, height


def test_it_tells_the_number_both_distances_and_the_edges() -> None:
    artwork, place = laid((150, 80), datum="lower left")
    picture = piece_picture(artwork, place, SIZE, "mm")
    assert sorted(words(picture)) == sorted(
        [place.across.figure, place.up.figure, "1", "left edge", "bottom edge"]
    )
    title = next(each.text for each in elements(picture) if each.tag.endswith("title"))
    assert title == (
        f"Piece 1: {place.across.figure} from the left edge, {place.up.figure} from the bottom edge"
    )
    width, height = size_of(picture)
    root = elements(picture)[0]
    assert float(root.attrib["width"].removesuffix("mm")) == pytest.approx(width, abs=0.01)
    assert float(root.attrib["height"].removesuffix("mm")) == pytest.approx(height, abs=0.01)


def test_the_letters_and_the_hole_are_drawn_to_one_scale() -> None:
    artwork, place = laid((150, 80))
    picture = piece_picture(artwork, place, SIZE)
    assert picture.scale == 1.0  # it is small enough to be drawn as it is
    scales = {
        float(match[1])
        for each in elements(picture)
        if (match := re.search(r"scale\(([\d.]+)\)", each.get("transform", "")))
    }
    assert scales == {1.0}
    filled = [each.attrib["fill"] for each in elements(picture) if each.tag.endswith("path")]
    assert "#111111" in filled and "#e4e4e0" in filled


@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from(["lower left", "upper left", "lower right", "upper right", "round"]),
    st.floats(-48, 48),
    st.floats(-40, 40),
    st.sampled_from(["IN", "SAFELIGHT", "A LONG NAME\nIN TWO LINES"]),
    st.sampled_from([SIZE, PictureSize(178, 70, 2.6, 1.0), PictureSize(100, 62, 6.2, 8.0)]),
)
def test_it_keeps_its_size_and_no_word_lies_on_another_or_on_the_piece(
    datum: str, dx: float, dy: float, name: str, size: PictureSize
) -> None:
    if datum == "round":
        artwork, place = laid((dx, dy), name, outline={"diameter": 160}, datum="centre")
    else:
        at = (100 - dx if "right" in datum else 100 + dx, 60 - dy if "upper" in datum else 60 + dy)
        artwork, place = laid(at, name, datum=datum)
    picture = piece_picture(artwork, place, size)
    width, height = size_of(picture)
    assert width <= size.width * 1.02 + 0.4 * size.figures
    assert height <= size.height * 1.02 + 0.4 * size.figures
    texts = boxes_of_words(picture)
    ways = {place.across.figure, place.up.figure, "1"}
    assert ways <= texts.keys()
    every = [box for boxes in texts.values() for box in boxes]
    for one, other in itertools.combinations(every, 2):
        assert one.intersection(other).area < 1e-9
    on_the_piece = weeding_box(picture)
    assert not [text for text, boxes in texts.items() if on_the_piece.intersects(boxes[0])]
    arrows_lead_from_a_line_to_the_piece(picture)


def arrows_lead_from_a_line_to_the_piece(picture: Picture) -> None:
    """Arrows come in pairs, lie along a line, and touch an edge or centre line and the box."""
    arrows, ways = arrows_of(picture), lines_of(picture, MEASURED)
    x0, y0, x1, y1 = weeding_box(picture).bounds
    edges = lines_of(picture, INK)
    assert len(arrows) in (2, 4)  # a way of no length has none
    for one, other in zip(arrows[::2], arrows[1::2], strict=True):
        axis = 0 if abs(one[0][1] - other[0][1]) < 0.01 else 1
        for tip, left, right in (one, other):
            foot = [(a + b) / 2 for a, b in zip(left, right, strict=True)]
            assert foot[1 - axis] == pytest.approx(tip[1 - axis], abs=0.02)
            assert any(line.buffer(0.02).covers(shapely.LineString([tip, foot])) for line in ways)
        tips = [one[0], other[0]]
        sides = (x0, x1) if axis == 0 else (y0, y1)
        of_box = min(tips, key=lambda tip: min(abs(tip[axis] - side) for side in sides))
        (of_line,) = (tip for tip in tips if tip is not of_box)
        assert min(abs(of_box[axis] - side) for side in sides) < 0.05
        at = [line.coords[0][axis] for line in edges if line.length > 1]
        assert min(abs(of_line[axis] - each) for each in at) < 0.05


@pytest.mark.parametrize("past", [0.4, 1.5, 2.5])
def test_the_arrows_of_a_short_way_stand_outside_of_it(past: float) -> None:
    size = PictureSize(300, 200, 2.6, 1.0)
    disc: dict[str, Any] = {"outline": {"diameter": 160}, "datum": "centre"}
    _, place = laid((0, 0), **disc)
    x0, y0, _, _ = place.piece.box  # a side of it comes this far before either centre line
    picture = piece_picture(*laid((80 - x0 - past, 80 - y0 - past), **disc), size)
    arrows_lead_from_a_line_to_the_piece(picture)
    for one, other in zip(arrows_of(picture)[::2], arrows_of(picture)[1::2], strict=True):
        (tip, left, right), (end, _, _) = one, other
        foot = ((left[0] + right[0]) / 2, (left[1] + right[1]) / 2)
        assert math.dist(foot, end) == pytest.approx(math.dist(foot, tip) + math.dist(tip, end))


def test_a_way_is_broken_where_it_is_shortened_only() -> None:
    def strokes(at: tuple[float, float]) -> int:
        picture = piece_picture(*laid(at), PictureSize(300, 200, 2.6, 1.0))
        slanted = [
            each
            for each in elements(picture)
            if each.tag.endswith("line")
            and not math.isclose(float(each.attrib["x1"]), float(each.attrib["x2"]))
            and not math.isclose(float(each.attrib["y1"]), float(each.attrib["y2"]))
        ]
        return len(slanted)

    assert strokes((150, 80)) == 4  # two on each way
    assert strokes((14, 80)) == 2  # the way from the left is shorter than it is drawn


def test_what_the_user_wrote_cannot_break_out_of_it() -> None:
    artwork, place = laid((150, 80), "A<B & C")
    ElementTree.fromstring(piece_picture(artwork, place, SIZE).svg)


@pytest.mark.parametrize("datum", ["lower left", "upper left", "lower right", "upper right"])
def test_a_figure_of_nought_stands_beside_the_edge_and_not_in_its_line(datum: str) -> None:
    described = {
        "panel": {"size": [120, 80], "datum": datum},
        "holes": {"A": {"at": [60, 40], "drill": 8}},
        "control": [{"hole": "A", "kind": "jack", "name": "GAIN"}],
        "stencil": {"piece": "panel"},
    }
    description = Description.model_validate(described)
    artwork = lay_out(description)
    pieces = pieces_of(cut(artwork).sheets)
    (place,) = piece_places(description.panel, pieces, Lengths("mm"))
    picture = piece_picture(artwork, place, SIZE)
    figures = boxes_of_words(picture)["0.0"]
    assert len(figures) == 2
    x0, y0, x1, y1 = weeding_box(picture).bounds
    upright = [shapely.LineString([(x, y0 - 99), (x, y1 + 99)]) for x in (x0, x1)]
    level = [shapely.LineString([(x0 - 99, y), (x1 + 99, y)]) for y in (y0, y1)]
    for box in figures:
        assert not any(box.intersects(line) for line in (*upright, *level))
