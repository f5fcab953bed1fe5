"""Faces of single strokes: read, set, and the built-in one sound in every glyph."""

from __future__ import annotations

import unicodedata
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
import shapely
from alphabets import LETTERS

from legend.lettering.faces.face import FaceError, TextStyle
from legend.lettering.faces.folding import ALIKE, DRAWN_WITH, is_solid
from legend.lettering.faces.small_figures import small_figures
from legend.lettering.faces.stroke_face import StrokeFace, plain
from legend.lettering.outlines.outline import Outline
from legend.lettering.strokes.skeleton import Arc, Bend, Run, Skeleton

ASCII = "".join(map(chr, range(0x20, 0x7F)))
LATIN = "".join(c for c in map(chr, range(0xC0, 0x100)) if c.isalpha())
PANEL = "ΩµμπΔΣθλφαβ°±×÷−–—≤≥≈∞√½¼¾²³←↑→↓↔↕•…·“”‘’£€§"
FRACTIONS = "½⅓⅔¼¾⅛⅜⅝⅞"
MORE_SIGNS = "‰™∠∫∂∑≡≠∅⌀′″↖↗↘↙↶↷↺↻⇄⇅⇆⇵"
SOLID = "▲▼◀▶■●◆"
HOLLOW = "△▽◁▷□○◇"
#: Letters that are drawn, or put together otherwise than by Unicode: the rest is made from them.
DRAWN = "".join(
    c
    for c in LETTERS + "ẞ"
    if plain().has(c) and c not in ASCII and c not in ALIKE and unicodedata.normalize("NFD", c) == c
)
DRAWN += "".join(DRAWN_WITH)
EVERYTHING = ASCII + LATIN + PANEL + DRAWN + FRACTIONS + MORE_SIGNS + SOLID + HOLLOW


def style(height: float = 3.5, **manner: object) -> TextStyle:
    return TextStyle(plain(), height, **manner)  # type: ignore[arg-type]


def letter(character: str, of: TextStyle | None = None) -> Outline:
    of = of or style()
    (only,) = of.face.set_line(character, of).letters
    return only.outline


def font(folder: Path, body: str, about: str = 'cap-height="700"') -> Path:
    path = folder / "own.svg"
    head = f'<font-face units-per-em="1000" {about}/>' if about else ""
    path.write_text(f'<svg xmlns="http://www.w3.org/2000/svg"><font>{head}{body}</font></svg>')
    return path


# --- The built-in face ---


def test_it_has_all_that_a_panel_needs() -> None:
    assert [c for c in EVERYTHING if not plain().has(c)] == []


@pytest.mark.parametrize(
    "manner",
    [
        {"stroke": 1 / 7, "ends": "round"},
        {"stroke": 1 / 6, "ends": "square"},
        {"stroke": 1 / 10, "ends": "square", "width": 0.8, "slope": 15.0},
    ],
)
def test_every_glyph_is_clean(manner: dict[str, object]) -> None:
    """Each stroke and each kind of end; the test after this one has them with each other."""
    line = plain().set_line(EVERYTHING, style(**manner))
    assert not line.flattened
    assert not line.missing
    for each in line.letters:
        assert each.outline.shape.is_valid, each.text
        areas = [contour.signed_area for contour in each.outline.contours]
        assert sum(areas) == pytest.approx(each.outline.area, rel=1e-6), each.text


@pytest.mark.parametrize("stroke", [1 / 10, 1 / 7, 1 / 6])
@pytest.mark.parametrize("ends", ["round", "square"])
def test_letters_at_which_the_engine_stumbles_are_drawn_in_curves(stroke: float, ends: str) -> None:
    """Each of them at some of these sizes, if it were asked but once."""
    for height in (1.8, 2.5, 3, 3.5, 5, 7, 10):
        line = plain().set_line("9ΛâêôœŒ8%", style(height, stroke=stroke, ends=ends))
        assert not line.flattened, height


