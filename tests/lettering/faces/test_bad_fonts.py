"""Font files with anything wrong with them: a face, or a sentence that says why there is none."""

from __future__ import annotations

import io
import os
import random
import re
import struct
import subprocess
import sys
import time
import zlib
from functools import lru_cache
from pathlib import Path

import brotli
import numpy as np
import pytest
from font_files import SANS, SERIF, VARIABLE
from fontTools import subset
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTCollection, TTFont

from legend.lettering.faces.face import Face, FaceError, Line, TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.faces.stroke_face import StrokeFace
from legend.lettering.outlines.excessive import crossings
from legend.limits import LONGEST_FONT, LONGEST_STROKE_FACE, MOST_CROSSINGS
from legend.limits import MOST_POINTS_OF_A_LETTER as MOST_POINTS

_WORDS = "RANGE 50 fi É של"
_PLAIN = (Path(__file__).parents[3] / "fonts" / "plain.svg").read_bytes()


@lru_cache
def _sound(ending: str) -> bytes:
    """A font of few characters in this wrapping, so that most of its bytes matter."""
    source = {"otf": SERIF, "woff2": VARIABLE}.get(ending, SANS)
    font = TTFont(source)
    cutter = subset.Subsetter(subset.Options(layout_features=["*"], drop_tables=["FFTM"]))
    cutter.populate(text=_WORDS)
    cutter.subset(font)
    written = io.BytesIO()
    if ending == "ttc":
        both = TTCollection()
        both.fonts = [font, TTFont(io.BytesIO(_sound("otf")))]
        both.save(written)
    else:
        font.flavor = ending if ending.startswith("woff") else None
        font.save(written)
    return written.getvalue()


def _face(folder: Path, data: bytes, name: str) -> Face:
    (folder / name).write_bytes(data)
    os.utime(folder / name, ns=(time.time_ns(), time.time_ns()))  # no two are taken for one
    return load_face(name, folder)


def _set(folder: Path, data: bytes, name: str) -> Line:
    face = _face(folder, data, name)
    return face.set_line(_WORDS, TextStyle(face, 5))


def _damaged(data: bytes, chance: random.Random) -> bytes:
    """A few bytes lost, put in, or made what counts and offsets go wrong by."""
    changed = bytearray(data)
    for _ in range(chance.choice((1, 1, 3, 30))):
        at = chance.randrange(chance.choice((300, len(changed))))
        match chance.randrange(4):
            case 0:
                changed[at : at + 2] = struct.pack(">H", chance.choice((0, 1, 0x7FFF, 0xFFFF)))
            case 1:
                del changed[at : at + chance.choice((1, 4, 40))]
            case 2:
                changed[at:at] = changed[:at][-chance.choice((1, 4, 40)) :]
            case _:
                changed[at] = chance.randrange(256)
    return bytes(changed)


@pytest.mark.parametrize("ending", ["ttf", "otf", "ttc", "woff", "woff2", "svg"])
def test_any_bytes_are_a_face_or_one_sentence(tmp_path: Path, ending: str) -> None:
    sound = _PLAIN if ending == "svg" else _sound(ending)
    assert _set(tmp_path, sound, f"sound.{ending}").letters
    chance = random.Random(f"bad {ending}")
    set_, refused = 0, 0
    for number in range(60):
        begun = time.process_time()
        try:
            line = _set(tmp_path, _damaged(sound, chance), f"face{number}.{ending}")
            assert all(np.isfinite(letter.outline.area) for letter in line.letters)
            set_ += 1
        except FaceError as error:
            assert re.fullmatch(r"[A-Z].*\.", str(error), re.DOTALL)
            assert len(str(error)) < 1000
            refused += 1
        assert time.process_time() - begun < 5
    assert set_ + refused == 60
    assert refused > 3  # most changes of a drawing leave a drawing


# --- Files past all measure ---


def test_a_file_that_is_far_too_long_is_not_read(tmp_path: Path) -> None:
    for name, longest in (("a.ttf", LONGEST_FONT), ("a.svg", LONGEST_STROKE_FACE)):
        with (tmp_path / name).open("wb") as file:
            file.truncate(longest * 100)
        with pytest.raises(FaceError, match=rf"longer than {longest // 10**6} MB"):
            load_face(name, tmp_path)


