"""The panel as the page draws it: stages, holes, and what is measured from."""

from __future__ import annotations

import json
import pickle
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import pytest
from small_panel import IN, MM, line_of

from legend.page.content.bench import Bench
from legend.page.messages import Drawing, HoleShown, Unread, to_json

Draw = Callable[[str], Drawing]
INCH = 25.4


def hole(drawing: Drawing, id: str) -> HoleShown:
    return next(each for each in drawing.holes if each.id == id)


@pytest.mark.parametrize("method", ["lift-off", "paint-through"])
def test_every_stage_is_drawn_with_what_it_is_called(drawn: Draw, method: str) -> None:
    drawing = drawn(MM.replace("lift-off", method))
    assert list(drawing.stages) == ["base", "masked", "top", "finished", "fitted"]
    masked = "Letters on" if method == "lift-off" else "Stencil on"
    assert drawing.captions["masked"] == masked
    assert list(drawing.captions) == list(drawing.stages)
    for stage in drawing.stages.values():
        root = ElementTree.fromstring(f"<svg>{drawing.shapes}{stage}</svg>")
        assert {each.tag for each in root.iter()} <= {"svg", "defs", "g", "path", "use", "rect"}


def test_it_is_measured_from_the_datum_in_the_units_of_the_panel(drawn: Draw) -> None:
    drawing = drawn(MM)
    assert (drawing.units, drawing.datum, drawing.axes) == ("mm", (0.0, 120.0), (1, -1))
    assert drawing.box == (0, 0, 200, 120)
    assert drawing.view_box == (-5, -5, 210, 130)
    assert drawing.viewing == 500
    in_inches = drawn(IN)
    assert in_inches.units == "in"
    assert in_inches.box == pytest.approx((0, 0, 8 * INCH, 4.75 * INCH))
    assert in_inches.viewing == pytest.approx(20 * INCH)


def test_holes_have_their_rims_and_what_covers_them(drawn: Draw) -> None:
    drawing = drawn(MM)
    a, c = hole(drawing, "A"), hole(drawing, "C D")
    assert a.at == (40, 60)
    assert a.box == pytest.approx((30, 50, 50, 70), abs=0.01)  # the knob
    assert (a.diameter, a.rim) == (9.5, ())
    assert c.diameter == 0
    assert sorted(c.rim) == [(125, 52), (125, 68), (155, 52), (155, 68)]
    assert {(200.0, 3.0), (200.0, 117.0), (3.0, 0.0), (197.0, 0.0)} <= set(drawing.edge)


def test_a_hole_knows_the_lines_of_every_table_about_it(drawn: Draw) -> None:
    drawing = drawn(MM)
    control, toggle, window, group = (
        line_of(MM, begin, nth)
        for begin, nth in (("[[c", 1), ("[[c", 2), ("[[c", 3), ("[[group", 1))
    )
    own = line_of(MM, "A =")
    assert hole(drawing, "A").lines == ((own, own), (control, control + 6), (group, group + 2))
    assert hole(drawing, "B").lines == (
        (own + 1, own + 1),
        (toggle, toggle + 3),
        (toggle + 4, toggle + 6),  # its positions
        (group, group + 2),
    )
    assert hole(drawing, "C D").lines == ((own + 2, own + 2), (window, window + 3))


def test_lines_of_banks_several_holes_screws_and_bare_metal(drawn: Draw) -> None:
    text = """\
[panel]
size = [200, 100]
[holes.H1]
at = [20, 50]
drill = 6
[holes.H2]
at = [45, 50]
drill = 6
[holes.S1]
at = [80, 50]
drill = 3
[holes.S2]
at = [90, 50]
drill = 3
[holes.W]
at = [140, 50]
drill = 12
[holes.X]
at = [170, 50]
drill = 3
[[bank]]
holes = "H1 to H2"
kind = "jack"
[[control]]
holes = ["S1", "S2"]
kind = "screw"
[[control]]
hole = "W"
kind = "jack"
fixings = ["X"]
[[bare]]
hole = "W"
diameter = 30
"""
    drawing = drawn(text)
    assert hole(drawing, "H1").lines == ((3, 5), (21, 23))
    assert hole(drawing, "H2").lines == ((6, 8), (21, 23))
    assert hole(drawing, "S2").lines == ((12, 14), (24, 26))
    assert hole(drawing, "W").lines == ((15, 17), (27, 30), (31, 33))
    assert hole(drawing, "X").lines == ((18, 20), (27, 30))


def test_what_cannot_be_read_says_where_and_what(bench: Bench) -> None:
    unread = bench.draw(7, MM.replace("covers = 20", "covers = "))
    assert isinstance(unread, Unread)
    assert unread.revision == 7
    (fault,) = unread.faults
    assert fault.file == "" and fault.line == line_of(MM, "covers")
    assert not fault.message.startswith("/nowhere")


def test_a_fault_in_a_hole_list_names_the_list(tmp_path: Path) -> None:
    (tmp_path / "holes.csv").write_text("id,x,y,drill\nA,1,two,3\n")
    unread = Bench(tmp_path / "panel.toml").draw(
        1, 'hole_list = "holes.csv"\n[panel]\nsize = [50, 50]\n'
    )
    assert isinstance(unread, Unread)
    assert [(fault.file, fault.line) for fault in unread.faults] == [("holes.csv", 2)]


def test_a_face_that_is_not_there_is_a_fault_and_no_crash(bench: Bench) -> None:
    unread = bench.draw(1, MM + '[lettering]\nface = "gone.ttf"\n')
    assert isinstance(unread, Unread)
    assert "gone.ttf" in unread.faults[0].message
    assert unread.faults[0].line == MM.count("\n") + 2


def test_names_are_no_markup(drawn: Draw) -> None:
    text = MM.replace('"C D"', '"<script>"')
    drawing = drawn(text)
    assert "<script>" not in drawing.shapes + "".join(drawing.stages.values())
    assert "&lt;script&gt;" in drawing.shapes
    assert hole(drawing, "<script>").at == (140, 60)


def test_messages_can_be_sent_and_handed_from_process_to_process(bench: Bench) -> None:
    messages = [bench.draw(1, MM), bench.find(1, MM), bench.cut(1, MM), bench.pick(1, (3.0, 4.0))]
    messages += [bench.complete(1, MM, 30), bench.put_in(1, 1, MM, "knob", 1)]
    for message in messages:
        assert pickle.loads(pickle.dumps(message)) == message
        assert json.loads(to_json(message))["kind"] == type(message).__name__.lower()


def test_a_text_is_laid_out_once(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    from legend.making import stages

    laid: list[object] = []
    lay = stages.artwork_of
    monkeypatch.setattr(stages, "artwork_of", lambda each: (laid.append(each), lay(each))[1])
    bench.draw(1, MM)
    bench.find(1, MM)
    bench.pick(1, (0.0, 0.0))
    assert len(laid) == 1


def test_the_overlay_is_that_of_the_last_panel(bench: Bench) -> None:
    with pytest.raises(LookupError):
        bench.overlay()
    bench.draw(1, MM)
    assert bench.overlay().startswith(b"%PDF")
