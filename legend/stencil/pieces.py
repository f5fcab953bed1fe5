"""Group the marks of a panel into pieces of tape, each with its weeding box.

What belongs together travels together: the legends of a control, of a row of controls, or
of the whole panel, as the description asks. What belongs to no control (a title, a rule, the
line of a group with its name) is a piece of its own, and so is every bare disc or plug,
which goes on before the base coat.

Round every piece runs its weeding box, the margin away from all its cuts, its sides parallel
to the panel's and at whole half millimetres (or thirty-seconds of an inch) from the panel's
edges, so that they can be set off with a rule. Pieces whose boxes would overlap are joined
into one, and what is then too large for the stock is split. A frame is therefore one piece
with everything that it encloses: that is how a careful sign painter wants it, because a line
and the words inside it that were laid one by one never look quite true, and because the
holes inside give the line its register.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.description.tables.description import Control, Description
from legend.description.tables.stock import StockLimits
from legend.layout.artwork import Artwork, BareDisc, Mark, Opening, Role
from legend.layout.names.rows import SAME_AXIS, clustered
from legend.lettering.outlines.connected import components
from legend.lettering.outlines.outline import Box, Outline
from legend.standards import BOX_STEP
from legend.stencil.registration import registration, with_cross
from legend.stencil.splitting import split
from legend.stencil.uncut_piece import UncutPiece

Boxes = NDArray[np.float64]


def gather(artwork: Artwork, limits: StockLimits) -> tuple[UncutPiece, ...]:
    """Everything that is to be cut, shared out among pieces, in reading order."""
    description = artwork.description
    found = {
        opening.id: mark
        for opening in artwork.openings
        if (mark := registration(opening, description.stencil, limits)) is not None
    }
    units = _units(artwork)
    ink = np.array(
        [
            shapely.total_bounds(
                [mark.outline.shape for mark in marks]
                + [found[hole].shape for hole in owners if hole in found]
            )
            for owners, marks in units
        ]
    ).reshape(-1, 4)
    boxes = _grown(ink, description, limits)
    holes = list(found)
    extents = np.array([mark.bounds for mark in found.values()]).reshape(-1, 4)
    fitted: dict[str, list[Control]] = {}
    for control in description.control:
        fitted.setdefault(control.hole, []).append(control)
    uncut = []
    for members, box in _merged(boxes):
        inside = (extents[:, :2] >= np.add(box[:2], limits.gap)).all(axis=1)
        inside &= (extents[:, 2:] <= np.subtract(box[2:], limits.gap)).all(axis=1)
        within = {holes[k]: found[holes[k]] for k in np.flatnonzero(inside)}
        uncut.append(_joined(fitted, limits, [units[i] for i in members], box, within))
    uncut = [part for whole in uncut for part in split(whole, description.stencil, limits)]
    uncut += _bare(artwork, limits)
    return tuple(uncut[i] for i in _reading_order([piece.box for piece in uncut]))


# --- What travels together ---

#: Holes, and the marks that belong to them.
Unit = tuple[tuple[str, ...], tuple[Mark, ...]]


def _units(artwork: Artwork) -> list[Unit]:
    """The least that travels together, before overlapping boxes are joined."""
    marks = [mark for mark in artwork.marks if mark.outline]
    by = artwork.description.stencil.piece
    if by == "panel":
        owners = dict.fromkeys(mark.owner for mark in marks if mark.owner)
        return [(tuple(owners), tuple(marks))] if marks else []
    rows: dict[str, tuple[str, ...]] = {}
    if by == "row":
        owned = {mark.owner for mark in marks}
        heights = {o.id: o.nominal[1] for o in artwork.openings if o.id in owned}
        places = {opening.id: opening.centre[0] for opening in artwork.openings}
        for row in clustered(heights, SAME_AXIS):
            rows |= dict.fromkeys(row, tuple(sorted(row, key=places.__getitem__)))
    units: dict[object, list[Mark]] = {}
    for index, mark in enumerate(marks):
        units.setdefault(_belonging(mark, index, rows), []).append(mark)
    return [
        (key if isinstance(key, tuple) else (), tuple(members)) for key, members in units.items()
    ]


def _belonging(mark: Mark, index: int, rows: dict[str, tuple[str, ...]]) -> object:
    """What a mark travels with: its holes as a tuple, or something that stands for the rest."""
    if mark.owner:
        return rows.get(mark.owner, (mark.owner,))
    if mark.role in (Role.GROUP, Role.FRAME, Role.RULE):
        return str(mark.source)
    return index


def _joined(
    fitted: Mapping[str, Sequence[Control]],
    limits: StockLimits,
    units: Sequence[Unit],
    box: Box,
    within: dict[str, Outline],
) -> UncutPiece:
    owners = tuple(dict.fromkeys(hole for holes, _ in units for hole in holes))
    marks = tuple(mark for _, members in units for mark in members)
    return UncutPiece(
        _name(fitted, owners, marks),
        owners,
        marks,
        tuple(_clear(list(within.values()), marks, limits.gap)),
        box,
    )


def _clear(found: list[Outline], marks: Sequence[Mark], gap: float) -> Iterator[Outline]:
    """The registration marks that stand clear of all marks; the layout reports the others."""
    if not found:
        return
    tree = shapely.STRtree([mark.outline.shape for mark in marks])
    touched = tree.query([each.shape for each in found], "dwithin", gap)[0]
    for index in sorted(set(range(len(found))) - set(touched.tolist())):
        yield found[index]


def _bare(artwork: Artwork, limits: StockLimits) -> Iterator[UncutPiece]:
    for disc in artwork.bare_discs:
        box = _grown(np.array([disc.outline.bounds]), artwork.description, limits)[0]
        yield UncutPiece(
            f"bare {disc.what} ({disc.bare.hole})",
            (disc.bare.hole,),
            (),
            tuple(_hole_in(disc, artwork.opening(disc.bare.hole), limits)),
            _as_box(box),
            disc.outline,
        )


def _hole_in(disc: BareDisc, opening: Opening, limits: StockLimits) -> Iterator[Outline]:
    """The drilled hole in its bare disc, by which the disc is laid; a plug has none."""
    if disc.what == "disc" and shapely.contains_properly(disc.outline.shape, opening.outline.shape):
        yield with_cross(opening.outline, opening, limits)


# --- What a piece is called ---


def _name(
    fitted: Mapping[str, Sequence[Control]], owners: Iterable[str], marks: Iterable[Mark]
) -> str:
    """In words: the controls by name and hole, where that says more, and what belongs to none."""
    called = [
        (" / ".join(knob.name for knob in control.knobs if knob.name) or control.kind, hole)
        for hole in owners
        for control in fitted.get(hole, ())
    ]
    words = [
        name if name.casefold() == hole.casefold() else f"{name} ({hole})" for name, hole in called
    ]
    loose = [mark for mark in marks if not mark.owner]
    words += [f"“{mark.text}”" for mark in loose if mark.text]
    if not words:
        words = list(dict.fromkeys(mark.role.value for mark in loose))
    return ", ".join(word.replace("\n", " ") for word in words)


# --- Weeding boxes ---


def _grown(ink: Boxes, description: Description, limits: StockLimits) -> Boxes:
    """The boxes at the margin round these extents, their sides at whole steps."""
    step, margin = BOX_STEP[description.units], max(limits.margin, limits.gap)
    return (
        np.hstack(
            [
                np.floor((ink[:, :2] - margin) / step + 1e-6),
                np.ceil((ink[:, 2:] + margin) / step - 1e-6),
            ]
        )
        * step
    )


def _merged(boxes: Boxes) -> Iterator[tuple[list[int], Box]]:
    """The boxes, those that overlap joined until none does: members and box of each."""
    member_of = np.arange(len(boxes))
    while len(boxes):
        tree = shapely.STRtree(shapely.box(*boxes.T))
        a, b = tree.query(shapely.box(*boxes.T), "intersects")
        overlap = np.minimum(boxes[a, 2:], boxes[b, 2:]) - np.maximum(boxes[a, :2], boxes[b, :2])
        crossing = (a < b) & (overlap > 1e-6).all(axis=1)
        if not crossing.any():
            break
        joined = components(len(boxes), a[crossing], b[crossing])
        low = np.full((joined.max() + 1, 2), math.inf)
        np.minimum.at(low, joined, boxes[:, :2])
        high = np.full((joined.max() + 1, 2), -math.inf)
        np.maximum.at(high, joined, boxes[:, 2:])
        boxes, member_of = np.hstack([low, high]), joined[member_of]
    for index, box in enumerate(boxes):
        yield np.flatnonzero(member_of == index).tolist(), _as_box(box)


def _as_box(row: NDArray[np.float64]) -> Box:
    x0, y0, x1, y1 = row.tolist()
    return x0, y0, x1, y1


def _reading_order(boxes: Sequence[Box]) -> list[int]:
    """Top row first, left to right; a box is in the row whose first box holds its middle."""
    left = sorted(range(len(boxes)), key=lambda i: (-boxes[i][3], boxes[i][0]))
    order: list[int] = []
    while left:
        _, bottom, _, _ = boxes[left[0]]
        row = [i for i in left if (boxes[i][1] + boxes[i][3]) / 2 > bottom]
        order += sorted(row, key=lambda i: (boxes[i][0], -boxes[i][3]))
        taken = set(row)
        left = [i for i in left if i not in taken]
    return order
