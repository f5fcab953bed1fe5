"""The font files that tests set words in, from Python packages that carry them."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path


def _folder(package: str) -> Path:
    """Where a package lies; it is not imported, which for some takes long."""
    spec = find_spec(package)
    assert spec
    assert spec.origin
    return Path(spec.origin).parent


DEJAVU = _folder("matplotlib") / "mpl-data/fonts/ttf"
SOURCE_SERIF = _folder("font_source_serif_pro") / "files"
MANROPE = _folder("font_manrope") / "files"

SANS = DEJAVU / "DejaVuSans.ttf"
SERIF = SOURCE_SERIF / "SourceSerifPro-Regular.otf"
BOLD = MANROPE / "Manrope-Bold.ttf"
VARIABLE = MANROPE / "Manrope-VariableFont_wght.ttf"

#: The built-in face, and one of each build, as a description names them.
FACES = {"plain": "plain", "sans": str(SANS), "serif": str(SERIF), "bold": str(BOLD)}
