"""Checks of the finish: can the letters be told from the panel, and are its colours known."""

from __future__ import annotations

from collections.abc import Iterator

from legend.description.colours import contrast, is_paint, rgb
from legend.layout.artwork import Finding, Severity
from legend.layout.inspection.scene import Scene, check
from legend.standards import LEAST_CONTRAST


@check
def low_contrast(scene: Scene) -> Iterator[Finding]:
    """Letters stand out from the panel."""
    finish = scene.artwork.description.finish
    apart = contrast(finish.base, finish.top)
    if scene.marks and apart < LEAST_CONTRAST:
        yield Finding(
            Severity.WARNING,
            "low-contrast",
            f"The base coat, {finish.base}, and the top coat, {finish.top}, have a contrast of "
            f"{apart:.1f} to 1; letters want at least {LEAST_CONTRAST:g} to 1.",
            finish.source,
            "Make one of them lighter, or the other darker.",
        )


@check
def colours_known_about(scene: Scene) -> Iterator[Finding]:
    """What a paint's number looks like is not taken for the paint."""
    finish = scene.artwork.description.finish
    for key, colour in (("base", finish.base), ("top", finish.top)):
        if is_paint(colour):
            shown = "#{:02x}{:02x}{:02x}".format(*rgb(colour))
            yield Finding(
                Severity.NOTE,
                "colour-about",
                f"{colour} is shown as {shown}, which is only about its colour.",
                finish.source_of(key),
                "Choose the paint by the maker's chips, not by the picture.",
            )
