"""Drawings as drawing programs save them: their circles as holes, by name."""

from __future__ import annotations

import io
import sys
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from ezdxf.enums import TextEntityAlignment as Align

from legend.description.faults import DescriptionError
from legend.description.reading.description_file import read
from legend.description.reading.hole_lists.dxf_holes import read_dxf_holes
from legend.description.reading.hole_lists.hole_list import HoleList

_MM, _INCHES, _METRES = 4, 1, 6


def _drawing(units: int = _MM) -> Any:
    drawing = ezdxf.new("R2010")
    drawing.header["$INSUNITS"] = units
    return drawing


def _bytes(drawing: Any) -> bytes:
    text = io.StringIO()
    drawing.write(text)
    return text.getvalue().encode(drawing.output_encoding)


def _read(drawing: Any, datum: str = "lower left", units: str = "mm") -> HoleList:
    return read_dxf_holes(_bytes(drawing), "panel.dxf", datum, units)


def _sound(drawing: Any, **more: str) -> dict[str, dict[str, Any]]:
    found = _read(drawing, **more)
    assert not found.faults and found.whole
    assert found.named == set(found.holes) == set(found.places)
    return found.holes


def test_circles_are_holes_and_other_lines_are_not() -> None:
    drawing = _drawing()
    space = drawing.modelspace()
    space.add_circle((30.25, 40), 4.75)
    space.add_lwpolyline([(0, 0), (160, 0), (160, 80), (0, 80)], close=True)
    space.add_arc((50, 50), 8, 0, 180)
    assert _sound(drawing) == {"H1": {"at": ["30.25 mm", "40 mm"], "drill": "9.5 mm"}}


@pytest.mark.parametrize(
    ("code", "told", "at", "drill"),
    [
        (_INCHES, "mm", "25.4 mm", "9.525 mm"),
        (_METRES, "mm", "1000 mm", "375 mm"),
        (5, "mm", "10 mm", "3.75 mm"),  # centimetres
        (0, "in", "25.4 mm", "9.525 mm"),  # a drawing that does not say takes the description's
        (0, "mm", "1 mm", "0.375 mm"),
    ],
)
def test_units_of_the_drawing(code: int, told: str, at: str, drill: str) -> None:
    drawing = _drawing(code)
    drawing.modelspace().add_circle((1, 1), 0.1875)
    assert _sound(drawing, units=told)["H1"] == {"at": [at, at], "drill": drill}


def test_named_by_the_nearest_text_then_by_layer_then_by_number() -> None:
    drawing = _drawing()
    space = drawing.modelspace()
    space.add_circle((30, 60), 4.75)
    space.add_text("HEAT", height=3).set_placement((30, 50), align=Align.TOP_CENTER)
    space.add_circle((60, 60), 4.75)
    space.add_mtext(
        "FAN\\P{\\fKiln;SPEED}", {"insert": (60, 72), "char_height": 3, "attachment_point": 5}
    )
    space.add_circle((90, 60), 4, dxfattribs={"layer": "PILOT"})
    space.add_circle((5, 5), 1.6, dxfattribs={"layer": "M3"})
    space.add_circle((155, 5), 1.6, dxfattribs={"layer": "M3"})
    space.add_circle((120, 60), 6, dxfattribs={"layer": "Holes"})
    space.add_circle((60, 30), 6)
    space.add_text("%%c 12", height=3).set_placement((58, 36))  # a size, and no name
    assert list(_sound(drawing)) == [
        "HEAT", "FAN SPEED", "PILOT", "H1", "H2", "M3 1", "M3 2",
    ]  # fmt: skip


def test_a_text_that_is_a_thread_is_no_name_but_where_holes_are_counted_so() -> None:
    def names(*texts: str) -> list[str]:
        drawing = _drawing()
        for k, text in enumerate(texts):
            drawing.modelspace().add_circle((20 * k, 20), 1.6)
            drawing.modelspace().add_text(text).set_placement((20 * k + 2, 20))
        return list(_sound(drawing))

    assert names("M3", "M4", "M3") == ["H1", "H2", "H3"]
    assert names("M1", "M2", "M3") == ["M1", "M2", "M3"]
    assert names("M1", "M2", "Ø 3") == ["M1", "M2", "H1"]


def test_each_text_names_one_circle_and_the_nearest() -> None:
    drawing = _drawing()
    space = drawing.modelspace()
    for x in (20, 32):
        space.add_circle((x, 20), 4)
    space.add_text("LEFT", height=2).set_placement((20, 27), align=Align.MIDDLE_CENTER)
    space.add_text("RIGHT", height=2).set_placement((32, 28), align=Align.MIDDLE_CENTER)
    space.add_text("FAR", height=2).set_placement((120, 28), align=Align.MIDDLE_CENTER)
    holes = _sound(drawing)
    assert {id: hole["at"][0] for id, hole in holes.items()} == {"LEFT": "20 mm", "RIGHT": "32 mm"}


def test_no_two_holes_have_one_name() -> None:
    drawing = _drawing()
    space = drawing.modelspace()
    for i, text in enumerate(("ON", "ON", "ON 1", "H1")):
        space.add_circle((30 * i, 20), 4)
        space.add_text(text, height=2).set_placement((30 * i, 27), align=Align.MIDDLE_CENTER)
    space.add_circle((200, 20), 4)
    names = list(_sound(drawing))
    assert len(names) == len(set(names)) == 5
    assert {"ON 1", "ON 2", "H1"} <= set(names)


