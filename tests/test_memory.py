"""Bad files that are short and would take all memory: how much they do take.

Each is read by `legend check` in a process of its own, forked from one that has imported all that
it takes. What it took at the most is asked of the system there and then: the peak that `resource`
tells begins with that of its parent.
"""

from __future__ import annotations

import io
import re
import struct
import subprocess
import sys
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path

import brotli
import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="memory is told as Linux does")

_ROOT = Path(__file__).parents[1]
#: The most that any of them may take, MB.
_MOST = 300

Checked = Callable[[Path], tuple[int, str]]

#: Checks each panel that it is told of in a process that it forks, once all is imported.
_CHECKER = """
import os, re, sys
from pathlib import Path
from legend.commands.cli import legend
legend(["check", "sound.toml"], standalone_mode=False)
print("ready", flush=True)
for line in sys.stdin:
    panel = Path(line.rstrip())
    if not (child := os.fork()):
        os.chdir(panel.parent)
        for number, name in ((1, "told"), (2, "wrong")):
            os.dup2(os.open(name, os.O_WRONLY | os.O_CREAT), number)
        try:
            legend(["check", panel.name])
        finally:
            peak = re.search(r"VmHWM:\\s*(\\d+)", Path("/proc/self/status").read_text())[1]
            Path("peak").write_text(peak)
    os.waitpid(child, 0)
    print("done", flush=True)
"""


@pytest.fixture(scope="module")
def checker(tmp_path_factory: pytest.TempPathFactory) -> Iterator[subprocess.Popen[str]]:
    folder = tmp_path_factory.mktemp("checker")
    (folder / "sound.toml").write_text("[panel]\nsize = [99, 50]\n")
    with subprocess.Popen(
        [sys.executable, "-c", _CHECKER],
        cwd=folder,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={"PYTHONPATH": str(_ROOT)},
    ) as process:
        while _line_of(process) != "ready\n":
            pass
        yield process


def _line_of(process: subprocess.Popen[str]) -> str:
    assert process.stdout
    line = process.stdout.readline()
    assert line, "the checker has ended"
    return line


@pytest.fixture
def checked(checker: subprocess.Popen[str]) -> Checked:
    """What the check of a panel took of memory, MB, and all that it told."""

    def check(panel: Path) -> tuple[int, str]:
        assert checker.stdin
        print(panel, file=checker.stdin, flush=True)
        assert _line_of(checker) == "done\n"
        told, wrong, peak = (panel.with_name(n).read_text() for n in ("told", "wrong", "peak"))
        assert "Traceback" not in wrong, wrong
        return int(peak) // 1024, told + wrong

    return check


# --- Faces ---


def _stroke_face(d: str) -> bytes:
    head = '<font-face cap-height="700"/>'
    return f'<svg><font>{head}<glyph unicode="A" d="{d}"/></font></svg>'.encode()


