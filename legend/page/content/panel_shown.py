"""Put an artwork into the message that draws it: stages, holes, and what is measured from."""

from __future__ import annotations

from legend.description.reading.toml_tables import written_tables
from legend.description.shapes.hole_shapes import Drilled
from legend.drawing.proofs.layers import STAGES, called
from legend.drawing.proofs.stages_svg import stages_svg
from legend.drawing.segments import flattened, segments_of
from legend.layout.artwork import Artwork, Opening
from legend.length_words import Lengths
from legend.lettering.outlines.outline import Box, Outline, box_round
from legend.page.content.hole_lines import lines_of_holes
from legend.page.messages import Drawing, HoleShown, Point
from legend.sentences import capitalised
from legend.stencil.sheet import Sheet

#: How far the corners that are snapped to when measuring may lie from a curve, mm.
_FLATNESS = 0.02
#: Lengths are told to so many decimals of a mm.
_DECIMALS = 4


def panel_shown(
    revision: int, text: str, artwork: Artwork, sheets: tuple[Sheet, ...] | None = None
) -> Drawing:
    """The drawing of the artwork of a text, its letters as cut where there are sheets."""
    description = artwork.description
    measuring = description.panel.measuring
    right, up = measuring.ways
    drawn = stages_svg(artwork, sheets)
    x0, y0, x1, y1 = artwork.panel.bounds
    return Drawing(
        revision=revision,
        title=description.called,
        box=(x0, y0, x1, y1),
        view_box=drawn.view_box,
        units="in" if Lengths(description.units).unit == "in" else "mm",
        datum=measuring.origin,
        axes=(int(right), int(up)),
        viewing=description.panel.viewing_distance,
        stages={stage: drawn.stages[stage] for stage in STAGES},
        captions={stage: capitalised(called(artwork, stage)) for stage in STAGES},
        holes=_holes(text, artwork),
        shapes=drawn.shapes,
        edge=_corners(artwork.panel),
    )


def _holes(text: str, artwork: Artwork) -> tuple[HoleShown, ...]:
    lines = lines_of_holes(artwork.description, written_tables(text))
    covers: dict[str, list[Box]] = {}
    for keep_out in artwork.keep_outs:
        for hole in {keep_out.owner, keep_out.over}:
            covers.setdefault(hole, []).append(keep_out.shape.bounds)
    return tuple(
        _hole(opening, covers.get(opening.id, []), tuple(lines.get(opening.id, ())))
        for opening in artwork.openings
    )


def _hole(opening: Opening, covers: list[Box], lines: tuple[tuple[int, int], ...]) -> HoleShown:
    x0, y0, x1, y1 = (
        round(side, _DECIMALS) for side in box_round([opening.outline.bounds, *covers])
    )
    shape = opening.hole.shape
    diameter = shape.drill if isinstance(shape, Drilled) else 0.0
    x, y = opening.centre
    return HoleShown(
        opening.id,
        (float(x), float(y)),
        (x0, y0, x1, y1),
        lines,
        diameter,
        () if diameter else _corners(opening.outline),
    )


def _corners(outline: Outline) -> tuple[Point, ...]:
    """The corners of the outer edge of a shape, a curve as short straight lines."""
    edges, _ = flattened(segments_of([Outline(outline.contours[:1])]), _FLATNESS)
    # Adding 0 turns -0 into 0.
    corners = (edges[:, 0].round(_DECIMALS) + 0.0).tolist()
    return tuple((x, y) for x, y in corners)
