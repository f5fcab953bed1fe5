"""Faces from font files: sizes, curves, letters, variable fonts, wrappings, damage."""

import io
import random
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import shapely
from font_files import BOLD, SANS, SERIF, VARIABLE
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTCollection, TTFont

from legend.lettering.faces.face import FaceError, TextStyle
from legend.lettering.faces.outline_face import OutlineFace, read_face
from legend.lettering.outlines.outline import Outline


def read(path: Path, **axes: float) -> OutlineFace:
    return read_face(path.name, path, axes, 0)


@pytest.fixture(scope="module", params=[SANS, SERIF, BOLD], ids=lambda path: path.stem)
def face(request: pytest.FixtureRequest) -> OutlineFace:
    return read(request.param)


def ink(face: OutlineFace, text: str, style: TextStyle) -> Outline:
    return Outline.gathered(letter.outline for letter in face.set_line(text, style).letters)


# --- Sizes ---


@pytest.mark.parametrize("height", [1.8, 3.5, 20])
def test_a_capital_is_exactly_as_tall_as_the_style_says(face: OutlineFace, height: float) -> None:
    _, bottom, _, top = ink(face, "H", TextStyle(face, height)).bounds
    assert top - bottom == pytest.approx(height, abs=1e-9)
    assert bottom == pytest.approx(0, abs=1e-9)


def test_width_narrows_letters_and_spaces_alike(face: OutlineFace) -> None:
    plain = face.set_line("AV8", TextStyle(face, 5))
    narrow = face.set_line("AV8", TextStyle(face, 5, width=0.8))
    assert narrow.advance == pytest.approx(0.8 * plain.advance)
    for one, other in zip(plain.letters, narrow.letters, strict=True):
        x0, y0, x1, y1 = one.outline.bounds
        assert other.outline.bounds == pytest.approx((0.8 * x0, y0, 0.8 * x1, y1), abs=5e-3)


def test_slope_leans_about_the_baseline(face: OutlineFace) -> None:
    upright = ink(face, "I", TextStyle(face, 10)).bounds
    leaning = ink(face, "I", TextStyle(face, 10, slope=45)).bounds
    assert leaning[0] == pytest.approx(upright[0], abs=1e-6)
    assert leaning[2] == pytest.approx(upright[2] + 10, abs=1e-6)
    assert leaning[3] == pytest.approx(10)


def test_the_stroke_is_the_fonts_own(face: OutlineFace) -> None:
    thin, thick = (TextStyle(face, 5, stroke=stroke) for stroke in (0.05, 0.3))
    assert ink(face, "B", thin).area == ink(face, "B", thick).area


def test_the_stem_is_the_width_of_an_upright_stroke() -> None:
    face = read(SANS)
    left, _, right, _ = ink(face, "I", TextStyle(face, 1)).bounds
    assert face.stem == pytest.approx(right - left)


def test_tracking_adds_capital_heights_between_letters(face: OutlineFace) -> None:
    plain = face.set_line("HAND", TextStyle(face, 5))
    loose = face.set_line("HAND", TextStyle(face, 5, tracking=0.2))
    for place, (one, other) in enumerate(zip(plain.letters, loose.letters, strict=True)):
        assert other.outline.bounds[0] == pytest.approx(one.outline.bounds[0] + place)
    assert loose.advance == pytest.approx(plain.advance + 3)


# --- Curves ---

LATIN = [chr(code) for code in (*range(33, 127), *range(161, 256)) if code != 173]


