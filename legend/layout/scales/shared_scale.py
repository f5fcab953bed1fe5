"""Lay out a scale that two slides, or the like, share: its numerals stand between them."""

from __future__ import annotations

from dataclasses import replace

from legend.description.tables.description import Control, Scale
from legend.layout.artwork import Mark, Role
from legend.layout.scales.scale_marks import lay_scale
from legend.layout.scales.slide_tracks import SharedTrack
from legend.layout.styles import Stroke, apart_on_a_baseline, name_space
from legend.lettering.faces.face import TextStyle
from legend.lettering.typesetting import set_text


def lay_shared_scale(
    control: Control,
    scale: Scale,
    neighbour: Control,
    track: SharedTrack,
    style: TextStyle,
    stroke: Stroke,
) -> tuple[Mark, ...]:
    """The marks of a scale for two slides, bars or edge meters: each has its own graduations; the
    numerals are the first one's, and so is the unit, at their end.

    Error: DomainError, LetteringError.
    """
    hole, source = control.hole, control.source_of("scale")
    own = _levelled(lay_scale(scale, track, style, stroke, hole, source), track, style)
    facing = lay_scale(scale, track.turned_over, style, stroke, hole, source)
    beside = [
        replace(mark, owner=neighbour.hole) for mark in facing if mark.role is not Role.NUMERAL
    ]
    return (*own, *beside, *_unit(control, scale, own, track, style))


def _levelled(marks: tuple[Mark, ...], track: SharedTrack, style: TextStyle) -> tuple[Mark, ...]:
    """The marks, numerals between level slides on one baseline."""
    if track.own.outward[0]:
        return marks
    baseline = track.middle(0.0)[1] - style.height / 2
    return tuple(
        replace(mark, outline=mark.outline.moved(0.0, baseline - mark.baselines[0]))
        if mark.role is Role.NUMERAL
        else mark
        for mark in marks
    )


def _unit(
    control: Control,
    scale: Scale,
    marks: tuple[Mark, ...],
    track: SharedTrack,
    style: TextStyle,
) -> tuple[Mark, ...]:
    """The unit over the numerals of upright slides, or behind those of level ones."""
    if not scale.unit.strip():
        return ()
    setting = set_text(scale.unit, replace(style, case="as written"))
    x0, _, x1, _ = setting.outline.bounds
    numerals = [mark for mark in marks if mark.role is Role.NUMERAL]
    x, y = track.middle(1.0)
    if track.own.outward[0]:
        top = max((mark.outline.bounds[3] for mark in numerals), default=y)
        placed = setting.outline.moved(x - (x0 + x1) / 2, top + name_space(style.height))
    else:
        right = max((mark.outline.bounds[2] for mark in numerals), default=x)
        behind = right + apart_on_a_baseline(style.height, style.height)
        placed = setting.outline.moved(behind - x0, y - style.height / 2)
    source = control.source_of("scale")
    return (Mark(placed, Role.NOTE, control.hole, source, scale.unit, style.height, setting),)
