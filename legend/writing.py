"""Write files to disk, all of them or none, and never over what the user made.

Every file that this program makes bears a seal at a place that is fixed for its kind: `MARK`,
and the SHA-256 digest of all the rest of it. By the seal a file is known again when it is to
be replaced: where the digest fits, it is as it was written; where it does not, somebody has
edited it since; and a file without a seal in its place is none of ours, whatever it says.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import shutil
import signal
import struct
import sys
import tempfile
import threading
import time
import zlib
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import Enum, auto
from pathlib import Path

from legend.failures import PlainError
from legend.sentences import printable

#: What every file of this program says of who made it, as plain ASCII.
MARK = "panel artwork by legend"


class ForeignFileError(PlainError):
    """Where it would write stands what this program did not write, or not as it is now.

    `foreign` are files that it did not write, `edited` those that were changed since it did.
    """

    def __init__(
        self, text: str, foreign: Iterable[Path] = (), edited: Iterable[Path] = ()
    ) -> None:
        super().__init__(text)
        self.foreign, self.edited = tuple(foreign), tuple(edited)


# --- The seal ---


@dataclass(frozen=True, slots=True)
class _Form:
    """How a kind of file bears its seal: in what, and before the last of which bytes.

    Where `before` is empty, that is at the end.
    """

    wrapped: Callable[[bytes], bytes]
    before: bytes = b""


def _comment(seal: bytes) -> bytes:
    """A comment of XML or HTML, which both may have after their one element."""
    return b"<!-- %s -->\n" % seal


def _chunk(seal: bytes) -> bytes:
    """A tEXt chunk of PNG (ISO/IEC 15948, 11.3.4.3)."""
    data = b"tEXtComment\0" + seal
    return struct.pack(">I", len(data) - 4) + data + struct.pack(">I", zlib.crc32(data))


#: By the ending of the name. A new kind of file needs one line here.
_FORMS = {
    ".svg": _Form(_comment),
    ".html": _Form(_comment),
    ".htm": _Form(_comment),
    # After the table of offsets, so that none of them changes.
    ".pdf": _Form(lambda seal: b"%% %s\n" % seal, b"startxref"),
    ".png": _Form(_chunk, b"\0\0\0\0IEND"),
    # A comment of DXF, before the end of the file; and one of HP-GL/2, when the tool is put away.
    ".dxf": _Form(lambda seal: b"999\n%s\n" % seal, b"  0\nEOF\n"),
    ".plt": _Form(lambda seal: b'CO "%s";\n' % seal),
    ".json": _Form(lambda seal: b',\n  "$comment": "%s"' % seal, b"\n}\n"),
}
_SEAL = re.compile(re.escape(MARK.encode()) + rb", sha256 [0-9a-f]{64}")
#: In so many of the last bytes of a file a seal stands.
_TAIL = 400


def sealed(name: str, data: bytes) -> bytes:
    """The bytes of a finished file with its seal, by the ending of its name.

    Error: ValueError where files of that kind bear none, or the bytes are not of that kind.
    """
    form = _FORMS.get(Path(name).suffix.lower())
    at = -1 if form is None else data.rfind(form.before)
    if form is None or at < 0:
        raise ValueError(f"{name} has no place for the seal of this program")
    seal = f"{MARK}, sha256 {hashlib.sha256(data).hexdigest()}".encode()
    return data[:at] + form.wrapped(seal) + data[at:]


class Standing(Enum):
    """What is found where a file is to be written."""

    #: Nothing, or an empty file, which loses nothing.
    FREE = auto()
    #: A file that is as this program wrote it.
    OURS = auto()
    #: A file that this program wrote, and somebody edited.
    EDITED = auto()
    FOREIGN = auto()


def standing_of(path: Path) -> Standing:
    """What there is of this name. Error: OSError where it cannot be read."""
    if not os.path.lexists(path):
        return Standing.FREE
    if not path.is_file():
        return Standing.FOREIGN
    with path.open("rb") as file:
        size = file.seek(0, os.SEEK_END)
        file.seek(max(0, size - _TAIL))
        if not size:
            return Standing.FREE
        if not _SEAL.search(file.read()):
            return Standing.FOREIGN
        file.seek(0)
        content = file.read()
    return Standing.OURS if _is_intact(path.name, content) else Standing.EDITED


def _is_intact(name: str, content: bytes) -> bool:
    """Whether taking the seal out of a file and sealing it again gives the same file."""
    form = _FORMS.get(Path(name).suffix.lower())
    if form is None:
        return False
    end = content.rfind(form.before)
    begin = end - len(form.wrapped(_SEAL_OF_NOTHING))
    if begin < 0:
        return False
    try:
        return sealed(name, content[:begin] + content[end:]) == content
    except ValueError:
        return False


_SEAL_OF_NOTHING = f"{MARK}, sha256 {'0' * 64}".encode()


def is_ours(path: Path) -> bool:
    """Whether a file is as this program wrote it, or is empty and so loses nothing."""
    return path.is_file() and standing_of(path) in (Standing.OURS, Standing.FREE)


# --- Writing ---


def write_whole(path: Path, data: bytes, replace: bool = False) -> Path:
    """Write one file, and give back its path; all else as `write_all`."""
    write_all(path.parent, {path.name: data}, replace=replace)
    return path


def write_new(path: Path, data: bytes) -> None:
    """Write a file that is the user's from then on, whole or not at all, and bears no seal.

    Missing folders are made. Errors: FileExistsError where anything is there; OSError.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    with _undisturbed():
        path.touch(exist_ok=False)
        try:
            with _told_of(path):
                path.write_bytes(data)
        except BaseException:
            path.unlink()
            raise