#: So many characters fit into the longest face of strokes.
_LONG = 4_850_000
_STROKE_FACES: dict[str, tuple[str, Callable[[], bytes]]] = {
    "lines": ("more than 2000 points", lambda: _stroke_face("M0 0" + "l1 1" * (_LONG // 4))),
    "ellipses": (
        "more than 2000 points",
        lambda: _stroke_face("M0 0" + "a1 2 0 0 0 1 1" * (_LONG // 14)),
    ),
}


@pytest.mark.parametrize("name", _STROKE_FACES)
def test_a_face_of_strokes(tmp_path: Path, checked: Checked, name: str) -> None:
    says, made = _STROKE_FACES[name]
    _set_in(tmp_path, "face.svg", made())
    peak, told = checked(tmp_path / "panel.toml")
    assert says in told
    assert peak < _MOST


def _with_points(count: int) -> TTFont:
    """A font whose A has very many points."""
    order = [".notdef", "A", "H"]
    glyphs = {}
    for name in order:
        pen = TTGlyphPen(None)
        pen.moveTo((0, 0))
        for number in range(count if name == "A" else 1):
            pen.lineTo((number % 300, 350 + number % 350))
        pen.lineTo((300, 700))
        pen.lineTo((300, 0))
        pen.closePath()
        glyphs[name] = pen.glyph()
    builder = FontBuilder(1000)
    builder.setupGlyphOrder(order)
    builder.setupCharacterMap({65: "A", 72: "H"})
    builder.setupGlyf(glyphs)
    builder.setupHorizontalMetrics(dict.fromkeys(order, (400, 0)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupOS2()
    builder.setupPost()
    return builder.font


def _saved(font: TTFont, flavor: str | None = None) -> bytes:
    font.flavor = flavor
    data = io.BytesIO()
    font.save(data)
    return data.getvalue()


def _about_itself(flavor: str) -> bytes:
    """A sound web font, with a word about itself that is 200 MB long once it is unpacked."""
    data = bytearray(_saved(_with_points(3), flavor))
    data += bytes(-len(data) % 4)
    size, part = 2 * 10**8, bytes(10**6)
    if flavor == "woff":
        packer = zlib.compressobj(9)
        packed = b"".join(packer.compress(part) for _ in range(200)) + packer.flush()
    else:
        unlike = brotli.Compressor(quality=1)
        packed = b"".join(unlike.process(part) for _ in range(200)) + unlike.finish()
    struct.pack_into(">LLL", data, 24 if flavor == "woff" else 28, len(data), len(packed), size)
    data += packed
    struct.pack_into(">L", data, 8, len(data))
    return bytes(data)


def _many_outlines() -> bytes:
    """A web font with five million bytes of outlines in the form of its own."""
    data = bytearray(_saved(_with_points(3), "woff2"))
    at = 48
    while data[at] & 63 != 10:  # of glyf, in the list of tables
        at += 2
    number = bytes([5_000_000 >> shift & 127 | 128 for shift in (21, 14, 7)] + [5_000_000 & 127])
    data[at + 2 : at + 3] = number
    return bytes(data)


_FONTS: dict[str, tuple[str, Callable[[], bytes]]] = {
    "points.ttf": ("more than 2000 points", lambda: _saved(_with_points(60_000))),
    "about.woff": ("0 errors", lambda: _about_itself("woff")),
    "about.woff2": ("0 errors", lambda: _about_itself("woff2")),
    "outlines.woff2": ("than a font for the web holds", _many_outlines),
}


@pytest.mark.parametrize("name", _FONTS)
def test_a_font(tmp_path: Path, checked: Checked, name: str) -> None:
    says, made = _FONTS[name]
    _set_in(tmp_path, name, made())
    peak, told = checked(tmp_path / "panel.toml")
    assert says in told
    assert peak < _MOST


def _set_in(folder: Path, name: str, face: bytes) -> None:
    (folder / name).write_bytes(face)
    (folder / "panel.toml").write_text(
        f'[panel]\nsize = [99, 50]\n[lettering]\nface = "{name}"\n'
        '[[text]]\nat = [50, 25]\ntext = "A A"\n'
    )


# --- Descriptions ---

_HEAD = "[panel]\nsize = [99, 50]\n"


_DESCRIPTIONS: dict[str, tuple[str, Callable[[], bytes]]] = {
    "lists.toml": ("is not a key", lambda: f"a = [{'[],' * 330_000}]\n{_HEAD}".encode()),
    "tables.toml": ("is not a key", lambda: f"a = [{'{},' * 330_000}]\n{_HEAD}".encode()),
}


@pytest.mark.parametrize("name", _DESCRIPTIONS)
def test_a_description(tmp_path: Path, checked: Checked, name: str) -> None:
    says, made = _DESCRIPTIONS[name]
    (tmp_path / name).write_bytes(made())
    peak, told = checked(tmp_path / name)
    assert says in told
    assert peak < _MOST


def test_styles_are_not_many_files_of_the_greatest_length(tmp_path: Path, checked: Checked) -> None:
    for number in range(6):
        more = f"a{number} = [{'[],' * 300_000}]\n"
        (tmp_path / f"s{number}.toml").write_text(f'style = "s{number + 1}.toml"\n{more}{_HEAD}')
    peak, told = checked(tmp_path / "s0.toml")
    assert re.search(r"s0\.toml:1: s1\.toml and what inherits it are together longer than 1", told)
    assert peak < _MOST
