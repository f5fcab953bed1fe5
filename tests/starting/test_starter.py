"""A description to begin with: what is guessed of a hole list makes a panel without complaints."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from legend.description.reading.description_file import parse, read
from legend.description.tables.hole import Hole
from legend.failures import PlainError
from legend.layout import inspect, lay_out
from legend.layout.artwork import Severity
from legend.starting.rough_layout import Arrangement, Part, arranged, part_of
from legend.starting.starter import starter, starter_for

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


_MM = "id,x,y,drill\nPUMP,{},40,9.5\nLAMP,60,40,8\n"


@pytest.mark.parametrize(
    ("rows", "units", "says"),
    [
        (_MM.format(150), "in", "read in inches, .* no panel; read in mm, it .* --units mm"),
        (_MM.format(600), "in", "read in inches, .* no panel; read in mm, it .* --units mm"),
        (_MM.format(2100).replace("40", "1900"), "mm", "would be 2160 × 3800 mm, .* neither mm"),
        (_MM.format(2100).replace("40", "1900"), "in", "would be 2160 × 3800 mm, .* neither mm"),
        (_MM.format(9e9), "mm", r"holes\.csv:2: Hole \"PUMP\" .* more than 10000 mm"),
    ],
)
def test_units_in_which_a_list_makes_no_panel(
    tmp_path: Path, rows: str, units: str, says: str
) -> None:
    (tmp_path / "holes.csv").write_text(rows)
    with pytest.raises(PlainError, match=says) as caught:
        starter_for(tmp_path / "holes.csv", tmp_path / "panel.toml", units)
    assert "holes.csv" in str(caught.value)


def test_units_in_which_no_list_would_be(tmp_path: Path) -> None:
    """It may be meant so, and is only doubted."""
    holes, out = tmp_path / "holes.csv", tmp_path / "panel.toml"
    holes.write_text("id,x,y,drill\nPUMP,1.5,1.6,3/8\nLAMP,2.5,1.6,0.3125\n")
    doubt = "about 0.312 mm across, as hardly any are: if the list is in inches, begin again"
    assert doubt in starter_for(holes, out, "mm").doubt
    assert starter_for(holes, out, "in").doubt == ""
    holes.write_text("id,x,y,drill\nPUMP,30,20,9.5\nLAMP,50,20,3\nFUSE,40,10,12\n")
    assert "about 9.5 in across" in starter_for(holes, out, "in").doubt
    assert starter_for(holes, out, "mm").doubt == ""
    holes.write_text("id,x (in),y (in),drill (in)\nPIN,1,1,0.02\n")
    assert starter_for(holes, out, "mm").doubt == ""


def test_the_starter_without_a_list_reads() -> None:
    assert parse(starter()).title


@pytest.mark.parametrize(
    ("note", "kind"),
    [
        ("key switch", "keyswitch"),
        ("keypad", "keypad"),
        ("rocker, I and O", "rocker"),
        ("mains inlet", "inlet"),
        ("binding post", "binding post"),
        ("4-digit display", "display"),
        ("sight glass", "window"),
        ("thumbwheels", "thumbwheel"),
    ],
)
def test_a_note_tells_the_kind(note: str, kind: str) -> None:
    text = starter({"X": Hole(at=(40, 40), drill=19, note=note)}, "holes.csv")
    assert f'kind = "{kind}"  # a guess: its note says so' in text
    assert re.search(r"^hole_list", text, re.MULTILINE)


def test_posts_side_by_side_are_taken_to_be_as_slim_as_they_must_be() -> None:
    """A starter has no error that its own guess of their size makes."""
    holes = {f"OUT{x}": Hole(at=(x, 50), drill=12, note="binding post") for x in (30, 49)}
    text = starter(holes, "holes.csv")
    assert text.count("covers = 18.5  # a guess") == 2


def test_holes_a_little_off_make_the_panel_no_larger() -> None:
    corners = {"A": (5.1, 5), "B": (275.2, 5.1), "C": (5, 165.2), "D": (275, 165)}
    holes = {id: Hole(at=at, drill=4.2) for id, at in corners.items()}
    assert "size = [280, 170]" in starter(holes, "holes.csv")


def test_a_note_of_mains_is_heeded() -> None:
    text = starter({"S": Hole(at=(40, 40), drill=12, note="toggle, mains")}, "holes.csv")
    assert "mains = true" in text
