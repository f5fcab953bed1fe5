"""The outline of a panel: how it is read, where its datum is, and what is wrong with bad ones."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import ezdxf
import pytest

from legend.description.faults import DescriptionError
from legend.description.reading.description_file import parse, read
from legend.description.reading.files import files_of
from legend.description.tables.description import Panel

_TRAPEZOID = "[[0, 0], [200, 0], [220, 80], [-20, 80]]"


def panel(text: str) -> Panel:
    return parse(f"[panel]\n{text}\n").panel


def faults(text: str) -> list[tuple[int, str]]:
    with pytest.raises(DescriptionError) as told:
        parse(f"[panel]\n{text}\n")
    return [(fault.source.line, fault.message) for fault in told.value.faults]


def test_a_rectangle_is_its_size() -> None:
    found = panel("size = [220, 90]\ncorner_radius = 3")
    assert found.size == (220, 90)
    assert found.edge.box == pytest.approx((0, 0, 220, 90))
    assert found.words("{:g}".format) == "220 × 90"


@pytest.mark.parametrize(
    ("datum", "origin"),
    [("lower left", (0, 0)), ("upper right", (160, 160)), ("centre", (80, 80))],
)
def test_a_round_panel_is_measured_from_the_square_round_it(
    datum: str, origin: tuple[float, float]
) -> None:
    found = panel(f'outline = {{ diameter = 160 }}\ndatum = "{datum}"')
    assert found.size == (160, 160)
    assert found.edge.box == pytest.approx((0, 0, 160, 160))
    assert found.from_datum((0, 0)) == pytest.approx(origin)
    assert found.words("{:g}".format) == "Ø 160"


def test_a_polygon_is_measured_from_the_datum_as_holes_are() -> None:
    found = panel(f"outline = {{ polygon = {_TRAPEZOID} }}")
    assert found.size == (240, 80)
    assert found.from_datum((0, 0)) == (20, 0)
    assert found.edge.box == (0, 0, 240, 80)
    # From the upper right, distances run to the left and down; so does the polygon.
    flipped = panel(f'outline = {{ polygon = {_TRAPEZOID} }}\ndatum = "upper right"')
    assert flipped.size == (240, 80)
    assert flipped.from_datum((0, 0)) == (220, 80)
    assert {arc.centre for arc in flipped.edge.arcs} == {(220, 80), (20, 80), (0, 0), (240, 0)}
    # From the centre, what is called the centre is where the numbers are counted from.
    centred = panel('outline = { polygon = [[-90, -40], [110, -40], [0, 60]] }\ndatum = "centre"')
    assert centred.from_datum((0, 0)) == (90, 40)


def test_corners_have_radii_of_their_own_or_that_of_the_panel() -> None:
    found = panel(
        "outline = { polygon = [[0, 0], [90, 0, 20], [90, 50, 0], [0, 50]] }\ncorner_radius = 4"
    )
    assert [arc.radius for arc in found.edge.arcs] == [4, 20, 0, 4]


def test_lengths_are_in_the_units_of_the_file() -> None:
    text = 'units = "in"\n[panel]\noutline = { polygon = [[0, 0], [4, 0, 0.25], [0, "76.2 mm"]] }\n'
    found = parse(text).panel
    assert found.size == (101.6, 76.2) or found.size[1] == pytest.approx(76.2)
    assert max(arc.radius for arc in found.edge.arcs) == 6.35


def test_holes_as_drilled_may_be_measured_from_elsewhere() -> None:
    description = parse(
        f"[panel]\noutline = {{ polygon = {_TRAPEZOID} }}\n"
        "[holes]\nA = { at = [30, 30], drill = 9 }\n"
        '[as_drilled]\ndatum = "upper right"\nholes.A = { at = [190, 50.5] }\n'
    )
    # The upper right corner of the rectangle round it is 220 to the right of the datum, 80 up.
    assert description.holes["A"].at == pytest.approx((30, 29.5))
    assert description.drilling
    assert description.drilling.off["A"] == pytest.approx((0, -0.5))


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("datum = 'centre'", 1, "[panel] lacks size, which must be [width, height], or an outline"),
        ("size = [9, 9]\noutline = { diameter = 9 }", 3, "has both size and outline; a panel with"),
        ("outline = {}", 2, "has nothing of an outline; it takes one of diameter, polygon"),
        (
            "outline = { diameter = 9, polygon = [[0, 0], [9, 0], [0, 9]] }",
            2,
            "has diameter and polygon; it takes one of",
        ),
        ("outline = { diamter = 90 }", 2, 'did you mean "diameter"'),
        ("outline = 90", 2, "must be a table, as [panel.outline]"),
        ("outline = { diameter = 0.5 }", 2, "it must be a length of 1 to 10000 mm"),
        ("outline = { diameter = 3000 }", 2, "has a size of 9 m²; a panel has at most 4 m²"),
        (
            "outline = { polygon = [[0, 0], [9, 9], [9, 0], [0, 9]] }",
            2,
            "sides that cross or touch",
        ),
        (
            "outline = { polygon = [[0, 0], [9, 0], [0, 9]] }\ncorner_radius = 5",
            2,
            "has an outline with a radius of 5 mm at a corner whose sides are too short",
        ),
        ("outline = { polygon = [[0, 0], [9, 0], [0, 0.5]] }", 2, "9 × 0.5 mm; a panel is 1 to"),
        (
            "outline = { diameter = 90 }\ncorner_radius = 3",
            3,
            "which only a rectangle or a polygon",
        ),
        ("outline = { diameter = 90, layer = 'EDGE' }", 2, "has a layer, which only a drawing has"),
        ("outline = { drawing = 3 }", 2, 'must be the name of a DXF drawing, such as "panel.dxf"'),
        ("outline = { drawing = 'no.dxf' }", 2, "There is no file"),
    ],
)
def test_bad_outlines_are_faults(text: str, line: int, says: str) -> None:
    (told,) = faults(text.replace("'", '"'))
    assert told[0] == line
    assert says in told[1]


def test_a_style_may_round_corners_that_a_panel_does_not_have(tmp_path: Path) -> None:
    (tmp_path / "style.toml").write_text("[panel]\ncorner_radius = 3\n")
    file = tmp_path / "panel.toml"
    file.write_text('style = "style.toml"\n[panel]\noutline = { diameter = 90 }\n')
    with pytest.raises(DescriptionError, match="corner_radius, which only a rectangle or a"):
        read(file)
    file.write_text(
        'style = "style.toml"\n[panel]\noutline = { diameter = 90 }\ncorner_radius = 0\n'
    )
    assert read(file).panel.size == (90, 90)


def test_what_lacks_a_size_may_have_it_where_nothing_could_be_read(tmp_path: Path) -> None:
    file = tmp_path / "panel.toml"
    file.write_text('style = "gone.toml"\n[panel]\ndatum = "centre"\n')
    with pytest.raises(DescriptionError) as told:
        read(file)
    assert ["There is no file" in fault.message for fault in told.value.faults] == [True]
    assert [line for line, _ in faults("siz = [90, 90]")] == [2]
    assert "siz" in faults("siz = [90, 90]")[0][1]


# --- From a drawing ---


def drawn(folder: Path, name: str = "edge.dxf") -> Any:
    drawing = ezdxf.new("R2010")
    drawing.header["$INSUNITS"] = 4
    space = drawing.modelspace()
    space.add_lwpolyline(
        [(-30, 0, 0), (170, 0, 0), (170, 60, 1), (130, 60, 0), (-30, 60, 0)],
        format="xyb",
        close=True,
        dxfattribs={"layer": "EDGE"},
    )
    space.add_circle((20, 30), 5)
    drawing.saveas(folder / name)
    return drawing


def from_drawing(folder: Path, outline: str) -> Panel:
    (folder / "panel.toml").write_text(f"[panel]\noutline = {{ {outline} }}\n")
    return read(folder / "panel.toml").panel


def test_the_largest_closed_line_of_a_drawing_is_the_outline(tmp_path: Path) -> None:
    drawn(tmp_path)
    found = from_drawing(tmp_path, 'drawing = "edge.dxf"')
    assert found.size == pytest.approx((200, 80))  # with half a circle of 20 mm on the top
    assert found.from_datum((0, 0)) == pytest.approx((30, 0))
    assert [arc.radius for arc in found.edge.arcs if arc.radius] == [pytest.approx(20)]
    assert {file.name for file in files_of(tmp_path / "panel.toml")} == {"panel.toml", "edge.dxf"}


def test_or_that_of_a_layer(tmp_path: Path) -> None:
    drawn(tmp_path)
    assert from_drawing(tmp_path, 'drawing = "edge.dxf", layer = "edge"').size[0] == 200
    assert from_drawing(tmp_path, 'drawing = "edge.dxf", layer = "0"').size == (10, 10)
    with pytest.raises(DescriptionError, match='layer "RIM"; there are some on "EDGE" and "0"'):
        from_drawing(tmp_path, 'drawing = "edge.dxf", layer = "RIM"')


def test_a_drawing_without_an_outline_is_a_fault_where_it_is_named(tmp_path: Path) -> None:
    drawing = ezdxf.new("R2010")
    drawing.modelspace().add_line((0, 0), (9, 0))
    drawing.saveas(tmp_path / "edge.dxf")
    with pytest.raises(DescriptionError) as told:
        from_drawing(tmp_path, 'drawing = "edge.dxf"')
    (fault,) = told.value.faults
    assert fault.source.line == 2
    assert "The drawing has no closed outline; the panel's must be one polyline" in fault.message


def test_outline_and_holes_may_be_of_one_drawing(tmp_path: Path) -> None:
    drawn(tmp_path)
    (tmp_path / "panel.toml").write_text(
        'hole_list = "edge.dxf"\n[panel]\noutline = { drawing = "edge.dxf" }\n'
    )
    description = read(tmp_path / "panel.toml")
    (hole,) = description.holes.values()
    assert description.panel.from_datum(hole.at) == pytest.approx((50, 30))
