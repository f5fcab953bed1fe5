"""Watch the files of a description for changes.

The one module that touches watchfiles, an optional extra.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path

from legend.description.reading.files import files_of
from legend.failures import PlainError

#: After so many milliseconds without a change the files are looked at anew.
_LOOK_AGAIN = 500
#: A file as it was: when it was changed, and its size; None where there was none.
_State = tuple[int, int] | None


def changes_of(panel: Path, lists: Sequence[Path] = ()) -> Iterator[None]:
    """Yield once to begin with, and then each time that a file of the description has changed.

    Or one of the hole lists besides.

    What the description names is looked up anew each time. Whole folders are watched, because
    editors put a new file in the place of the old one. Error: PlainError, where there is
    nothing to watch, or nothing to watch it with.
    """
    try:
        from watchfiles import watch
    except ImportError:
        raise PlainError(
            "Watching takes the library watchfiles; install it with pip install watchfiles."
        ) from None
    if not panel.absolute().parent.is_dir():
        raise PlainError(f"There is no folder {panel.parent} to watch.")
    known: set[Path] = set()
    while True:
        known |= {_as_watched(file) for file in (*files_of(panel), *lists)}
        before = {file: _state(file) for file in known}
        yield None
        folders = {file.parent for file in known if file.parent.is_dir()}
        is_known = partial(_is_one_of, frozenset(known))
        # Now and then the files are looked at too: what changed while the panel was drawn is
        # not seen by watching from now on.
        changes = watch(
            *folders,
            watch_filter=is_known,
            recursive=False,
            rust_timeout=_LOOK_AGAIN,
            yield_on_timeout=True,
        )
        while all(_state(file) == state for file, state in before.items()):
            next(changes)
        changes.close()


def _as_watched(file: Path) -> Path:
    """The path of a file as a change to it is reported: its folder's own, links followed."""
    return file.absolute().parent.resolve() / file.name


def _is_one_of(files: frozenset[Path], _change: object, path: str) -> bool:
    return Path(path) in files


def _state(file: Path) -> _State:
    try:
        stat = file.stat()
    except OSError:
        return None
    return stat.st_mtime_ns, stat.st_size