def test_of_circles_about_one_centre_the_smallest_is_the_hole() -> None:
    drawing = _drawing()
    space = drawing.modelspace()
    space.add_circle((30, 40), 12)
    space.add_circle((30.001, 40), 3.5)
    space.add_circle((30, 40), 9)
    (hole,) = _sound(drawing).values()
    assert hole["drill"] == "7 mm"
    assert hole["note"] == "Ø 24 mm drawn round it"


def test_circles_of_inserted_blocks_where_they_stand() -> None:
    drawing = _drawing()
    block = drawing.blocks.new("PAIR")
    block.add_circle((0, 0), 2)
    block.add_circle((10, 0), 2)
    drawing.modelspace().add_blockref("PAIR", (50, 20), {"rotation": 90, "xscale": 2, "yscale": 2})
    holes = _sound(drawing)
    assert sorted(hole["at"] for hole in holes.values()) == [["50 mm", "20 mm"], ["50 mm", "40 mm"]]
    assert {hole["drill"] for hole in holes.values()} == {"8 mm"}


def test_the_origin_is_the_datum_whichever_way_distances_run() -> None:
    drawing = _drawing()
    drawing.modelspace().add_circle((-30, -20), 4)
    assert _sound(drawing, datum="upper right")["H1"]["at"] == ["30 mm", "20 mm"]
    assert _sound(drawing, datum="centre")["H1"]["at"] == ["-30 mm", "-20 mm"]
    assert _sound(drawing, datum="best fit")["H1"]["at"] == ["-30 mm", "-20 mm"]


@pytest.mark.parametrize("content", [b"", b"id,x,y,drill\nA,1,2,3\n", b"\0" * 500, b"0\nSECTION\n"])
def test_what_is_no_drawing(content: bytes) -> None:
    (fault,) = read_dxf_holes(content, "panel.dxf", "lower left", "mm").faults
    assert fault.source.file == "panel.dxf"
    assert "no DXF drawing" in fault.message or "no circles" in fault.message


def test_a_drawing_without_circles() -> None:
    drawing = _drawing()
    drawing.modelspace().add_line((0, 0), (1, 1))
    (fault,) = _read(drawing).faults
    assert "The drawing has no circles" in fault.message


def _circles(count: int) -> bytes:
    circles = "".join(f"  0\nCIRCLE\n8\n0\n10\n{i}\n20\n5\n40\n0.4\n" for i in range(count))
    return f"0\nSECTION\n2\nENTITIES\n{circles}0\nENDSEC\n0\nEOF\n".encode()


def test_a_drawing_of_too_much_is_not_read(monkeypatch: pytest.MonkeyPatch) -> None:
    assert len(read_dxf_holes(_circles(20), "panel.dxf", "", "mm").holes) == 20
    (fault,) = read_dxf_holes(_circles(2001), "panel.dxf", "", "mm").faults
    assert "more than 2000 holes" in fault.message
    monkeypatch.setitem(sys.modules, "ezdxf", None)  # which takes long over so many
    (fault,) = read_dxf_holes(_circles(50_001), "panel.dxf", "", "mm").faults
    assert "more than 50000 shapes" in fault.message


def test_a_block_that_is_inserted_very_often_has_an_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("legend.description.reading.hole_lists.dxf_drawing.MOST_SHAPES", 3000)
    drawing = _drawing()
    drawing.blocks.new("PART").add_circle((0, 0), 4)
    often = {"column_count": 3000, "row_count": 3000, "column_spacing": 9, "row_spacing": 9}
    drawing.modelspace().add_blockref("PART", (0, 0), dxfattribs=often)
    (fault,) = _read(drawing).faults
    assert "more than 2000 holes" in fault.message


def test_what_the_library_passes_over_is_not_told(capfd: pytest.CaptureFixture[str]) -> None:
    content = _circles(3).replace(b"CIRCLE\n8", b"CIRCLE\n5\nno handle\n8", 1)
    assert len(read_dxf_holes(content, "panel.dxf", "", "mm").holes) >= 2
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("kept", [b"AcDbPlotSettings", b"AcDbLayout", b"Model"])
def test_a_layout_without_a_name_is_no_drawing_that_can_be_read(kept: bytes) -> None:
    """Nor one of which the library trips over something else, as it does over these."""
    drawing = _drawing()
    drawing.modelspace().add_circle((30, 40), 4.75)
    lines = _bytes(drawing).split(b"\n")
    at = next(k for k in range(len(lines) - 1, 0, -1) if lines[k] == kept)
    found = read_dxf_holes(b"\n".join([*lines[: at - 1], *lines[at + 1 :]]), "h.dxf", "", "mm")
    assert [str(fault) for fault in found.faults] == [
        "h.dxf: This is no DXF drawing that can be read; save it again as ASCII DXF."
    ]


def test_design_and_measurement_may_both_be_drawings(tmp_path: Path) -> None:
    for name, off in (("holes.dxf", 0.0), ("measured.DXF", 0.3)):
        drawing = _drawing()
        drawing.modelspace().add_circle((30 + off, 40), 4.75)
        drawing.modelspace().add_text("HEAT", height=3).set_placement((26, 50))
        (tmp_path / name).write_bytes(_bytes(drawing))
    panel = tmp_path / "panel.toml"
    panel.write_text(
        'units = "in"\nhole_list = "holes.dxf"\nas_drilled = "measured.DXF"\n'
        "[panel]\nsize = [6, 3]\n"
    )
    hole = read(panel).holes["HEAT"]
    assert hole.at == pytest.approx((30.3, 40))
    assert hole.drill == pytest.approx(9.5)
    panel.write_text('hole_list = "nowhere.dxf"\n[panel]\nsize = [60, 30]\n')
    with pytest.raises(DescriptionError, match=r"panel\.toml:1: There is no file .*nowhere\.dxf"):
        read(panel)
