"""Holes and what covers them: a description in, openings and keep-outs in panel coordinates out."""

from __future__ import annotations

from collections.abc import Sequence

from legend.description.schema import Bare, Control, Description, Hole
from legend.layout.artwork import BareDisc, KeepOut, Opening
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
    hole = opening.hole
    outline = _cover(control, hole, opening.centre)
    if hole.angle and not isinstance(control.covers, float):
        outline = outline.turned(hole.angle, opening.centre)
    return KeepOut(
        outline.shape,
        opening.id,
        f"the {control.kind} on {opening.id}",
        fitted=True,
        assumed=control.covers is None,
    )


def _cover(control: Control, hole: Hole, centre: tuple[float, float]) -> Outline:
    """The edge of what is hidden, before it is turned with its hole."""
    kind, covers = control.of_kind, control.covers
    if isinstance(covers, float):
        return Outline.disc(centre, covers / 2)
    if covers is not None:
        return _rectangle(centre, *covers, 0)
    if hole.drill is not None:
        return Outline.disc(centre, hole.drill / 2 * kind.covers_factor + kind.covers_extra / 2)
    width, height = hole_size(hole)
    more = kind.covers_extra
    return _rectangle(centre, width + more, height + more, hole.corner_radius)


def lay_bare_discs(description: Description, openings: Sequence[Opening]) -> tuple[BareDisc, ...]:
    """The discs and plugs that keep paint off the metal round holes, where they lie."""
    by_id = {opening.id: opening for opening in openings}
    return tuple(_bare_disc(bare, by_id[bare.hole]) for bare in description.bare)


def _bare_disc(bare: Bare, opening: Opening) -> BareDisc:
    if bare.diameter is not None:
        disc = Outline.disc(opening.centre, bare.diameter / 2)
        return BareDisc(bare, disc, (bare.diameter, bare.diameter))
    covered = grown(opening.hole, bare.margin or 0.0)
    return BareDisc(bare, outline_of(covered, opening.centre), hole_size(covered))


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


def _rectangle(centre: tuple[float, float], width: float, height: float, radius: float) -> Outline:
    x, y = centre
    return Outline.rectangle(x - width / 2, y - height / 2, x + width / 2, y + height / 2, radius)
