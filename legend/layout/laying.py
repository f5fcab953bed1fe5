"""Lay the legends of a description whose heights are all settled, step after step."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from legend.description.tables.description import Description
from legend.layout.amounts import Ink, refuse_heaps, refuse_piles
from legend.layout.artwork import Artwork, Finding, Mark
from legend.layout.controls.controls import lay_controls
from legend.layout.ground import Ground, Twins
from legend.layout.groups.groups import lay_groups
from legend.layout.lines import lay_rules
from legend.layout.names.names import lay_names
from legend.layout.texts import lay_texts

#: The steps of laying out, each with the marks of those before it in hand.
_STEPS: Sequence[Callable[[Ground, Sequence[Mark]], Iterable[Mark | Finding]]] = (
    lay_controls,
    lay_names,
    lay_groups,
    lay_texts,
    lay_rules,
)


def lay(
    description: Description,
    twins: Twins,
    told: Sequence[Finding] = (),
    as_asked: bool = False,
) -> Artwork:
    """Place everything that the description asks for; a height that is to be found is left out.

    Names match their `twins` on another panel; where all is to be `as_asked`, none is made smaller
    to fit. What was `told` before is among the findings. Errors: as `legend.layout.lay_out` has
    them.
    """
    ground = Ground.of(description, twins, as_asked)
    refuse_piles(ground.openings, ground.covers)
    ink = Ink()
    findings = list(told)
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
