"""Lay out the frame, bracket, rule or heading of a group of controls."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import shapely
from shapely.geometry.base import BaseGeometry

from legend.description.tables.description import Group
from legend.kept import Kept
from legend.layout.artwork import Finding, Mark, Role, not_drawn
from legend.layout.controls.controls import ring_of
from legend.layout.ground import Ground
from legend.layout.groups.groups_apart import apart
from legend.layout.groups.groups_in_line import in_line
from legend.layout.styles import Styles, gap
from legend.length_words import Lengths
from legend.lettering.faces.face import LetteringError
from legend.lettering.outlines.boolean import less
from legend.lettering.outlines.outline import Box, Outline
from legend.lettering.typesetting import set_text
from legend.sentences import listed

#: Room inside a frame, its corner radius, and the drop of a bracket's ends, in heights of the
#: group's name.
#: Common practice, no source.
_PADDING = 0.75
_CORNER = 0.6
_DROP = 0.8
#: What a name that is let into a line leaves of it on either side at least, in the same heights:
#: more than a corner, so that a frame stays one. Common practice, no source.
_STUB = 0.8
#: Lengths that differ by less are the same, mm.
_SAME = 1e-6
#: A group without a name is told by so many of its holes.
_FEW = 4

#: What was laid of each group, for a panel that is laid out again with one thing changed.
_LAID: Kept[tuple[Mark, ...]] = Kept()


def lay_groups(ground: Ground, before: Sequence[Mark]) -> Iterator[Mark | Finding]:
    """The marks of all groups; a group inside another is laid first, and is held by the other.

    One whose name cannot be set goes without it, with a finding.
    """
    styles, style = ground.styles, ground.styles["group"]
    width = ground.stroke.width(style.stroke * style.height)
    groups, findings = _with_settable_names(ground.description.group, styles, ground.lengths)
    yield from findings
    shapes: dict[str, list[Box]] = {}
    for opening in ground.openings:
        shapes.setdefault(opening.id, []).append(opening.outline.bounds)
    for cover in ground.covers:
        shapes.setdefault(cover.owner, []).append(cover.shape.bounds)
    for mark in before:
        shapes.setdefault(mark.owner, []).append(mark.outline.bounds)
    boxes: dict[int, Box] = {}
    contents: dict[int, Box] = {}
    least = {i: _least_width(group, styles) for i, group in enumerate(groups)}
    for index in sorted(range(len(groups)), key=lambda i: len(groups[i].holes)):
        group = groups[index]
        inside = [box for hole in group.holes for box in shapes.get(hole, [])]
        inside += [
            _with_its_name(boxes[i], groups[i], _half_of_name(groups[i], style.height) + width)
            for i in boxes
            if set(groups[i].holes) <= set(group.holes)
        ]
        strangers = [
            box for owner, theirs in shapes.items() if owner not in group.holes for box in theirs
        ]
        contents[index] = _bounds(inside)
        boxes[index] = _box_round(
            contents[index], strangers, style.height, group, least[index], ground.panel.shape
        )
    spaces = gap(style.height) + width, gap(0.0) + width
    boxes = apart(groups, boxes, contents, least, spaces, gap(style.height))
    boxes = in_line(groups, boxes, {each.id: each.nominal for each in ground.openings})
    for index, group in enumerate(groups):
        yield from _LAID.made(index, _laid, group, index, boxes[index], styles, width)


def _laid(group: Group, index: int, box: Box, styles: Styles, width: float) -> tuple[Mark, ...]:
    return tuple(replace(mark, group=index) for mark in _lay(group, box, styles, width))


def _with_settable_names(
    groups: Sequence[Group], styles: Styles, lengths: Lengths
) -> tuple[list[Group], list[Finding]]:
    """The groups, those whose name cannot be set without it, and a finding for each of these."""
    able, findings = [], []
    for group in groups:
        try:
            set_text(group.name, styles["group"])
            able.append(group)
        except LetteringError as error:
            able.append(group.model_copy(update={"name": ""}))
            findings.append(not_drawn(error, group.source_of("name"), lengths))
    return able, findings


def _with_its_name(box: Box, group: Group, reach: float) -> Box:
    """The box of a group, and what its name and its line reach beyond it."""
    x0, y0, x1, y1 = box
    if group.side == "below":
        return x0, y0 - reach, x1, y1
    return x0, y0, x1, y1 + reach


def _half_of_name(group: Group, height: float) -> float:
    """How far the name of a group stands out of its line, mm."""
    return height / 2 if group.name.strip() else 0.0


def _bounds(boxes: list[Box]) -> Box:
    x0, y0, x1, y1 = shapely.total_bounds(shapely.box(*zip(*boxes, strict=True))).tolist()
    return x0, y0, x1, y1


def _least_width(group: Group, styles: Styles) -> float:
    """How broad the line of a group must be, mm, so that its name leaves some on either side."""
    style = styles["group"]
    if group.style not in ("frame", "bracket") or not group.name.strip():
        return 0.0
    left, _, right, _ = set_text(group.name, style).outline.bounds
    return right - left + 2 * (gap(style.height) + _STUB * style.height)


def _box_round(
    contents: Box,
    strangers: list[Box],
    height: float,
    group: Group,
    least_width: float,
    panel: BaseGeometry,
) -> Box:
    """The box a group's line runs along: as roomy as it can be without meeting a stranger.

    The line draws closer round its controls before it would cut through another legend, but
    no closer than the gap; what it then still meets is found by the inspection. Where there is
    room on the panel it is broad enough for its name.
    """
    x0, y0, x1, y1 = contents
    name = _half_of_name(group, height)
    others = shapely.box(*zip(*strangers, strict=True)) if strangers else []
    roomiest = max(_PADDING * height, gap(height))
    for space in (roomiest, (roomiest + gap(height)) / 2, gap(height)):
        box = _with_its_name((x0 - space, y0 - space, x1 + space, y1 + space), group, name)
        broad = shapely.box(*_broadened(box, least_width))
        on_panel = panel.contains(broad.buffer(gap(height)))
        for each in (broad, shapely.box(*box)) if on_panel else (shapely.box(*box),):
            if not shapely.dwithin(others, each.exterior, gap(height)).any():
                x0, y0, x1, y1 = each.bounds
                return x0, y0, x1, y1
    box = (x0 - roomiest, y0 - roomiest, x1 + roomiest, y1 + roomiest)
    return _with_its_name(box, group, name)


def _broadened(box: Box, least: float) -> Box:
    """A box at least so broad, mm, about the same middle."""
    x0, y0, x1, y1 = box
    more = max(least - (x1 - x0), 0.0) / 2
    return x0 - more, y0, x1 + more, y1


def _lay(group: Group, box: Box, styles: Styles, width: float) -> Iterator[Mark]:
    """The line of a group, which runs along its box, and its name, which is let into it.

    Where the name would take up the whole of that side, it stands beyond the line, which is whole.
    """
    style = styles["group"]
    source = group.source
    space = gap(style.height)
    is_let_in = box[2] - box[0] >= _least_width(group, styles) - _SAME
    if not is_let_in:
        box = _with_its_name(box, group, -_half_of_name(group, style.height))
    x0, y0, x1, y1 = box
    along = y1 if group.side == "above" else y0
    line, flattened = _line(group, box, width, style.height), False
    if group.name.strip():
        setting = set_text(group.name, style)
        left, _, right, _ = setting.outline.bounds
        beyond = 0.0 if is_let_in else (style.height + width) / 2 + space
        foot = along - style.height / 2 + (beyond if group.side == "above" else -beyond)
        name = setting.outline.moved((x0 + x1) / 2 - (left + right) / 2, foot)
        left, _, right, _ = name.bounds
        low, high = along - style.height, along + style.height
        room = Outline.rectangle(left - space, low, right + space, high)
        if line and is_let_in:
            line, flattened = less(line, [room])
        yield Mark(name, Role.GROUP, "", source, group.name, style.height, setting)
    if line:  # a long name can take up the whole of a short rule
        called = f"the {group.style} of {_in_words(group)}"
        yield Mark(line, Role.FRAME, "", source, flattened=flattened, called=called)


def _in_words(group: Group) -> str:
    """Which group it is: by its name, or the holes of its controls."""
    if group.name.strip():
        return f"the group {' '.join(group.name.split())!r}"
    few = [*group.holes[:_FEW], *(["others"] if len(group.holes) > _FEW else [])]
    return f"the group of {listed(few)}"


def _line(group: Group, box: Box, width: float, height: float) -> Outline:
    """The line of a group before its name is let into it; its middle runs along the box."""
    x0, y0, x1, y1 = box
    half = width / 2
    if group.style == "heading":
        return Outline(())
    if group.style == "frame":
        inner = (x0 + half, y0 + half, x1 - half, y1 - half)
        return ring_of(inner, width, _CORNER * height)
    if group.style == "rule":
        along = y1 if group.side == "above" else y0
        return Outline.rectangle(x0, along - half, x1, along + half)
    drop = _DROP * height
    corners = (
        (x0 - half, -drop), (x0 + half, -drop), (x0 + half, -half), (x1 - half, -half),
        (x1 - half, -drop), (x1 + half, -drop), (x1 + half, half), (x0 - half, half),
    )  # fmt: skip
    if group.side == "below":
        return Outline.polygon([(x, y0 - up) for x, up in reversed(corners)])
    return Outline.polygon([(x, y1 + up) for x, up in corners])
