"""Tell of letters on film that the stock carries, but that take a new blade and a steady hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from legend.description.tables.stock import limits
from legend.layout.artwork import Finding, Mark, Role, Severity
from legend.layout.inspection.scene import Scene
from legend.lettering.outlines.measuring import LET_PASS
from legend.sentences import listed
from legend.standards import FINE_STROKE

_CARE = (
    "Put in a new blade, cut slowly, and weed with pointed tweezers under a lens, with the film "
    "flat on its backing; the test coupon shows beforehand what holds."
)


def fine_strokes(scene: Scene, strokes: Sequence[tuple[Mark, float]]) -> Iterator[Finding]:
    """One note for the panel that names what has fine strokes, by role and height."""
    stencil = scene.artwork.description.stencil
    least = limits(stencil).stroke
    fine: dict[tuple[Role, str], list[float]] = {}
    for mark, stroke in strokes:
        if least * LET_PASS <= stroke < FINE_STROKE * LET_PASS:
            tall = scene.lengths.short_said(mark.height)
            fine.setdefault((mark.role, tall), []).append(stroke)
    if stencil.stock != "film" or not fine:
        return
    finest, bound = scene.lengths.compared(min(map(min, fine.values())), FINE_STROKE, 2)
    heights: dict[Role, list[str]] = {}
    for role, tall in fine:
        heights.setdefault(role, []).append(tall)
    which = listed(f"{role}s of {listed(talls)}" for role, talls in heights.items())
    yield Finding(
        Severity.NOTE,
        "fine-stroke",
        f"Film carries strokes of less than {bound} only with care, and here they are as fine as "
        f"{finest}: {which}.",
        scene.artwork.description.lettering.source,
        _CARE,
    )
