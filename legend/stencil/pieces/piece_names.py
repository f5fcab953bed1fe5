"""Call a piece by what is on it: Controls and Marks in, words out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from legend.description.tables.description import Control
from legend.layout.artwork import Mark
from legend.sentences import listed
from legend.stencil.pieces.uncut_piece import UncutPiece

#: Of more controls than this on one piece, only the first two and the last are named.
_SEVERAL = 6


def name_of(
    fitted: Mapping[str, Sequence[Control]], owners: Iterable[str], marks: Iterable[Mark]
) -> str:
    """In words: the controls by name and hole, where that says more, and what belongs to none."""
    controls = [control for hole in owners for control in fitted.get(hole, ())]
    named_with_others = {hole for control in controls for hole in control.name_for}
    called = [
        (
            " / ".join(knob.name for knob in control.knobs if knob.name) or control.kind,
            listed(control.name_for or (control.hole,)),
        )
        for control in controls
        if control.name or control.hole not in named_with_others
    ]
    words = [
        name if name.casefold() == hole.casefold() else f"{name} ({hole})" for name, hole in called
    ]
    loose = [mark for mark in marks if not mark.owner]
    words += [f"“{mark.text}”" for mark in loose if mark.text]
    if not words:
        words = list(dict.fromkeys(mark.role.value for mark in loose))
    if len(words) > _SEVERAL:
        words = [words[0], f"{words[1]} … {words[-1]}"]
    return ", ".join(word.replace("\n", " ") for word in words)


def part_named(fitted: Mapping[str, Sequence[Control]], part: UncutPiece) -> UncutPiece:
    """The part of a piece, called by what is on it."""
    number, count = part.part
    name = f"{name_of(fitted, part.owners, part.marks)}, part {number} of {count}"
    return replace(part, name=name)