def _woff(packed: bytes, claimed: int) -> bytes:
    """A web font of one table."""
    entry = struct.pack(">4sLLLL", b"glyf", 64, len(packed), claimed, 0)
    counts = (64 + len(packed), 1, 0, claimed, 1, 0, 0, 0, 0, 0, 0)
    return struct.pack(">4sLLHHLHHLLLLL", b"wOFF", 0x10000, *counts) + entry + packed


def _woff2(packed: bytes, claimed: int) -> bytes:
    digits = [claimed >> shift & 127 | 128 for shift in (28, 21, 14, 7)] + [claimed & 127]
    number = bytes(digits).lstrip(b"\x80")  # the fewest bytes, or fontTools does not take it
    table = bytes([10 | 0xC0]) + number
    length = 48 + len(table) + len(packed)
    counts = (length, 1, 0, claimed, len(packed), 1, 0, 0, 0, 0, 0, 0)
    return struct.pack(">4sLLHHLLHHLLLLL", b"wOF2", 0x10000, *counts) + table + packed


#: Loads a face in a process of its own, and tells why not, and the memory that took, KiB. The
#: peak that `resource` tells would begin with that of its parent.
_LOADING = """\
import re, sys
from pathlib import Path
from legend.lettering.faces.finding import load_face
try:
    load_face(sys.argv[1], Path())
except ValueError as error:
    print(error)
print(re.search(r"VmHWM:\\s*(\\d+)", Path("/proc/self/status").read_text())[1])
"""


@lru_cache
def _very_many_packed(ending: str) -> bytes:
    """500 million noughts, as a web font of this ending packs them."""
    if ending == "woff":
        packer = zlib.compressobj(9)
        return b"".join(packer.compress(bytes(10**6)) for _ in range(500)) + packer.flush()
    packer = brotli.Compressor(quality=1)
    return b"".join(packer.process(bytes(10**6)) for _ in range(500)) + packer.finish()


@pytest.mark.skipif(sys.platform != "linux", reason="memory is told otherwise")
@pytest.mark.parametrize("claimed", [100, 5 * 10**8, 2**28 - 1])
@pytest.mark.parametrize("ending", ["woff", "woff2"])
def test_few_bytes_that_unpack_to_very_many_are_refused(
    tmp_path: Path, claimed: int, ending: str
) -> None:
    """Whatever their header claims."""
    path = tmp_path / f"face.{ending}"
    wrapped = {"woff": _woff, "woff2": _woff2}[ending]
    path.write_bytes(wrapped(_very_many_packed(ending), claimed))
    ran = subprocess.run(
        [sys.executable, "-c", _LOADING, str(path)], capture_output=True, text=True, check=True
    )
    told, memory = ran.stdout.splitlines()
    assert "far more comes out of it than a font for the web holds" in told
    assert int(memory) < 250_000


@pytest.mark.parametrize("ending", ["woff", "woff2"])
def test_a_font_that_claims_to_be_past_all_measure_is_not_unpacked(
    tmp_path: Path, ending: str
) -> None:
    data = bytearray(_sound(ending))
    assert len(_set(tmp_path, bytes(data), f"sound.{ending}").letters) > 9
    struct.pack_into(">L", data, 16, LONGEST_FONT + 1)
    with pytest.raises(FaceError, match="far more comes out of it than a font for the web holds"):
        _face(tmp_path, bytes(data), f"face.{ending}")


# --- Glyphs past all measure ---


def _drawn(folder: Path, **glyphs: list[tuple[int, int]]) -> Path:
    """A font whose glyphs are these polygons, an H among them."""
    builder = FontBuilder(1000)
    order = [".notdef", "H", *glyphs]
    builder.setupGlyphOrder(order)
    builder.setupCharacterMap({ord(name): name for name in order[1:]})
    drawn = {}
    for name in order:
        points = glyphs.get(name) or [(0, 0), (300, 0), (300, 700), (0, 700)]
        pen = TTGlyphPen(None)
        pen.moveTo(points[0])
        for point in points[1:]:
            pen.lineTo(point)
        pen.closePath()
        drawn[name] = pen.glyph()
    builder.setupGlyf(drawn)
    builder.setupHorizontalMetrics({name: (600 if name == "H" else 650, 0) for name in order})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupOS2()
    builder.setupPost()
    builder.save(folder / "own.ttf")
    return folder / "own.ttf"


def _scribble(count: int) -> list[tuple[int, int]]:
    chance = random.Random(4)
    return [(chance.randrange(700), chance.randrange(700)) for _ in range(count)]


