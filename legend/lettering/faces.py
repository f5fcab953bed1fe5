"""Find a face: what the description calls it in, a `Face` out.

A face is built in, a font file beside the description, or the family name of an installed
font. Heavy libraries are imported only when a font file is read.
"""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from functools import lru_cache
from pathlib import Path

from legend.lettering.face import Face, FaceError

BUILT_IN = "plain"

_FONT_FILES = (".ttf", ".otf", ".ttc", ".otc", ".woff", ".woff2")


def load_face(
    name: str, folder: Path, axes: Mapping[str, float] | None = None, index: int = 0
) -> Face:
    """The face that a description in `folder` calls by this name.

    `plain` is built in. A name that ends like a font file is a path, relative to the folder.
    Any other is the family name of an installed font. `axes` gives values for the axes of a
    variable font, `index` the number of a face in a collection. The same face is read once.

    Error: FaceError where it cannot be found or read.
    """
    if name == BUILT_IN:
        from legend.lettering.stroke_face import plain

        return plain()
    ending = Path(name).suffix.lower()
    if ending in _FONT_FILES or ending == ".svg":
        path = (folder / Path(name).expanduser()).resolve()
        if not path.is_file():
            raise FaceError(f"There is no face file {path}.{_nearest_file(path)}")
        return _read(name, path, tuple((axes or {}).items()), index)
    raise FaceError(f"No face {name!r} is built in or installed.")


@lru_cache(maxsize=64)
def _read(name: str, path: Path, axes: tuple[tuple[str, float], ...], index: int) -> Face:
    from legend.lettering.outline_face import read_face

    return read_face(name, path, dict(axes), index)


def _nearest_file(path: Path) -> str:
    if not path.parent.is_dir():
        return f" The folder {path.parent} does not exist."
    here = [
        each.name for each in path.parent.iterdir() if each.suffix.lower() in (*_FONT_FILES, ".svg")
    ]
    near = get_close_matches(path.name, here, 3, 0.4)
    return f" Nearest there: {', '.join(near)}." if near else ""