@pytest.mark.parametrize("manner", [{}, {"width": 0.8, "slope": 12.0, "stroke": 1 / 10}])
def test_the_edge_of_every_glyph_is_half_a_pen_from_its_skeleton(manner: dict[str, float]) -> None:
    """To 0.005 mm, at 20 mm, on the way that every letter goes."""
    height = 20.0
    of = style(height, **manner)
    half = of.stroke * height / 2
    scale = (1 - of.stroke) / plain().cap_height * height
    lean = np.tan(np.radians(of.slope))
    line = plain().set_line(EVERYTHING.replace(" ", ""), of)
    assert not line.flattened
    for each in line.letters:
        assert each.outline.shape.is_valid, each.text
        if small_figures(each.text) or is_solid(each.text):
            continue  # drawn with a pen of their own, or filled
        runs = shapely.union_all([_line(run) for run in plain().skeleton(each.text)])
        middle = shapely.transform(runs, lambda p: (p @ [[of.width, 0], [lean, 1]]) * scale)
        shift = np.array([each.outline.bounds[0] - (middle.bounds[0] - half), half])
        middle = shapely.transform(middle, lambda p, shift=shift: p + shift)
        shapely.prepare(middle)
        shapely.prepare(each.outline.shape)
        edge = shapely.points(shapely.get_coordinates(each.outline.shape))
        assert np.abs(shapely.distance(edge, middle) - half).max() < 0.005, each.text
        left, bottom, right, top = middle.bounds
        x, y = np.meshgrid(np.linspace(left - 3, right + 3, 25), np.linspace(bottom, top, 25))
        away = shapely.distance(shapely.points(x, y), middle)
        inside = shapely.contains_xy(each.outline.shape, x, y)
        assert not (inside & (away > half + 0.005)).any(), each.text
        assert not (~inside & (away < half - 0.005)).any(), each.text


def _line(run: Run) -> shapely.Geometry:
    """A run as a line within a hundredth of its arcs, or as the point that it is."""
    points = [run.start]
    for segment in run.segments:
        assert not isinstance(segment, Bend)
        if isinstance(segment, Arc):
            (x, y), count = segment.centre, 2 + int(abs(segment.sweep) * 80)
            angles = segment.begin + np.arange(1, count) / count * segment.sweep
            unit = np.column_stack([np.cos(angles), np.sin(angles)])
            points += [*map(tuple, (x, y) + segment.radius * unit)]
        points.append(segment.end)
    return shapely.LineString(points) if run.segments else shapely.Point(run.start)


@pytest.mark.parametrize("ends", ["round", "square"])
@pytest.mark.parametrize("height", [1.8, 3.5, 20.0])
@pytest.mark.parametrize("stroke", [1 / 10, 1 / 7, 1 / 6])
def test_the_height_is_that_of_the_ink_of_capitals(ends: str, height: float, stroke: float) -> None:
    of = style(height, stroke=stroke, ends=ends)
    for character in "HEIOSAMNVWXKZ0189":
        _, bottom, _, top = letter(character, of).bounds
        assert (bottom, top) == pytest.approx((0, height), abs=0.0035), character


def test_squared_capitals_lean_without_growing() -> None:
    for character in "HAMNVWXKZ":
        _, bottom, _, top = letter(character, style(ends="square", slope=15.0)).bounds
        assert (bottom, top) == pytest.approx((0, 3.5), abs=0.0035), character


@pytest.mark.parametrize("manner", [{"width": 0.8}, {"width": 1.2}, {"slope": 12.0}])
def test_width_and_slope_leave_the_stroke(manner: dict[str, float]) -> None:
    """The widest disc that fits into the ink is the pen, but where strokes meet."""
    pen = 3.5 / 7
    for character in "IJCUSO0":
        shape = letter(character, style(**manner)).shape
        assert shape.buffer(-pen / 2 * 0.99).area > 0, character
        assert shape.buffer(-pen / 2 * 1.01).area == 0, character


