"""Files as they get to the disk: sealed, all of them or none, and nothing of anybody else's."""

import errno
import fcntl
import io
import os
import re
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from reportlab.pdfgen.canvas import Canvas

from legend import writing
from legend.failures import PlainError
from legend.writing import (
    MARK,
    ForeignFileError,
    Standing,
    is_ours,
    sealed,
    standing_of,
    write_all,
    write_whole,
)

_ROOT = Path(__file__).parents[1]
_SVG = b"<svg/>\n"


def _pdf() -> bytes:
    data = io.BytesIO()
    canvas = Canvas(data, invariant=1)
    canvas.drawString(50, 50, "startxref")
    canvas.save()
    return data.getvalue()


def _png() -> bytes:
    data = io.BytesIO()
    Image.linear_gradient("L").save(data, "PNG")
    return data.getvalue()


#: A file of every kind.
_KINDS = {
    "stencil-1.svg": _SVG,
    "job-card.html": b"<!DOCTYPE html>\n<html><body></body>\n</html>",
    "card.htm": b"<!DOCTYPE html>\n<html></html>\n",
    "overlay.pdf": _pdf(),
    "proof.png": _png(),
    "findings.json": b'{\n  "findings": []\n}\n',
}


def _in(folder: Path) -> dict[str, bytes]:
    """All that is in a folder, hidden or not; of a folder in it, nothing but that it is there."""
    return {
        path.name: path.read_bytes() if path.is_file() else b"" for path in sorted(folder.iterdir())
    }


# --- The seal ---


