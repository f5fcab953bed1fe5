"""Texts are set in lines, with symbols and with letters of the built-in face among them."""

import itertools
from dataclasses import replace
from pathlib import Path

import pathops
import pytest
import shapely
from font_files import BOLD, SANS
from fontTools import subset
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.lettering.faces.face import Letter, LetteringError, Line, TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import Align, Setting, set_text


@pytest.fixture(scope="module")
def sans() -> TextStyle:
    return TextStyle(load_face(str(SANS), Path()), 5)


@pytest.fixture(scope="module")
def bold(tmp_path_factory: pytest.TempPathFactory) -> TextStyle:
    """A bold face that has capitals and nothing else."""
    options = subset.Options()
    font = subset.load_font(str(BOLD), options)
    chosen = subset.Subsetter(options)
    chosen.populate(text="ABCDEFGHIJKLMNOPQRSTUVWXYZ ")
    chosen.subset(font)
    folder = tmp_path_factory.mktemp("faces")
    font.save(folder / "capitals.ttf")
    return TextStyle(load_face("capitals.ttf", folder), 5)


@pytest.fixture(scope="module")
def plain() -> TextStyle:
    return TextStyle(load_face("plain", Path()), 5, stroke=0.1)


def lines_of(setting: Setting, *lengths: int) -> list[tuple[float, float, float, float]]:
    """Boxes of the ink of lines with so many letters."""
    letters = iter(setting.letters)
    return [
        Outline.gathered(letter.outline for letter in itertools.islice(letters, length)).bounds
        for length in lengths
    ]


# --- Lines ---


def test_one_line_starts_at_the_pen_on_the_baseline(sans: TextStyle) -> None:
    setting = set_text("HAND", sans)
    line = sans.face.set_line("HAND", sans)
    assert setting.outline.bounds[1] == pytest.approx(0, abs=1e-9)
    for one, other in zip(setting.letters, line.letters, strict=True):
        assert one.outline.bounds == pytest.approx(other.outline.bounds)
    assert setting.height == 5
    assert setting.notes == ()


@pytest.mark.parametrize(
    ("text", "pitch"),
    [
        ("SAFE\nLIGHT", 1.3),
        ("50\n60", 1.3),
        ("Safe\nLIGHT", 1.5),
        ("5 kΩ\n1 µF", 1.5),
        ("SÉCURITÉ\nLAMPE", 1.9),
        ("FAÇADE\nNORD", 1.3),
        ("Été\nhiver", 1.9),
        ("gâche\nété", 1.9),
        ("façade\nnord", 1.5),
        ("symbol:bell ON\nOFF", 1.9),
    ],
)
def test_lines_stand_at_the_pitch_of_the_standard(sans: TextStyle, text: str, pitch: float) -> None:
    second = text.split("\n")[1]
    setting = set_text(text, sans)
    letters = setting.letters[-len(second) :]
    lower = Outline.gathered(letter.outline for letter in letters).bounds[1]
    _, alone, _, _ = set_text(second, sans).outline.bounds
    assert alone - lower == pytest.approx(pitch * 5)


@pytest.mark.parametrize("align", ["left", "centre", "right"])
def test_lines_are_aligned_by_their_ink(sans: TextStyle, align: Align) -> None:
    setting = set_text("TIMER\nAV\nLONGER LINE", sans, align)
    boxes = lines_of(setting, 5, 2, 11)
    measure = {
        "left": lambda box: box[0],
        "centre": lambda box: (box[0] + box[2]) / 2,
        "right": lambda box: box[2],
    }[align]
    first = measure(set_text("TIMER", sans).outline.bounds)
    assert [measure(box) for box in boxes] == pytest.approx([first] * 3)


def test_an_empty_line_keeps_its_room(sans: TextStyle) -> None:
    setting = set_text("A\n\nB", sans)
    assert setting.outline.bounds[1] == pytest.approx(-2 * 1.3 * 5)


@pytest.mark.parametrize("text", ["", " ", "   ", "\n", " \n "])
def test_no_ink(sans: TextStyle, plain: TextStyle, text: str) -> None:
    for style in (sans, plain):
        setting = set_text(text, style)
        assert not setting.outline
        assert setting.notes == ()


def test_tabs_are_spaces_and_composed_letters_are_the_same_as_loose_ones(sans: TextStyle) -> None:
    assert set_text("A\tB", sans).outline.bounds == set_text("A B", sans).outline.bounds
    assert set_text("E\u0301", sans).outline.bounds == set_text("É", sans).outline.bounds


def test_settings_are_kept(sans: TextStyle) -> None:
    assert set_text("KEPT", sans) is set_text("KEPT", replace(sans))
    assert set_text("KEPT", sans) is not set_text("KEPT", replace(sans, height=6))


