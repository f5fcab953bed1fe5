"""The list of faces: what is in it, and what it says of damaged fonts."""

from __future__ import annotations

import importlib
from collections.abc import Iterator
from pathlib import Path

import matplotlib
import pytest
from click.testing import CliRunner, Result
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen

from legend.commands.cli import legend
from legend.drawing.specimens.face_list import carried_from, faces_at_hand, in_a_table, listed
from legend.lettering.faces.finding import installed_faces, unreadable_fonts
from legend.standards import FILM_LIMITS, SHEET_LIMITS

FONTS = Path(matplotlib.__file__).parent / "mpl-data/fonts/ttf"


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A machine with two cuts of one family, a font cut short, and one that is no font."""
    sans = (FONTS / "DejaVuSansMono.ttf").read_bytes()
    (tmp_path / "short.ttf").write_bytes(sans[:-1000])
    (tmp_path / "none.ttf").write_text("no font")
    paths = [*FONTS.glob("DejaVuSerif*.ttf"), tmp_path / "short.ttf", tmp_path / "none.ttf"]
    module = importlib.import_module("find_system_fonts_filename")
    monkeypatch.setattr(module, "get_system_fonts_filename", lambda: {str(path) for path in paths})
    installed_faces.cache_clear()
    yield tmp_path
    installed_faces.cache_clear()


def run(*names: str) -> Result:
    return CliRunner().invoke(legend, ["faces", *names])


def rows(output: str) -> dict[str, list[str]]:
    """The table, each row split where it is aligned."""
    table = output.split("\n\n")[0].splitlines()
    return {line.split("   ")[0].strip(): line.split() for line in table}


def test_the_built_in_face_comes_first_and_each_family_once(shelf: Path) -> None:
    at_hand = faces_at_hand()
    assert at_hand[0] == "plain"
    assert at_hand[1:] == sorted(at_hand[1:], key=str.casefold)
    assert at_hand.count("DejaVu Serif") == 1


def test_all_faces_are_listed_and_the_damaged_ones_named(shelf: Path) -> None:
    ran = run()
    assert ran.exit_code == 0
    assert {"plain (built in)", "DejaVu Serif"} <= set(rows(ran.output))
    assert unreadable_fonts() == (shelf / "none.ttf",)
    assert "damaged" not in ran.stdout
    assert f"The font {shelf / 'none.ttf'} is damaged" in ran.stderr
    assert f"The font {shelf / 'short.ttf'} is damaged" in ran.stderr


def test_the_list_can_be_kept_to_some_faces(shelf: Path) -> None:
    ran = run("plain", str(FONTS / "DejaVuSans-Bold.ttf"))
    assert ran.exit_code == 0
    assert list(rows(ran.output))[1:] == ["plain (built in)", str(FONTS / "DejaVuSans-Bold.ttf")]
    assert "damaged" not in ran.output


def test_a_named_face_that_cannot_be_used_is_an_error(shelf: Path) -> None:
    ran = run("plain", str(shelf / "short.ttf"), "Nosuch")
    assert ran.exit_code == 2
    assert "plain (built in)" in rows(ran.stdout)
    assert "short.ttf is damaged" in ran.stderr
    assert "No face 'Nosuch' is built in or installed" in ran.stderr
    assert ran.stdout.endswith("counters of 0.6 mm.\n")


def test_a_row_tells_the_least_and_from_what_height_it_is_carried() -> None:
    serif = listed("DejaVuSerif.ttf", FONTS)
    assert serif.measured
    assert serif.measured.counter
    cells = rows("\n".join(in_a_table([serif])))["DejaVuSerif.ttf"]
    assert cells[1:5] == [
        f"{serif.measured.stroke.size:.2f}",
        serif.measured.stroke.letter,
        f"{serif.measured.counter.size:.2f}",
        serif.measured.counter.letter,
    ]
    film, sheet = carried_from(serif.measured, "film"), carried_from(serif.measured, "sheet")
    assert cells[5:] == ["from", f"{film:.1f}", "mm", "from", f"{sheet:.1f}", "mm"]
    by_stroke = 3.5 * FILM_LIMITS["stroke"] / serif.measured.stroke.size
    assert film == pytest.approx(by_stroke, abs=0.15)
    by_stroke = 3.5 * SHEET_LIMITS["stroke"] / serif.measured.stroke.size
    assert sheet == pytest.approx(by_stroke, abs=0.15)


def test_a_face_that_is_carried_says_so() -> None:
    bold = listed("DejaVuSans-Bold.ttf", FONTS)
    (_, row, *_) = in_a_table([bold])
    assert "carries it" in row
    assert row.endswith("mm")  # its counters are too small for sheet


def test_a_font_that_fails_in_an_unforeseen_way_is_listed_as_damaged(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def broken(name: str, folder: Path) -> None:
        raise RuntimeError("unforeseen")

    monkeypatch.setattr("legend.drawing.specimens.face_list.load_face", broken)
    found = listed("Some Face", FONTS)
    assert found.measured is None
    assert "'Some Face' cannot be measured" in found.fault
    assert list(in_a_table([found])) == []


def test_a_face_whose_h_has_no_ink_is_listed_with_the_others(tmp_path: Path) -> None:
    """By its other letters; what is less than dirt is no stroke to divide by."""
    for name, points in (
        ("none", [(0, 0), (0, 700)]),
        ("dirt", [(0, 0), (1, 700), (1, 699)]),
    ):
        builder = FontBuilder(1000)
        order = [".notdef", "H", "O"]
        builder.setupGlyphOrder(order)
        builder.setupCharacterMap({72: "H", 79: "O"})
        glyphs = {}
        for glyph in order:
            pen = TTGlyphPen(None)
            drawn = points if glyph == "H" else [(0, 0), (0, 700), (300, 700), (300, 0)]
            pen.moveTo(drawn[0])
            for point in drawn[1:]:
                pen.lineTo(point)
            pen.closePath()
            glyphs[glyph] = pen.glyph()
        builder.setupGlyf(glyphs)
        builder.setupHorizontalMetrics(dict.fromkeys(order, (400, 0)))
        builder.setupHorizontalHeader(ascent=800, descent=-200)
        builder.setupOS2(sCapHeight=700)
        builder.setupPost()
        builder.save(tmp_path / f"{name}.ttf")
    ran = run("plain", str(tmp_path / "none.ttf"), str(tmp_path / "dirt.ttf"))
    assert (ran.exit_code, ran.stderr) == (0, "")
    table = rows(ran.stdout)
    for name in ("none", "dirt"):
        assert table[str(tmp_path / f"{name}.ttf")][1:3] == ["1.50", "none"]
    out = tmp_path / "dirt.svg"
    assert run(str(tmp_path / "dirt.ttf"), "--out", str(out)).exit_code == 0
