"""Lay out a description: Description in, Artwork out; and inspect it: Artwork in, Findings out."""

from __future__ import annotations

from collections.abc import Sequence

from legend.description.tables.description import Description
from legend.layout.artwork import Artwork, Finding
from legend.layout.heights.matching import match
from legend.layout.inspection import inspect as inspect_once
from legend.layout.remedies.tried import with_remedies

__all__ = ["inspect", "lay_out", "match"]


def lay_out(description: Description) -> Artwork:
    """Place everything that the description asks for on its panel.

    What could not be done as asked is among the artwork's findings. Errors: FaceError where
    a face cannot be found or read; DescriptionError where there is more than can be worked out.
    """
    (matched,) = match([description])
    return matched.laid()


def inspect(
    artwork: Artwork, found_in_cutting: Sequence[Finding] | None = None
) -> tuple[Finding, ...]:
    """Everything found about an artwork, with what was tried and cures it, the worst first.

    What the stencil reported, where one was cut, comes last among its equals.
    """
    return with_remedies(artwork, inspect_once(artwork, found_in_cutting))
