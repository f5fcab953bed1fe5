"""Find and load a face by the name that the description gives it.

A face is built in, a font file beside the description, or the family name of an installed
font. Libraries that read font files are imported only when one is read.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from legend.lettering.faces.face import Face, FaceError
from legend.limits import LONGEST_FONT, LONGEST_STROKE_FACE

#: The face that comes with the program.
BUILT_IN = "plain"

#: Fonts as the web packs them, which no machine lists among its own.
_PACKED = (".woff", ".woff2")
_FONT_FILES = (".ttf", ".otf", ".ttc", ".otc", *_PACKED)
#: How the names of files end that a face can be read from.
FACE_FILES = (*_FONT_FILES, ".svg")


def load_face(
    name: str, folder: Path, axes: Mapping[str, float] | None = None, index: int = 0
) -> Face:
    """The face that a description in `folder` calls by this name.

    `plain` is built in. A name that ends like a font file is a path, relative to the folder.
    Any other is the name of an installed font: its family, in the upright and regular cut,
    or its full name, such as "Kiln Sans Bold". `axes` gives values for the axes of a
    variable font, `index` the number of a face in a collection. The same face is read once.

    Error: FaceError where it cannot be found or read.
    """
    if name == BUILT_IN:
        from legend.lettering.faces.stroke_face import plain

        return plain()
    ending = Path(name).suffix.lower()
    if ending in FACE_FILES:
        path, is_file = folder / name, False
        # Too long a name, links that go round, or the home of nobody: no file all the same.
        with suppress(OSError, RuntimeError):
            path = (folder / Path(name).expanduser()).resolve()
            is_file = path.is_file()
        if not is_file:
            raise FaceError(f"There is no face file {path}{_nearest_file(path)}.")
    else:
        installed = _installed(name)
        path, index = installed.path, installed.index
    changed, length = path.stat().st_mtime_ns, path.stat().st_size
    longest = LONGEST_STROKE_FACE if ending == ".svg" else LONGEST_FONT
    if length > longest:
        raise FaceError(
            f"The face file {path} is longer than {longest // 10**6} MB, which no face is; choose "
            "another face."
        )
    return _read(name, path, changed, tuple(sorted((axes or {}).items())), index)


@lru_cache(maxsize=64)
def _read(
    name: str, path: Path, changed: int, axes: tuple[tuple[str, float], ...], index: int
) -> Face:
    """The face in a file as it was when it was last changed."""
    if path.suffix.lower() == ".svg":
        from legend.lettering.faces.stroke_face import StrokeFace

        if axes:
            raise FaceError(f"The face {name!r} is a font of single strokes, which has no axes.")
        return StrokeFace.read(path, name)
    from legend.lettering.faces.outline_face import read_face

    return read_face(name, path, dict(axes), index)


def _nearest_file(path: Path) -> str:
    import difflib

    try:
        here = [e.name for e in path.parent.iterdir() if e.suffix.lower() in FACE_FILES]
    except OSError:
        return f", nor a folder {path.parent} that can be looked into"
    near = difflib.get_close_matches(path.name, here, 3, 0.4)
    return f"; the nearest there: {', '.join(near)}" if near else ""


# --- Installed fonts ---


@dataclass(frozen=True, slots=True)
class Installed:
    """An installed font: its family, its cut, and where it lies.

    `names` are all the names it goes by, full names included. `plainness` tells its regular
    cut from the others: the lower, the plainer.
    """

    family: str
    cut: str
    path: Path
    index: int
    names: tuple[str, ...]
    plainness: float


@lru_cache(maxsize=1)
def installed_faces() -> tuple[Installed, ...]:
    """The fonts that the machine has, by family and then from the plainest cut on.

    Files that cannot be read are passed over.
    """
    found = [face for path in _font_files() for face in _faces_in(path)]
    return tuple(sorted(found, key=lambda f: (f.family.casefold(), f.plainness, f.cut, f.path)))


def unreadable_fonts() -> tuple[Path, ...]:
    """The installed font files in which there is no face that can be read."""
    readable = {face.path for face in installed_faces()}
    files = (path for path in _font_files() if path.suffix.lower() not in _PACKED)
    return tuple(sorted(path for path in files if path not in readable))


def _font_files() -> list[Path]:
    """The font files that the machine says it has."""
    from find_system_fonts_filename import (  # type: ignore[import-untyped]
        FindSystemFontsFilenameException,
        get_system_fonts_filename,
    )

    try:
        paths = [Path(name) for name in get_system_fonts_filename()]
    except FindSystemFontsFilenameException:
        return []
    return [path for path in paths if path.suffix.lower() in _FONT_FILES]


def _installed(name: str) -> Installed:
    """The font that goes by this name, the plainest where several do."""
    import difflib

    wanted = name.casefold()
    faces = installed_faces()
    ranked = sorted(faces, key=lambda face: (face.family.casefold() != wanted, face.plainness))
    for face in ranked:
        if wanted in (each.casefold() for each in face.names):
            return face
    names = {each.casefold(): each for face in faces for each in face.names}
    near = [names[each] for each in difflib.get_close_matches(wanted, names, 3, 0.6)]
    hint = f"; the nearest: {', '.join(near)}" if near else ""
    raise FaceError(
        f"No face {name!r} is built in or installed{hint}. For a font file, write its path with "
        f"its ending ({', '.join(FACE_FILES)})."
    )


def _faces_in(path: Path) -> Iterator[Installed]:
    """What the font file says of itself."""
    import uharfbuzz as hb

    try:
        with path.open("rb") as file:
            head = file.read(12)
        count = struct.unpack(">L", head[8:12])[0] if head[:4] == b"ttcf" else 1
        blob = hb.Blob.from_file_path(str(path))
    except (OSError, struct.error, hb.HarfBuzzError):
        return
    tag = hb.StyleTag
    for index in range(min(count, 256)):
        face = hb.Face(blob, index)
        if not face.glyph_count:
            continue
        family, cut = (
            next((text for number in numbers if (text := face.get_name(number))), "")
            for numbers in ((16, 1), (17, 2))
        )
        full = [text for number in (16, 1, 4) if (text := face.get_name(number))]
        names = tuple(dict.fromkeys([*full, f"{family} {cut}".strip()]))
        font = hb.Font(face)
        plainness = (
            abs(font.get_style_value(tag.WEIGHT) - 400)
            + 10 * abs(font.get_style_value(tag.WIDTH) - 100)
            + 1000 * font.get_style_value(tag.ITALIC)
            + 100 * abs(font.get_style_value(tag.SLANT_ANGLE))
        )
        if family:
            yield Installed(family, cut, path, index, names, plainness)
