"""Lay out the frame, bracket or rule of a group of controls, with its name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import shapely

from legend.description.tables.description import Group
from legend.layout.artwork import Finding, Mark, Role, not_drawn
from legend.layout.controls import ring_of
from legend.layout.ground import Ground
from legend.layout.styles import Styles, gap
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
#: A group without a name is told by so many of its holes.
_FEW = 4
#: Groups whose outermost rows lie no further apart than this, mm, stand side by side.
#: Common practice, no source.
_LEVEL_ROWS = 3.0


def lay_groups(ground: Ground, before: Sequence[Mark]) -> Iterator[Mark | Finding]:
    """The marks of all groups; a group inside another is laid first, and is held by the other.

    One whose name cannot be set goes without it, with a finding.
    """
    styles, style = ground.styles, ground.styles["group"]
    width = ground.stroke.width(style.stroke * style.height)
    groups, findings = _with_settable_names(ground.description.group, styles)
    yield from findings
    shapes: dict[str, list[Box]] = {}
    for opening in ground.openings:
        shapes.setdefault(opening.id, []).append(opening.outline.bounds)
    for cover in ground.covers:
        shapes.setdefault(cover.owner, []).append(cover.shape.bounds)
    for mark in before:
        shapes.setdefault(mark.owner, []).append(mark.outline.bounds)
    boxes: dict[int, Box] = {}
    for index in sorted(range(len(groups)), key=lambda i: len(groups[i].holes)):
        group = groups[index]
        inside = [box for hole in group.holes for box in shapes.get(hole, [])]
        inside += [
            (x0, y0, x1, y1 + style.height / 2 + width)
            for i, (x0, y0, x1, y1) in boxes.items()
            if set(groups[i].holes) < set(group.holes)
        ]
        strangers = [
            box for owner, theirs in shapes.items() if owner not in group.holes for box in theirs
        ]
        boxes[index] = _box_round(inside, strangers, style.height, bool(group.name.strip()))
    boxes = _level(groups, boxes, {each.id: each.nominal[1] for each in ground.openings})
    for index, group in enumerate(groups):
        yield from _lay(group, boxes[index], styles, width)


def _with_settable_names(
    groups: Sequence[Group], styles: Styles
) -> tuple[list[Group], list[Finding]]:
    """The groups, those whose name cannot be set without it, and a finding for each of these."""
    able, findings = [], []
    for group in groups:
        try:
            set_text(group.name, styles["group"])
            able.append(group)
        except LetteringError as error:
            able.append(group.model_copy(update={"name": ""}))
            findings.append(not_drawn(error, group.source_of("name")))
    return able, findings


def _box_round(inside: list[Box], strangers: list[Box], height: float, named: bool) -> Box:
    """The box a group's line runs along: as roomy as it can be without meeting a stranger.

    The line draws closer round its controls before it would cut through another legend, but
    no closer than the gap; what it then still meets is found by the inspection.
    """
    x0, y0, x1, y1 = shapely.total_bounds(shapely.box(*zip(*inside, strict=True))).tolist()
    above = height / 2 if named else 0.0
    others = shapely.box(*zip(*strangers, strict=True)) if strangers else []
    roomiest = max(_PADDING * height, gap(height))
    for space in (roomiest, (roomiest + gap(height)) / 2, gap(height)):
        box = (x0 - space, y0 - space, x1 + space, y1 + space + above)
        line = shapely.box(*box).exterior
        if not shapely.dwithin(others, line, gap(height)).any():
            return box
    return (x0 - roomiest, y0 - roomiest, x1 + roomiest, y1 + roomiest + above)


def _level(
    groups: Sequence[Group], boxes: Mapping[int, Box], heights: Mapping[str, float]
) -> dict[int, Box]:
    """Groups that stand side by side share their upper and their lower line."""
    level = dict(boxes)
    for i, box in boxes.items():
        for j, other in boxes.items():
            if i == j or groups[i].style != groups[j].style or _overlap(box, other):
                continue
            ours, theirs = ([heights[h] for h in groups[k].holes] for k in (i, j))
            if all(abs(end(ours) - end(theirs)) < _LEVEL_ROWS for end in (min, max)):
                x0, y0, x1, y1 = level[i]
                level[i] = (x0, min(y0, other[1]), x1, max(y1, other[3]))
    return level


def _overlap(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2]


def _lay(group: Group, box: Box, styles: Styles, width: float) -> Iterator[Mark]:
    """The line of a group, which runs along its box, and its name, which is let into it."""
    x0, _, x1, y1 = box
    style = styles["group"]
    source = group.source
    space = gap(style.height)
    line, flattened = _line(group, box, width, style.height), False
    if group.name.strip():
        setting = set_text(group.name, style)
        left, _, right, _ = setting.outline.bounds
        name = setting.outline.moved((x0 + x1) / 2 - (left + right) / 2, y1 - style.height / 2)
        left, _, right, _ = name.bounds
        room = Outline.rectangle(left - space, y1 - style.height, right + space, y1 + style.height)
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
    if group.style == "frame":
        inner = (x0 + half, y0 + half, x1 - half, y1 - half)
        return ring_of(inner, width, _CORNER * height)
    if group.style == "rule":
        return Outline.rectangle(x0, y1 - half, x1, y1 + half)
    drop = y1 - _DROP * height
    return Outline.polygon(
        [
            (x0 - half, drop), (x0 + half, drop), (x0 + half, y1 - half), (x1 - half, y1 - half),
            (x1 - half, drop), (x1 + half, drop), (x1 + half, y1 + half), (x0 - half, y1 + half),
        ]
    )  # fmt: skip