def test_letters_are_narrowed_by_their_skeletons() -> None:
    full, narrow = (letter("H", style(width=w)).bounds for w in (1.0, 0.8))
    pen = 3.5 / 7
    assert narrow[2] - narrow[0] - pen == pytest.approx(0.8 * (full[2] - full[0] - pen))


def test_a_sloped_stem_leans_by_the_slope() -> None:
    of = style(slope=15.0)
    left, _, right, _ = letter("I", of).bounds
    assert right - left == pytest.approx(
        3.5 / 7 + 3.5 * 6 / 7 * 0.26795, abs=1e-3
    )  # tan 15 degrees


def test_sizes_are_alike() -> None:
    small, large = letter("S", style(2.5)), letter("S", style(20.0))
    assert large.area == pytest.approx(small.area * 64, rel=2e-3)


@pytest.mark.parametrize("pair", ["0O", "1I", "1l", "Il", "5S", "8B", "2Z", "6G", "B8", "DO", "UV"])
def test_letters_that_are_mistaken_for_each_other_are_told_apart(pair: str) -> None:
    """Laid over each other in the middle, they share less than three quarters of their ink."""
    one, other = (letter(c).shape for c in pair)
    shift = shapely.box(*one.bounds).centroid.x - shapely.box(*other.bounds).centroid.x
    other = shapely.transform(other, lambda p: p + np.array([shift, 0]))
    assert one.intersection(other).area < 0.75 * one.union(other).area


def test_greek_letters_that_are_drawn_as_latin_ones_are_the_same() -> None:
    for greek, latin in zip("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧο", "ABEZHIKMNOPTYXo", strict=True):
        assert plain().skeleton(greek) == plain().skeleton(latin)


@pytest.mark.parametrize(
    "pair",
    [
        "ĄA",
        "ĘE",
        "ŲU",
        "ąa",
        "ęe",
        "ųu",
        "ĐD",
        "đd",
        "ŁL",
        "łl",
        "ŦT",
        "ŧt",
        "ħh",
        "ØO",
        "ЄC",
        "єc",
    ],
)
def test_a_letter_with_a_stroke_or_a_hook_is_the_letter_with_one_more(pair: str) -> None:
    more, bare = (plain().skeleton(letter) for letter in pair)
    assert set(map(str, bare)) < set(map(str, more))
    assert len(more) == len(bare) + 1


def test_a_hook_hangs_from_the_right_of_its_letter() -> None:
    """It is part of the letter, and none of the marks that are set under the middle of one."""
    for hooked in "ĄĘĮŲąęįų":
        base = unicodedata.normalize("NFD", hooked)[0]
        left, _, right, top = _extent(plain().skeleton(base))
        _, low, far, high = _extent(plain().skeleton(hooked))
        assert (low, high) == (-240, top), hooked
        assert far >= (left + right) / 2 + 140, hooked


def test_accents_stand_over_the_middle_of_their_letters() -> None:
    """The foot of a leaning one does, so that its own middle is a little aside."""
    for character in "ÀÁÂÃÄÅÈÉÊËÌÍÎÏÑÒÓÔÕÖÙÚÛÜÝàáâãäåèéêëìíîïñòóôõöùúûüýÿ":
        base = unicodedata.normalize("NFD", character)[0]
        bare = plain().skeleton({"i": "ı"}.get(base, base))
        strokes = plain().skeleton(character)
        assert strokes[: len(bare)] == bare
        left, _, right, top = _extent(bare)
        mark_left, mark_bottom, mark_right, _ = _extent(strokes[len(bare) :])
        assert (mark_left + mark_right) / 2 == pytest.approx((left + right) / 2, abs=60), character
        # Room for the pen at a sixth of the height, and for film that can be cut.
        assert mark_bottom - top > 220, character


def _extent(skeleton: Skeleton) -> tuple[float, float, float, float]:
    ends = [end for run in skeleton for segment in run.segments for end in segment[:2]]
    xs, ys = [x for x, _ in ends], [y for _, y in ends]
    return min(xs), min(ys), max(xs), max(ys)