def _comb(teeth: int) -> list[tuple[int, int]]:
    points = [(x, y) for k in range(teeth) for x, y in ((2 * k, 700), (2 * k + 1, 300))]
    return [(0, 0), *points, (2 * teeth, 0)]


@pytest.mark.parametrize(
    ("points", "why"),
    [
        (
            _comb(MOST_POINTS),
            rf"is drawn with more than {MOST_POINTS} points, and no letter takes so many",
        ),
        ([(0, 0), (32_000, 0), (0, 700)], "reaches further than 30 times the height of a capital"),
        (_scribble(400), f"crosses itself in more than {MOST_CROSSINGS} places"),
    ],
)
def test_a_glyph_past_all_measure_is_refused_where_it_is_wanted(
    tmp_path: Path, points: list[tuple[int, int]], why: str
) -> None:
    _drawn(tmp_path, A=points)
    face = load_face("own.ttf", tmp_path)
    assert face.set_line("HH", TextStyle(face, 5)).letters
    begun = time.process_time()
    with pytest.raises(FaceError, match=f"No letter can be cut from the glyph 'A' of .*: it {why}"):
        face.set_line("HA", TextStyle(face, 5))
    assert time.process_time() - begun < 2


def test_a_busy_glyph_is_still_a_letter(tmp_path: Path) -> None:
    _drawn(tmp_path, A=_comb(MOST_POINTS // 4), B=_scribble(60))
    face = load_face("own.ttf", tmp_path)
    comb, scribble = face.set_line("AB", TextStyle(face, 7)).letters
    assert comb.outline.nodes > MOST_POINTS // 2
    assert scribble.outline.shape.is_valid


def test_an_advance_past_all_measure_is_refused(tmp_path: Path) -> None:
    path = _drawn(tmp_path, A=[(0, 0), (300, 0), (0, 700)])
    font = TTFont(path)
    font["hmtx"]["A"] = (60_000, 0)
    font.save(path)
    face = load_face("own.ttf", tmp_path)
    with pytest.raises(FaceError, match=r"'A' .* it takes the room of many words"):
        face.set_line("AA", TextStyle(face, 5))


def test_crossings_are_counted() -> None:
    square = np.array([(0, 0), (4, 0), (4, 4), (0, 4), (0, 0)], dtype=float)
    line = np.array([(-1, 1), (5, 1)], dtype=float)
    touching = np.array([(0, 2), (2, 2)], dtype=float)
    assert crossings([square]) == 0
    assert crossings([square, line]) == 2
    assert crossings([square, touching]) == 0
    assert crossings([square, square]) > 2  # all along each other
    assert crossings([line[:1], line[:0]]) == 0
    many = [*(line + np.array([0, step / 100]) for step in range(200)), square[1:3]]
    assert crossings(many) == 200
    assert crossings(many * 9, 50) > 50


# --- Faces of single strokes ---


def _strokes(folder: Path, d: str, head: str = '<font-face cap-height="700"/>') -> StrokeFace:
    path = folder / "own.svg"
    path.write_text(f'<svg><font>{head}<glyph unicode="A" d="{d}"/></font></svg>')
    return StrokeFace.read(path)


@pytest.mark.parametrize(
    ("d", "why"),
    [
        ("M0 0" + "L1 1L0 2" * MOST_POINTS, "is drawn with more than 2000 points"),
        ("M0 0Z" * (MOST_POINTS + 1), "is drawn with more than 2000 points"),
        ("M0 0L99999 0", "reaches further than 30 times"),
        ("M0 0" + "".join(f"L{x} {y}" for x, y in _scribble(400)), "crosses itself in more than"),
    ],
)
def test_strokes_past_all_measure_are_refused(tmp_path: Path, d: str, why: str) -> None:
    face = _strokes(tmp_path, d)
    begun = time.process_time()
    with pytest.raises(FaceError, match=f"from the glyph for 'A' of .*: it {why}.*Mend its path"):
        face.set_line("A", TextStyle(face, 5))
    assert time.process_time() - begun < 2


@pytest.mark.parametrize("h", ["M0 -900L100 -900", "M0 900H9", "M0 0Z"])
def test_an_h_without_ink_among_the_capitals_sets_no_rhythm(tmp_path: Path, h: str) -> None:
    path = tmp_path / "own.svg"
    glyphs = f'<glyph unicode="H" d="{h}"/><glyph unicode="O" d="M0 0V700H300V0Z"/>'
    path.write_text(f'<svg><font><font-face cap-height="700"/>{glyphs}</font></svg>')
    face = StrokeFace.read(path)
    one, other = face.set_line("OO", TextStyle(face, 5)).letters
    assert 0 < other.outline.bounds[0] - one.outline.bounds[2] < 5


@pytest.mark.parametrize("number", ["1e7", "1e400", "-" + "9" * 400])
def test_numbers_past_all_measure_are_damage(tmp_path: Path, number: str) -> None:
    face = _strokes(tmp_path, f"M0 0L{number} 5")
    with pytest.raises(FaceError, match=r"a number of at most 1e\+06 was expected") as caught:
        face.set_line("A", TextStyle(face, 5))
    assert len(str(caught.value)) < 300


def test_busy_strokes_are_joined_in_good_time(tmp_path: Path) -> None:
    d = "M0 0" + "".join(f"L{x} {y}" for x, y in _scribble(100))
    face = _strokes(tmp_path, d)
    begun = time.process_time()
    line = face.set_line("A", TextStyle(face, 5))
    assert time.process_time() - begun < 2
    assert line.flattened
    assert line.letters[0].outline.shape.is_valid


def test_an_arc_of_hardly_any_radius_is_a_line(tmp_path: Path) -> None:
    face = _strokes(tmp_path, "M0 0A1e-300 5 0 0 1 0 700")
    line = _strokes(tmp_path, "M0 0V700")
    style = TextStyle(face, 5)
    (arc,), (straight,) = face.set_line("A", style).letters, line.set_line("A", style).letters
    assert arc.outline.bounds == pytest.approx(straight.outline.bounds)


def test_capitals_drawn_downwards_give_no_height(tmp_path: Path) -> None:
    path = tmp_path / "own.svg"
    path.write_text('<svg><font><glyph unicode="H" d="M0 0V-700"/></font></svg>')
    with pytest.raises(FaceError, match=r"draws 'H' below the line it stands on; .* y upwards"):
        StrokeFace.read(path)


@pytest.mark.parametrize("encoding", ["x-none", "idna", "utf-7", "hex", "utf-16", "rot13"])
def test_an_encoding_that_cannot_be_read_is_told(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "own.svg"
    path.write_text(
        f'<?xml version="1.0" encoding="{encoding}"?><svg><font><glyph unicode="A" d="M0 0V9"/>'
        "</font></svg>"
    )
    with pytest.raises(FaceError, match=r"own\.svg .*(encoding|well-formed).*\.$"):
        StrokeFace.read(path)


_BOMB = "<!ENTITY a 'ha'>" + "".join(
    f"<!ENTITY {b} '{f'&{a};' * 20}'>" for a, b in zip("abcdefgh", "bcdefghi", strict=True)
)


@pytest.mark.parametrize(
    ("doctype", "text"),
    [
        (f"<!DOCTYPE svg [{_BOMB}]>", "&i;"),
        ('<!DOCTYPE svg [<!ENTITY e SYSTEM "file:///etc/passwd">]>', "&e;"),
        ('<!DOCTYPE svg SYSTEM "file:///etc/passwd">', ""),
        ("<!DOCTYPE svg [<!ENTITY % p SYSTEM 'file:///etc/passwd'> %p;]>", ""),
    ],
)
def test_entities_are_off(tmp_path: Path, doctype: str, text: str) -> None:
    path = tmp_path / "own.svg"
    path.write_text(f'{doctype}<svg><font><glyph unicode="A" d="{text}M0 0V9"/></font></svg>')
    begun = time.process_time()
    with pytest.raises(FaceError, match="has a DOCTYPE, which is refused"):
        StrokeFace.read(path)
    assert time.process_time() - begun < 1


def test_tags_very_deep_inside_one_another_are_no_font(tmp_path: Path) -> None:
    path = tmp_path / "own.svg"
    path.write_text("<svg>" + "<g>" * 300_000 + "</g>" * 300_000 + "</svg>")
    with pytest.raises(FaceError, match="has no <font>"):
        StrokeFace.read(path)


# --- Names that lead nowhere ---


@pytest.mark.parametrize(
    "name", ["x" * 300 + ".ttf", "~nobody-at-all/a.ttf", "loop.ttf", "pipe.svg"]
)
def test_names_that_lead_nowhere_are_told(tmp_path: Path, name: str) -> None:
    (tmp_path / "loop.ttf").symlink_to("loop.ttf")
    os.mkfifo(tmp_path / "pipe.svg")
    with pytest.raises(FaceError, match="There is no face file"):
        load_face(name, tmp_path)