@pytest.mark.parametrize("name", _KINDS)
def test_a_file_is_known_again_until_a_byte_of_it_is_changed(tmp_path: Path, name: str) -> None:
    path = write_whole(tmp_path / name, _KINDS[name])
    content = path.read_bytes()
    assert standing_of(path) is Standing.OURS
    for at in range(0, len(content), max(1, len(content) // 80)):
        path.write_bytes(content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :])
        assert standing_of(path) in (Standing.EDITED, Standing.FOREIGN)
    path.write_bytes(content[:3] + b" " + content[3:])
    assert standing_of(path) is Standing.EDITED


@pytest.mark.parametrize("name", _KINDS)
def test_what_an_editor_saves_with_other_ends_of_lines_is_edited(tmp_path: Path, name: str) -> None:
    path = write_whole(tmp_path / name, _KINDS[name])
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    if name.endswith("png"):  # as pictures are, whose first line tells it
        path.write_bytes(sealed(name, _KINDS[name])[:-1] + b"\0")
    assert standing_of(path) is Standing.EDITED


@given(st.sampled_from([*_KINDS]), st.binary(max_size=300), st.integers(0, 600))
def test_only_what_was_sealed_is_known_again(name: str, put_in: bytes, at: int) -> None:
    """Bytes put into a sealed file anywhere, so that a second seal or a lost place is tried too."""
    content = sealed(name, _KINDS[name])
    at = max(0, len(content) - at)
    changed = content[:at] + put_in + content[at:]
    assert writing._is_intact(name, changed) == (changed == content)


@pytest.mark.parametrize("name", _KINDS)
def test_words_of_the_seal_anywhere_else_make_no_file_ours(tmp_path: Path, name: str) -> None:
    """A builder's own file that quotes them, or a whole file of ours."""
    ours = sealed(name, _KINDS[name])
    path = tmp_path / name
    for content in (
        MARK.encode(),
        ours + b"my own notes, longer than any seal: " + b"-" * 1000,
        _KINDS[name].replace(b"\n", b"\n" + MARK.encode() + b"\n", 1),
    ):
        path.write_bytes(content)
        assert standing_of(path) is Standing.FOREIGN
        with pytest.raises(ForeignFileError, match="was not written by this program"):
            write_whole(path, _KINDS[name], replace=True)
        assert path.read_bytes() == content


def test_the_seal_of_another_file_is_none(tmp_path: Path) -> None:
    path = tmp_path / "stencil-8.svg"
    seal = sealed("a.svg", _SVG)[len(_SVG) :]
    path.write_bytes(b"<svg><!-- mine --></svg>\n" + seal)
    assert standing_of(path) is Standing.EDITED


@pytest.mark.parametrize("name", ["proof.svg", "PROOF.SVG"])
def test_pictures_and_documents_stay_what_they_are(tmp_path: Path, name: str) -> None:
    assert sealed(name, _SVG).startswith(_SVG)
    with Image.open(io.BytesIO(sealed("a.png", _png()))) as picture:
        picture.load()
        assert picture.tobytes() == Image.linear_gradient("L").tobytes()
    offset = int(re.findall(rb"startxref\s+(\d+)", _pdf())[-1])
    assert sealed("a.pdf", _pdf())[offset:].startswith(b"xref")


def test_what_cannot_be_known_again_is_not_written(tmp_path: Path) -> None:
    for name, data in [("notes.txt", b"x"), ("a.pdf", b"no PDF"), ("a.json", b"{}")]:
        with pytest.raises(ValueError, match="has no place for the seal"):
            write_whole(tmp_path / "deep" / name, data)
    assert _in(tmp_path) == {}


# --- One file ---


def test_writes_and_replaces_a_file_of_ours(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "proof.svg"
    assert write_whole(path, _SVG) == path
    write_whole(path, b"<svg>again</svg>\n")
    assert path.read_bytes().startswith(b"<svg>again</svg>\n")
    assert is_ours(path)
    assert [*_in(path.parent)] == ["proof.svg"]


def test_a_file_may_be_read_by_whoever_may_read_what_one_writes(tmp_path: Path) -> None:
    path = write_whole(tmp_path / "proof.svg", _SVG)
    (tmp_path / "plain").touch()
    assert path.stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_an_empty_file_has_nothing_to_lose(tmp_path: Path) -> None:
    path = tmp_path / "proof.svg"
    path.touch()
    write_whole(path, _SVG)
    assert is_ours(path)


@pytest.mark.parametrize("kind", ["file", "folder", "link", "pipe"])
def test_leaves_alone_what_is_not_ours(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "proof.svg"
    if kind == "file":
        path.write_text("mine")
    elif kind == "folder":
        path.mkdir()
    elif kind == "link":
        path.symlink_to(tmp_path / "nowhere")
    else:
        os.mkfifo(path)
    for replace in (False, True):
        with pytest.raises(ForeignFileError, match="was not written by this program"):
            write_whole(path, _SVG, replace)
    assert os.path.lexists(path)
    assert len([*tmp_path.iterdir()]) == 1


def test_what_was_edited_is_only_replaced_when_that_is_said(tmp_path: Path) -> None:
    path = write_whole(tmp_path / "proof.svg", _SVG)
    edited = path.read_bytes().replace(b"<svg/>", b"<svg><g/></svg>")
    path.write_bytes(edited)
    with pytest.raises(ForeignFileError, match=r"proof\.svg was edited since .* give --replace"):
        write_whole(path, _SVG)
    assert path.read_bytes() == edited
    write_whole(path, _SVG, replace=True)
    assert path.read_bytes() == sealed("proof.svg", _SVG)


# --- Several ---

_EARLIER = re.compile(r"stencil-\d+\.svg")
_OLD = {f"stencil-{number}.svg": b"<old/>\n" for number in (1, 2, 3)} | {"a.svg": b"<old/>\n"}
_NEW = {f"stencil-{number}.svg": b"<new/>\n" for number in (1, 2)} | {"b.svg": b"<new/>\n"}


def _seals(files: Mapping[str, bytes]) -> dict[str, bytes]:
    return {name: sealed(name, data) for name, data in sorted(files.items())}


def test_an_earlier_run_goes_with_the_new_one(tmp_path: Path) -> None:
    write_all(tmp_path, _OLD)
    (tmp_path / "stencil-4.svg").write_text(f"mine, made with {MARK}")
    write_all(tmp_path, _NEW, _EARLIER)
    assert _in(tmp_path) == _seals(_NEW) | {
        "a.svg": sealed("a.svg", b"<old/>\n"),
        "stencil-4.svg": f"mine, made with {MARK}".encode(),
    }


def test_what_was_edited_of_an_earlier_run_stops_the_whole(tmp_path: Path) -> None:
    write_all(tmp_path, _OLD)
    edited = tmp_path / "stencil-3.svg"
    edited.write_bytes(edited.read_bytes().replace(b"old", b"mine"))
    (tmp_path / "b.svg").write_text("mine")
    before = _in(tmp_path)
    with pytest.raises(ForeignFileError) as raised:
        write_all(tmp_path, _NEW, _EARLIER)
    lines = str(raised.value).splitlines()
    assert [line.split(" ")[0] for line in lines] == [str(tmp_path / "b.svg"), str(edited)]
    assert _in(tmp_path) == before
    (tmp_path / "b.svg").unlink()
    write_all(tmp_path, _NEW, _EARLIER, replace=True)
    assert _in(tmp_path) == _seals(_NEW | {"a.svg": b"<old/>\n"})


def _failing(
    monkeypatch: pytest.MonkeyPatch, step: str, which: int, fail: Callable[[Path], None]
) -> None:
    """When a step is taken for the time of this number, `fail` comes first."""
    method = getattr(Path, step)
    taken = 0

    def counted(self: Path, *arguments: object, **more: object) -> object:
        nonlocal taken
        taken += 1
        if taken == which:
            fail(self)
        return method(self, *arguments, **more)

    monkeypatch.setattr(Path, step, counted)


_STEPS = [("mkdir", n) for n in (1, 2, 3)]
_STEPS += [("write_bytes", n) for n in (1, 2, 3)] + [("replace", n) for n in range(1, 7)]


@pytest.mark.parametrize("kind", [KeyboardInterrupt, OSError])
@pytest.mark.parametrize(("step", "which"), _STEPS)
def test_whichever_step_fails_all_is_as_before(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    kind: type[BaseException],
    step: str,
    which: int,
) -> None:
    """Three stencils are there, of which two are replaced and one removed; and one file is new."""
    write_all(tmp_path, _OLD)
    before = _in(tmp_path)

    def fail(self: Path) -> None:
        if step == "write_bytes":
            with self.open("wb") as file:
                file.write(b"half")
        raise kind(errno.ENOSPC, "No space left", str(self))

    with monkeypatch.context() as patched:
        _failing(patched, step, which, fail)
        with pytest.raises((KeyboardInterrupt, OSError)) as raised:
            write_all(tmp_path, _NEW, _EARLIER)
    assert _in(tmp_path) == before
    if isinstance(raised.value, OSError):
        assert Path(raised.value.filename) in [tmp_path, *(tmp_path / n for n in _OLD | _NEW)]


def test_folders_that_were_made_for_nothing_go_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(self: Path) -> None:
        raise OSError(errno.ENOSPC, "No space left")

    _failing(monkeypatch, "write_bytes", 2, fail)
    with pytest.raises(OSError):
        write_all(tmp_path / "a" / "b", _NEW)
    assert _in(tmp_path) == {}


def test_a_foreign_file_that_comes_late_is_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_all(tmp_path, _OLD)
    before = _in(tmp_path)
    _failing(monkeypatch, "write_bytes", 3, lambda _: (tmp_path / "b.svg").symlink_to("mine"))
    with pytest.raises(ForeignFileError, match=r"b\.svg is there already"):
        write_all(tmp_path, _NEW, _EARLIER)
    assert (tmp_path / "b.svg").is_symlink()
    (tmp_path / "b.svg").unlink()
    assert _in(tmp_path) == before


# --- Two runs, and runs that are ended ---


@pytest.fixture
def interruptible() -> Iterator[None]:
    """Interrupts are heard, though whoever began the tests may have had them ignored."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def test_an_interrupt_waits_until_all_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, interruptible: None
) -> None:
    for step, which in _STEPS:
        folder = tmp_path / f"{step}-{which}"
        write_all(folder, _OLD)
        with monkeypatch.context() as patched:
            _failing(patched, step, which, lambda _: signal.raise_signal(signal.SIGINT))
            with pytest.raises(KeyboardInterrupt):
                write_all(folder, _NEW, _EARLIER)
        # The first folder to be made is that for the files, before there is anything to write.
        new = _seals(_OLD if (step, which) == ("mkdir", 1) else _NEW | {"a.svg": b"<old/>\n"})
        assert _in(folder) == new


def test_another_thread_writes_as_well(tmp_path: Path) -> None:
    with ThreadPoolExecutor(1) as pool:
        assert pool.submit(write_all, tmp_path, _NEW).result()
    assert _in(tmp_path) == _seals(_NEW)


def test_one_run_waits_for_another(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The other is at its second file, and holds still until this one has waited for it."""
    at_work, go_on = threading.Event(), threading.Event()

    def hold(_: Path) -> None:
        at_work.set()
        assert go_on.wait(20)

    write_all(tmp_path, _OLD)
    _failing(monkeypatch, "write_bytes", 2, hold)
    other = dict.fromkeys(["stencil-1.svg", "stencil-5.svg"], b"<other/>\n")
    with ThreadPoolExecutor(1) as pool:
        first = pool.submit(write_all, tmp_path, other, _EARLIER)
        assert at_work.wait(20)
        monkeypatch.setattr(writing, "_MOST_WAITING", 0.1)
        with pytest.raises(PlainError, match="Another run is still writing to"):
            write_all(tmp_path, _NEW, _EARLIER)
        threading.Timer(0.2, go_on.set).start()
        monkeypatch.setattr(writing, "_MOST_WAITING", 20)
        write_all(tmp_path, _NEW, _EARLIER)
        assert first.result()
    assert _in(tmp_path) == _seals(_NEW | {"a.svg": b"<old/>\n"})


_WRITES_ON = """
import re, sys
from pathlib import Path
from legend.writing import write_all
names = sys.argv[2:]
while True:
    files = {name: b"<%s/>\\n" % sys.argv[1].encode() for name in names}
    write_all(Path("."), files, re.compile(r"stencil-\\d+\\.svg"))
"""


@pytest.mark.skipif(sys.platform != "linux", reason="processes are stopped as Linux stops them")
def test_what_is_seen_while_two_write_on_and_are_killed_is_never_of_both(tmp_path: Path) -> None:
    """Two processes write unlike sets into one folder without end, and are killed at any moment."""
    sets = {"one": [1, 2, 3, 4], "other": [3, 4, 5]}
    seen = set()
    for _ in range(4):
        running = [
            subprocess.Popen(
                [sys.executable, "-c", _WRITES_ON, who, *(f"stencil-{n}.svg" for n in numbers)],
                cwd=tmp_path,
                env={**os.environ, "PYTHONPATH": str(_ROOT)},
            )
            for who, numbers in sets.items()
        ]
        try:
            while not list(tmp_path.glob("stencil-4.svg")):
                assert all(each.poll() is None for each in running)
            with pytest.raises(subprocess.TimeoutExpired):
                running[0].wait(0.3)
        finally:
            for each in running:
                each.kill()
                each.wait()
        visible = {p.name: p.read_bytes() for p in tmp_path.glob("stencil-*")}
        told = {content.split(b"/>")[0] for content in visible.values()}
        assert len(told) <= 1, visible
        assert all(is_ours(tmp_path / name) for name in visible)
        seen |= told
    # The next run finds no lock in its way, and leaves nothing of those that were killed.
    write_all(tmp_path, _NEW, _EARLIER)
    assert _in(tmp_path) == _seals(_NEW)
    assert seen


def test_where_the_system_has_no_lock_it_goes_without(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(fcntl, "flock", refuse)
    other = tmp_path / ".legend-unfinished-another~"
    other.mkdir()
    write_all(tmp_path, _NEW)
    assert _in(tmp_path) == {other.name: b""} | _seals(_NEW)