def test_an_accent_apart_and_composed_are_one() -> None:
    assert letter("é").area == pytest.approx(
        plain().set_line("e\u0301", style()).letters[0].outline.area
    )


def test_any_mark_stands_on_any_letter() -> None:
    """Even where Unicode has no character for the two, and one over the other."""
    (only,) = plain().set_line("x\u0302\u0301", style()).letters
    assert only.text == "x\u0302\u0301"
    assert len(only.outline.contours) == 3


def test_a_letter_with_a_mark_that_is_missing_is_missing() -> None:
    line = plain().set_line("ax\u20dfb", style())
    assert line.missing == ("\u20df",)
    assert [each.text for each in line.letters] == ["a", "b"]


def test_small_i_loses_its_dot_under_an_accent() -> None:
    assert len(letter("i").contours) == 2
    assert len(letter("í").contours) == 2
    assert len(letter("ï").contours) == 3


def test_the_file_is_drawn_in_lines_and_arcs_only() -> None:
    file = Path(__file__).parents[3] / "fonts/plain.svg"
    for glyph in ET.parse(file).iter("{http://www.w3.org/2000/svg}glyph"):
        assert set(glyph.get("d", "")) <= set("MLAZ 0123456789.-"), glyph.get("glyph-name")


# --- Setting a line ---


def test_missing_characters_are_listed_and_left_out() -> None:
    line = plain().set_line("A字B", style())
    assert line.missing == ("字",)
    assert [each.text for each in line.letters] == ["A", "B"]


def test_spaces_are_letters_without_ink() -> None:
    line = plain().set_line(" A B ", style())
    assert [each.text for each in line.letters] == [" ", "A", " ", "B", " "]
    assert [bool(each.outline) for each in line.letters] == [False, True, False, True, False]


def test_an_empty_line_is_empty() -> None:
    line = plain().set_line("", style())
    assert line.letters == ()


def test_lines_set_in_parts_join_up() -> None:
    """A stem at the end of one line and one at the start of the next are properly spaced."""
    first = plain().set_line("H", style())
    second = plain().set_line("H", style())
    right = first.letters[0].outline.bounds[2]
    left = first.advance + second.letters[0].outline.bounds[0]
    one, other = (letter.outline.bounds for letter in plain().set_line("HH", style()).letters)
    assert left - right == pytest.approx(other[0] - one[2], abs=1e-3)


def test_tracking_adds_to_every_space() -> None:
    close, wide = (
        plain().set_line("ABC D", style(tracking=tracking)).letters for tracking in (0.0, 0.1)
    )
    added = [
        w.outline.bounds[0] - c.outline.bounds[0]
        for c, w in zip(close, wide, strict=True)
        if c.outline
    ]
    assert added == pytest.approx([0, 0.35, 0.7, 1.4], abs=1e-6)


# --- A user's own ---


def test_a_users_font_is_set_like_the_built_in(tmp_path: Path) -> None:
    path = font(
        tmp_path,
        '<glyph unicode="H" d="M0 0V700 M500 0V700 M0 350H500"/>'
        '<glyph unicode="o" d="M0 250C0 400 100 500 250 500S500 400 500 250 400 0 250 0'
        ' 0 100 0 250Z"/>',
    )
    face = StrokeFace.read(path)
    line = face.set_line("Hox", TextStyle(face, 7.0))
    assert line.missing == ("x",)
    assert not line.flattened
    assert line.letters[0].outline.bounds[3] == pytest.approx(7, abs=0.002)
    assert len(line.letters[1].outline.contours) == 2


