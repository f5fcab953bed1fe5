"""Holes and what covers them: a description in, openings and keep-outs in panel coordinates out."""

from __future__ import annotations

from legend.description.schema import Control, Description, Hole
from legend.layout.artwork import KeepOut, Opening
from legend.lettering.outline import Outline


def lay_openings(description: Description) -> tuple[Opening, ...]:
    """Every hole and cut-out where it is in the panel."""
    drilling, panel = description.drilling, description.panel
    return tuple(
        Opening(
            name,
            hole,
            panel.from_datum(hole.at),
            outline_of(hole, panel.from_datum(hole.at)),
            panel.from_datum(drilling.design[name].at) if drilling else None,
        )
        for name, hole in description.holes.items()
    )


def outline_of(hole: Hole, centre: tuple[float, float]) -> Outline:
    """The edge of a hole about its centre."""
    if hole.drill is not None:
        return Outline.disc(centre, hole.drill / 2)
    width, height = hole_size(hole)
    radius = height / 2 if hole.slot else hole.corner_radius
    outline = _rectangle(centre, width, height, radius)
    return outline.turned(hole.angle, centre) if hole.angle else outline


def hole_size(hole: Hole) -> tuple[float, float]:
    """Width and height of a hole before it is turned by its angle, mm."""
    if hole.drill is not None:
        return hole.drill, hole.drill
    size = hole.cutout or hole.slot
    assert size is not None  # the schema sees to it
    return size


def grown(hole: Hole, margin: float) -> Hole:
    """A hole with a margin all round."""
    if hole.drill is not None:
        return hole.model_copy(update={"drill": hole.drill + 2 * margin})
    width, height = hole_size(hole)
    size = (width + 2 * margin, height + 2 * margin)
    if hole.slot:
        return hole.model_copy(update={"slot": size})
    radius = hole.corner_radius + margin if hole.corner_radius else 0.0
    return hole.model_copy(update={"cutout": size, "corner_radius": radius})


def cover_of(control: Control, opening: Opening) -> KeepOut:
    """What the fitted part hides: as given by `covers`, or assumed from the drilled size."""
    kind, hole = control.of_kind, opening.hole
    what = f"the {kind.name} on {opening.id}"
    covers = control.covers
    if isinstance(covers, float):
        return KeepOut(
            Outline.disc(opening.centre, covers / 2).shape, opening.id, what, fitted=True
        )
    width, height = hole_size(hole)
    if covers is not None:
        shape = _rectangle(opening.centre, *covers, 0)
    elif hole.drill is not None:
        shape = Outline.disc(
            opening.centre, hole.drill / 2 * kind.covers_factor + kind.covers_extra / 2
        )
    else:
        grown = kind.covers_extra
        shape = _rectangle(opening.centre, width + grown, height + grown, hole.corner_radius)
    if hole.angle and not isinstance(covers, float):
        shape = shape.turned(hole.angle, opening.centre)
    return KeepOut(shape.shape, opening.id, what, fitted=True, assumed=covers is None)


def _rectangle(centre: tuple[float, float], width: float, height: float, radius: float) -> Outline:
    x, y = centre
    return Outline.rectangle(x - width / 2, y - height / 2, x + width / 2, y + height / 2, radius)
