"""Place the names and notes of controls, in line along the row.

Names above and below a control are centred on its own hole by their ink, and those of a
row share a baseline; names left and right of it are level with it, and those of a column
share an edge. A name too wide for its room is fitted.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cache

from legend.kept import Kept
from legend.layout.artwork import Finding, Mark, Severity, not_drawn
from legend.layout.controls.controls import role_of
from legend.layout.ground import Ground, Twin, Twins
from legend.layout.names.baselines import Berth, berth_of, levels_of, may_stand, tiers
from legend.layout.names.fitting import Fit, Room, fitted_alike, width_at
from legend.layout.names.leaders import Channels, between_channels, channels_of, leader_to
from legend.layout.names.obstacles import Obstacles, Surroundings
from legend.layout.names.wanted_names import Wanted, wanted_names
from legend.layout.openings import beyond_the_edge
from legend.layout.remedies.place_offers import other_sides, out_of_row
from legend.layout.styles import apart_on_a_baseline
from legend.length_words import Lengths
from legend.lettering.faces.face import LetteringError, TextStyle
from legend.lettering.typesetting import set_text

#: Where each name stood, for a panel that is laid out again with one thing changed.
_MARKS: Kept[Mark] = Kept()


def lay_names(ground: Ground, before: Sequence[Mark]) -> Iterator[Mark | Finding]:
    """Marks for all names and notes, and what was done, or could not be, to make them fit."""
    levels = levels_of(ground.fitted, before)
    named = wanted_names(ground.fitted, before, ground.styles)
    wanted, findings = _settable(named, ground.lengths)
    off_it = beyond_the_edge(ground.panel) if ground.description.panel.outline else ()
    covers, size = (*ground.covers, *off_it), ground.description.panel.size
    obstacles = Obstacles(Surroundings.of(ground.openings, covers, before, size))
    channels = channels_of(wanted)
    beside = {id(each): berth_of(each, obstacles) for each in wanted if each.is_beside}
    yield from findings
    for out, berths in tiers(wanted, obstacles, levels):
        tier = [berth.wanted for berth in berths]
        out = _beside_its_twin(out, berths, obstacles, ground.twins)
        for each in tier:
            beside.pop(id(each), None)
        fits = _fits(tier, out, obstacles, [*beside.values()], channels, ground.twins)
        placed = [_mark(each, out, fit) for each, fit in zip(tier, fits, strict=True)]
        for each, fit, mark in zip(tier, fits, placed, strict=True):
            yield from _reports(each, fit, mark, ground, len(tier) > 1)
        obstacles.place(placed)
        yield from placed
        for berth, mark in zip(berths, placed, strict=True):
            yield from leader_to(mark, berth, ground.stroke)


def _beside_its_twin(
    out: float, berths: Sequence[Berth], obstacles: Obstacles, twins: Twins
) -> float:
    """How far out names stand: on the line of those that they match, if all of them may."""
    first = berths[0].wanted
    twin = twins.get((first.hole, first.role), Twin())
    if first.is_beside or twin.line is None:
        return out
    line = twin.line if first.side == "above" else -twin.line
    return line if all(may_stand(berth, line, obstacles) for berth in berths) else out


def _settable(wanted: Sequence[Wanted], lengths: Lengths) -> tuple[list[Wanted], list[Finding]]:
    """The names that can be set and leave ink, and a finding for each that cannot."""
    able, findings = [], []
    for each in wanted:
        try:
            if set_text(each.text, each.style).outline:
                able.append(each)
        except LetteringError as error:
            findings.append(not_drawn(error, each.source, lengths, each.hole))
    return able, findings


def _fits(
    tier: Sequence[Wanted],
    out: float,
    obstacles: Obstacles,
    waiting: Sequence[Berth],
    channels: Channels,
    twins: Twins,
) -> list[Fit]:
    """The names of a tier set to fit between their neighbours, in one height."""
    style = tier[0].style
    like = [twins.get((each.hole, each.role), Twin()) for each in tier]

    def rooms(style: TextStyle) -> list[Room]:
        return [
            _room(
                each,
                out,
                style,
                obstacles,
                min(
                    twin.wide,
                    _share(each, out, style, tier, waiting),
                    between_channels(each, style, channels),
                ),
            )
            for each, twin in zip(tier, like, strict=True)
        ]

    texts = [each.text for each in tier]
    return fitted_alike(texts, style, rooms, tier[0].least, min(twin.tall for twin in like))


def _room(each: Wanted, out: float, style: TextStyle, obstacles: Obstacles, share: float) -> Room:
    """What a name may take, set in this style, and no more than its share.

    There is no end to it where others block its place altogether: nothing that is done to the
    name would cure that, and the checks tell of it.
    """
    in_one_line = obstacles.room(each, out, 1, style)
    blocked = in_one_line <= style.height

    @cache
    def room(lines: int) -> float:
        if blocked:
            return share
        return min(in_one_line if lines == 1 else obstacles.room(each, out, lines, style), share)

    return room


def _share(
    each: Wanted, out: float, style: TextStyle, tier: Sequence[Wanted], waiting: Sequence[Berth]
) -> float:
    """The width that a name may take beside others on its baseline, mm.

    To the middle between them, or further where the other does not need its half. Beside a
    control, the other is one still `waiting` that faces it.
    """
    space = apart_on_a_baseline(style.height, style.height)
    shares = [math.inf]
    if each.is_beside:
        for berth in waiting:
            room = _between(each, out, berth.wanted, berth.own)
            if room > 0:
                shares.append(max((room - space) / 2, room - space - berth.width))
    else:
        for other in tier:
            apart = abs(each.centre[0] - other.centre[0])
            if apart:  # those that share a hole are told
                needed = width_at(other.text, other.style, style.height)
                shares.append(max(apart - space, 2 * (apart - space) - needed))
    return min(shares)


def _between(each: Wanted, out: float, other: Wanted, other_out: float) -> float:
    """The room between two controls for the names beside them that face each other, mm.

    Nothing for others.
    """
    _, low, _, high = each.box(out, 0.0, each.lines, each.style)
    _, other_low, _, other_high = other.box(other_out, 0.0, other.lines, other.style)
    if each.side == other.side or low >= other_high or other_low >= high:
        return 0.0
    return -other_out - out  # one of them is the coordinate, the other its negative


def _mark(each: Wanted, out: float, fit: Fit) -> Mark:
    """The name where it stands: ink centred on its hole's axis, or on the line of its row."""
    name = each.hole, each.role, each.side
    return _MARKS.made(name, _placed, each, out, fit)


