"""Try what is offered against findings of the cut, by cutting anew: findings in, tried ones out."""

from __future__ import annotations

from collections.abc import Sequence

from legend.description.tables.description import Description
from legend.layout.artwork import Artwork, Finding
from legend.layout.inspection import inspect
from legend.layout.laying import lay
from legend.layout.remedies.tried import tried
from legend.stencil.cutting import cut


def with_cut_remedies(artwork: Artwork, findings: Sequence[Finding]) -> list[Finding]:
    """What was found in cutting an artwork, with what was tried and cures it."""
    if not any(each.offers for each in findings):
        return list(findings)

    def found(description: Description) -> Sequence[Finding]:
        anew = lay(description, {})
        return [*inspect(anew), *cut(anew).findings]

    before = [*inspect(artwork), *findings]
    return tried(artwork, findings, before, found)
