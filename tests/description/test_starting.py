"""A description to begin with: what is guessed of a hole list makes a panel without complaints."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from legend.description.arranging import Arrangement, Part, arranged, part_of
from legend.description.hole import Hole
from legend.description.reading import parse, read
from legend.description.starting import starter, starter_for
from legend.layout import inspect, lay_out
from legend.layout.artwork import Severity

#: Lists as they come from a bench: crowded, without screws at the corners, or nearly empty.
_LISTS = {
    "ultrasonic bath": (
        "mm",
        """\
id;x;y;drill;width;height;note
TIME;32,1;41,5;7,2;;;
POWER LEVEL;84;41,2;7,2;;;
DRAIN;128,4;52;12,2;;;
HEATER;128,2;24,6;12,2;;;
READY;150,1;52,1;5;;;
HOT;150,3;24,9;5;;;
MINUTES;178;44;;36;18;
FUSE;178,2;18,1;12,7;;;
""",
    ),
    "dust collector": (
        "in",
        "id,x,y,drill,note\nPUMP,0.75,1.5,1/2,\nLAMP,1.5,1.5,5/16,\nSPEED,2.5,1.5,3/8,\n"
        "RUN,3.5,1.5,5/8,push button\n",
    ),
    "one hole": ("mm", "id,x,y,drill\nSAFELIGHT,40,40,12.5\n"),
    "from the centre": ("mm", "id;x;y;drill\nA;-40;0;9,5\nB;40;-5;9,5\nC;0;30;16\n"),
}


@pytest.mark.parametrize("name", _LISTS)
def test_a_list_makes_a_panel_that_nobody_complains_of(tmp_path: Path, name: str) -> None:
    units, rows = _LISTS[name]
    (tmp_path / "holes.csv").write_text(rows)
    panel = tmp_path / "panel.toml"
    panel.write_text(starter_for(tmp_path / "holes.csv", panel, units).text)
    description = read(panel)
    assert len(description.control) == rows.count("\n") - 1
    found = [f for f in inspect(lay_out(description)) if f.severity != Severity.NOTE]
    assert found == []


def test_what_has_no_room_is_left_for_later() -> None:
    """Of two toggles close under each other, one has its words commented out."""
    holes = {id: Hole(at=(40, y), drill=12.2) for id, y in (("UPPER", 60.0), ("LOWER", 34.0))}
    text = starter(holes, "holes.csv")
    assert len(re.findall(r"^positions", text, re.MULTILINE)) == 1
    assert len(re.findall(r"^# positions", text, re.MULTILINE)) == 1
    apart = {id: Hole(at=(40, y), drill=12.2) for id, y in (("UPPER", 90.0), ("LOWER", 34.0))}
    assert len(re.findall(r"^positions", starter(apart, "holes.csv"), re.MULTILINE)) == 2


def test_names_go_to_the_side_that_is_free() -> None:
    window = Part("W", "window", "SECONDS", (60, 60), (30, 10))
    lamp = Part("L", "lamp", "ON AIR", (60, 44), (4, 4))
    ways = arranged([window, lamp], (120, 100))
    assert ways["W"] == Arrangement("above")
    assert ways["L"].side == "below"
    low = Part("L", "lamp", "ON AIR", (60, 7), (4, 4))
    assert arranged([low], (120, 100))["L"].side == "above"
    high = Part("L", "lamp", "ON AIR", (60, 93), (4, 4))
    assert arranged([high], (120, 100))["L"].side == "below"


def test_a_cut_out_that_is_turned_covers_what_it_covers() -> None:
    part = part_of("S", "slide", "LEVEL", Hole(at=(0, 0), slot=(30, 4), angle=90), (50, 50))
    assert part.half == (4, 17)


def test_the_starter_without_a_list_reads() -> None:
    assert parse(starter()).title