def own_curves(font: TTFont, character: str) -> tuple[int, shapely.Geometry]:
    """Nodes and edge of a glyph as fontTools draws it, in font units."""
    pen = DecomposingRecordingPen(font.getGlyphSet())
    font.getGlyphSet()[font.getBestCmap()[ord(character)]].draw(pen)
    nodes, edges, at, start = 0, [], (0.0, 0.0), (0.0, 0.0)

    def curve(points: list[tuple[float, float]]) -> None:
        t = np.linspace(0, 1, 65)[:, None]
        rows = [np.broadcast_to(np.array(point, dtype=float), (65, 2)) for point in points]
        while len(rows) > 1:
            rows = [p + (q - p) * t for p, q in pairwise(rows)]
        edges.append(shapely.LineString(rows[0]))

    for verb, points in pen.value:
        if verb == "moveTo":
            at = start = points[0]
        elif verb == "lineTo":
            if points[0] != at:
                nodes += 1
                edges.append(shapely.LineString([at, points[0]]))
            at = points[0]
        elif verb == "curveTo":
            nodes += 1
            curve([at, *points])
            at = points[-1]
        elif verb == "qCurveTo":
            offs = list(points[:-1])
            if points[-1] is None:  # a contour without a point on the curve
                start = at = ((offs[-1][0] + offs[0][0]) / 2, (offs[-1][1] + offs[0][1]) / 2)
                points = (*offs, start)
            for number, off in enumerate(offs):
                following = offs[number + 1] if number + 1 < len(offs) else None
                middle = (
                    ((off[0] + following[0]) / 2, (off[1] + following[1]) / 2)
                    if following
                    else points[-1]
                )
                nodes += 1
                curve([at, off, middle])
                at = middle
        elif at != start:
            nodes += 1
            edges.append(shapely.LineString([at, start]))
    return nodes, shapely.MultiLineString(edges)


@pytest.mark.parametrize("path", [SANS, SERIF, BOLD], ids=lambda path: path.stem)
def test_letters_are_the_fonts_own_curves(path: Path) -> None:
    """No further than 0.005 mm from them at 20 mm, no more nodes, nothing that crosses."""
    face, font = read(path), TTFont(path)
    tall = 20.0
    capital = own_curves(font, "H")[1].bounds[3]
    style = TextStyle(face, tall)
    overlapped = 0
    for character in LATIN:
        if ord(character) not in font.getBestCmap():
            continue
        line = face.set_line(character, style)
        assert not line.flattened
        outline = line.letters[0].outline
        nodes, edge = own_curves(font, character)
        edge = shapely.transform(edge, lambda points: points * tall / capital)
        away = max(
            float(shapely.distance(shapely.points(contour.flat), edge).max())
            for contour in outline.contours
        )
        assert away < 0.005, character
        for contour in outline.contours:
            assert shapely.is_simple(shapely.linearrings(contour.flat)), character
        assert outline.shape.is_valid, character
        signed = sum(contour.signed_area for contour in outline.contours)
        assert signed == pytest.approx(outline.area, rel=1e-6), character
        if outline.nodes > 1.1 * nodes:
            overlapped += 1  # each crossing of two contours must become a node
    assert overlapped <= 6


