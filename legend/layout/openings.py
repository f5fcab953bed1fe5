"""Place holes, and the parts that cover them, in panel coordinates."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import shapely

from legend.description.shapes.edge import Edge
from legend.description.tables.description import Bare, Control, Description, Hole
from legend.layout.artwork import BareDisc, KeepOut, Opening
from legend.layout.edges import grown, outline_of
from legend.lettering.outlines.outline import Outline

#: Height of a strip in which it is known how far the panel goes to either side, mm.
_STRIP = 1.0


def lay_openings(description: Description) -> tuple[Opening, ...]:
    """Every hole and cut-out where it is in the panel."""
    drilling, panel = description.drilling, description.panel
    return tuple(
        Opening(
            name,
            hole,
            panel.from_datum(hole.at),
            placed(outline_of(hole.shape.edge), hole, panel.from_datum(hole.at)),
            panel.from_datum(drilling.design[name].at) if drilling else None,
        )
        for name, hole in description.holes.items()
    )


def placed(outline: Outline, hole: Hole, centre: tuple[float, float]) -> Outline:
    """What lies about the middle of a hole, turned as the hole is, where that stands."""
    turned = outline.turned(hole.angle) if hole.angle else outline
    return turned.moved(*centre)


def cover_of(control: Control, opening: Opening) -> KeepOut:
    """What the fitted part hides: as given by `covers`, or assumed from the drilled size."""
    outline = placed(outline_of(covered(control, opening.hole)), opening.hole, opening.centre)
    shape = outline.shape
    if control.inner and control.inner.covers is not None:
        shape = shape.union(Outline.disc(opening.centre, control.inner.covers / 2).shape)
    return KeepOut(
        shape,
        opening.id,
        f"the {control.kind} on {opening.id}",
        fitted=True,
        assumed=control.covers is None,
    )


def covered(control: Control, hole: Hole) -> Edge:
    """The edge of what the fitted part hides, about the middle of its hole, not yet turned."""
    kind, covers = control.of_kind, control.covers
    if covers is None:
        return hole.shape.cover(kind.covers_factor, kind.covers_extra)
    return Edge.circle(covers) if isinstance(covers, float) else Edge.rectangle(*covers)


def lay_bare_discs(description: Description, openings: Sequence[Opening]) -> tuple[BareDisc, ...]:
    """The discs and plugs that keep paint off the metal round holes, where they lie."""
    by_id = {opening.id: opening for opening in openings}
    return tuple(_bare_disc(bare, by_id[bare.hole]) for bare in description.bare)


def _bare_disc(bare: Bare, opening: Opening) -> BareDisc:
    if bare.diameter is not None:
        disc = Outline.disc(opening.centre, bare.diameter / 2)
        return BareDisc(bare, disc, (bare.diameter, bare.diameter))
    hole = opening.hole
    covered = grown(hole.shape.edge, bare.margin or 0.0)
    x0, y0, x1, y1 = covered.bounds
    return BareDisc(bare, placed(covered, hole, opening.centre), (x1 - x0, y1 - y0))


def beyond_the_edge(panel: Outline) -> Iterator[KeepOut]:
    """What lies off the panel in the rectangle round it, in level strips.

    Names, which look for room to both sides, find in each how far the metal goes there.
    """
    left, bottom, right, top = panel.bounds
    off = shapely.box(left, bottom, right, top).difference(panel.shape)
    count = math.ceil((top - bottom) / _STRIP)
    for low, high in pairwise(np.linspace(bottom, top, count + 1).tolist()):
        for part in shapely.get_parts(shapely.clip_by_rect(off, left, low, right, high)):
            yield KeepOut(part, "", "the panel's edge")


def keep_outs(
    openings: Sequence[Opening], covers: Sequence[KeepOut], bare_discs: Sequence[BareDisc]
) -> tuple[KeepOut, ...]:
    """What no legend may stand on: fitted parts, bare metal, and holes that carry nothing."""
    held = {cover.owner for cover in covers}
    empty = (
        KeepOut(opening.outline.shape, opening.id, f"hole {opening.id}")
        for opening in openings
        if opening.id not in held
    )
    bare = (
        KeepOut(disc.outline.shape, disc.bare.hole, f"the bare metal round {disc.bare.hole}")
        for disc in bare_discs
    )
    return (*covers, *empty, *bare)
