"""The specimen of a face: what is on it, where it stands, and how it is written."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from xml.etree import ElementTree

import matplotlib
import numpy as np
import pytest
import resvg_py
import shapely
from click.testing import CliRunner
from PIL import Image

from legend.commands.cli import legend
from legend.drawing.specimens.specimen import specimen_of, write_specimen
from legend.drawing.specimens.specimen_page import Page, png_of, svg_of
from legend.lettering.faces.face import FaceError, TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.faces.proportions import inked_letter
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import set_text
from legend.writing import ForeignFileError, is_ours

FONTS = Path(matplotlib.__file__).parent / "mpl-data/fonts/ttf"
SVG = "{http://www.w3.org/2000/svg}"
MARGIN = 14

#: A face of single strokes that has a few capitals and no more.
CAPITALS = """<svg xmlns="http://www.w3.org/2000/svg"><defs><font>
<font-face units-per-em="100" cap-height="70"/><glyph unicode=" "/>
<glyph unicode="O" d="M0 0V70H50V0Z"/><glyph unicode="N" d="M0 0V70L50 0V70"/>
<glyph unicode="T" d="M0 70H50 M25 70V0"/>
</font></defs></svg>"""


@lru_cache
def page_of(name: str) -> Page:
    return specimen_of(load_face(name, FONTS))


def groups_of(page: Page) -> dict[str, Sequence[Outline]]:
    return {name: outlines for name, _, outlines in page.groups if outlines}


@pytest.fixture
def capitals(tmp_path: Path) -> Path:
    path = tmp_path / "capitals.svg"
    path.write_text(CAPITALS)
    return path


# --- What is on it ---


def test_the_built_in_face_is_shown_whole() -> None:
    groups = groups_of(page_of("plain"))
    assert "lacking" not in groups
    assert len(groups["capitals"]) == len(groups["small-letters"]) == 26
    assert len(groups["figures"]) == 13
    assert len(groups["told-apart"]) == len(groups["spacing"]) == 6


def test_words_stand_at_true_size() -> None:
    """In the built-in face round letters are as tall as straight ones, so that a row of
    capitals is as tall as it says.
    """
    rows = groups_of(page_of("plain"))["true-size"]
    tops = [row.bounds[3] - row.bounds[1] for row in rows]
    assert tops[0] == pytest.approx(7, abs=0.01)
    assert tops[1] == pytest.approx(5, abs=0.1)  # its full stop is heavier than its strokes
    assert tops[2:4] == pytest.approx([3.5, 3.5], abs=0.01)
    small = inked_letter("d", TextStyle(plain(), 2.5))
    assert small
    assert all(top > small.bounds[3] for top in tops[4:])
    assert len(tops) >= 6


def test_letters_are_those_of_the_face() -> None:
    letter = groups_of(page_of("DejaVuSerif.ttf"))["capitals"][6]
    left, bottom, _, top = letter.bounds
    style = TextStyle(load_face("DejaVuSerif.ttf", FONTS), 1.0)
    own = inked_letter("G", style)
    assert own
    grown = own.scaled((top - bottom) / (own.bounds[3] - own.bounds[1]))
    grown = grown.moved(left - grown.bounds[0], bottom - grown.bounds[1])
    assert grown.shape.symmetric_difference(letter.shape).area < 0.01 * letter.area


def test_what_the_face_lacks_is_left_out_and_said(capitals: Path) -> None:
    page = specimen_of(load_face(capitals.name, capitals.parent))
    groups = groups_of(page)
    whole = groups_of(page_of("plain"))
    assert len(groups["capitals"]) == 3
    assert not {
        "small-letters",
        "figures",
        "signs",
        "greek-and-cyrillic",
        "told-apart",
        "spacing",
    } & set(groups)
    shown = ("capitals", "small-letters", "figures", "signs", "greek-and-cyrillic", "accented")
    assert len(groups["lacking"]) == sum(len(whole[name]) for name in shown) - 3


def test_words_need_all_their_letters(capitals: Path) -> None:
    """Of all the words at true size, this face has the letters of one: ON, 3.5 mm tall."""
    face = load_face(capitals.name, capitals.parent)
    (words,) = groups_of(specimen_of(face))["true-size"]
    style = TextStyle(face, 3.5)
    own = set_text("ON", style).outline
    assert words.bounds[2] - words.bounds[0] == pytest.approx(own.bounds[2] - own.bounds[0])
    assert words.area == pytest.approx(own.area)


def test_a_name_that_no_face_at_hand_can_set(capitals: Path) -> None:
    capitals.rename(capitals.with_name("字 TON.svg"))
    page = specimen_of(load_face("字 TON.svg", capitals.parent))
    assert page.title == "字 TON"
    (name,) = groups_of(page)["name"]
    assert len(name.contours) == 4  # T, O with its counter, and N


# --- Where it stands ---


@pytest.mark.parametrize(
    "name", ["plain", "DejaVuSerif.ttf", "DejaVuSans-Bold.ttf", "STIXGeneralItalic.ttf"]
)
def test_nothing_touches_and_nothing_leaves_the_margins(name: str) -> None:
    page = page_of(name)
    assert (page.width, page.height) == (210, 297)
    outlines = [outline for each in groups_of(page).values() for outline in each]
    shapes = shapely.simplify([outline.shape for outline in outlines], 0.01)
    _, apart = shapely.STRtree(shapes).query_nearest(shapes, exclusive=True, return_distance=True)
    assert apart.min() > 0.7
    left, bottom, right, top = shapely.total_bounds(shapes)
    assert left >= MARGIN - 0.01
    assert right <= page.width - MARGIN + 0.01
    assert top == pytest.approx(-MARGIN, abs=0.01)
    assert bottom >= MARGIN - page.height


@pytest.mark.parametrize("name", ["plain", "DejaVuSans-Bold.ttf"])
def test_alphabets_stand_in_columns(name: str) -> None:
    groups = groups_of(page_of(name))

    def axes(outlines: Sequence[Outline]) -> list[float]:
        return [(outline.bounds[0] + outline.bounds[2]) / 2 for outline in outlines]

    upper = axes(groups["capitals"][:13])
    assert np.ptp(np.diff(upper)) < 1e-6
    for others in (groups["capitals"][13:], groups["small-letters"][13:], groups["figures"]):
        assert axes(others) == pytest.approx(upper, abs=1e-6)
    feet = [groups["capitals"]["ABCDEFGHIJKLM".index(letter)].bounds[1] for letter in "AEHIKM"]
    assert np.ptp(feet) < 0.02


def test_a_face_that_needs_more_room_gets_a_longer_page() -> None:
    assert page_of("cmex10.ttf").height > 297


# --- How it is written ---


def test_the_drawing_is_in_mm_and_has_paths_only() -> None:
    root = ElementTree.fromstring(svg_of(page_of("plain")))
    assert (root.get("width"), root.get("height")) == ("210mm", "297mm")
    assert root.get("viewBox") == "0 0 210 297"
    assert {e.tag for e in root.iter()} == {SVG + t for t in ("svg", "title", "desc", "g", "path")}
    assert not [e for e in root.iter() if e.get("transform") or e.get("style")]
    names = [group.get("id") for group in root.findall(f"{SVG}g")]
    assert len(names) == len(set(names))
    assert {"name", "capitals", "told-apart", "true-size"} <= set(names)
    for group in root.findall(f"{SVG}g"):
        assert re.fullmatch(r"#([0-9a-f]{2})\1\1", group.get("fill", ""))


def test_picture_and_drawing_agree() -> None:
    page = page_of("DejaVuSerif.ttf")
    picture = Image.open(io.BytesIO(png_of(page, 127)))
    assert picture.size == (1050, 1485)
    assert picture.info["dpi"] == pytest.approx((127, 127), abs=0.1)
    drawn = resvg_py.svg_to_bytes(svg_string=svg_of(page).decode(), dpi=127)
    other = Image.open(io.BytesIO(bytes(drawn))).convert("L")
    difference = np.abs(
        np.asarray(picture.convert("L"), dtype=float) - np.asarray(other, dtype=float)
    )
    assert difference.mean() < 1  # a pixel out of place makes it 6
    assert difference.max() < 60
    assert np.asarray(picture.convert("L")).min() < 40


def test_the_ending_chooses_what_is_written(capitals: Path, tmp_path: Path) -> None:
    face = load_face(capitals.name, capitals.parent)
    for name, begins in (("a.svg", b"<?xml"), ("b.png", b"\x89PNG"), ("c.PNG", b"\x89PNG")):
        path = write_specimen(face, tmp_path / name, 30)
        assert path.read_bytes().startswith(begins)
        assert is_ours(path)


def test_nothing_of_the_users_is_overwritten(capitals: Path, tmp_path: Path) -> None:
    path = tmp_path / "mine.svg"
    path.write_text("<svg/>")
    with pytest.raises(ForeignFileError, match=r"mine\.svg is there already"):
        write_specimen(load_face(capitals.name, capitals.parent), path)
    assert path.read_text() == "<svg/>"


def test_a_face_without_letters(capitals: Path) -> None:
    capitals.write_text(re.sub('unicode="[A-Z]"', 'unicode="字"', CAPITALS))
    with pytest.raises(FaceError, match="no letters to measure"):
        specimen_of(load_face(capitals.name, capitals.parent))


# --- The command ---


def test_the_command_writes_a_specimen(tmp_path: Path) -> None:
    out = tmp_path / "new" / "serif.png"
    words = ["faces", str(FONTS / "DejaVuSerif.ttf"), "--out", str(out), "--dpi", "50"]
    ran = CliRunner().invoke(legend, words)
    assert (ran.exit_code, ran.output) == (0, f"{out}\n")
    assert Image.open(out).size == (413, 585)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--out", "a.svg"), "A specimen shows one face; name it"),
        (("plain", "plain", "--out", "a.svg"), "A specimen shows one face; name it"),
        (("plain", "--out", "a.pdf"), "a.pdf does not end in .svg or .png"),
        (("there-is-none.ttf", "--out", "a.svg"), "There is no face file"),
    ],
)
def test_the_command_says_what_it_needs(words: tuple[str, ...], told: str) -> None:
    ran = CliRunner().invoke(legend, ["faces", *words])
    assert ran.exit_code == 2
    assert told in " ".join(ran.output.split())
    assert not Path(words[-1]).exists()