def font_of(tmp_path: Path, **glyphs: list[list[tuple[int, int]]]) -> Path:
    """A small font of straight-sided glyphs, each a list of contours."""
    builder = FontBuilder(1000, isTTF=True)
    names = [".notdef", *glyphs]
    builder.setupGlyphOrder(names)
    builder.setupCharacterMap({ord(name): name for name in glyphs})
    drawn = {".notdef": TTGlyphPen(None).glyph()}
    for name, contours in glyphs.items():
        pen = TTGlyphPen(None)
        for contour in contours:
            pen.moveTo(contour[0])
            for point in contour[1:]:
                pen.lineTo(point)
            pen.closePath()
        drawn[name] = pen.glyph()
    builder.setupGlyf(drawn)
    builder.setupHorizontalMetrics(dict.fromkeys(names, (800, 0)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Cross", "styleName": "Regular"})
    builder.setupOS2()
    builder.setupPost()
    builder.save(tmp_path / "cross.ttf")
    return tmp_path / "cross.ttf"


def box(x0: int, y0: int, x1: int, y1: int) -> list[tuple[int, int]]:
    """A rectangle, clockwise, as TrueType draws what is inked."""
    return [(x0, y0), (x0, y1), (x1, y1), (x1, y0)]


def test_contours_that_overlap_are_joined(tmp_path: Path) -> None:
    path = font_of(
        tmp_path,
        H=[box(0, 0, 100, 700), box(500, 0, 600, 700), box(50, 300, 550, 400)],
        A=[box(0, 0, 400, 700), box(100, 100, 300, 600)[::-1]],
        B=[box(0, 0, 400, 700)[::-1], box(100, 100, 300, 600)],
    )
    face = read(path)
    style = TextStyle(face, 7)
    legs = ink(face, "H", style)
    assert len(legs.contours) == 1
    assert legs.nodes == 12
    assert legs.area == pytest.approx(2 * 7 + 4 * 1)
    for ring in "AB":
        outline = ink(face, ring, style)
        assert len(outline.contours) == 2
        assert outline.area == pytest.approx(4 * 7 - 2 * 5)


# --- Letters ---


def test_what_the_face_lacks_is_listed_and_not_drawn(face: OutlineFace) -> None:
    line = face.set_line("Aꀀ Bꀀꀁ", TextStyle(face, 5))
    assert line.missing == ("ꀀ", "ꀁ")
    drawn = [letter.text for letter in line.letters if letter.outline]
    assert drawn == ["A", "B"]
    assert face.has("A")
    assert not face.has("ꀀ")


def test_a_mark_that_is_missing_is_named_alone() -> None:
    face = read(BOLD)
    assert face.set_line("x\u20dd", TextStyle(face, 5)).missing == ("\u20dd",)


def test_a_ligature_is_one_letter_unless_tracked() -> None:
    face = read(SANS)
    letters = face.set_line("ffit", TextStyle(face, 5)).letters
    assert [letter.text for letter in letters] == ["ffi", "t"]
    letters = face.set_line("ffit", TextStyle(face, 5, tracking=0.1)).letters
    assert [letter.text for letter in letters] == list("ffit")


def test_a_letter_and_its_marks_are_one() -> None:
    face = read(SANS)
    line = face.set_line("q\u0302x\u0323𝔸", TextStyle(face, 5))
    assert [letter.text for letter in line.letters] == ["q\u0302", "x\u0323", "𝔸"]
    alone = face.set_line("q", TextStyle(face, 5)).letters[0].outline
    marked = line.letters[0].outline
    assert marked.bounds[3] > alone.bounds[3] + 0.5
    assert len(marked.contours) == len(alone.contours) + 1


def test_right_to_left_stands_from_right_to_left() -> None:
    face = read(SANS)
    letters = face.set_line("שעון 60", TextStyle(face, 5)).letters
    assert "".join(letter.text for letter in letters) == "60 ןועש"
    lefts = [letter.outline.bounds[0] for letter in letters if letter.outline]
    assert lefts == sorted(lefts)


@pytest.mark.parametrize("text", ["٦\u218f", "שע\u200dון", "\u2067שעון\u2069 A", "א\u202bב\u202c"])
def test_marks_of_direction_and_strange_characters_upset_nothing(text: str) -> None:
    face = read(SANS)
    line = face.set_line(text, TextStyle(face, 5))
    assert any(letter.outline for letter in line.letters)


def test_arabic_letters_take_the_forms_of_their_places() -> None:
    face = read(SANS)
    style = TextStyle(face, 5)
    alone = face.set_line("ع", style).letters[0].outline
    within = face.set_line("لعل", style).letters[1].outline
    assert within.area != pytest.approx(alone.area, rel=0.05)


def test_an_empty_line_and_spaces(face: OutlineFace) -> None:
    assert face.set_line("", TextStyle(face, 5)).advance == 0
    spaces = face.set_line("  ", TextStyle(face, 5))
    assert spaces.advance > 0
    assert not any(letter.outline for letter in spaces.letters)


# --- Variable fonts ---


def test_axis_values_change_the_weight() -> None:
    stems = [read(VARIABLE, wght=weight).stem for weight in (200, 400, 800)]
    assert stems[0] < 0.75 * stems[1]
    assert stems[1] < 0.75 * stems[2]
    assert read(VARIABLE, wght=700).stem == pytest.approx(read(BOLD).stem, rel=0.03)


def test_variable_letters_cross_nothing() -> None:
    face = read(VARIABLE, wght=733)
    for character in LATIN:
        if face.has(character):
            outline = ink(face, character, TextStyle(face, 5))
            assert outline.shape.is_valid, character
            signed = sum(contour.signed_area for contour in outline.contours)
            assert signed == pytest.approx(outline.area, rel=1e-6), character


@pytest.mark.parametrize(
    ("path", "axes", "said"),
    [
        (VARIABLE, {"wdth": 80}, "has no axis 'wdth'; its axes are wght"),
        (VARIABLE, {"wght": 2000}, "goes from 200 to 800, not to 2000"),
        (BOLD, {"wght": 300}, "it is not a variable font"),
    ],
)
def test_wrong_axes_are_told(path: Path, axes: dict[str, float], said: str) -> None:
    with pytest.raises(FaceError, match=said):
        read(path, **axes)


# --- Wrappings ---


@pytest.mark.parametrize("flavour", ["woff", "woff2"])
def test_web_fonts_are_unpacked(tmp_path: Path, flavour: str) -> None:
    font = TTFont(BOLD)
    font.flavor = flavour
    font.save(tmp_path / f"face.{flavour}")
    face = read(tmp_path / f"face.{flavour}")
    style = TextStyle(face, 5)
    assert ink(face, "RANGE", style).area == pytest.approx(ink(read(BOLD), "RANGE", style).area)


@pytest.fixture(scope="module")
def collection(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("collection") / "two.ttc"
    both = TTCollection()
    both.fonts = [TTFont(SANS.with_name("DejaVuSansMono.ttf")), TTFont(BOLD)]
    both.save(path)
    return path


def test_a_collection_gives_each_of_its_faces(collection: Path) -> None:
    second = read_face("two", collection, {}, 1)
    assert second.stem == pytest.approx(read(BOLD).stem)
    assert read(collection).stem != pytest.approx(second.stem, rel=0.1)
    with pytest.raises(FaceError, match="has 2 faces, numbered from 0"):
        read_face("two", collection, {}, 2)
    with pytest.raises(FaceError, match="holds one face"):
        read_face("bold", BOLD, {}, 1)


# --- Damage ---


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "is not a font"),
        (b"PNG and no font", "is not a font"),
        (b"ttcf", "ends before all of it was read"),
        (b"wOFF" + bytes(40), "cannot be unpacked"),
        (b"wOF2" + bytes(40), "cannot be unpacked"),
        (b"\0\1\0\0\0\0" + bytes(6), "has no outlines"),
        (BOLD.read_bytes()[:9000], "ends before all of it was read"),
        (SERIF.read_bytes()[:100], "ends before all of it was read"),
    ],
)
def test_a_damaged_file_is_told(tmp_path: Path, data: bytes, said: str) -> None:
    path = tmp_path / "face.ttf"
    path.write_bytes(data)
    with pytest.raises(FaceError, match=said) as caught:
        read(path)
    assert str(path) in str(caught.value)


