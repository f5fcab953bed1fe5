"""Place holes, and the parts that cover them, in panel coordinates."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import shapely

from legend.description.kinds import KINDS
from legend.description.shapes.edge import Edge
from legend.description.tables.description import Bare, Control, Description, Hole
from legend.description.tables.fitting import Margin
from legend.kept import Kept
from legend.layout.artwork import BareDisc, KeepOut, Opening
from legend.layout.edges import grown, outline_of
from legend.lettering.outlines.outline import Box, Outline
from legend.vector import Vector

#: Height of a strip in which it is known how far the panel goes to either side, mm.
_STRIP = 1.0

#: Holes and what hides them, for a panel that is laid out again with one thing changed.
_OPENINGS: Kept[Opening] = Kept()
_COVERS: Kept[KeepOut] = Kept()
_HEADS: Kept[KeepOut] = Kept()


def lay_openings(description: Description) -> tuple[Opening, ...]:
    """Every hole and cut-out where it is in the panel."""
    drilling, panel = description.drilling, description.panel
    return tuple(
        _OPENINGS.made(
            name,
            _opening,
            name,
            hole,
            Vector(*panel.from_datum(hole.at)),
            Vector(*panel.from_datum(drilling.design[name].at)) if drilling else None,
        )
        for name, hole in description.holes.items()
    )


def _opening(name: str, hole: Hole, centre: Vector, design: Vector | None) -> Opening:
    outline = placed(outline_of(hole.shape.edge), hole, centre)
    return Opening(name, hole, centre, outline, design)


def placed(outline: Outline, hole: Hole, centre: tuple[float, float]) -> Outline:
    """What lies about the middle of a hole, turned as the hole is, where that stands."""
    turned = outline.turned(hole.angle) if hole.angle else outline
    return turned.moved(*centre)


def cover_of(control: Control, opening: Opening, screws: Sequence[Opening] = ()) -> KeepOut:
    """What the fitted part hides: as given by `covers`, or assumed from its hole and its screws."""
    inner = control.inner.covers if control.inner else None
    given = control.kind, control.covers, inner, opening, tuple(screws)
    return _COVERS.made(opening.id, _cover_of, *given)


def _cover_of(
    kind: str,
    covers: float | tuple[float, float] | Margin | None,
    inner: float | None,
    opening: Opening,
    screws: tuple[Opening, ...],
) -> KeepOut:
    hidden = _covered(kind, covers, opening, screws)
    shape = placed(hidden, opening.hole, opening.centre).shape
    if inner is not None:
        shape = shape.union(Outline.disc(opening.centre, inner / 2).shape)
    what = f"the {kind} on {opening.id}"
    return KeepOut(shape, opening.id, what, fitted=True, assumed=covers is None)


def covered(
    control: Control, opening: Opening, screws: Sequence[Opening], more: float = 0.0
) -> Outline:
    """What the fitted part hides, and `more` all round, about the middle of its hole.

    It is not turned yet.
    """
    return _covered(control.kind, control.covers, opening, screws, more)


def _covered(
    kind: str,
    covers: float | tuple[float, float] | Margin | None,
    opening: Opening,
    screws: Sequence[Opening],
    more: float = 0.0,
) -> Outline:
    shape = opening.hole.shape
    if covers is None:
        return grown(_assumed(kind, opening, screws), more)
    if isinstance(covers, Margin):
        return grown(shape.edge, covers.margin + more)
    if isinstance(covers, float):
        return grown(Edge.circle(covers), more)
    return grown(Edge.rectangle(*covers, min(shape.corner_radius, *(s / 2 for s in covers))), more)


def within_frame(
    control: Control, opening: Opening, screws: Sequence[Opening], more: float = 0.0
) -> Outline:
    """What a frame goes round: as `covered`, with the heads of screws that stand beyond that."""
    hidden = covered(control, opening, screws).bounds
    x0, y0, x1, y1 = hidden
    if isinstance(control.covers, float):
        furthest = max((_reach(opening, _head(screw)) for screw in screws), default=0.0)
        if furthest > x1:
            return grown(Edge.circle(2 * furthest), more)
    elif screws:
        left, bottom, right, top = _box_about(opening, [_head(screw) for screw in screws])
        x0, y0, x1, y1 = min(x0, left), min(y0, bottom), max(x1, right), max(y1, top)
        if (x0, y0, x1, y1) != hidden:
            flange = Edge.rectangle(x1 - x0, y1 - y0).moved((x0 + x1) / 2, (y0 + y1) / 2)
            return grown(flange, more)
    return covered(control, opening, screws, more)


def _reach(opening: Opening, outline: Outline) -> float:
    """How far an outline reaches from the middle of an opening, mm."""
    return float(shapely.hausdorff_distance(outline.shape, shapely.Point(opening.centre)))


def _assumed(kind: str, opening: Opening, screws: Sequence[Opening]) -> Edge:
    """What a part of the kind hides on such a hole; a flange for screws that stand beyond that."""
    alone = opening.hole.shape.cover(KINDS[kind].covers_factor, KINDS[kind].covers_extra)
    if not screws:
        return alone
    left, bottom, right, top = alone.box
    x0, y0, x1, y1 = _box_about(opening, [screw.outline for screw in screws])
    if left <= x0 and bottom <= y0 and x1 <= right and y1 <= top:
        return alone
    x0, y0, x1, y1 = _box_about(opening, [_head(screw) for screw in screws])
    x0, y0, x1, y1 = min(x0, left), min(y0, bottom), max(x1, right), max(y1, top)
    return Edge.rectangle(x1 - x0, y1 - y0).moved((x0 + x1) / 2, (y0 + y1) / 2)


def _box_about(opening: Opening, outlines: Sequence[Outline]) -> Box:
    """The box round outlines from the middle of an opening, as it lies before it is turned."""
    x, y = opening.centre
    return Outline.gathered(outlines).moved(-x, -y).turned(-opening.hole.angle).bounds


def heads_of(control: Control, screws: Sequence[Opening]) -> tuple[KeepOut, ...]:
    """What the heads of the screws hide that hold a part."""
    what = f"a screw of the {control.kind} on {control.hole}"
    return tuple(_HEADS.made(each.id, _head_of, each, control.hole, what) for each in screws)


def _head_of(screw: Opening, owner: str, what: str) -> KeepOut:
    return KeepOut(_head(screw).shape, owner, what, fitted=True, screw=screw.id)


def _head(screw: Opening) -> Outline:
    """The head of a screw on its hole."""
    kind = KINDS["screw"]
    edge = screw.hole.shape.cover(kind.covers_factor, kind.covers_extra)
    return placed(outline_of(edge), screw.hole, screw.centre)


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
    held = {cover.over for cover in covers}
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
