import json
import multiprocessing
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from resource import RLIMIT_FSIZE, setrlimit

import click
import pytest
from click.testing import CliRunner, Result
from forked import Ended, begun
from PIL import Image

from legend.commands.cli import legend
from legend.commands.proof import STAGES
from legend.drawing.proofs.layers import STAGES as PAINTED_STAGES
from legend.writing import MARK, is_ours

_ROOT = Path(__file__).parents[2]
_SAMPLE = _ROOT / "samples" / "enlarger-timer" / "panel.toml"
_COMMANDS = sorted(legend.commands)

_SMALL = """\
[panel]
size = [80, 60]
[holes]
A = { at = [40, 30], drill = 9.5 }
[[control]]
hole = "A"
kind = "toggle"
name = "PUMP"
covers = 14
positions = { up = "ON", down = "OFF" }
"""
#: The same, with an error (a text off the panel) and then with a warning (too small to be read).
_BAD = _SMALL + '[[text]]\nat = [79, 50]\ntext = "DARKROOM"\n'
_DOUBTFUL = _SMALL.replace("[holes]", "[lettering.position]\nheight = 1.8\n[holes]")
#: The same on several sheets.
_MANY_SHEETS = _SMALL.replace("[holes]", "[stencil]\nstock_size = [60, 40]\ncopies = 9\n[holes]")


def _content(folder: Path) -> dict[str, bytes]:
    """Every file in a folder, hidden or not, by its name."""
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def _run(*words: str | Path) -> Result:
    return CliRunner().invoke(legend, [str(word) for word in words])


def _process(*words: str | Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "legend", *map(str, words)],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(_ROOT)},
    )


def _on_a_disk_of(most: int, *words: str | Path) -> Ended:
    """A process that may write no larger file stands in for the full disk."""
    limits = most, most
    return begun(*words, first=lambda: setrlimit(RLIMIT_FSIZE, limits)).ended()


@pytest.fixture
def panel(tmp_path: Path) -> Path:
    path = tmp_path / "panel.toml"
    path.write_text(_SMALL)
    return path


# --- Help ---


def test_help_is_for_builders() -> None:
    result = _run("--help")
    assert result.exit_code == 0
    for command in _COMMANDS:
        assert f"  {command} " in result.output
        told = _run(command, "--help")
        assert told.exit_code == 0
        assert "--out" in told.output or command in ("check", "handbook", "page")
    assert " ".join(_COMMANDS) == (
        "card check coupon cut faces handbook make measure new overlay page placed proof schema "
        "target"
    )


def test_the_list_of_commands_tells_each_whole() -> None:
    listed = _run("--help").output.partition("Commands:\n")[2].splitlines()
    assert len(listed) == len(_COMMANDS)  # none runs on in a second line
    for command, line in zip(_COMMANDS, listed, strict=True):
        assert re.fullmatch(rf"  {command} +[A-Z].+[^.]\.", line), line
        assert len(line) <= 80


def test_stages_are_those_that_can_be_painted() -> None:
    assert (*PAINTED_STAGES, "all") == STAGES


def test_help_loads_nothing_that_is_heavy() -> None:
    assert _loaded("--help") & {"pydantic", "numpy", "shapely", "tree_sitter"} == set()


def test_check_does_not_pay_for_paper_and_paint() -> None:
    loaded = _loaded("check", str(_SAMPLE))
    assert {"pydantic", "shapely"} <= loaded
    assert loaded & {"reportlab", "PIL", "jinja2", "svgwrite", "rectpack"} == set()


def _loaded(*words: str) -> set[str]:
    """The packages that are loaded when a command has run, in a process of its own."""
    code = (
        "import sys, atexit\n"
        "atexit.register(lambda: print('LOADED', *{m.split('.')[0] for m in sys.modules}))\n"
        f"from legend.commands.cli import legend\nlegend({list(words)!r})\n"
    )
    ended = subprocess.run(
        [sys.executable, "-c", code], cwd=_ROOT, capture_output=True, text=True, check=False
    )
    assert ended.returncode == 0, ended.stderr
    return set(ended.stdout.rpartition("LOADED")[2].split())


# --- Making ---


def test_make_writes_everything_and_gives_an_account(tmp_path: Path) -> None:
    out = tmp_path / "build"
    ended = _process("make", _SAMPLE, "--out", out)
    assert ended.returncode == 0, ended.stderr
    assert ended.stderr == ""
    names = {path.name for path in out.iterdir()}
    assert names >= {
        "stencil-1.svg",
        "overlay.pdf",
        "placement-card-1.svg",
        "proof.png",
        "proof.svg",
        "job-card.html",
        "placing.html",
        "findings.json",
    }
    for path in out.iterdir():
        assert is_ours(path), path
        assert f"  {path.name} " in ended.stdout
    assert "ENLARGER TIMER: 220 × 120 mm, 16 controls" in ended.stdout
    assert re.search(r"^0 errors, \d+ warnings? and \d+ notes", ended.stdout, re.MULTILINE)


