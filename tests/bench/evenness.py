"""How even the white between letters is, in the built-in face and in fonts, and how near they come.

    .venv/bin/python tests/bench/evenness.py

Evenness is standard deviation over mean, as `tests/reference/letter_white.py` measures it: less is
more even. Distances are those of the ink of the pairs named, in that of HH.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from font_files import CONDENSED, DEJAVU, MANROPE, SANS, SOURCE_SERIF
from reference.letter_white import (
    CAPITALS,
    FIGURES,
    STROKE,
    all_pairs,
    pairs_of,
    unevenness,
)

from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face

FACES = {
    "plain": "plain",
    "geometric": MANROPE / "Manrope-SemiBold.ttf",
    "geometric bold": MANROPE / "Manrope-Bold.ttf",
    "humanist": SANS,
    "humanist bold": DEJAVU / "DejaVuSans-Bold.ttf",
    "condensed": CONDENSED,
    "serif": SOURCE_SERIF / "SourceSerifPro-Regular.otf",
}
SHOWN = ("AV", "TA", "LT", "LY", "PJ", "FJ", "OO", "HO", "−2", "+7", "5%", "4/")


def main() -> None:
    """Print one line for each face."""
    print(f"{'face':14}  HH/stroke  capitals  figures  nearest  " + "    ".join(SHOWN))
    for name, file in FACES.items():
        face = load_face(str(file), Path())
        style = TextStyle(face, 10.0, stroke=STROKE)
        capitals, figures, shown = (
            pairs_of(texts, style) for texts in (all_pairs(CAPITALS), all_pairs(FIGURES), SHOWN)
        )
        stems = capitals["HH"].distance
        nearest = min(pair.distance for pair in capitals.values()) / stems
        distances = "  ".join(f"{pair.distance / stems:4.2f}" for pair in shown.values())
        print(
            f"{name:14}  {stems / getattr(face, 'stem', STROKE):9.2f}"
            f"  {unevenness(capitals.values()):8.3f}  {unevenness(figures.values()):7.3f}"
            f"  {nearest:7.2f}  {distances}"
        )


if __name__ == "__main__":
    main()
