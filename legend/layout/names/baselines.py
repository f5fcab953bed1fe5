"""Align the names of a row on shared baselines, clear of obstacles.

1. By itself, a name stands as near to its control as its other legends leave room.
2. Beside one of these it stands on its baseline, or clear of it: nearly level looks like a slip.
3. In a row, names stand on the line of the one furthest out, as far as that is within reach
   and brings none of them nearer to another part than to its own, or into less room; those in
   the frame of a group are not moved for one beyond it, unless they stand nearly there anyway.
4. Where that is nearly the baseline of what the switches of the row say, it is that.

The same holds for names beside the controls of a column, whose edges take the place of
baselines. Distances are those of `Wanted.out`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import shapely

from legend.description.tables.description import Side
from legend.kept import Kept
from legend.layout.artwork import Mark, Role
from legend.layout.fitted_controls import Fitted
from legend.layout.names.fitting import fitted, ink_width
from legend.layout.names.nearness import UNSEEN
from legend.layout.names.obstacles import Obstacles, Standing
from legend.layout.names.rows import shared_axes
from legend.layout.names.wanted_names import Wanted
from legend.layout.styles import apart_on_a_baseline, gap, name_space
from legend.lettering.typesetting import set_text

#: Names in a row share a baseline where their own would differ by no more than this many
#: capital heights; further off, a name stays by its control. Common practice, no source.
_SHARED_REACH = 4.0

#: A name that would stand nearer than this to the baseline of switch positions in its row, in
#: capital heights, stands on it: nearly level looks like a slip. Common practice, no source.
_NEARLY_LEVEL = 0.5

#: A name that overlaps a numeral beside it by so much of the smaller's capital height, up and down,
#: reads in one line with it. Common practice, no source.
_IN_ONE_LINE = 0.5

#: Distances that differ by less are the same, mm.
_SAME = 1e-6
#: Further than any panel reaches, mm.
_FAR = 1e6

#: By the line of a row, the baselines of what its switches and slides say above and below them.
Levels = Mapping[float, Sequence[float]]

#: Names that share a line, and how far out that is.
Tier = tuple[float, list["Berth"]]


def levels_of(controls: Iterable[Fitted], marks: Iterable[Mark]) -> Levels:
    """The baselines of the positions of switches, by the line of their row, mm."""
    rows = {
        each.control.hole: each
        for each in controls
        if each.control.of_kind.lays == "sides" and each.control.in_row
    }
    levels: dict[float, list[float]] = {}
    for mark in marks:
        if mark.role is Role.POSITION and mark.setting and mark.owner in rows:
            levels.setdefault(_line_of(rows[mark.owner]), []).extend(mark.baselines)
    return levels


def _line_of(fitted: Fitted) -> float:
    return round(fitted.axis[1], 3)


@dataclass(frozen=True, slots=True)
class Beside:
    """Another legend of the control: a name stands on its baseline, at `level`, or else not
    between `low` and `high`. There is no level where it would come too near to the legend.
    """

    low: float
    high: float
    level: float | None

    def clears(self, out: float) -> bool:
        """Whether a name may stand so far out."""
        on_it = self.level is not None and abs(out - self.level) < _SAME
        return on_it or not self.low + _SAME < out < self.high - _SAME


@dataclass(frozen=True, slots=True)
class Berth:
    """Where one name may stand: from `nearest` outward, and clear of what is beside it.

    `own` is where it stands by itself, and `first` where it would on the first storey.
    """

    wanted: Wanted
    width: float
    nearest: float
    beside: Sequence[Beside]
    own: float
    first: float = 0.0

    def clears(self, out: float) -> bool:
        """Whether it may stand so far out, as far as its own control is concerned."""
        return out > self.nearest - _SAME and all(each.clears(out) for each in self.beside)

    def next_clear(self, out: float) -> float:
        """The next distance, from this one outward, at which it may stand."""
        further = [each.high for each in self.beside]
        further += [each.level for each in self.beside if each.level is not None]
        able = (each for each in (out, *further) if each >= out and self.clears(each))
        return min(able)


#: Where each name may stand, for a panel that is laid out again with one thing changed.
_BERTHS: Kept[Berth] = Kept()


def tiers(wanted: Iterable[Wanted], obstacles: Obstacles, levels: Levels) -> Iterator[Tier]:
    """The names, by the line that they share: a baseline, or an edge.

    Each tier is to be placed before the next is asked for.
    """
    wanted = list(wanted)
    for lane in sorted(_lanes(wanted), key=lambda lane: lane[0].storey):
        waiting = [berth_of(each, obstacles) for each in lane]
        if lane[0].storey > 1:
            row = [each.hole for each in wanted if line_of(each) == line_of(lane[0])]
            edge = obstacles.edge_of_names(row, lane[0].side)
            waiting = [_beyond(berth, edge) for berth in waiting]
        waiting.sort(key=lambda berth: (-berth.own, berth.wanted.hole))
        while waiting:
            out, tier = _tier(waiting, obstacles)
            yield _levelled(out, tier, obstacles, levels), tier
            taken = {id(berth) for berth in tier}
            waiting = [berth for berth in waiting if id(berth) not in taken]


def _lanes(wanted: Sequence[Wanted]) -> Iterator[list[Wanted]]:
    """The names that stand on one side of the controls of a row, or of a column."""
    columns = {
        side: shared_axes(
            {
                each.hole: each.fitted.opening.nominal[0]
                for each in wanted
                if each.side == side and each.fitted.control.in_row
            }
        )
        for side in ("left", "right")
    }
    lanes: dict[tuple[object, ...], list[Wanted]] = {}
    for number, each in enumerate(wanted):
        line = _line_of(each.fitted)
        if each.is_beside:
            line = round(columns[each.side].get(each.hole, 0.0), 3)
        alone = None if each.fitted.control.in_row else number
        lanes.setdefault((each.side, line, each.role, alone, each.storey), []).append(each)
    yield from lanes.values()


def line_of(each: Wanted) -> tuple[Side, float]:
    """The side on which a name stands, and the line of its row: of those of one row the same."""
    return each.side, _line_of(each.fitted)


# --- One name ---


def berth_of(each: Wanted, obstacles: Obstacles) -> Berth:
    """Where a name may stand, as far as its own control is concerned."""
    name = each.hole, each.role, each.side
    return _BERTHS.made(name, _berth_of, each, obstacles.family(each.holes))


def _berth_of(each: Wanted, family: Sequence[Standing]) -> Berth:
    width = ink_width(set_text(each.text, each.style))
    natural = _natural(each, width, family)
    to_spare = name_space(each.style.height) - gap(each.style.height)
    if each.outermost and not each.is_beside:
        natural = max(natural, _furthest(each, width, family, natural))
    beside = [] if each.is_beside else list(_beside(each, width, family, natural))
    berth = Berth(each, width, natural - to_spare, beside, 0.0)
    nearly = [
        other.level
        for other in beside
        if other.level is not None and natural - to_spare <= other.level < natural
    ]
    able = [level for level in nearly if berth.clears(level)]
    return replace(berth, own=max(able, default=berth.next_clear(natural)))


def _beyond(berth: Berth, edge: float) -> Berth:
    """The berth of a name on the second storey, beyond what reaches so far out on the first."""
    each = berth.wanted
    floor = max(berth.own, edge + name_space(each.style.height) + each.inward)
    return replace(berth, nearest=floor, own=floor, first=berth.own)


def _furthest(each: Wanted, width: float, family: Sequence[Standing], natural: float) -> float:
    """The baseline furthest out of the other legends of its control that it may stand beside."""
    levels = (other.level for other in _beside(each, width, family, natural))
    return max((level for level in levels if level is not None), default=natural)


def _natural(each: Wanted, width: float, family: Sequence[Standing]) -> float:
    """As near as a name comes to its control, its usual space from all that is in line with it."""
    space = name_space(each.style.height)
    x = each.centre[0]
    _, low, _, high = each.box(0.0, width, each.lines, each.style)
    shapes = []
    for thing in family:
        further = 0.0
        if each.is_beside:
            strip = (-_FAR, low - space, _FAR, high + space)
            further = _further_beside(each, thing, space)
        else:
            aside = space
            if thing.text:
                aside = max(space, apart_on_a_baseline(each.style.height, thing.text.height))
            if each.others:  # it names them all, and stands level before all of them
                aside = _FAR
            strip = (x - width / 2 - aside, -_FAR, x + width / 2 + aside, _FAR)
        clipped = shapely.clip_by_rect(thing.shape, *strip)
        shapes.append(clipped.buffer(further) if further else clipped)
    left, bottom, right, top = shapely.total_bounds(shapes).tolist()
    edges = {"above": top, "below": -bottom, "right": right, "left": -left}
    return float(edges[each.side]) + space + each.inward


def _further_beside(each: Wanted, thing: Standing, space: float) -> float:
    """What a name beside its control keeps from another of its legends besides its space, mm.

    Nearly on one line with a numeral of its scale it would else be read with it.
    """
    if not thing.text:
        return 0.0
    height, own = thing.text.height, each.style.height
    overlaps = (
        min(ours + own, theirs + height) - max(ours, theirs)
        for ours in each.baselines(0.0, each.lines, each.style)
        for theirs in thing.text.baselines
    )
    if max(overlaps, default=0.0) < _IN_ONE_LINE * min(own, height):
        return 0.0
    return max(0.0, apart_on_a_baseline(each.style.height, height) - space)


def _beside(
    each: Wanted, width: float, family: Sequence[Standing], natural: float
) -> Iterator[Beside]:
    """The other legends of a control that a name above or below it may come to stand beside."""
    x = each.centre[0]
    inward = each.inward
    outward = each.tall(each.lines, each.style) - inward
    for thing in family:
        if not thing.text or not thing.text.baselines:
            continue
        left, bottom, right, top = thing.shape.bounds
        inner, outer = (bottom, top) if each.side == "above" else (-top, -bottom)
        low, high = inner - outward, outer + name_space(each.style.height) + inward
        if high < natural:
            continue
        baseline = thing.text.baselines[-1 if each.side == "above" else 0]
        apart = max(left - x, x - right) - width / 2
        roomy = apart >= apart_on_a_baseline(each.style.height, thing.text.height)
        level = baseline if each.side == "above" else -baseline
        yield Beside(low, high, level if roomy else None)


# --- Several in line ---


def _tier(waiting: Sequence[Berth], obstacles: Obstacles) -> tuple[float, list[Berth]]:
    """The first names, the furthest out, and those that can share their line.

    Others whose own lines are nearly one follow together or not at all, so that parts that are
    alike are named alike. None in a frame follows for the sake of one beyond that.
    """
    height = waiting[0].wanted.style.height
    first, *others = _alike(waiting, _NEARLY_LEVEL * height)
    frames = {None, *(berth.wanted.fitted.frame for berth in first)}
    within = [[b for b in several if b.wanted.fitted.frame in frames] for several in others]
    able = [[berth] for berth in first] + [several for several in within if several]
    while True:
        out = _clear_for_all([berth for several in able for berth in several])
        staying = [
            several
            for several in able
            if all(
                out - berth.own <= _SHARED_REACH * height and _may_follow(berth, out, obstacles)
                for berth in several
            )
        ]
        if len(staying) == len(able):
            return out, [berth for several in able for berth in several]
        if not staying:
            return waiting[0].own, [waiting[0]]
        able = staying


def _alike(waiting: Sequence[Berth], reach: float) -> list[list[Berth]]:
    """Names from the furthest out inward, those together whose own lines are within reach."""
    runs = [[waiting[0]]]
    for berth in waiting[1:]:
        if runs[-1][-1].own - berth.own > reach:
            runs.append([])
        runs[-1].append(berth)
    return runs


def _clear_for_all(berths: Sequence[Berth]) -> float:
    """The nearest line on which all may stand."""
    out = max(berth.own for berth in berths)
    while not all(berth.clears(out) for berth in berths):
        out = max(berth.next_clear(out) for berth in berths)
    return out


def _may_follow(berth: Berth, out: float, obstacles: Obstacles) -> bool:
    """Whether a name may leave its own place for the line of its row.

    It has the room that it needs there, or that it had before, and it stands no nearer to another
    part than to its own and the rest of its legends, or no nearer than before; both but for what
    a small step from its own part to another takes: names that are nearly level look like a slip.
    """
    if abs(out - berth.own) < _SAME:
        return True
    each = berth.wanted

    def room(at: float, lines: int = each.lines) -> float:
        return obstacles.room(each, at, lines, each.style)

    def strays(at: float) -> float:
        width = berth.width
        if each.style.height < room(at) < width:  # it will be fitted; blocked, it stays as it is
            fit = fitted(each.text, each.style, lambda lines: room(at, lines), each.least)
            width = ink_width(fit.setting)
        box = each.box(at, width, each.lines, each.style)
        own = [thing.shape for thing in obstacles.family(each.holes)]
        return obstacles.parts.strays(box, *each.holes, family=own)

    step = out - berth.own
    unseen = UNSEEN + (2 * step if 0 < step < _NEARLY_LEVEL * each.style.height else 0.0)
    lost = min(berth.width, room(berth.own)) - room(out)
    return lost <= unseen and strays(out) < strays(berth.own) + unseen


def may_stand(berth: Berth, out: float, obstacles: Obstacles) -> bool:
    """Whether a name may stand so far out, as far as its own control and all others go."""
    return berth.clears(out) and _may_follow(berth, out, obstacles)


def _levelled(out: float, tier: Sequence[Berth], obstacles: Obstacles, levels: Levels) -> float:
    """The line of a tier, moved where it is nearly level with positions of its row.

    No name comes nearer to its control for that than the least gap.
    """
    first = tier[0].wanted
    if first.is_beside or not first.fitted.control.in_row:
        return out
    baselines = levels.get(_line_of(first.fitted), ())
    outward = [b if first.side == "above" else -b for b in baselines]
    nearest = min(outward, key=lambda other: abs(other - out), default=out)
    if nearest - out < _NEARLY_LEVEL * first.style.height and all(
        may_stand(berth, nearest, obstacles) for berth in tier
    ):
        return nearest
    return out