def test_make_again_writes_the_same_bytes(panel: Path) -> None:
    assert _run("make", panel).exit_code == 0
    folder = panel.with_suffix("")
    first = {path.name: path.read_bytes() for path in folder.iterdir()}
    assert _run("make", panel).exit_code == 0
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == first


def test_make_removes_the_stencils_of_a_larger_panel(panel: Path) -> None:
    folder = panel.with_suffix("")
    panel.write_text(_MANY_SHEETS)
    assert _run("make", panel).exit_code == 0
    assert (folder / "stencil-2.svg").exists()
    (folder / "stencil-notes.svg").write_text("mine")
    panel.write_text(_SMALL)
    assert _run("make", panel).exit_code == 0
    assert sorted(path.name for path in folder.glob("stencil-*")) == [
        "stencil-1.svg",
        "stencil-notes.svg",
    ]


@pytest.mark.parametrize(
    ("words", "name"),
    [
        (["cut"], "stencil-1.svg"),
        (["overlay", "--paper", "300x400", "--correction", "0.5", "-0.2"], "overlay.pdf"),
        (["overlay", "--paper", "11x17in", "--outlines"], "overlay.pdf"),
        (["proof", "--dpi", "50", "--stage", "masked"], "proof.png"),
        (["card", "--start", "2031-05-01 09:00"], "job-card.html"),
    ],
)
def test_each_output_has_its_own_command(panel: Path, words: list[str], name: str) -> None:
    result = _run(words[0], panel, *words[1:])
    assert result.exit_code == 0, result.stderr
    assert result.stdout == f"{panel.with_suffix('') / name}\n"
    assert result.stderr == "0 errors, 0 warnings and 1 note; -v shows the notes.\n"
    assert [path.name for path in panel.with_suffix("").iterdir()] == [name]