def _placed(each: Wanted, out: float, fit: Fit) -> Mark:
    ink = fit.setting.outline
    x0, y0, x1, y1 = ink.bounds
    up = each.baselines(out, fit.lines, fit.style)[0]
    if each.is_beside:
        dx = out - x0 if each.side == "right" else -out - x1
        if each.level is None:
            up = each.centre[1] - (y0 + y1) / 2
    else:
        dx = each.centre[0] - (x0 + x1) / 2
    role = role_of(each.text, each.role)
    return Mark(
        ink.moved(dx, up), role, each.hole, each.source, each.text, fit.style.height, fit.setting
    )


def _reports(each: Wanted, fit: Fit, mark: Mark, ground: Ground, in_row: bool) -> Iterator[Finding]:
    """What was done to a name; `in_row` where it shares its line with others."""
    lengths, controls = ground.lengths, ground.description.control
    x0, y0, x1, y1 = mark.outline.bounds
    place = ((x0 + x1) / 2, (y0 + y1) / 2)
    said, done = each.text.replace("\n", " "), fit.told(lengths)
    said = f"{said!r} of {each.hole}"
    if fit.short:
        offers = [*other_sides(controls, each.hole), *out_of_row(controls, each.hole, in_row)]
        yield Finding(
            Severity.ERROR,
            "no-room",
            f"{said} is {lengths.at_least(fit.short)} too wide for its room, though it was {done}.",
            each.source,
            "Shorten it, or move the holes apart.",
            place,
            offers=tuple(offers),
        )
    elif done:
        yield Finding(
            Severity.NOTE,
            "fitted",
            f"{said} was {done}, to fit its room.",
            each.source,
            place=place,
        )
