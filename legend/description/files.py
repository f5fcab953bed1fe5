"""The name of a description in; all the files it is read from, out."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any


def files_of(panel: Path) -> set[Path]:
    """A description, its styles, its hole lists and its font files, whether they exist or not.

    What cannot be read names no further files.
    """
    files: set[Path] = set()
    waiting = [panel]
    while waiting:
        file = waiting.pop()
        if file in files:
            continue
        files.add(file)
        raw = _raw(file)
        style = raw.get("style")
        waiting += [file.parent / style] if isinstance(style, str) else []
        files |= {file.parent / name for name in _named(raw)}
    return files


def _raw(file: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(file.read_bytes().decode("utf-8-sig"))
    except (OSError, ValueError, RecursionError):
        return {}


def _named(raw: Mapping[str, Any]) -> Iterator[str]:
    """The files that the tables of one description name."""
    drilled = raw.get("as_drilled")
    names = [raw.get("hole_list"), drilled]
    names += [drilled.get("hole_list")] if isinstance(drilled, dict) else []
    lettering = raw.get("lettering")
    if isinstance(lettering, dict):
        tables = [lettering, *lettering.values()]
        names += [table.get("face") for table in tables if isinstance(table, dict)]
    for name in names:
        if isinstance(name, str) and name.strip() and name.isprintable():
            yield name
