"""What bridges cost: per cent of the paint that they take away, face by face and size by size.

python tests/bench/bridged_faces.py
"""

from __future__ import annotations

import importlib.util
import time
from pathlib import Path

import shapely

from legend.description.tables.description import Stencil
from legend.description.tables.stock import limits
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.typesetting import set_text
from legend.stencil.bridging.bridges import bridged

SHEET = limits(Stencil(method="paint-through", stock="sheet"))
FACES = {
    "plain": "plain",
    "sans": "matplotlib:mpl-data/fonts/ttf/DejaVuSans.ttf",
    "serif": "font_source_serif_pro:files/SourceSerifPro-Regular.otf",
    "bold": "font_manrope:files/Manrope-Bold.ttf",
}


def found(name: str) -> str:
    """The name of a face, or the file of it in a package."""
    package, _, file = name.partition(":")
    if not file:
        return name
    spec = importlib.util.find_spec(package)
    assert spec and spec.origin
    return str(Path(spec.origin).parent / file)


def main() -> None:
    """Print one line for each face and height."""
    print("face   height  characters  islands  paint removed  tongues left  time a character")
    for face, name in FACES.items():
        for height in (3.0, 5.0, 12.0):
            style = TextStyle(load_face(found(name), Path()), height)
            characters = [chr(code) for code in (*range(0x21, 0x7F), *range(0xA1, 0x100))]
            outlines = [set_text(c, style).outline for c in characters if style.face.has(c)]
            outlines = [outline for outline in outlines if outline]
            islands = sum(
                len(part.interiors) for o in outlines for part in shapely.get_parts(o.shape)
            )
            start = time.perf_counter()
            done = bridged(outlines, [height] * len(outlines), SHEET)
            each = (time.perf_counter() - start) / len(outlines)
            ink = sum(outline.area for outline in outlines)
            removed = 1 - sum(one.outline.area for one in done) / ink
            print(
                f"{face:6} {height:4.0f} mm  {len(outlines):10}  {islands:7}  {removed:12.1%}  "
                f"{sum(bool(one.loose) for one in done):12}  {each * 1e3:13.2f} ms"
            )


if __name__ == "__main__":
    main()