def test_a_file_that_cannot_be_opened_is_told(tmp_path: Path) -> None:
    with pytest.raises(FaceError, match="cannot be read"):
        read(tmp_path)


def test_a_font_without_capitals_is_told(tmp_path: Path) -> None:
    path = font_of(tmp_path, a=[box(0, 0, 300, 500)])
    font = TTFont(path)
    font["OS/2"].sCapHeight = 0
    font.save(path)
    with pytest.raises(FaceError, match="has no capitals"):
        read(path)


def test_a_font_without_an_h_is_measured_on_another_capital(tmp_path: Path) -> None:
    path = font_of(tmp_path, E=[box(0, 0, 300, 500)])
    face = read(path)
    assert ink(face, "E", TextStyle(face, 4)).bounds[3] == pytest.approx(4)


def test_no_damage_gets_further_than_a_face_error() -> None:
    """Bytes changed at random: the face is read, or refused in words."""
    chance = random.Random(7)
    whole = BOLD.read_bytes()
    refused = 0
    for _ in range(60):
        data = bytearray(whole)
        for _ in range(chance.choice((1, 20, 400))):
            data[chance.randrange(chance.choice((400, len(data))))] = chance.randrange(256)
        path = _Held(bytes(data))
        try:
            face = read_face("held", path, {}, 0)  # type: ignore[arg-type]
            face.set_line("RANGE 50", TextStyle(face, 5))
        except FaceError:
            refused += 1
    assert 0 < refused < 60


class _Held:
    """Stands for the path of a file whose content is in memory."""

    def __init__(self, data: bytes) -> None:
        self._data = io.BytesIO(data)

    def read_bytes(self) -> bytes:
        return self._data.getvalue()


def test_accents_lean_with_the_letters_that_they_stand_on() -> None:
    """An accent that the font sets over a letter, which has none of its own with it."""
    face = read_face("sans", SANS, {}, 0)
    (letter,) = face.set_line("X\u0302", TextStyle(face, 10.0)).letters
    (sloped,) = face.set_line("X\u0302", TextStyle(face, 10.0, slope=20.0)).letters
    lean = np.tan(np.radians(20.0))
    wanted = letter.outline.transformed((1, 0, lean, 1, 0, 0)).shape
    assert wanted.bounds[3] > 11  # the accent stands over the capital
    assert sloped.outline.shape.symmetric_difference(wanted).area < 0.01
