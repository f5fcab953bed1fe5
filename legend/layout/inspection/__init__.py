"""Inspect artwork before paint is spent on it: Artwork in, Findings out.

Each check is one function with `@check`, in the module for what it looks at; it takes a
`Scene`, the artwork with its shapes at hand, and yields what it finds. The source of each
rule stands in `legend.rules`, by the finding's code.
"""

from __future__ import annotations

from collections.abc import Sequence

from legend.layout.artwork import Artwork, Finding
from legend.layout.inspection import (
    drawn,
    drilling,
    finish,
    fixings,
    heavy_strokes,
    parts,
    placing,
    scale_ends,
    sizes,
)
from legend.layout.inspection.alike import gathered, some
from legend.layout.inspection.handling import (
    finger_room,
    mains,
    on_and_off,
    positions,
    wording,
)
from legend.layout.inspection.meant import in_vain, to_be_told
from legend.layout.inspection.scene import CHECKS, Scene

__all__ = [
    "CHECKS",
    "drawn",
    "drilling",
    "finger_room",
    "finish",
    "fixings",
    "heavy_strokes",
    "inspect",
    "mains",
    "on_and_off",
    "parts",
    "placing",
    "positions",
    "scale_ends",
    "sizes",
    "wording",
]


def inspect(
    artwork: Artwork, found_in_cutting: Sequence[Finding] | None = None
) -> tuple[Finding, ...]:
    """Everything found about an artwork, what its layout reported included, worst first.

    What is found alike in many places is one finding. What the stencil reported, where one was
    cut, comes last among its equals. What the description says to be meant is left out.
    """
    scene = Scene(artwork)
    own = [*artwork.findings, *(finding for check in CHECKS for finding in some(check(scene)))]
    cut = found_in_cutting or ()
    claims = scene.claims
    found = gathered([*to_be_told(own, claims)])
    found += in_vain([*own, *cut], claims, was_cut=found_in_cutting is not None)
    found.sort(key=lambda f: (f.severity.rank, f.source, f.code, f.message))
    return tuple(sorted([*found, *to_be_told(cut, claims)], key=lambda f: f.severity.rank))
