"""Lay out a description: Description in, Artwork out; and inspect it: Artwork in, Findings out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from legend.description.tables.description import Description
from legend.layout.amounts import Ink, refuse_heaps, refuse_piles
from legend.layout.artwork import Artwork, Finding, Mark
from legend.layout.controls import lay_controls
from legend.layout.ground import Ground
from legend.layout.groups import lay_groups
from legend.layout.inspection import inspect
from legend.layout.lines import lay_rules
from legend.layout.names.names import lay_names
from legend.layout.texts import lay_texts

__all__ = ["inspect", "lay_out"]

#: The steps of laying out, each with the marks of those before it in hand.
_STEPS: Sequence[Callable[[Ground, Sequence[Mark]], Iterable[Mark | Finding]]] = (
    lay_controls,
    lay_names,
    lay_groups,
    lay_texts,
    lay_rules,
)


def lay_out(description: Description) -> Artwork:
    """Place everything that the description asks for on its panel.

    What could not be done as asked is among the artwork's findings. Errors: FaceError where
    a face cannot be found or read; DescriptionError where there is more than can be worked out.
    """
    ground = Ground.of(description)
    refuse_piles(ground.openings, ground.covers)
    ink = Ink()
    findings: list[Finding] = []
    for step in _STEPS:
        for each in step(ground, tuple(ink.marks)):
            if isinstance(each, Finding):
                findings.append(each)
            else:
                ink.add(each)
    refuse_heaps(ink.marks)
    return Artwork(
        description,
        ground.styles,
        ground.panel,
        ground.openings,
        tuple(ink.marks),
        ground.covers,
        ground.bare_discs,
        tuple(findings),
    )
