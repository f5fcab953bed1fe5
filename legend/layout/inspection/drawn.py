"""Check that letters and curves were drawn as asked for."""

from __future__ import annotations

from collections.abc import Iterator

from legend.layout.artwork import Finding, Severity
from legend.layout.inspection.scene import Scene, check, finding, what
from legend.lettering.outlines.boolean import flattened_curves


@check
def letters_as_asked(scene: Scene) -> Iterator[Finding]:
    """Letters are those of the face, and their curves are curves."""
    told = set()
    for mark in scene.marks:
        for note in mark.setting.notes if mark.setting else ():
            if (note, mark.source) not in told:  # the numerals of a scale lack the same sign
                told.add((note, mark.source))
                yield finding(Severity.NOTE, "lettering", note, mark, "")


@check
def curves_of_lines(scene: Scene) -> Iterator[Finding]:
    """Curves of frames and scales are curves."""
    for mark in scene.marks:
        if mark.flattened:
            said = flattened_curves(what(mark))
            yield finding(Severity.NOTE, "curves-flattened", said, mark, "")
