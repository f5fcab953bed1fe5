"""Write the proof of the finished panel as an SVG drawing in mm, to zoom into.

One unit is a millimetre. The marks of each control stand in a `g` of their own, whose `id`
is `control-` and the name of its hole. Each mark is one path, as it was laid out: bridges are the
stencil's, and are seen in the proof that is a picture.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from pathlib import Path

from legend.description.paint_colours import rgb
from legend.drawing.colours import BARE_METAL, INSIDE, Colour, css
from legend.drawing.segments import SVG, path_texts
from legend.drawing.svg import svg_file, without_unused_namespaces
from legend.layout.artwork import Artwork, Mark
from legend.lettering.outlines.outline import Outline
from legend.writing import MARK, write_whole

#: Precision of the size, in decimals of a mm.
_DECIMALS = 4


def write_proof_svg(artwork: Artwork, path: Path) -> None:
    """Write the drawing. Errors: as `write_whole`."""
    write_whole(path, proof_svg(artwork))


def proof_svg(artwork: Artwork) -> bytes:
    """The drawing as the bytes of a file."""
    return svg_file(panel_svg(artwork))


@lru_cache(maxsize=1)
def panel_svg(artwork: Artwork) -> str:
    """The drawing as the text of one `svg` element; the job card shows the same one."""
    from svgwrite import Drawing

    x0, y0, x1, y1 = artwork.panel.bounds
    width, height = round(x1 - x0, _DECIMALS), round(y1 - y0, _DECIMALS)
    drawing = Drawing(
        size=(f"{width:.10g}mm", f"{height:.10g}mm"),
        viewBox=f"{round(x0, _DECIMALS) + 0:.10g} 0 {width:.10g} {height:.10g}",
        debug=False,
    )
    drawing.set_desc(title=artwork.description.called, desc=MARK)
    groups = []
    for name, colour, drawn in _parts(artwork):
        # Each by itself as text: as elements, all of them would take far more room.
        group = drawing.g(id=name, fill=css(colour))
        texts = path_texts([outline for _, outline in drawn], SVG, y1)
        for (kind, _), text in zip(drawn, texts, strict=True):
            group.add(drawing.path(d=text, class_=kind))
        groups.append(group.tostring())
    head, end, _ = without_unused_namespaces(drawing.tostring()).rpartition("</svg>")
    return "".join([head, *groups, end])


_Drawn = Sequence[tuple[str, Outline]]


def _parts(artwork: Artwork) -> Iterator[tuple[str, Colour, _Drawn]]:
    """Each group: its id, its colour, and its shapes with the class of each, the lowest first."""
    ink = rgb(artwork.description.letter_colour)
    yield "panel", rgb(artwork.description.panel_colour), [("panel", artwork.panel)]
    marks: dict[str, list[Mark]] = {}
    for mark in artwork.marks:
        marks.setdefault(mark.owner, []).append(mark)
    for owner, owned in marks.items():
        name = f"control-{escaped(owner)}" if owner else "legends"
        yield name, ink, [("mark", mark.outline) for mark in owned]
    if artwork.bare_discs:
        yield "bare", BARE_METAL, [("bare", disc.outline) for disc in artwork.bare_discs]
    yield "holes", INSIDE, [("hole", opening.outline) for opening in artwork.openings]


def escaped(name: str) -> str:
    """The name of a hole as part of an `id`: what may not stand there as its code, `_20_`."""
    return "".join(c if c.isalnum() or c in "-._" else f"_{ord(c):x}_" for c in name)
