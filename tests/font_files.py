"""The font files that tests set words in, from Python packages that carry them, and the words."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import set_text


def _folder(package: str) -> Path:
    """Where a package lies; it is not imported, which for some takes long."""
    spec = find_spec(package)
    assert spec
    assert spec.origin
    return Path(spec.origin).parent


DEJAVU = _folder("matplotlib") / "mpl-data/fonts/ttf"
SOURCE_SERIF = _folder("font_source_serif_pro") / "files"
MANROPE = _folder("font_manrope") / "files"
ROUNDED = _folder("font_fredoka_one") / "files" / "FredokaOne-Regular.ttf"
CONDENSED = _folder("font_amatic_sc") / "files" / "AmaticSC-Bold.ttf"
HANDWRITTEN = _folder("font_intuitive") / "files" / "Intuitive.ttf"

SANS = DEJAVU / "DejaVuSans.ttf"
SERIF = SOURCE_SERIF / "SourceSerifPro-Regular.otf"
BOLD = MANROPE / "Manrope-Bold.ttf"
VARIABLE = MANROPE / "Manrope-VariableFont_wght.ttf"

#: The built-in face, and one of each build, as a description names them.
FACES = {"plain": "plain", "sans": str(SANS), "serif": str(SERIF), "bold": str(BOLD)}


def style_of(face: str, height: float) -> TextStyle:
    """Capitals of so many mm in one of `FACES`."""
    return TextStyle(load_face(FACES[face], Path()), height)


def lettered(text: str, face: str, height: float) -> Outline:
    """Words in one of `FACES`, in capitals of so many mm."""
    return set_text(text, style_of(face, height)).outline