def write_all(
    folder: Path,
    files: Mapping[str, bytes],
    earlier: re.Pattern[str] | None = None,
    replace: bool = False,
) -> list[Path]:
    """Seal files and write them to a folder, all of them or none, and give back their paths.

    Other files there whose names fit `earlier` are of an earlier run, and go with those that
    are replaced. Files that were edited since are only replaced where `replace` says so;
    foreign ones never. Missing folders are made. In the order of what is done:

    1. While this runs, no other run writes to the folder.
    2. Every name is looked at.
    3. All the files are written into a hidden folder in that folder.
    4. What is to go is moved into the hidden folder, and then what is new out of it, so that
       what can be seen is of one run only, at any moment. Where a step fails, all is moved back.

    Errors: ForeignFileError; OSError as the system gives it, with the name that was asked for.
    """
    contents = {name: sealed(name, data) for name, data in files.items()}
    if not contents and not folder.exists():
        return []
    made = [each for each in (folder, *folder.parents) if not each.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with _alone_in(folder) as is_alone, _undisturbed():
            old = _to_be_replaced(folder, contents, earlier, replace)
            if is_alone:
                _clear_away(folder)
            with _hidden_in(folder) as (coming, going):
                for name, content in contents.items():
                    with _told_of(folder / name):
                        (coming / name).write_bytes(content)
                _exchange(folder, old, going, contents, coming)
    except BaseException:
        for each in made:
            with contextlib.suppress(OSError):  # somebody else has begun to use it
                each.rmdir()
        raise
    return [folder / name for name in contents]


_FOREIGN = (
    "{} is there already and was not written by this program, or not by this version of it, so it "
    "is left as it is; move it away, or name another place."
)
_EDITED = (
    "{} was edited since this program wrote it, so it is left as it is; move it away, or give "
    "--replace to have it replaced."
)
_BUSY = "Another run is still writing to {}; wait for it to end, or stop it."


def _told(what: str, path: Path) -> str:
    return what.format(printable(str(path)))


def _to_be_replaced(
    folder: Path, new: Collection[str], earlier: re.Pattern[str] | None, replace: bool
) -> list[str]:
    """The names of what is there and has to go. Error: ForeignFileError for what may not."""
    standing = {name: standing_of(folder / name) for name in new}
    if earlier is not None:
        names = sorted(path.name for path in folder.iterdir() if earlier.fullmatch(path.name))
        others = {name: standing_of(folder / name) for name in names if name not in new}
        ours = (Standing.OURS, Standing.EDITED)
        standing |= {name: found for name, found in others.items() if found in ours}
    foreign = [folder / name for name, found in standing.items() if found is Standing.FOREIGN]
    edited = [folder / name for name, found in standing.items() if found is Standing.EDITED]
    if foreign or (edited and not replace):
        kept = [] if replace else edited
        wrong = [_told(_FOREIGN, path) for path in foreign]
        wrong += [_told(_EDITED, path) for path in kept]
        raise ForeignFileError("\n".join(wrong), foreign, kept)
    return [name for name in standing if os.path.lexists(folder / name)]


def _exchange(
    folder: Path, old: Iterable[str], going: Path, new: Iterable[str], coming: Path
) -> None:
    """Move what is old from a folder to where it goes, and what is new from where it comes."""
    ways = [(name, folder, going) for name in old] + [(name, coming, folder) for name in new]
    moved: list[tuple[Path, Path]] = []
    try:
        for name, source, target in ways:
            if os.path.lexists(target / name):  # it came in this moment
                raise ForeignFileError(_told(_FOREIGN, folder / name), [folder / name])
            with _told_of(folder / name):
                (source / name).replace(target / name)
            moved.append((target / name, source / name))
    except BaseException:
        for now, before in reversed(moved):
            with contextlib.suppress(OSError):
                now.replace(before)
        raise


@contextlib.contextmanager
def _told_of(path: Path) -> Iterator[None]:
    """What the system refuses is told of the file that was asked for, not of the hidden one."""
    try:
        yield
    except OSError as error:
        error.filename, error.filename2 = str(path), None
        raise


# --- A folder meanwhile ---

#: How the hidden folder is called.
_BEGUN, _ENDED = ".legend-unfinished-", "~"
#: How long another run is waited for, and how often it is looked at, in seconds.
_MOST_WAITING, _LOOK_AGAIN = 60.0, 0.02


@contextlib.contextmanager
def _hidden_in(folder: Path) -> Iterator[tuple[Path, Path]]:
    """Two empty places in a hidden folder, on the same disk so; in the end all of it is gone."""
    with _told_of(folder):
        hidden = Path(tempfile.mkdtemp(_ENDED, _BEGUN, folder))
    try:
        for place in (hidden / "coming", hidden / "going"):
            with _told_of(folder):
                place.mkdir()
        yield hidden / "coming", hidden / "going"
    finally:
        shutil.rmtree(hidden, ignore_errors=True)


def _clear_away(folder: Path) -> None:
    """Remove the hidden folders of runs that were killed while they wrote."""
    for left in folder.glob(f"{_BEGUN}*{_ENDED}"):
        shutil.rmtree(left, ignore_errors=True)


@contextlib.contextmanager
def _alone_in(folder: Path) -> Iterator[bool]:
    """Wait until no other run writes to a folder, and let none do so meanwhile.

    The system takes the lock back from a run that is killed. Gives False where it has none for
    this folder, as on some disks in a network. Error: PlainError after a long time.
    """
    until = time.monotonic() + _MOST_WAITING
    while True:
        try:
            handle = _lock(folder)
            break
        except BlockingIOError:
            if time.monotonic() > until:
                raise PlainError(_told(_BUSY, folder)) from None
            time.sleep(_LOOK_AGAIN)
        except OSError:
            handle = None
            break
    try:
        yield handle is not None
    finally:
        if handle is not None:
            os.close(handle)


def _lock(folder: Path) -> int:
    """A handle whose closing lets others in. Error: BlockingIOError while another run has it."""
    if sys.platform == "win32":  # which locks no folder; but this file goes with its handle
        try:
            return os.open(folder / ".legend-lock~", os.O_CREAT | os.O_EXCL | os.O_TEMPORARY)
        except FileExistsError:
            raise BlockingIOError from None
    import fcntl

    handle = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BaseException:
        os.close(handle)
        raise
    return handle


@contextlib.contextmanager
def _undisturbed() -> Iterator[None]:
    """Let no interrupt end the process meanwhile: it waits, and comes afterwards."""
    if threading.current_thread() is not threading.main_thread():  # which alone is interrupted
        yield
        return
    came: list[int] = []
    before = {}
    for number in (signal.SIGINT, signal.SIGTERM):
        if signal.getsignal(number) is not None:
            before[number] = signal.signal(number, lambda number, _frame: came.append(number))
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
        if came:
            signal.raise_signal(came[0])
