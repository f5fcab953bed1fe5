"""Placement cards as `legend make` writes and lists them."""

from __future__ import annotations

from pathlib import Path

from legend.making.panel_files import Order, make

_PANEL = """
panel.size = [120, 70]
[stencil]
{stencil}
[holes]
A = {{ at = [35, 30], drill = 9.5 }}
B = {{ at = [85, 30], drill = 9.5 }}
M1 = {{ at = [6, 6], drill = 3.2 }}
M2 = {{ at = [114, 64], drill = 3.2 }}
[[control]]
hole = "A"
kind = "jack"
name = "IN"
[[control]]
hole = "B"
kind = "jack"
name = "OUT"
[[control]]
hole = "M1"
kind = "screw"
[[control]]
hole = "M2"
kind = "screw"
"""

_BOLTED = 'method = "paint-through"\nstock = "sheet"'


def _cards(folder: Path, stencil: str) -> tuple[list[str], list[str]]:
    """What is told of each card, and the files of cards in the folder."""
    panel = folder / "panel.toml"
    panel.write_text(_PANEL.format(stencil=stencil))
    made = make(Order(panel, folder / "made"))
    told = [what for path, what in made.files if path.name.startswith("placement-card")]
    told += [f"{each.code}: {each.message}" for each in made.findings if each.code == "no-window"]
    return told, sorted(path.name for path in (folder / "made").glob("placement-card-*"))


def test_each_card_is_listed_with_its_pieces_and_what_holds_it(tmp_path: Path) -> None:
    told, files = _cards(tmp_path, "")
    assert told == ["placement card: pieces 1 and 2, held by holes M1 and M2"]
    assert files == ["placement-card-1.svg"]


def test_a_sheet_that_is_bolted_has_none_and_earlier_ones_go(tmp_path: Path) -> None:
    assert _cards(tmp_path, "")[1]
    assert _cards(tmp_path, _BOLTED) == ([], [])


def test_what_no_card_places_is_a_note(tmp_path: Path) -> None:
    told, files = _cards(tmp_path, "card_size = [20, 20]")
    assert not files
    (note,) = told
    assert note == (
        "no-window: Pieces 1 and 2 have no window in a placement card: with card all round, "
        "larger than 19 × 19 mm."
    )
