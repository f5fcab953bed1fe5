"""Write a text file of the user's whole or not at all, and leave all else of it as it was."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import shutil
from pathlib import Path


def save_whole(path: Path, content: bytes) -> None:
    """Put this content into a file, or into that which a link of this name leads to.

    The file keeps its mode. One that has several names is written where it lies, so that all of
    them show it. Error: OSError, which names the file; it is then as it was.
    """
    target = Path(os.path.realpath(path))
    try:
        if target.exists():
            if not os.access(target, os.W_OK):
                raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
            if target.stat().st_nlink > 1:
                _write_in_place(target, content)
                return
        _put_in_place(target, content)
    except OSError as error:
        error.filename, error.filename2 = str(path), None
        raise


def _put_in_place(target: Path, content: bytes) -> None:
    """Write another file beside it, and give that its name."""
    new = target.parent / f".legend-{secrets.token_hex(8)}.part"
    handle = os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    try:
        with os.fdopen(handle, "wb") as file:
            if target.exists():
                _take_after(target, new)
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        new.replace(target)
    except BaseException:
        new.unlink(missing_ok=True)
        raise
    _settle(target.parent)


def _take_after(target: Path, new: Path) -> None:
    """Give a new file the mode of that in whose place it goes, and its owner where that may be."""
    stat = target.stat()
    if hasattr(os, "chown"):
        with contextlib.suppress(OSError):
            os.chown(new, stat.st_uid, stat.st_gid)
    shutil.copystat(target, new)


def _write_in_place(target: Path, content: bytes) -> None:
    """Write over what is there; where that fails, put back what was."""
    before = target.read_bytes()
    try:
        _write_over(target, content)
    except BaseException:
        _write_over(target, before)
        raise


def _write_over(target: Path, content: bytes) -> None:
    with target.open("r+b") as file:
        file.write(content)
        file.truncate()
        file.flush()
        os.fsync(file.fileno())


def _settle(folder: Path) -> None:
    """See to it that the new name outlasts a loss of power, where the system knows how."""
    with contextlib.suppress(OSError, AttributeError):
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
