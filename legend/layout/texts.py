"""Lay the texts that a description puts anywhere on its panel."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from legend.description.tables.description import Text
from legend.layout.artwork import Finding, Mark, Role, not_drawn
from legend.layout.ground import Ground
from legend.layout.styles import given
from legend.lettering.faces.face import LetteringError
from legend.lettering.on_arc import set_on_arc
from legend.lettering.typesetting import set_text


def lay_texts(ground: Ground, _before: Sequence[Mark]) -> Iterator[Mark | Finding]:
    """A mark for each text, or a finding for one that cannot be set."""
    for text in ground.description.text:
        try:
            yield from _text(text, ground)
        except LetteringError as error:
            yield not_drawn(error, text.source, ground.lengths)


def _text(text: Text, ground: Ground) -> Iterator[Mark]:
    """Words on a line by their inked middle or end, or round a hole."""
    style = ground.styles[text.role]
    style = replace(style, height=given(text) or style.height)
    if text.at is not None:
        setting = set_text(text.text, style, text.align)
        x, y = ground.description.panel.from_datum(text.at)
    else:
        assert text.around is not None and text.radius is not None  # the schema sees to it
        setting = set_on_arc(text.text, style, text.radius, text.angle, text.inside)
        x, y = next(each.centre for each in ground.openings if each.id == text.around)
    ink = setting.outline
    if not ink:
        return
    if text.at is not None:
        x0, _, x1, _ = ink.bounds
        x -= {"left": x0, "centre": (x0 + x1) / 2, "right": x1}[text.align]
    placed = ink.moved(x, y)
    yield Mark(placed, Role(text.role), "", text.source, text.text, style.height, setting)
