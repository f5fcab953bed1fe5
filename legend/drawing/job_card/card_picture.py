"""Draw a placement card as it lies on its panel: how it is held, and its windows.

The panel is seen through the windows and holes, its edge and its holes through the card as fine
lines. Pins stand in the holes that hold the card; the stops under it are dashed.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from legend.drawing.colours import Colour, css
from legend.drawing.pdf.label_places import grown
from legend.drawing.segments import SVG, path_texts
from legend.drawing.svg import svg_file, without_unused_namespaces
from legend.layout.artwork import Artwork
from legend.lettering.outlines.outline import Box, Outline, box_round
from legend.stencil.cards.card import Card
from legend.writing import MARK

_CARD: Colour = (233, 212, 168)
_PANEL: Colour = (160, 170, 178)
_INK: Colour = (40, 40, 44)
_LEGEND: Colour = (255, 255, 255)
_PIN: Colour = (176, 42, 30)
#: The line round the card, the finer one of what is under it, and the room round the drawing, mm.
_LINE, _FINE, _MARGIN = 0.35, 0.2, 2.0
#: So much of the panel is drawn round a card, mm.
_AROUND = 25.0
#: How much larger a pin is drawn than its hole, mm, so that it shows.
_HEAD = 1.2


def card_picture_file(artwork: Artwork, card: Card) -> bytes:
    """The picture as the bytes of an SVG file."""
    return svg_file(card_picture(artwork, card), MARK)


def card_picture(artwork: Artwork, card: Card) -> str:
    """The picture as the text of one `svg` element, in mm."""
    from svgwrite import Drawing

    x0, y0, x1, y1 = _seen(card.edge.bounds, artwork.panel.bounds)
    width, height = x1 - x0, y1 - y0
    drawing = Drawing(
        size=(f"{width:.6g}mm", f"{height:.6g}mm"),
        viewBox=f"{x0:.6g} 0 {width:.6g} {height:.6g}",
        debug=False,
    )
    called = f"{artwork.description.called}: placement card {card.number} on the panel"
    drawing.set_desc(title=called)

    def add(outlines: Sequence[Outline], **drawn: Any) -> None:
        if outlines:
            text = " ".join(path_texts(outlines, SVG, y1))
            drawing.add(drawing.path(text, fill_rule="evenodd", **drawn))

    def line(colour: Colour, of: float) -> dict[str, Any]:
        return {"fill": "none", "stroke": css(colour), "stroke_width": of}

    holes = [opening.outline for opening in artwork.openings]
    add([artwork.panel], fill=css(_PANEL))
    add(holes, fill=css(_INK))
    own = {path_owner for piece in card.pieces for path_owner in piece.owners}
    served = [window.outline.shape for window in card.windows]
    inside = [
        mark.outline
        for mark in artwork.marks
        if mark.owner in own or any(shape.contains(mark.outline.shape) for shape in served)
    ]
    add(inside, fill=css(_LEGEND))
    figures = [card.says, *(window.number for window in card.windows)]
    cut = [*figures, *(window.outline for window in card.windows)]
    pins = [hole.outline for hole in card.holes]
    add([card.edge, *cut, *pins], fill=css(_CARD), stroke=css(_INK), stroke_width=_FINE)
    add(figures, fill=css(_INK))
    add([artwork.panel, *holes], stroke_opacity=0.45, **line(_INK, _FINE))
    add([card.edge], **line(_INK, _LINE))
    stops = [Outline.rectangle(*stop.strip) for stop in card.stops]
    add(stops, fill=css(_PIN), fill_opacity=0.25, stroke=css(_PIN), stroke_width=_LINE,
        stroke_dasharray="2 1.2")  # fmt: skip
    for hole in card.holes:
        a, b, c, d = hole.outline.bounds
        centre, radius = ((a + c) / 2, (b + d) / 2), (c - a) / 2
        add([Outline.disc(centre, radius)], fill=css(_PIN))
        add([Outline.disc(centre, radius + _HEAD)], **line(_PIN, _LINE))
    return without_unused_namespaces(drawing.tostring())


def _seen(card: Box, panel: Box) -> Box:
    """What is drawn: the card, and of the panel what lies near it."""
    whole, near = box_round([card, panel]), grown(card, _AROUND)
    x0, y0, x1, y1 = (
        max(whole[0], near[0]),
        max(whole[1], near[1]),
        *map(min, whole[2:], near[2:]),
    )
    return grown((x0, y0, x1, y1), _MARGIN)
