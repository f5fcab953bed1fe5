"""Inspect artwork before paint is spent on it: Artwork in, Findings out.

Each check is one function with `@check`, in the module for what it looks at; it takes a
`Scene`, the artwork with its shapes at hand, and yields what it finds. The source of each
rule stands in `legend.layout.rules`, by the finding's code.
"""

from __future__ import annotations

from legend.layout.artwork import Artwork, Finding
from legend.layout.inspection import (
    drawn,
    drilling,
    finish,
    heavy_strokes,
    parts,
    placing,
    scale_ends,
    sizes,
)
from legend.layout.inspection.alike import gathered, some
from legend.layout.inspection.scene import CHECKS, Scene

__all__ = [
    "CHECKS",
    "drawn",
    "drilling",
    "finish",
    "heavy_strokes",
    "inspect",
    "parts",
    "placing",
    "scale_ends",
    "sizes",
]


def inspect(artwork: Artwork) -> tuple[Finding, ...]:
    """Everything found about an artwork, what its layout reported included, worst first.

    What is found alike in many places is one finding.
    """
    scene = Scene(artwork)
    found = gathered(
        [*artwork.findings, *(finding for check in CHECKS for finding in some(check(scene)))]
    )
    found.sort(key=lambda f: (f.severity.rank, f.source, f.code, f.message))
    return tuple(found)
