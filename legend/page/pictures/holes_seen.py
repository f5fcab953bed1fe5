"""Put the holes that were measured in pictures into what the page shows of them."""

from __future__ import annotations

from collections.abc import Iterator

from legend.camera.holes.found_hole import FoundHole
from legend.camera.measured.measured import Measured, MeasuredHole, MissingHole
from legend.camera.measured.sayings import (
    how_many,
    of_doubtful,
    of_extra,
    of_missing,
    of_shape,
    size_words,
)
from legend.description.shapes.edge import Edge
from legend.page.pictures.picture_messages import Seen, SeenThing
from legend.sentences import counted, listed

#: How many parts each arc of a rim is drawn in.
_PARTS = 32


def holes_seen(ask: int, number: int, measured: Measured) -> Seen:
    """What is told of the holes: what to look at first, then those that are sure."""
    top = top_of(measured)
    missing = [_missing(each, measured, top) for each in measured.missing]
    extra = [_extra(each, measured, top) for each in measured.extra]
    holes = [_hole(each, measured, top) for each in measured.holes]
    doubtful = [hole for hole in holes if hole.standing == "doubtful"]
    others = [hole for hole in holes if hole.standing == "true"]
    others.sort(key=lambda hole: not hole.words)
    return Seen(
        ask,
        number,
        "holes",
        " ".join((how_many(measured), *measured.notes)),
        (*missing, *doubtful, *extra, *others),
        measured.assumed,
        picture_of(number),
        top,
        _take_over(measured),
    )


def picture_of(number: int) -> str:
    """The address of the picture of what was seen."""
    return f"picture-{number}.png"


def top_of(measured: Measured) -> float:
    """How high the panel is, mm."""
    return float(measured.panel.edge.box[3])


def _take_over(measured: Measured) -> str:
    if not measured.holes:
        return ""
    said = f"Take {counted(len(measured.holes), 'hole')} over"
    if measured.description is None or not measured.description.holes:
        return said
    designed = [missing.id for missing in measured.missing]
    rest = f", {listed(designed)} as designed" if designed else ""
    return f"{said} as drilled{rest}"


def _hole(hole: MeasuredHole, measured: Measured, top: float) -> SeenThing:
    lengths, found = measured.lengths, hole.found
    x, y = measured.panel.measuring.measured(found.at)
    size = size_words(found, lengths)
    finely = lengths.fine if lengths.unit == "mm" else lengths.as_decimal
    where = f"{size} at {finely(x)}, {finely(y)}"
    sure = f"{where}, sure to {finely(found.uncertainty)} {lengths.unit}"
    told = " ".join((*of_doubtful(hole), *of_shape(hole, lengths)))
    return SeenThing(
        hole.id,
        "true" if hole.is_sure else "doubtful",
        sure,
        told,
        found.at,
        found.edge.box,
        hole.id,
        _wanted(hole, measured, top),
        _path(found.edge, top),
    )


def _wanted(hole: MeasuredHole, measured: Measured, top: float) -> str:
    """The rim as it was designed."""
    if hole.wanted is None:
        return ""
    at = measured.panel.measuring.on_panel(hole.wanted.at)
    return _path(hole.wanted.shape.edge.turned(hole.wanted.angle).moved(*at), top)


def _missing(missing: MissingHole, measured: Measured, top: float) -> SeenThing:
    edge = missing.wanted.shape.edge.turned(missing.wanted.angle).moved(*missing.at)
    seen = _path(missing.mark.edge, top) if missing.mark else ""
    return SeenThing(
        missing.id,
        "missing",
        "missing",
        of_missing(missing, measured.lengths).removeprefix(f"{missing.id} is "),
        missing.at,
        edge.box,
        missing.id,
        _path(edge, top),
        seen,
    )


def _extra(extra: FoundHole, measured: Measured, top: float) -> SeenThing:
    return SeenThing(
        "No hole",
        "extra",
        "no hole",
        of_extra(extra, measured),
        extra.at,
        extra.edge.box,
        seen=_path(extra.edge, top),
    )


def _path(edge: Edge, top: float) -> str:
    """A rim as path data, its curves as short straight lines."""
    return f"M{' '.join(_coordinates(edge, top))}Z"


def _coordinates(edge: Edge, top: float) -> Iterator[str]:
    for point in edge.points(_PARTS):
        yield f"{point.x:.3f},{top - point.y:.3f}"
