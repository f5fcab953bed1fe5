"""Read the bytes of a description's files, and list all files that it is read from."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, TypeGuard

from legend.description.reading.toml_text import parse_toml
from legend.limits import LONGEST_DRAWING, LONGEST_FILE

#: How the name of a drawing ends.
DRAWING = ".dxf"


def longest_of(path: Path) -> int:
    """How many bytes a file of this name may have."""
    return LONGEST_DRAWING if path.suffix.lower() == DRAWING else LONGEST_FILE


def content_of(path: Path) -> bytes:
    """The bytes of a file: all of them, or one more than it may have.

    Errors: OSError where it cannot be read, or is a pipe or a device, on which one might wait
    for ever; ValueError where it is no name of a file.
    """
    mode = path.stat().st_mode
    if not stat.S_ISREG(mode) and not stat.S_ISDIR(mode):
        raise OSError(errno.EINVAL, "it is a pipe or a device, and no plain file", str(path))
    with path.open("rb") as file:
        return file.read(longest_of(path) + 1)


def files_of(panel: Path, text: str | None = None) -> set[Path]:
    """A description, its styles, hole lists, drawings and font files, whether they exist or not.

    With `text`, those of a description that says this in its place. What cannot be read names no
    further files.
    """
    files: set[Path] = set()
    seen: set[str] = set()
    waiting = [panel]
    while waiting:
        file = waiting.pop()
        if os.path.realpath(file) in seen:
            continue
        seen.add(os.path.realpath(file))
        files.add(file)
        raw = _raw(file) if text is None or file != panel else _parsed(text, file)
        style = raw.get("style")
        waiting += [file.parent / style] if names_a_file(style) else []
        files |= {file.parent / name for name in _named(raw)}
    return files


def _raw(file: Path) -> dict[str, Any]:
    try:
        content = content_of(file)
        if len(content) > longest_of(file):
            return {}
        return _parsed(content.decode("utf-8-sig"), file)
    except (OSError, ValueError):
        return {}


def _parsed(text: str, file: Path) -> dict[str, Any]:
    return parse_toml(text, str(file)).data


def _named(raw: Mapping[str, Any]) -> Iterator[str]:
    """The files that the tables of one description name."""
    drilled = raw.get("as_drilled")
    names = [raw.get("hole_list"), drilled]
    names += [drilled.get("hole_list")] if isinstance(drilled, dict) else []
    panel = raw.get("panel")
    outline = panel.get("outline") if isinstance(panel, dict) else None
    names += [outline.get("drawing")] if isinstance(outline, dict) else []
    lettering = raw.get("lettering")
    if isinstance(lettering, dict):
        tables = [lettering, *lettering.values()]
        names += [table.get("face") for table in tables if isinstance(table, dict)]
    for name in names:
        if names_a_file(name):
            yield name


def names_a_file(name: object) -> TypeGuard[str]:
    """Whether a value of a description can be the name of a file."""
    return isinstance(name, str) and bool(name.strip()) and name.isprintable()
