"""Lay out a description: Description in, Artwork out; and inspect it: Artwork in, Findings out."""

from __future__ import annotations

from legend.description.tables.description import Description
from legend.layout.artwork import Artwork
from legend.layout.heights.matching import match
from legend.layout.inspection import inspect

__all__ = ["inspect", "lay_out", "match"]


def lay_out(description: Description) -> Artwork:
    """Place everything that the description asks for on its panel.

    What could not be done as asked is among the artwork's findings. Errors: FaceError where
    a face cannot be found or read; DescriptionError where there is more than can be worked out.
    """
    (matched,) = match([description])
    return matched.laid()