def test_out_names_a_file_or_a_folder(panel: Path, tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    for out, written in [("there", "there/proof.png"), ("b/p.svg", "b/p.svg"), ("q.png", "q.png")]:
        assert _run("proof", panel, "--dpi", "30", "--out", tmp_path / out).exit_code == 0
        assert (tmp_path / written).is_file()
    assert (tmp_path / "b/p.svg").read_text().startswith("<?xml")


# --- Checking ---


def test_check_tells_the_findings_and_their_cure(tmp_path: Path) -> None:
    path = tmp_path / "panel.toml"
    path.write_text(_BAD)
    result = _run("check", path)
    assert result.exit_code == 1
    lines = result.stdout.splitlines()
    assert re.match(rf"{re.escape(str(path))}:\d+: error: .*DARKROOM", lines[0])
    assert lines[1].startswith("    ")
    assert re.search(r"^[1-9]\d* errors?, ", result.stdout, re.MULTILINE)
    assert "Blades cut" in result.stdout
    assert sorted(path.name for path in tmp_path.iterdir()) == ["panel.toml"]


def test_check_is_strict_when_asked(panel: Path) -> None:
    panel.write_text(_DOUBTFUL)
    result = _run("check", panel)
    assert result.exit_code == 0
    assert ": warning: " in result.stdout
    assert _run("check", panel, "--strict").exit_code == 1


def test_notes_are_counted_and_shown_when_asked() -> None:
    short, long = _run("check", _SAMPLE), _run("check", _SAMPLE, "-v")
    assert ": note: " not in short.stdout and "-v shows the notes" in short.stdout
    assert ": note: " in long.stdout and "-v shows" not in long.stdout


def test_check_speaks_json(tmp_path: Path) -> None:
    path = tmp_path / "panel.toml"
    path.write_text(_BAD)
    result = _run("check", path, "--json")
    assert result.exit_code == 1
    findings = json.loads(result.stdout)["findings"]
    assert {"severity", "code", "message", "remedy", "file", "line", "place"} <= set(findings[0])
    assert findings[0]["severity"] == "error"


def test_cautions_speak_of_mains_where_there_is_mains(panel: Path) -> None:
    assert "licensed" not in _run("check", panel).stdout
    assert "licensed" in _run("check", _SAMPLE).stdout


# --- What goes wrong ---


def test_a_description_that_cannot_be_read_is_status_2(tmp_path: Path) -> None:
    path = tmp_path / "panel.toml"
    for command in ("check", "cut", "make", "overlay", "proof", "card"):
        result = _run(command, path)
        assert result.exit_code == 2
        assert result.stdout == ""
        assert (
            result.stderr
            == f"{path}: There is no such file; legend new writes one to begin with.\n"
        )


def test_a_wrong_call_is_status_2(panel: Path) -> None:
    for words in (["check"], ["bake", panel], ["proof", panel, "--dpi", "9"], ["check", "-x"]):
        result = _run(*words)
        assert result.exit_code == 2
        assert "Traceback" not in result.output
    result = _run("make", panel, "--paper", "papyrus")
    assert result.exit_code == 2
    assert "papyrus is no paper; say A4" in result.stderr
    assert not panel.with_suffix("").exists()


@pytest.mark.parametrize("face", ["nowhere.ttf", "No Such Face"])
def test_a_face_that_is_not_there_is_told_with_its_line(panel: Path, face: str) -> None:
    panel.write_text(f'{_SMALL}[lettering.name]\nface = "{face}"\n')
    result = _run("check", panel)
    assert result.exit_code == 2
    assert result.stderr.startswith(f"{panel}:12: ")
    assert face in result.stderr


def test_nothing_of_the_users_is_overwritten(panel: Path) -> None:
    folder = panel.with_suffix("")
    folder.mkdir()
    (folder / "proof.png").write_text("a photograph")
    result = _run("make", panel)
    assert result.exit_code == 2
    assert "proof.png is there already and was not written by this program" in result.stderr
    assert [path.name for path in folder.iterdir()] == ["proof.png"]
    assert (folder / "proof.png").read_text() == "a photograph"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["proof", "--out", "p.jpg"], "p.jpg does not end in .png or .svg."),
        (["overlay", "--out", "o.png"], "o.png does not end in .pdf."),
        (["card", "--out", "c.pdf"], "c.pdf does not end in .html or .htm."),
        (["coupon", "--out", "c.png"], "c.png does not end in .svg, .dxf, .pdf or .plt."),
        (["proof", "--out", "p.svg", "--stage", "base"], "A drawing shows the finished panel"),
        (["proof", "--dpi", "many"], "many is not a number from 10 to 2400."),
        (["make", "--correction", "50", "0"], "50 is not a number from -20 to 20."),
        (["proof", "--dpi", "nan"], "nan is not a number from 10 to 2400."),
        (["proof", "--dpi", "1e999"], "1e999 is not a number from 10 to 2400."),
        (["make", "--correction", "0.5", "nan"], "nan is not a number from -20 to 20."),
        (["overlay", "--correction", "-inf", "0"], "-inf is not a number from -20 to 20."),
        (["proof", "--dpi", "1\n2\x1b[31m"], "1�2�[31m is not a number from 10 to 2400."),
        (["proof", "--dpi", "9" * 400], f"{'9' * 60} is not a number from 10 to 2400."),
        (["make", "--paper", "nanxnan"], "nanxnan is no paper; say A4"),
        (["make", "--paper", "1e9x1e9"], "1e9x1e9 is no paper; say A4"),
        (["make", "--paper", "99999x99999"], "Paper of 99999 × 99999 mm is no page"),
        (["card", "--start", "May"], "May is not a date and time, such as 2031-05-01 09:00."),
        (["card", "--start", "9999-12-31 09:00"], "is too far off: say a year up to 9000."),
        (["target", "--out", "t.png"], "t.png does not end in .pdf."),
        (["target", "--size", "220"], "220 is no size; say 220x120, or 9x5in."),
        (["target", "--size", "220x0"], "No panel is 220 × 0 mm."),
        (["target", "--size", "900x900in"], "No panel is 900 × 900 in."),
        (["target", "--size", "80x60"], "or give its size, not both."),
        (["target", "--under", "red"], "'red' is not one of 'light', 'dark'"),
        (["make", "--paper", "3x4"], "Paper of 3 × 4 mm is too small for the drawing"),
    ],
)
def test_what_a_wrong_call_is_told(panel: Path, words: list[str], says: str) -> None:
    result = _run(words[0], panel, *words[1:])
    assert result.exit_code == 2
    assert says in result.stderr
    assert list(panel.parent.iterdir()) == [panel]


@pytest.mark.parametrize("command", ["make", "overlay"])
def test_paper_is_told_of_in_the_units_of_the_panel(panel: Path, command: str) -> None:
    panel.write_text('units = "in"\n[panel]\nsize = [4, 3]\n')
    says = {
        "3x4in": "Paper of 3 × 4 in is too small for the drawing and its bars, which need 5.315 in "
        "across and 5.827 in up.",
        "300x9999 mm": "Paper of 11.811 × 393.661 in is no page: a PDF has none longer than "
        "200 in.",
    }
    for paper, what in says.items():
        result = _run(command, panel, "--paper", paper)
        assert result.exit_code == 2
        assert what in " ".join(result.stderr.split())


def test_make_prints_outlines_too(panel: Path, tmp_path: Path) -> None:
    for name, words in (("a", []), ("b", ["--outlines"])):
        assert _run("make", panel, "--out", tmp_path / name, *words).exit_code == 0
    one, other = ((tmp_path / name / "overlay.pdf").read_bytes() for name in "ab")
    assert one != other
    assert _run("overlay", panel, "--outlines", "--out", tmp_path / "o.pdf").exit_code == 0
    assert (tmp_path / "o.pdf").read_bytes() == other


