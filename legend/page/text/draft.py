"""Keep the text that is not saved in a file beside the description, until it is saved."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path

from legend.failures import PlainError
from legend.page.text.written import Written, encoded, read_written

_State = tuple[int, int, int]


class Draft:
    """The file `.NAME.unsaved` beside a description, which is written whole or not at all.

    What another program puts there is not written over.
    """

    def __init__(self, panel: Path) -> None:
        self.path = panel.with_name(f".{panel.name}.unsaved")
        self._panel = panel
        self._own: _State | None = None
        self._kept = ""

    def found(self) -> Written | None:
        """What is there from an earlier time; from now on it is this draft.

        Errors: as `read_written` has them.
        """
        if not self.path.is_file() or self.path.is_symlink():
            return None
        self._own = _state(self.path)
        found = read_written(self.path)
        self._kept = found.text
        return found

    def disown(self) -> None:
        """Leave alone what is there."""
        self._own = None

    @property
    def is_newer(self) -> bool:
        """Whether it was written after the description was, as far as the clock tells."""
        try:
            return self.path.stat().st_mtime_ns >= self._panel.stat().st_mtime_ns
        except OSError:
            return True

    def keep(self, text: str, is_behind: bool = False) -> None:
        """Write the text there, where it is not there yet.

        One that `is_behind` what the description says now is found as older than that. Errors:
        OSError; PlainError where what is there is another program's.
        """
        content = encoded(text)
        self._refuse_to_harm()
        try:
            if text != self._kept or _state(self.path) is None:
                self._own = _put_there(self.path, content)
                self._kept = text
            if is_behind and self.is_newer:
                before = self._panel.stat().st_mtime_ns - 1
                os.utime(self.path, ns=(before, before))
                self._own = _state(self.path)
        except OSError as error:
            error.filename, error.filename2 = str(self.path), None
            raise

    def remove(self) -> None:
        """Take it away, where it is still what was kept. Nothing is raised."""
        with contextlib.suppress(OSError):
            if self._own is not None and _state(self.path) == self._own:
                self.path.unlink()
        self._own = None

    def _refuse_to_harm(self) -> None:
        there = _state(self.path)
        if there is not None and there != self._own:
            raise PlainError(
                f"{self.path.name} is kept by another run of this program, or was changed by "
                "another one. Close the other, or save."
            )


def _put_there(path: Path, content: bytes) -> _State | None:
    """Write another file beside it, which only its user may read, and give that its name."""
    new = path.with_name(f"{path.name}~")
    new.unlink(missing_ok=True)  # what was left when the system stopped meanwhile
    handle = os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        state = _state(new)
        new.replace(path)
    except BaseException:
        new.unlink(missing_ok=True)
        raise
    return state


def _state(path: Path) -> _State | None:
    try:
        stat = path.lstat()
    except OSError:
        return None
    return stat.st_ino, stat.st_mtime_ns, stat.st_size