def test_an_accent_stands_clear_of_a_letter_whose_curves_end_at_its_sides(tmp_path: Path) -> None:
    """The top of the o is in the middle of a curve, not at the end of one."""
    path = font(
        tmp_path,
        '<glyph unicode="H" d="M0 0V700 M500 0V700 M0 350H500"/><glyph unicode="x" d="M0 0L9 500"/>'
        '<glyph unicode="o" d="M0 250C0 583 500 583 500 250 C500 -83 0 -83 0 250Z"/>'
        '<glyph unicode="&#x304;" d="M150 700H350"/>',
    )
    face = StrokeFace.read(path)
    (letter,) = face.set_line("o\u0304", TextStyle(face, 7.0)).letters
    lower, upper = shapely.get_parts(letter.outline.shape)
    assert upper.bounds[1] - lower.bounds[3] == pytest.approx(200 * 6 / 700 - 1, abs=0.02)


def test_a_glyph_without_strokes_is_missing(tmp_path: Path) -> None:
    glyphs = '<glyph unicode="H" d="M0 0V7"/><glyph unicode="a" d="M0 0"/><glyph unicode="b"/>'
    face = StrokeFace.read(font(tmp_path, glyphs))
    assert face.set_line("Hab", TextStyle(face, 5)).missing == ("a", "b")


def test_a_cap_height_that_is_not_stated_is_measured(tmp_path: Path) -> None:
    glyphs = '<glyph unicode="H" d="M0 0V662 M500 0V662"/><glyph unicode="x" d="M0 0L9 400"/>'
    assert StrokeFace.read(font(tmp_path, glyphs, "")).cap_height == 662
    assert StrokeFace.read(font(tmp_path, glyphs, 'cap-height="700"')).cap_height == 700


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("<svg><font", "is damaged: it is not well-formed XML"),
        ("<svg/>", "is no SVG font: it has no <font>"),
        ("<svg><font/></svg>", "has no glyphs with strokes"),
        (
            '<!DOCTYPE svg [<!ENTITY a "M0 0">]><svg><font><glyph d="&a;"/></font></svg>',
            "has a DOCTYPE, which is refused",
        ),
        (
            '<svg><font><font-face cap-height="tall"/><glyph unicode="A" d="M0 0V9"/></font></svg>',
            "states a cap-height of 'tall'",
        ),
        ('<svg><font><glyph unicode="·" d="M0 0Z"/></font></svg>', "has no capitals to measure"),
        ('<svg><font><glyph unicode="H" d="M0 0 V"/></font></svg>', "damaged glyph for 'H'"),
    ],
)
def test_a_damaged_font_is_a_clear_error(tmp_path: Path, text: str, message: str) -> None:
    path = tmp_path / "own.svg"
    path.write_text(text)
    with pytest.raises(FaceError, match=message) as error:
        StrokeFace.read(path)
    assert str(error.value).endswith(".")
    assert "own.svg" in str(error.value)


def test_a_damaged_glyph_is_named_when_it_is_wanted(tmp_path: Path) -> None:
    path = font(tmp_path, '<glyph unicode="A" d="M0 0V9"/><glyph unicode="B" d="M0 0 L 1"/>')
    face = StrokeFace.read(path)
    assert face.set_line("A", TextStyle(face, 5)).letters
    with pytest.raises(FaceError, match="damaged glyph for 'B': a number was expected"):
        face.set_line("B", TextStyle(face, 5))


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(FaceError, match="cannot be opened: no such file"):
        StrokeFace.read(tmp_path / "none.svg")


def test_no_white_is_too_narrow_to_cut() -> None:
    """At a seventh of the height, a gap of 60 units between edges is the least: closing up all
    that is narrower joins no parts and fills no counter of a capital, small letter or figure."""
    letters = [c for c in dict.fromkeys(ASCII + LETTERS) if c.isalnum() and plain().has(c)]
    for character in letters:
        shape = letter(character, style(20.0)).shape
        closed = shape.buffer(60 * 6 / 7 / 900 / 2 * 20.0, quad_segs=32)
        assert _parts(closed) == _parts(shape), character


def _parts(shape: shapely.Geometry) -> tuple[int, int]:
    parts = shapely.get_parts(shape)
    return len(parts), sum(len(part.interiors) for part in parts)
