"""Check the finish: contrast of letters and panel, and whether its colours are known."""

from __future__ import annotations

import math
from collections.abc import Iterator

from legend.description.paint_colours import contrast, is_paint, rgb
from legend.description.paint_numbers import is_fluorescent
from legend.layout.artwork import Finding, Severity
from legend.layout.inspection.scene import Scene, check
from legend.standards import LEAST_CONTRAST, TEXT_CONTRAST


@check
def low_contrast(scene: Scene) -> Iterator[Finding]:
    """Letters stand out from the panel."""
    finish = scene.artwork.description.finish
    apart = contrast(finish.base, finish.top)
    if not scene.marks or apart >= TEXT_CONTRAST:
        return
    wanted = f"letters want at least {TEXT_CONTRAST:g} to 1"
    if apart >= LEAST_CONTRAST:
        wanted += f", large ones {LEAST_CONTRAST:g} to 1"
    yield Finding(
        Severity.WARNING if apart < LEAST_CONTRAST else Severity.NOTE,
        "low-contrast",
        f"The base coat, {finish.base_called}, and the top coat, {finish.top_called}, have a "
        f"contrast of {_below(apart)} to 1; {wanted}.",
        finish.source,
        "Make one of them lighter, or the other darker.",
    )


def _below(apart: float) -> str:
    """A contrast to a tenth, rounded down, so that it never reads as what it falls short of."""
    return f"{math.floor(10 * apart) / 10:.1f}"


@check
def colours_known_about(scene: Scene) -> Iterator[Finding]:
    """What a paint's number looks like is not taken for the paint."""
    finish = scene.artwork.description.finish
    for key, colour in (("base", finish.base), ("top", finish.top)):
        if is_paint(colour):
            shown = "#{:02x}{:02x}{:02x}".format(*rgb(colour))
            about = "which is only about its colour"
            if is_fluorescent(colour):
                about = "but is a fluorescent paint, brighter than any screen can show"
            yield Finding(
                Severity.NOTE,
                "colour-about",
                f"{colour} is shown as {shown}, {about}.",
                finish.source_of(key),
                "Choose the paint by the maker's chips, not by the picture.",
                settled_by=("finish", key),
            )