def test_word_space_moves_words_apart_and_letters_not(sans: TextStyle) -> None:
    usual = set_text("AB CD EF", sans).letters
    wide = set_text("AB CD EF", replace(sans, word_space=0.4)).letters
    inked = [
        other.outline.bounds[0] - one.outline.bounds[0]
        for one, other in zip(usual, wide, strict=True)
        if one.outline
    ]
    assert inked == pytest.approx([0, 0, 2, 2, 4, 4])
    boxes = [
        [x.outline.bounds for x in set_text("H symbol:off", style).letters]
        for style in (sans, replace(sans, word_space=0.4))
    ]
    assert boxes[1][1][0] - boxes[0][1][0] == pytest.approx(2)


def test_greek_capitals_bear_no_acute() -> None:
    style = TextStyle(load_face("plain", Path()), 5, case="capitals")
    letters = set_text("κυψέλης ΐ É", style).letters
    assert [each.text for each in letters] == list("ΚΥΨΕΛΗΣ Ϊ É")


def test_case(sans: TextStyle) -> None:
    capitals = replace(sans, case="capitals")
    setting = set_text("Straße\n10 µm symbol:on", capitals)
    assert setting.text == "Straße\n10 µm symbol:on"
    letters = "".join(letter.text for letter in setting.letters)
    assert letters == "STRASSE10 µmsymbol:on"
    assert set_text("Safe\nLight", capitals).outline.bounds == pytest.approx(
        set_text("SAFE\nLIGHT", sans).outline.bounds
    )


@pytest.mark.parametrize(
    ("text", "set_as"),
    [("5 µf", "5 µF"), ("5 μf", "5 μF"), ("3 μΩ", "3 μΩ"), ("8 μ", "8 μ"), ("λάμπα", "ΛΑΜΠΑ")],
)
def test_micro_is_no_letter_that_has_a_capital(sans: TextStyle, text: str, set_as: str) -> None:
    """5 ΜF with a capital mu would be read as megafarads."""
    letters = set_text(text, replace(sans, case="capitals")).letters
    assert "".join(letter.text for letter in letters) == set_as


# --- What the face lacks ---


def test_a_missing_character_comes_from_the_built_in_face(bold: TextStyle) -> None:
    assert not bold.face.has("±")
    setting = set_text("A±B", bold)
    assert [letter.text for letter in setting.letters] == ["A", "±", "B"]
    assert setting.notes == (
        "The face 'capitals.ttf' has no ±; it is taken from the built-in face plain.",
    )
    first, sign, last = (letter.outline.bounds for letter in setting.letters)
    pair = bold.face.set_line("HH", bold).letters
    gap = pair[1].outline.bounds[0] - pair[0].outline.bounds[2]
    assert sign[0] - first[2] == pytest.approx(gap)
    assert last[0] - sign[2] == pytest.approx(gap)
    assert last[1] == pytest.approx(0, abs=1e-9)


def test_what_stands_in_is_as_heavy_as_the_face(bold: TextStyle) -> None:
    left, bottom, right, top = set_text("–", bold).outline.bounds
    stem = set_text("I", bold).outline.bounds
    assert top - bottom == pytest.approx(stem[2] - stem[0], rel=0.02)


def test_several_missing_characters_are_named_together(bold: TextStyle) -> None:
    (note,) = set_text("±A ° B ±", bold).notes
    assert note == (
        "The face 'capitals.ttf' has no ± and °; they are taken from the built-in face plain."
    )


def test_words_among_what_stands_in_keep_their_spaces(bold: TextStyle) -> None:
    letters = [letter.outline for letter in set_text("A – B", bold).letters if letter.outline]
    pair = [x.outline for x in bold.face.set_line("H H", bold).letters if x.outline]
    gap = pair[1].bounds[0] - pair[0].bounds[2]
    for one, other in itertools.pairwise(letters):
        assert other.bounds[0] - one.bounds[2] == pytest.approx(gap)


def test_a_character_that_no_face_has(sans: TextStyle, plain: TextStyle) -> None:
    called = r"'ꀀ' \(YI SYLLABLE IT, U\+A000\) of the text 'AꀀB' is "
    for style, said in (
        (sans, "neither in the face .* nor in the built-in face"),
        (plain, "not in the built-in face"),
    ):
        with pytest.raises(LetteringError, match=called + said):
            set_text("AꀀB", style)


