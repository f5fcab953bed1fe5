"""Watch the files of the text that is open: the description, and what it names.

The one module of the page that touches watchfiles.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncGenerator, AsyncIterator, Callable
from contextlib import aclosing, suppress
from pathlib import Path
from typing import Any

from watchfiles import awatch

from legend.description.reading.files import files_of

#: After so many milliseconds without a change the files are looked at anew: folders in a network,
#: and what lies in a container, tell of none.
_LOOK_AGAIN = 500
#: Changes within so many milliseconds are looked at together.
_TOGETHER = 200
#: A file as it was: which one it is, when it was changed, and its size; None where there was none.
_State = tuple[int, int, int] | None


async def changed_files(panel: Path, text: Callable[[], str]) -> AsyncIterator[set[Path]]:
    """Yield the files that have changed, each time that some have; first the description alone.

    Whole folders are watched, because editors put a new file in the place of the old one. Which
    files there are is read from the text as it is then.
    """
    read = seen = text()
    files = await asyncio.to_thread(_files, panel, read)
    states = _states(files)
    yield {panel}  # which may have changed since it was opened
    while True:
        folders = _folders(files)
        async with aclosing(_moments(folders)) as moments:
            async for _ in moments:
                now = _states(files)
                changed = {file for file in files if now[file] != states[file]}
                states = now
                seen, before = text(), seen
                if changed or (seen != read and seen == before):  # and not with every letter
                    read = seen
                    files = await asyncio.to_thread(_files, panel, read)
                    # One that is named only now may have changed after it was read by that name.
                    new = {file: _state(file) for file in files if file not in now}
                    changed |= {file for file, state in new.items() if state}
                    states = {file: now[file] for file in files if file in now} | new
                if changed:
                    yield changed
                if _folders(files) != folders:
                    break


async def _moments(folders: set[Path]) -> AsyncGenerator[None, None]:
    """Yield when something happens in folders, and now and then when nothing does."""
    how: dict[str, Any] = {
        "watch_filter": None,
        "recursive": False,
        "rust_timeout": _LOOK_AGAIN,
        "yield_on_timeout": True,
        "debounce": _TOGETHER,
    }
    with suppress(OSError, RuntimeError):  # one is gone, or the system watches no more of them
        async with aclosing(awatch(*folders, **how)) as watching:
            async for _ in watching:
                yield
    while True:
        await asyncio.sleep(_LOOK_AGAIN / 1000)
        yield


def _folders(files: set[Path]) -> set[Path]:
    """The folders that files lie in: of one whose name is a link, where this leads to."""
    folders = set()
    for file in files:
        with suppress(OSError, RuntimeError, ValueError):  # it is no name that there can be
            folder = file.absolute().resolve().parent
            folders |= {folder} if folder.is_dir() else set()
    return folders


def _files(panel: Path, text: str) -> set[Path]:
    return files_of(panel, text) | {panel}


def _states(files: set[Path]) -> dict[Path, _State]:
    return {file: _state(file) for file in files}


def _state(file: Path) -> _State:
    try:
        stat = file.stat()
    except (OSError, ValueError):
        return None
    return stat.st_ino, stat.st_mtime_ns, stat.st_size
