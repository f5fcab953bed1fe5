"""Suggest what to name instead of a file that does not exist, or is a folder.

A folder is looked into for that, and nothing in it is opened.
"""

from __future__ import annotations

import difflib
import os
from itertools import islice
from pathlib import Path

from legend.description.source import Source
from legend.sentences import listed

#: How the name of a description ends.
_DESCRIPTION = ".toml"
#: How alike two names are, of 1, that may be mistaken for each other; by trial.
_ALIKE = 0.8
#: So many names of a folder are looked at, and so many are told.
_LOOKED_AT, _TOLD = 2000, 4


def not_there(path: Path, asked_for: Source) -> str:
    """What is said of a file that does not exist, and where it is asked for."""
    if path == Path(asked_for.file):  # the description itself, which stands before the sentence
        near = _near(path, _names(path.parent, _DESCRIPTION))
        meant = f"did you mean {near}?" if near else "legend new writes one to begin with."
        return f"There is no such file; {meant}"
    near = _near(path, set(_names(path.parent)) - {Path(asked_for.file).name})
    return f"There is no file {path}" + (f"; did you mean {near}?" if near else ".")


def a_folder(path: Path, asked_for: Source) -> str:
    """What is said of a folder where a file is wanted."""
    if path != Path(asked_for.file):
        return f"{path} is a folder; the name of a file belongs here."
    found = [str(path / name) for name in sorted(_names(path, _DESCRIPTION))]
    if not found:
        return "This is a folder without a description; legend new writes one to begin with."
    if len(found) == 1:
        return f"This is a folder; name the description in it, {found[0]}."
    if len(found) > _TOLD:
        found[_TOLD:] = ["another"]
    return f"This is a folder; name a description in it: {listed(found, 'or')}."


def _names(folder: Path, ending: str = "") -> list[str]:
    """The files in a folder whose names have this ending; none where it cannot be read."""
    try:
        with os.scandir(folder) as found:
            return [
                each.name
                for each in islice(found, _LOOKED_AT)
                if each.name.lower().endswith(ending) and each.is_file()
            ]
    except (OSError, ValueError):
        return []


def _near(path: Path, names: list[str] | set[str]) -> Path | None:
    """The file of these whose name, or its beginning, is most like the one that was given."""
    by_low = {name.lower(): name for name in sorted(names)}
    by_stem = {Path(low).stem: low for low in by_low}
    wanted = path.name.lower()
    near = [by_stem[wanted]] if wanted in by_stem else []
    near += difflib.get_close_matches(wanted[:100], by_low, n=1, cutoff=_ALIKE)
    return path.parent / by_low[near[0]] if near else None