def test_a_file_in_the_way_of_a_folder(panel: Path, tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file")
    result = _run("make", panel, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert re.search(r"cannot be written: a file stands where a folder is needed\.$", result.stderr)


@pytest.mark.parametrize(("command", "most"), [("cut", 2000), ("make", 30_000)])
def test_a_full_disk(panel: Path, tmp_path: Path, command: str, most: int) -> None:
    """What another panel left there, whose sheets are more, stays whole; and where nothing was
    there, nothing is."""
    fresh, used, other = tmp_path / "a" / "fresh", tmp_path / "used", tmp_path / "other.toml"
    panel.write_text(_SMALL.replace("[holes]", "[stencil]\ncopies = 20\n[holes]"))
    other.write_text(_MANY_SHEETS)
    assert _run("make", other, "--out", used).exit_code == 0
    before = _content(used)
    for out in (fresh, used):
        ended = _on_a_disk_of(most, command, panel, "--out", out)
        assert ended.status == 2
        assert re.fullmatch(rf"{out}/.* cannot be written: file too large\.\n", ended.stderr)
    assert not fresh.parent.exists()
    assert _content(used) == before


@pytest.mark.parametrize(
    ("number", "says"), [(28, "no room left"), (30, "can only be read"), (13, "may not write")]
)
def test_what_the_system_refuses_is_one_plain_sentence(
    panel: Path, monkeypatch: pytest.MonkeyPatch, number: int, says: str
) -> None:
    def refuse(path: Path, data: bytes) -> None:
        raise OSError(number, os.strerror(number), str(path))

    monkeypatch.setattr(Path, "write_bytes", refuse)
    result = _run("cut", panel)
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1
    assert result.stderr.startswith(f"{panel.with_suffix('') / 'stencil-1.svg'} cannot be written")
    assert says in result.stderr


def _interrupted(at: str, number: int) -> None:
    """Have a signal come as this process works out what it writes, or as it writes it."""
    from legend.drawing import findings_json

    place, name = (findings_json, "findings_text") if at == "work" else (Path, "write_bytes")
    done = getattr(place, name)

    def interrupted(*all: object) -> object:
        os.kill(os.getpid(), number)
        return done(*all)

    setattr(place, name, interrupted)


@pytest.mark.skipif(sys.platform == "win32", reason="signals are others there")
@pytest.mark.parametrize(("at", "number"), [("work", signal.SIGINT), ("writing", signal.SIGTERM)])
def test_a_signal_ends_the_run_before_anything_or_after_all(
    tmp_path: Path, panel: Path, number: signal.Signals, at: str
) -> None:
    out = tmp_path / "out"
    assert _run("make", panel, "--out", out).exit_code == 0
    before = _content(out)
    words = "make", _SAMPLE, "--out", out
    ended = begun(*words, first=lambda: _interrupted(at, number)).ended()
    said = "Interrupted; no file is left half-written.\n"
    assert ended == Ended(128 + number, "", said)
    if at == "work":
        assert _content(out) == before
    else:
        assert all(is_ours(path) for path in out.iterdir())
        assert _content(out).keys() == before.keys() | {"placement-card-2.svg"}
        assert (
            b"ENLARGER TIMER"
            in (out / "findings.json").read_bytes() + (out / "job-card.html").read_bytes()
        )


def test_an_interrupted_run_leaves_nothing_half_written(
    panel: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupt(path: Path, data: bytes) -> None:
        with path.open("wb") as file:
            file.write(data[:100])
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "write_bytes", interrupt)
    result = _run("make", panel)
    assert result.exit_code == 130
    assert result.stderr == "Interrupted; no file is left half-written.\n"
    assert [path.name for path in panel.parent.iterdir()] == ["panel.toml"]


def test_what_nobody_foresaw_is_told_without_a_traceback(
    panel: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise ZeroDivisionError("by a knob")

    monkeypatch.setattr("legend.stencil.cut", fail)
    result = _run("cut", panel)
    assert result.exit_code == 2
    assert "ZeroDivisionError: by a knob" in result.stderr
    assert "Traceback" not in result.output


@pytest.mark.parametrize("words", [["check", "panel.toml"], ["--help"], ["check", "--help"]])
def test_a_reader_who_has_gone_is_told_by_the_status(panel: Path, words: list[str]) -> None:
    """As at `| head -1`; and where there never was anyone, as at `>&-`."""
    read, write = os.pipe()
    os.close(read)
    command = [sys.executable, "-m", "legend", *words]
    for how in ({"stdout": write}, {"preexec_fn": lambda: os.close(1)}):
        ended = subprocess.run(
            command,
            stderr=subprocess.PIPE,
            cwd=panel.parent,
            env={**os.environ, "PYTHONPATH": str(_ROOT)},
            check=False,
            **how,  # type: ignore[call-overload]
        )
        assert (ended.returncode, ended.stderr) == (2, b"")
    os.close(write)


# --- What is ours, and what is not ---

#: A face of single strokes that has a few capitals and no more.
_CAPITALS = """<svg xmlns="http://www.w3.org/2000/svg"><font><font-face cap-height="70"/>
<glyph unicode="O" d="M0 0V70H50V0Z"/><glyph unicode="N" d="M0 0V70L50 0V70"/></font></svg>"""

#: What each command writes, and the words by which it does.
_WRITTEN = {
    "stencil-2.svg": ["cut", "panel.toml", "--out", "out"],
    "coupon.svg": ["coupon", "--out", "out"],
    "overlay.pdf": ["overlay", "panel.toml", "--out", "out"],
    "drilling-template.pdf": ["overlay", "panel.toml", "--drilling", "--out", "out"],
    "proof.png": ["proof", "panel.toml", "--dpi", "30", "--out", "out"],
    "proof.svg": ["proof", "panel.toml", "--out", "out/proof.svg"],
    "job-card.html": ["card", "panel.toml", "--out", "out"],
    "target.pdf": ["target", "panel.toml", "--out", "out"],
    "face.svg": ["faces", "capitals.svg", "--out", "out/face.svg"],
    "legend.schema.json": ["schema", "--out", "out"],
    "findings.json": ["make", "panel.toml", "--out", "out"],
    "placing.html": ["make", "panel.toml", "--out", "out"],
}


@pytest.mark.parametrize("name", _WRITTEN)
def test_what_was_edited_stops_the_whole_unless_it_is_to_be_replaced(
    panel: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(panel.parent)
    out = panel.with_name("out")
    out.mkdir()
    panel.write_text(_MANY_SHEETS)
    panel.with_name("capitals.svg").write_text(_CAPITALS)
    words = _WRITTEN[name]
    assert _run(*words).exit_code == 0
    first = _content(out)
    assert _run(*words).exit_code == 0
    assert _content(out) == first
    edited = first[name].replace(b"e", b"E", 1)
    (out / name).write_bytes(edited)
    result = _run(*words)
    assert result.exit_code == 2
    assert f"{Path('out') / name} was edited since this program wrote it" in result.stderr
    assert "--replace" in result.stderr
    assert _content(out) == first | {name: edited}
    assert _run(*words, "--replace").exit_code == 0
    assert _content(out) == first
    assert all(is_ours(path) for path in out.iterdir())
    mine = f"<p>My own {name}, drawn after the {MARK}.</p>".encode()
    (out / name).write_bytes(mine)
    result = _run(*words, "--replace")
    assert result.exit_code == 2
    assert f"{name} is there already and was not written by this program" in result.stderr
    assert _content(out) == first | {name: mine}


def test_what_was_edited_of_more_sheets_stops_a_run_of_fewer(panel: Path) -> None:
    out = panel.with_suffix("")
    panel.write_text(_MANY_SHEETS)
    for command in ("cut", "make"):
        assert _run(command, panel, "--replace").exit_code == 0
        mine = out / "stencil-2.svg"
        mine.write_bytes(mine.read_bytes().replace(b"M", b"L", 1))
        quoting = out / "stencil-8.svg"
        quoting.write_text(f"<svg><!-- {MARK} --></svg>")
        before = _content(out)
        panel.write_text(_SMALL)
        result = _run(command, panel)
        assert result.exit_code == 2
        assert "stencil-2.svg was edited since" in result.stderr
        assert _content(out) == before
        assert _run(command, panel, "--replace").exit_code == 0
        assert {path.name for path in out.glob("stencil-*")} == {"stencil-1.svg", "stencil-8.svg"}
        quoting.unlink()
        panel.write_text(_MANY_SHEETS)


def test_two_panels_made_at_once_into_one_folder_leave_one_of_them(tmp_path: Path) -> None:
    panels = [tmp_path / "few.toml", tmp_path / "many.toml"]
    for path, text in zip(panels, (_SMALL, _MANY_SHEETS), strict=True):
        path.write_text(text)
    alone = []
    for path in panels:
        assert _run("make", path, "--out", tmp_path / path.stem).exit_code == 0
        alone.append(_content(tmp_path / path.stem))
    assert len(alone[1]) > len(alone[0])
    out = tmp_path / "out"
    running = [begun("make", path, "--out", out) for path in panels]
    assert [each.ended().status for each in running] == [0, 0]
    assert _content(out) in alone


# --- A description to begin with ---


def test_new_writes_a_description_that_makes_a_sound_panel(tmp_path: Path) -> None:
    path = tmp_path / "first.toml"
    assert _run("new", "--out", path).exit_code == 0
    assert path.read_text().count("#") > 20
    result = _run("check", path, "--strict")
    assert result.exit_code == 0, result.stdout


def test_new_overwrites_nothing(tmp_path: Path) -> None:
    path = tmp_path / "panel.toml"
    path.write_text("mine")
    result = _run("new", "--out", path)
    assert result.exit_code == 2
    assert (
        result.stderr
        == f"{path} is there already and is left as it is; name another file with --out.\n"
    )
    assert path.read_text() == "mine"


def test_new_on_a_full_disk_leaves_nothing(tmp_path: Path) -> None:
    path = tmp_path / "panel.toml"
    ended = _on_a_disk_of(500, "new", "--out", path)
    assert ended.status == 2
    assert ended.stderr == f"{path} cannot be written: file too large.\n"
    assert not path.exists()


@pytest.mark.parametrize("sample", ["enlarger-timer", "kiln-controller"])
def test_new_from_a_hole_list_makes_a_panel_without_errors(tmp_path: Path, sample: str) -> None:
    path = tmp_path / "deep" / "panel.toml"
    holes = _ROOT / "samples" / sample / "holes.csv"
    assert _run("new", "--from", holes, "--out", path).exit_code == 0
    text = path.read_text()
    for line in holes.read_text().splitlines()[1:]:
        assert f'hole = "{re.split("[,;]", line)[0]}"' in text
    result = _run("check", path)
    assert result.exit_code == 0, result.stdout


def test_new_guesses_what_is_fitted_and_measures_the_panel(tmp_path: Path) -> None:
    holes = tmp_path / "holes.csv"
    holes.write_text(
        "id,x,y,drill,width,height,slot,note\n"
        'L"1,1,1,0.31,,,,\nB,3,1,0.4,,,,\nT,5,1,0.5,,,,\nW,2,2,,1,0.5,,\nS,4,2,,,,0.8 x 0.1,\n'
        "X,6,2,0.5,,,,fuse holder\n"
    )
    path = tmp_path / "panel.toml"
    assert _run("new", "--from", holes, "--units", "in", "--out", path).exit_code == 0
    text = path.read_text()
    kinds = re.findall(r'^kind = "(\w+)"', text, re.MULTILINE)
    assert kinds == ["lamp", "knob", "toggle", "window", "slide", "fuse"]
    assert 'units = "in"' in text and "size = [7, 3]" in text
    assert _run("check", path).exit_code < 2


def test_new_measures_from_the_centre_where_holes_do(tmp_path: Path) -> None:
    holes = tmp_path / "holes.csv"
    holes.write_text("id;x;y;drill\nA;-40;0;9,5\nB;40;-5;9,5\n")
    path = tmp_path / "panel.toml"
    assert _run("new", "--from", holes, "--out", path).exit_code == 0
    assert 'datum = "centre"' in path.read_text()
    size = re.search(r"^size = \[(\d+), (\d+)\]", path.read_text(), re.MULTILINE)
    assert size and 110 <= int(size[1]) <= 125 and 40 <= int(size[2]) <= 60
    assert _run("check", path, "--strict").exit_code == 0


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (None, "There is no file"),
        ("", "The hole list is empty"),
        ("id,x,y,drill\n", "lists no holes"),
        ("id,x,y,drill\nA,1,2,big\n", ':2: Hole "A" has drill = "big", which is not a length'),
    ],
)
def test_new_tells_what_is_wrong_with_a_hole_list(
    tmp_path: Path, content: str | None, says: str
) -> None:
    holes = tmp_path / "holes.csv"
    if content is not None:
        holes.write_text(content)
    result = _run("new", "--from", holes, "--out", tmp_path / "panel.toml")
    assert result.exit_code == 2
    assert says in result.stderr
    assert not (tmp_path / "panel.toml").exists()


# --- Several panels ---


def _two(tmp_path: Path) -> tuple[Path, Path]:
    (tmp_path / "kiln").mkdir()
    (tmp_path / "kiln" / "panel.toml").write_text(_SMALL)
    (tmp_path / "dome").mkdir()
    (tmp_path / "dome" / "panel.toml").write_text(_SMALL.replace("PUMP", "SHUTTER"))
    return tmp_path / "kiln" / "panel.toml", tmp_path / "dome" / "panel.toml"


def test_several_panels_each_in_its_own_folder(tmp_path: Path) -> None:
    one, other = _two(tmp_path)
    result = _run("make", one, other, "--out", tmp_path / "out")
    assert result.exit_code == 0, result.output
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["dome", "kiln"]
    alone = tmp_path / "alone"
    assert _run("make", other, "--out", alone).exit_code == 0
    for path in alone.iterdir():
        assert (tmp_path / "out" / "dome" / path.name).read_bytes() == path.read_bytes()
    assert result.stdout.index(str(one)) < result.stdout.index(str(other))
    assert "2 panels made." in result.stdout


def test_without_out_each_goes_beside_its_description(tmp_path: Path) -> None:
    one, other = _two(tmp_path)
    assert _run("make", one, other, one).exit_code == 0
    for panel in (one, other):
        assert (panel.with_suffix("") / "job-card.html").is_file()


def test_folders_of_several_are_told_apart(tmp_path: Path) -> None:
    from legend.commands.make import _folders

    out = tmp_path / "out"
    named = [tmp_path / "a" / "panel.toml", tmp_path / "b" / "panel.toml", tmp_path / "timer.toml"]
    assert [path.name for path in _folders(named, out)] == ["a", "b", "timer"]
    alike = [tmp_path / "a" / "panel.toml", tmp_path / "x" / "a" / "panel.toml"]
    with pytest.raises(click.UsageError, match=r"timer\.txt would go into one folder"):
        _folders([tmp_path / "timer.toml", tmp_path / "timer.txt"], None)
    assert [path.name for path in _folders(alike, out)] == ["panel-1", "panel-2"]
    assert _folders(named[:1], out) == [out]


def test_one_that_fails_does_not_stop_the_others(tmp_path: Path) -> None:
    one, other = _two(tmp_path)
    wrong = tmp_path / "wrong.toml"
    wrong.write_text(_SMALL.replace('"toggle"', '"togle"'))
    bad = tmp_path / "bad.toml"
    bad.write_text(_BAD)
    result = _run("make", one, wrong, bad, other, "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert f'{wrong}:7: The control in hole "A" has kind = "togle"' in result.stderr
    assert f"{wrong}: not made." in result.stdout
    assert "3 panels made, 1 not made." in result.stdout
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["bad", "dome", "kiln"]
    assert _run("make", one, bad, "--out", tmp_path / "out").exit_code == 1


@pytest.mark.skipif(
    multiprocessing.get_start_method() != "fork", reason="the failure is planted by forking"
)
def test_a_process_that_dies_takes_no_other_panel_with_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from legend.making import panel_files as making

    make = making.make

    def fatal(order: making.Order) -> making.Made:
        if order.panel.parent.name == "kiln":
            os._exit(9)
        return make(order)

    monkeypatch.setattr(making, "make", fatal)
    one, other = _two(tmp_path)
    more = [tmp_path / f"panel-{number}.toml" for number in range(3)]
    for path in more:
        path.write_text(_SMALL)
    result = _run("make", more[0], one, other, *more[1:], "--out", tmp_path / "out")
    assert result.exit_code == 2
    assert result.stderr.count("was ended from outside") == 1
    assert "4 panels made, 1 not made." in result.stdout
    for name in ("dome", "panel-0", "panel-1", "panel-2"):
        assert (tmp_path / "out" / name / "findings.json").is_file()
    assert not (tmp_path / "out" / "kiln").exists()


def test_no_process_outlives_a_run_that_is_ended(tmp_path: Path) -> None:
    panels = []
    for number in range(30):
        panels.append(tmp_path / f"panel-{number}.toml")
        panels[-1].write_text(_SMALL)
    words = [sys.executable, "-m", "legend", "make", *map(str, panels), "--out", str(tmp_path)]
    running = subprocess.Popen(
        words, stdout=subprocess.DEVNULL, env={**os.environ, "PYTHONPATH": str(_ROOT)}
    )
    while not list(tmp_path.glob("panel-*/proof.png")) and running.poll() is None:
        time.sleep(0.005)
    begun = _children(running.pid)
    assert begun
    running.kill()
    running.wait()
    deadline = time.monotonic() + 10
    while any(_runs(pid) for pid in begun) and time.monotonic() < deadline:
        time.sleep(0.01)
    assert not any(_runs(pid) for pid in begun)
    assert len(list(tmp_path.glob("panel-*/findings.json"))) < 30


def _children(pid: int) -> list[int]:
    tasks = Path(f"/proc/{pid}/task/{pid}/children")
    return [int(child) for child in tasks.read_text().split()]


def _runs(pid: int) -> bool:
    try:
        state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except (FileNotFoundError, ProcessLookupError):
        return False
    return state != "Z"


# --- At the bench ---


def test_a_template_to_drill_the_same_panel_again(panel: Path) -> None:
    result = _run("overlay", panel, "--drilling")
    assert result.exit_code == 0, result.output
    folder = panel.with_suffix("")
    assert [path.name for path in folder.iterdir()] == ["drilling-template.pdf"]
    assert result.stdout == f"{folder / 'drilling-template.pdf'}\n"


def test_make_takes_what_the_printer_and_the_clock_ask_for(panel: Path) -> None:
    assert _run("make", panel).exit_code == 0
    folder = panel.with_suffix("")
    plain = {path.name: path.read_bytes() for path in folder.iterdir()}
    words = ["--correction", "0.5", "-0.4", "--start", "2031-05-01 09:00"]
    assert _run("make", panel, *words).exit_code == 0
    changed = [path.name for path in folder.iterdir() if path.read_bytes() != plain[path.name]]
    assert sorted(changed) == ["job-card.html", "overlay.pdf"]
    assert "Thu 1 May, 09:00" in (folder / "job-card.html").read_text(encoding="utf-8")
    assert _run("make", panel, "--correction", "-100", "0").exit_code == 2


def test_all_stages_in_one_picture(panel: Path) -> None:
    assert _run("proof", panel, "--dpi", "50", "--stage", "all").exit_code == 0
    with Image.open(panel.with_suffix("") / "proof.png") as picture:
        width, height = picture.size
    assert height > 5 * 60 / 80 * 0.9 * width * 80 / 90


# --- Watching ---


def _until(true: Callable[[], object], running: subprocess.Popen[str]) -> None:
    deadline = time.monotonic() + 20
    while not true():
        assert running.poll() is None and time.monotonic() < deadline
        time.sleep(0.01)


def test_the_proof_is_drawn_again_as_the_description_changes(panel: Path) -> None:
    """The description, its hole list and its style; and what is wrong stops nothing."""
    told = panel.with_name("told.txt")
    with told.open("w") as log:
        running = subprocess.Popen(
            [sys.executable, "-m", "legend", "proof", str(panel), "--watch", "--dpi", "40"],
            stdout=subprocess.DEVNULL,
            stderr=log,
            text=True,
            env={**os.environ, "PYTHONPATH": str(_ROOT)},
        )
    proof = panel.with_suffix("") / "proof.png"
    try:
        rounds = 0

        def drawn() -> bytes:
            nonlocal rounds
            rounds += 1
            _until(lambda: told.read_text().count("Watching for changes") >= rounds, running)
            return proof.read_bytes()

        first = drawn()
        panel.write_text(_SMALL.replace("PUMP", "HEATER"))
        second = drawn()
        assert second != first
        panel.write_text(_SMALL.replace("80, 60", "80, 60, 4"))
        assert drawn() == second
        assert f"{panel}:2: " in told.read_text()
        moved = panel.with_name("new.toml")  # as some editors save
        moved.write_text(
            'style = "style.toml"\nhole_list = "holes.csv"\n'
            + re.sub(r"\[holes\]\n.*\n", "", _SMALL)
        )
        moved.replace(panel)
        assert drawn() == second
        assert "There is no file" in told.read_text()
        panel.with_name("holes.csv").write_text("id,x,y,drill\nA,30,30,9.5\n")
        assert drawn() == second
        panel.with_name("style.toml").write_text('finish.top = "navy"\n')
        assert drawn() not in (first, second)
    finally:
        running.send_signal(signal.SIGINT)
        assert running.wait(20) == 130


def test_watching_without_the_library_says_what_to_install(
    panel: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "watchfiles", None)
    result = _run("proof", panel, "--watch")
    assert result.exit_code == 2
    assert "pip install watchfiles" in result.stderr
    result = _run("proof", panel.with_name("nowhere") / "panel.toml", "--watch")
    assert result.exit_code == 2


def test_the_account_says_how_much_of_the_stock_is_of_use(panel: Path, tmp_path: Path) -> None:
    from legend import cut, lay_out, read

    told = _run("make", panel, "--out", tmp_path / "out").stdout
    (sheet,) = cut(lay_out(read(panel))).sheets
    boxes = [placed.piece.box for placed in sheet.placed]
    useful = sum((x1 - x0) * (y1 - y0) for x0, y0, x1, y1 in boxes)
    waste = 1 - useful / (sheet.size[0] * sheet.size[1])
    assert f"{useful / 100:.0f} cm² of use, {100 * waste:.0f} % waste" in told


def test_a_spoiled_piece_is_cut_again_and_the_rest_left_alone(tmp_path: Path) -> None:
    whole = _run("cut", _SAMPLE, "--out", tmp_path)
    assert whole.exit_code == 0
    before = (tmp_path / "stencil-1.svg").read_bytes()
    again = _run("cut", _SAMPLE, "--out", tmp_path, "--piece", 7, "--piece", 3)
    assert again.exit_code == 0
    cut = (tmp_path / "cut-again-1.svg").read_text()
    assert set(re.findall(r'id="(piece-\d+)"', cut)) == {"piece-3", "piece-7"}
    assert (tmp_path / "stencil-1.svg").read_bytes() == before
    unknown = _run("cut", _SAMPLE, "--out", tmp_path, "--piece", 99)
    assert unknown.exit_code == 2
    assert "There is no piece 99; they are numbered 1 to" in " ".join(unknown.output.split())


def test_new_asks_in_a_terminal_and_asks_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from legend.commands import new

    monkeypatch.setattr(new, "_in_a_terminal", lambda: True)
    answers = "feet\nin\n8 1/2\n8 1/2 x 3\nOVEN\n2\nknob heat\nthing\nlamp ready\n"
    out = tmp_path / "panel.toml"
    result = CliRunner().invoke(legend, ["new", "--out", str(out)], input=answers)
    assert result.exit_code == 0
    assert "Write mm or in." in result.stderr and "Begin with what it is" in result.stderr
    text = out.read_text()
    assert 'size = ["8 1/2", 3]' in text and 'title = "OVEN"' in text
    assert _run("check", out).exit_code == 0


def test_new_leaves_nothing_where_the_answers_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from legend.commands import new

    monkeypatch.setattr(new, "_in_a_terminal", lambda: True)
    out = tmp_path / "panel.toml"
    result = CliRunner().invoke(legend, ["new", "--out", str(out)], input="mm\n220 x 90\n")
    assert result.exit_code != 0
    assert not list(tmp_path.iterdir())
    result = CliRunner().invoke(legend, ["new", "--out", str(out)], input="mm\n\n")
    assert out.read_text().startswith("# The legends of a panel. Change this one into yours")
