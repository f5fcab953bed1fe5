"""Check the screws of a part: none falls into its hole, and it is told how they are turned."""

from __future__ import annotations

from collections.abc import Iterator

from legend.description.tables.description import Control
from legend.layout.artwork import Finding, Opening, Severity
from legend.layout.inspection.scene import Scene, check
from legend.lettering.outlines.outline import Outline
from legend.sentences import counted
from legend.vector import Vector

#: What `across` and `up` of a pattern are measured along.
_MEASURED = "across is along the width of its hole and up along its height, as these are given"
#: Places that differ by less are in line, mm.
_IN_LINE = 0.01


@check
def screws_in_their_own_hole(scene: Scene) -> Iterator[Finding]:
    """A screw needs metal, and finds none where the part's own hole is."""
    for control, part, screws in _held(scene):
        fallen = [screw for screw in screws if screw.outline.shape.intersects(part.outline.shape)]
        exchanged = bool(fallen) and _is_pattern(control, fallen[0]) and _clear(part, fallen)
        for screw in fallen:
            yield Finding(
                Severity.ERROR,
                "holes-close",
                f"The hole {screw.id}, of a screw of the {control.kind} on {part.id}, runs into "
                f"hole {part.id} itself.",
                screw.hole.source,
                f"Are across and up exchanged? {_MEASURED.capitalize()}, before it is turned."
                if exchanged
                else "Check how far its screws stand apart.",
                screw.centre,
                also=(part.hole.source,),
            )


@check
def turned_screws(scene: Scene) -> Iterator[Finding]:
    """How the screws of a pattern come to stand that is turned with its hole is told."""
    for control, part, screws in _held(scene):
        if not part.hole.angle % 180 or not _is_pattern(control, screws[0]) or _is_square(screws):
            continue
        yield Finding(
            Severity.NOTE,
            "fixings-turned",
            f"The {counted(len(screws), 'screw')} of the {control.kind} on {part.id} "
            f"{_stand(screws, scene)}, turned by {part.hole.angle:g} degrees with its hole.",
            control.source_of("fixings"),
            f"If they stand otherwise, exchange across and up: {_MEASURED}, before it is turned.",
            part.centre,
        )


def _held(scene: Scene) -> Iterator[tuple[Control, Opening, list[Opening]]]:
    """The controls that are held by screws, their openings, and those of the screws."""
    openings = {opening.id: opening for opening in scene.artwork.openings}
    for control in scene.artwork.description.control:
        if control.fixing_holes:
            yield control, openings[control.hole], [openings[id] for id in control.fixing_holes]


def _is_pattern(control: Control, screw: Opening) -> bool:
    """Whether the holes of its screws were set out from a pattern, and not named."""
    return screw.hole.source == control.source_of("fixings")


def _clear(part: Opening, screws: list[Opening]) -> bool:
    """Whether screws would stand clear of the hole with across and up exchanged."""
    x, y = part.centre
    shape = part.outline.moved(-x, -y).turned(-part.hole.angle).shape
    return not any(shape.intersects(_exchanged(screw, part).shape) for screw in screws)


def _exchanged(screw: Opening, part: Opening) -> Outline:
    """The hole of a screw with across and up exchanged, about the part before it is turned."""
    (x, y), (x0, y0) = screw.centre, part.centre
    centred = screw.outline.moved(-x, -y)
    dx, dy = Vector(x - x0, y - y0).turned(-part.hole.angle)
    return centred.moved(dy, dx)


def _is_square(screws: list[Opening]) -> bool:
    """Whether it makes no difference if across and up are exchanged."""
    x0, y0 = (sum(screw.centre[k] for screw in screws) / len(screws) for k in (0, 1))
    places = {
        (round((x - x0) / _IN_LINE), round((y - y0) / _IN_LINE))
        for x, y in (screw.centre for screw in screws)
    }
    return all((-y, x) in places for x, y in places)


def _stand(screws: list[Opening], scene: Scene) -> str:
    """How far screws reach across the panel and up it, in words."""
    xs, ys = zip(*(screw.centre for screw in screws), strict=True)
    wide, tall = max(xs) - min(xs), max(ys) - min(ys)
    said = scene.lengths.said
    if tall < _IN_LINE:
        return f"stand side by side, {said(wide)} apart"
    if wide < _IN_LINE:
        return f"stand over each other, {said(tall)} apart"
    return f"stand {said(wide)} apart to the side and {said(tall)} apart upwards"
