"""Say in whole sentences what was measured, what was taken for granted, and what to do about it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from legend.camera.holes.drills import drill_near
from legend.camera.holes.found_hole import FoundHole
from legend.camera.measured.measured import Measured, MeasuredHole, MissingHole, SeenIn
from legend.camera.panel.several import squareness
from legend.camera.seeing import Kind
from legend.camera.view import USUAL_THICKNESS, View
from legend.description.shapes.hole_shapes import Drilled
from legend.description.tables.panel import Panel
from legend.length_words import Lengths
from legend.sentences import counted, listed
from legend.standards import HOLE_OVER_DRILL

#: A panel whose upper edge lies less aside than this, mm, is square. Common practice, no source.
_SQUARE = 0.1
#: Plates of which thickness are measured as well, in the builder's words. Measured on pictures that
#: were reckoned: from 1 to 5 mm it moves no hole by more than 0.06 mm.
_HARDLY_MATTERS = {"mm": "plates of 1 mm to 5 mm", "in": "plates of 1/32 in to 3/16 in"}
#: A panel that is turned by less lies upright, degrees.
_UPRIGHT = 5
#: A hole that is out of round by more than this is told to be, mm: more than a nut hides.
#: Common practice, no source.
_OVAL = 0.25
#: A size that is off by less is as it was wanted, mm. Common practice, no source.
_FILED = 0.15


# --- What was taken for granted ---


def assumptions(seen: Sequence[SeenIn], panel: Panel, lengths: Lengths) -> Iterator[str]:
    """What was taken for granted, one sentence after the other."""
    size = f"{panel.words(lengths.exact)} {lengths.unit}"
    if panel.outline:
        yield f"Place and scale are those of the panel's outline, {size}."
    else:
        yield (
            f"Places are from the best-fit lines of {_edges(panel)}; scale and squareness are by "
            f"the four edges, of a panel of {size}."
        )
    if any(each.view.eye for each in seen):
        yield (
            "The rims are those of the front; where the wall of a hole was seen, they count "
            f"little. The plate was taken to be {lengths.given(USUAL_THICKNESS)} thick; "
            f"{_HARDLY_MATTERS[lengths.unit]} are measured as well."
        )
    scans = [each.view for each in seen if each.kind is Kind.SCAN]
    if scans and not panel.outline:
        yield _squareness(scans, panel, lengths)
    if len(seen) > 1:
        yield f"{len(seen)} pictures were averaged, each by how sure it is."


def _edges(panel: Panel) -> str:
    """The edges that places are measured from."""
    if panel.datum == "centre":
        return "all four edges"
    up, side = panel.datum.split()
    return f"the {side} and the {up} edge"


def _squareness(scans: Sequence[View], panel: Panel, lengths: Lengths) -> str:
    """How far a panel is out of square by its scans, or how to find that out."""
    told = squareness(scans)
    if told is None:
        return (
            "How square the panel is, one scan cannot tell from how square the scanner draws: a "
            "second one, the panel turned by a quarter, given beside it, tells."
        )
    aside = math.tan(told.panel) * panel.size[1]
    if abs(aside) < _SQUARE:
        return (
            "By the scans a quarter turn apart the panel is square, within "
            f"{lengths.as_decimal(_SQUARE)} {lengths.unit}."
        )
    return (
        "By the scans a quarter turn apart the panel is out of square: its upper edge lies "
        f"{lengths.as_decimal(abs(aside))} {lengths.unit} to the "
        f"{'right' if aside > 0 else 'left'} of where the lower one has it. Places are still from "
        "the edges at the datum."
    )


# --- What is to be looked at ---


def lying_words(view: View) -> str:
    """How a panel lies in its picture: upright, or turned by how much."""
    here, right = view.to_picture(np.array([[0.0, 0.0], [1.0, 0.0]]))
    across, down = (right - here).tolist()
    clockwise = round(math.degrees(math.atan2(down, across)))
    if abs(clockwise) < _UPRIGHT:
        return "upright"
    return f"turned by {abs(clockwise)}° {'clockwise' if clockwise > 0 else 'anticlockwise'}"


def counted_against(holes: Sequence[MeasuredHole], count: int | None) -> Iterator[str]:
    """That there are fewer holes than there should be."""
    if count is not None and len(holes) < count:
        yield (
            f"Of {counted(count, 'hole')} only {len(holes)} were found. Look for the others in the "
            "picture; lay paper of another tone behind the panel, or light it more evenly."
        )


def how_many(measured: Measured) -> str:
    """How many holes were found, and how many of them surely."""
    sure = sum(hole.is_sure for hole in measured.holes)
    in_all = len(measured.holes) + len(measured.missing)
    return f"{counted(len(measured.holes), 'hole')} of {in_all} found, {sure} of them surely."


def about_holes(measured: Measured) -> Iterator[str]:
    """What is to be known of single holes: what is missing, what is doubted, what is too many."""
    lengths = measured.lengths
    for missing in measured.missing:
        yield of_missing(missing, lengths)
    for hole in measured.holes:
        yield from of_doubtful(hole)
    for extra in measured.extra:
        yield of_extra(extra, measured)
    for hole in measured.holes:
        yield from of_shape(hole, lengths)
    yield from measured.notes


def of_doubtful(hole: MeasuredHole) -> Iterator[str]:
    """Why a hole is doubted; nothing where it is not."""
    if hole.found.doubts:
        yield f"{hole.id} is doubtful: {listed(hole.found.doubts)}. Check it with callipers."


def of_shape(hole: MeasuredHole, lengths: Lengths) -> Iterator[str]:
    """How a hole is otherwise than it was designed, or not round; nothing where it is not."""
    if told := unlike_design(hole, lengths):
        yield f"{hole.id} is {told}."
    if told := out_of_round(hole.found, lengths):
        yield f"{hole.id} is {told}."


def of_extra(extra: FoundHole, measured: Measured) -> str:
    """That something is none of the holes."""
    lengths = measured.lengths
    x, y = measured.panel.measuring.measured(extra.at)
    return (
        f"What looks like a hole at {lengths.exact(x)}, {lengths.exact(y)}, "
        f"{size_words(extra, lengths)}, is none of {_whose(measured)}, and was left out: a dot "
        "of the pen, a punch mark, or a hole too many."
    )


def _whose(measured: Measured) -> str:
    return "the design" if measured.description else "those that there are"


def of_missing(missing: MissingHole, lengths: Lengths) -> str:
    """That a hole is missing, and what is there instead."""
    if missing.mark:
        return (
            f"{missing.id} is missing: in its place is {size_words(missing.mark, lengths)}, a mark "
            f"or a pilot hole, where the design has {missing.wanted.shape.words(lengths.exact)}."
        )
    return (
        f"{missing.id} is missing: nothing like {missing.wanted.shape.words(lengths.exact)} is "
        "seen there. Drill it, or measure it with callipers and add its line."
    )


# --- One hole ---


def size_words(hole: FoundHole, lengths: Lengths) -> str:
    """Its size as a drawing says it."""
    return hole.shape.words(lengths.fine if lengths.unit == "mm" else lengths.as_decimal)


def drill_words(hole: MeasuredHole, lengths: Lengths) -> str:
    """The drill that a hole is near to; "" where there is none, or it is not drilled."""
    if not isinstance(hole.found.shape, Drilled):
        return ""
    wanted = hole.wanted.shape if hole.wanted else None
    if isinstance(wanted, Drilled) and not _is_off(hole.found, wanted.drill):
        return lengths.given(wanted.drill)
    return drill_near(hole.found.shape.drill, hole.found.size_uncertainty, lengths)


def unlike_design(hole: MeasuredHole, lengths: Lengths) -> str:
    """How a hole is not as designed; "" where it is."""
    if hole.wanted is None:
        return ""
    pairs = zip(hole.found.shape.size, hole.wanted.shape.size, strict=True)
    if not any(_is_off(hole.found, wanted, found) for found, wanted in pairs):
        return ""
    drill = drill_words(hole, lengths)
    near = f", near a drill of {drill}," if drill else ""
    return (
        f"{size_words(hole.found, lengths)}{near} where the design has "
        f"{hole.wanted.shape.words(lengths.exact)}"
    )


def _is_off(hole: FoundHole, wanted: float, found: float | None = None) -> bool:
    """Whether a size is surely another than is wanted: holes come out a little wider."""
    wider = (hole.width if found is None else found) - wanted
    over = HOLE_OVER_DRILL if isinstance(hole.shape, Drilled) else _FILED
    return not -max(hole.size_uncertainty, _FILED) < wider < over + hole.size_uncertainty


def out_of_round(hole: FoundHole, lengths: Lengths) -> str:
    """That a drilled hole is not round; "" where it is."""
    if hole.out_of_round < _OVAL:
        return ""
    return f"out of round by {lengths.as_decimal(hole.out_of_round)} {lengths.unit}"