def test_a_mark_is_not_parted_from_its_letter(tmp_path: Path, plain: TextStyle) -> None:
    """A face that has the letter and not the mark leaves both to the built-in one."""
    glyphs = "".join(f'<glyph unicode="{c}" d="M0 0V700H300"/>' for c in "ABHq")
    own = f'<svg><font><font-face cap-height="700"/>{glyphs}</font></svg>'
    (tmp_path / "own.svg").write_text(own)
    style = replace(plain, face=load_face("own.svg", tmp_path))
    setting = set_text("Aq\u0302 B", style)
    inked = [letter for letter in setting.letters if letter.outline]
    assert [letter.text for letter in inked] == ["A", "q\u0302", "B"]
    (built_in,) = set_text("q\u0302", plain).letters
    assert inked[1].outline.area == pytest.approx(built_in.outline.area)
    assert len(setting.notes) == 1


# --- Symbols ---


@pytest.mark.parametrize(
    "text", ["symbol:earth", "MAINS symbol:earth 5 A", "symbol:on\nsymbol:off"]
)
def test_symbols_stand_among_words(sans: TextStyle, text: str) -> None:
    setting = set_text(text, sans)
    assert "".join(letter.text for letter in setting.letters if letter.outline) == "".join(
        text.split()
    )
    boxes = [letter.outline.bounds for letter in setting.letters if letter.outline]
    if "\n" not in text:
        assert all(one[2] < other[0] for one, other in itertools.pairwise(boxes))


def test_a_symbol_stands_on_the_middle_of_the_capitals(sans: TextStyle) -> None:
    setting = set_text("H symbol:off", sans)
    circle = setting.letters[-1].outline.bounds
    assert (circle[1] + circle[3]) / 2 == pytest.approx(2.5)


def test_a_word_space_stands_between_a_symbol_and_a_word(sans: TextStyle) -> None:
    setting = set_text("H symbol:off", sans)
    boxes = [letter.outline.bounds for letter in setting.letters if letter.outline]
    pair = [x.outline.bounds for x in sans.face.set_line("H H", sans).letters if x.outline]
    assert boxes[1][0] - boxes[0][2] == pytest.approx(pair[1][0] - pair[0][2])


def test_an_unknown_symbol(sans: TextStyle) -> None:
    with pytest.raises(LetteringError, match=r"no symbol 'erth'; the nearest are .*earth"):
        set_text("symbol:erth", sans)


def test_the_word_symbol_is_a_word(sans: TextStyle) -> None:
    letters = set_text("(symbol:on) SYMBOL", sans).letters
    assert "".join(letter.text for letter in letters) == "(symbol:on) SYMBOL"


# --- Letters that touch ---


class _Boxes:
    """A face whose letters are squares, one capital height wide, set with a given step."""

    name = "boxes"

    def __init__(self, step: float) -> None:
        self.step = step

    def has(self, character: str) -> bool:
        return True

    def set_line(self, text: str, style: TextStyle) -> Line:
        square = Outline.rectangle(0, 0, style.height, style.height)
        letters = [
            Letter(character, square.moved(place * self.step * style.height, 0))
            for place, character in enumerate(text)
        ]
        return Line(tuple(letters), len(text) * self.step * style.height)


def test_letters_that_touch_are_joined() -> None:
    joined = set_text("ABC", TextStyle(_Boxes(0.75), 4))
    assert len(joined.outline.contours) == 1
    assert joined.outline.area == pytest.approx(4 * (4 + 3 + 3))
    assert [letter.text for letter in joined.letters] == ["A", "B", "C"]
    apart = set_text("ABC", TextStyle(_Boxes(1.5), 4))
    assert len(apart.outline.contours) == 3


def test_a_join_that_had_to_be_flattened_is_noted(monkeypatch: pytest.MonkeyPatch) -> None:
    class Failing(pathops.Path):
        """An engine that gives up."""

        def simplify(self, **_: object) -> None:
            raise pathops.PathOpsError

    monkeypatch.setattr(pathops, "Path", Failing)
    setting = set_text("ABCD", TextStyle(_Boxes(0.75), 4))
    assert setting.notes[0].startswith("Some curves of 'ABCD' could not be joined as curves")
    assert setting.outline.area == pytest.approx(4 * 13)


@given(st.text("AVTo.1/fiéÅ8 ", min_size=1, max_size=12), st.floats(0, 0.5))
@settings(max_examples=25, deadline=None)
def test_ink_is_that_of_the_letters_and_sound(text: str, tracking: float) -> None:
    style = TextStyle(load_face(str(SANS), Path()), 3.5, tracking=tracking)
    setting = set_text(text, style)
    shapes = [letter.outline.shape for letter in setting.letters]
    assert setting.outline.area == pytest.approx(shapely.union_all(shapes).area, rel=1e-3)
    assert setting.outline.shape.is_valid
    assert "".join(letter.text for letter in setting.letters) == text


def test_a_symbol_whose_name_is_parted_from_it_is_told(sans: TextStyle) -> None:
    for text in ("symbol: start", "HOT symbol:"):
        with pytest.raises(LetteringError, match="as in symbol:earth"):
            set_text(text, sans)
