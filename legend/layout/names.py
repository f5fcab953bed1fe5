"""Names and notes of controls: beyond all their other legends, in line along the row.

Names above and below a control are centred on its own hole by their ink, and those of a
row share a baseline; names left and right of it are level with it, and those of a column
share an edge. A name too wide for its room is fitted.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple, Self

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from legend.description.schema import Side
from legend.description.source import Source
from legend.layout.artwork import Finding, KeepOut, Mark, Opening, Role, Severity
from legend.layout.controls import Fitted, role_of
from legend.layout.fitting import Fit, fitted, ink_width
from legend.layout.rows import shared_axes, tiered
from legend.layout.styles import Styles, gap
from legend.lettering.face import LetteringError, TextStyle
from legend.lettering.outline import Box
from legend.lettering.typesetting import line_pitch, set_text

#: Space between a name and the other legends of its control, in capital heights: more than
#: the least, so that a name is not read together with a scale. Common practice, no source.
_SPACE = 0.7

#: Names in a row share a baseline where their own would differ by no more than this many
#: capital heights; further off, a name stays by its control. Common practice, no source.
_SHARED_REACH = 4.0

#: A name that would stand nearer than this to the baseline of switch positions in its row, in
#: capital heights, stands on it: nearly level looks like a slip. Common practice, no source.
_NEARLY_LEVEL = 0.5

#: Further than any panel reaches, mm.
_FAR = 1e6

#: The side of a name where none is given: above, where the hand does not hide it.
#: Common practice, no source.
DEFAULT_SIDE: Side = "above"

_OPPOSITE: dict[Side, Side] = {"above": "below", "below": "above", "left": "right", "right": "left"}


class Wanted(NamedTuple):
    """A name or a note that is to stand by a control, on one side of it."""

    fitted: Fitted
    text: str
    side: Side
    role: Role
    style: TextStyle
    source: Source


class Surroundings(NamedTuple):
    """All that stands on the panel before the names do: shapes, whose they are, and its size."""

    shapes: Sequence[BaseGeometry]
    owners: Sequence[str]
    size: tuple[float, float]

    @classmethod
    def of(
        cls,
        openings: Iterable[Opening],
        covers: Iterable[KeepOut],
        marks: Iterable[Mark],
        size: tuple[float, float],
    ) -> Self:
        """What names must keep clear of on a panel of this size, mm."""
        shapes = [(cover.shape, cover.owner) for cover in covers]
        shapes += [(opening.outline.shape, opening.id) for opening in openings]
        shapes += [(mark.outline.shape, mark.owner) for mark in marks]
        return cls([shape for shape, _ in shapes], [owner for _, owner in shapes], size)


def wanted_names(
    controls: Iterable[Fitted], marks: Iterable[Mark], styles: Styles
) -> Iterator[Wanted]:
    """The names and notes that the controls ask for; a note stands across from the name.

    A scale's unit that is not yet among the marks goes with the name.
    """
    drawn = {(mark.owner, mark.text) for mark in marks}
    for each in controls:
        control = each.control
        side = control.side or DEFAULT_SIDE
        name = control.name.strip()
        unit = control.scale.unit if control.scale and control.scale.unit.strip() else ""
        if unit and (control.hole, unit) not in drawn:
            name = f"{name} ({unit})".strip()
        if name:
            yield Wanted(each, name, side, Role.NAME, styles["name"], control.source_of("name"))
        if control.note.strip():
            opposite = _OPPOSITE[side]
            yield Wanted(
                each, control.note, opposite, Role.NOTE, styles["note"], control.source_of("note")
            )


#: By the line of a row, the baselines of what its switches and slides say above and below them.
Levels = Mapping[float, Sequence[float]]


def levels_of(controls: Iterable[Fitted], marks: Iterable[Mark]) -> Levels:
    """The baselines of the positions of switches, by the line of their row, mm."""
    rows = {each.control.hole: each for each in controls if each.control.of_kind.lays == "sides"}
    levels: dict[float, list[float]] = {}
    for mark in marks:
        if mark.role is Role.POSITION and mark.setting and mark.owner in rows:
            baseline = mark.outline.bounds[1] - mark.setting.outline.bounds[1]
            levels.setdefault(_line_of(rows[mark.owner]), []).append(baseline)
    return levels


def _line_of(fitted: Fitted) -> float:
    return round(fitted.axis[1], 3)


def place_names(
    wanted: Sequence[Wanted], around: Surroundings, least_height: float, levels: Levels
) -> tuple[list[Mark], list[Finding]]:
    """Marks for all names and notes, and what was done, or could not be, to make them fit."""
    marks: list[Mark] = []
    wanted, findings = _settable(wanted)
    obstacles = _Obstacles(around)
    by_owner: dict[str, list[BaseGeometry]] = {}
    for shape, owner in zip(around.shapes, around.owners, strict=True):
        by_owner.setdefault(owner, []).append(shape)
    for tier in _tiers(wanted, by_owner, levels):
        placed = []
        for each, edge in tier:
            fit = _fit(each, edge, tier, obstacles, least_height)
            placed.append(_mark(each, edge, fit))
            findings += _reports(each, fit, placed[-1])
        obstacles.place(placed)
        marks += placed
    return marks, findings


def _settable(wanted: Sequence[Wanted]) -> tuple[list[Wanted], list[Finding]]:
    """The names that can be set and leave ink, and a finding for each that cannot."""
    able, findings = [], []
    for each in wanted:
        try:
            if set_text(each.text, each.style).outline:
                able.append(each)
        except LetteringError as error:
            findings.append(not_drawn(error, each.source))
    return able, findings


def not_drawn(error: ValueError, source: Source) -> Finding:
    """The finding for a legend that could not be drawn at all."""
    said = f"A legend was not drawn: {error}"
    return Finding(Severity.ERROR, "not-drawn", said, source, "Change its words, or its face.")


Tier = list[tuple[Wanted, float]]
#: Left, bottom, right, top of each of n shapes, shape (n, 4).
Boxes = NDArray[np.float64]


def _tiers(
    wanted: Sequence[Wanted], by_owner: dict[str, list[BaseGeometry]], levels: Levels
) -> Iterator[Tier]:
    """Names that share a baseline or an edge, with the coordinate they share.

    The coordinate is the edge of the name that faces its control, taken outward: up for
    names above, down (and so negative) for names below, and so on.
    """
    lanes: dict[tuple[Side, float, str], list[Wanted]] = {}
    nominal = {each.fitted.opening.id: each.fitted.opening.nominal[0] for each in wanted}
    columns = shared_axes(nominal)
    for each in wanted:
        _, y = each.fitted.axis
        across = y if each.side in ("above", "below") else columns[each.fitted.opening.id]
        lanes.setdefault((each.side, round(across, 3), each.role), []).append(each)
    for lane in lanes.values():
        # By hole; those that share one, which is told as an error, apart from each other.
        by_key = {f"{each.fitted.opening.id}\n{i:04}": each for i, each in enumerate(lane)}
        own = {key: _natural_edge(each, by_owner) for key, each in by_key.items()}
        for edge, keys in tiered(own, _SHARED_REACH * lane[0].style.height):
            level = _levelled(lane[0], edge, levels)
            yield [(by_key[key], level) for key in keys]


def _levelled(first: Wanted, edge: float, levels: Levels) -> float:
    """The edge that names share, moved where they are nearly level with positions of their row.

    They come no nearer to their controls for that than the least gap.
    """
    if first.side in ("left", "right"):
        return edge
    height = first.style.height
    edges = [
        baseline if first.side == "above" else -baseline - height
        for baseline in levels.get(_line_of(first.fitted), ())
    ]
    nearest = min(edges, key=lambda other: abs(other - edge), default=edge)
    to_spare = _space(first) - gap(height)
    if -to_spare <= nearest - edge < _NEARLY_LEVEL * height:
        return nearest
    return edge


def _space(each: Wanted) -> float:
    """The space between a name and the other legends of its control, mm."""
    return max(_SPACE * each.style.height, gap(each.style.height))


def _natural_edge(each: Wanted, by_owner: dict[str, list[BaseGeometry]]) -> float:
    """Where the near edge of a name would stand if its control were alone, taken outward."""
    setting = set_text(each.text, each.style)
    space = _space(each)
    x, y = each.fitted.axis
    own = by_owner[each.fitted.opening.id]
    if each.side in ("above", "below"):
        half = ink_width(setting) / 2 + space
        x = each.fitted.opening.centre[0]
        clipped = shapely.clip_by_rect(own, x - half, -_FAR, x + half, _FAR)
    else:
        half = each.style.height / 2 + space
        clipped = shapely.clip_by_rect(own, -_FAR, y - half, _FAR, y + half)
    left, bottom, right, top = shapely.total_bounds(clipped)
    edge = {"above": top, "below": -bottom, "right": right, "left": -left}[each.side]
    return float(edge) + space


class _Obstacles:
    """What a name must stay clear of: its surroundings, and the names already placed."""

    def __init__(self, around: Surroundings) -> None:
        self._owners = np.array(around.owners, dtype=object)
        self._shapes = np.array(list(around.shapes), dtype=object)
        self._tree = shapely.STRtree(self._shapes)
        self._placed: NDArray[np.object_] = np.empty(0, dtype=object)
        self._placed_boxes: Boxes = np.empty((0, 4))
        self.size = around.size

    def place(self, marks: Sequence[Mark]) -> None:
        """Keep others clear of these names from now on."""
        shapes = np.array([mark.outline.shape for mark in marks], dtype=object)
        self._placed = np.concatenate([self._placed, shapes])
        self._placed_boxes = np.concatenate([self._placed_boxes, shapely.bounds(shapes)])

    def across(self, box: Box, owner: str) -> Boxes:
        """Bounds of what lies in a box and does not belong to this control."""
        near = self._tree.query(shapely.box(*box))
        near = near[self._owners[near] != owner]
        x0, y0, x1, y1 = box
        boxes = self._placed_boxes
        hit = (boxes[:, 0] < x1) & (boxes[:, 2] > x0) & (boxes[:, 1] < y1) & (boxes[:, 3] > y0)
        shapes = np.concatenate([self._shapes[near], self._placed[hit]])
        bounds: Boxes = shapely.bounds(shapely.clip_by_rect(shapes, *box))
        return bounds[~np.isnan(bounds[:, 0])]


def _fit(each: Wanted, edge: float, tier: Tier, obstacles: _Obstacles, least_height: float) -> Fit:
    """The name set to fit between its neighbours; as it is where it is blocked altogether."""
    space = gap(each.style.height)
    width, height = obstacles.size

    def room(lines: int) -> float:
        low, high = _band(each, edge, lines)
        if each.side in ("above", "below"):
            x = each.fitted.opening.centre[0]
            left, right = space, width - space
            found = obstacles.across((0, low - space, width, high + space), each.fitted.opening.id)
            if len(found):
                left = max([left, *(found[found[:, 2] <= x, 2] + space)])
                right = min([right, *(found[found[:, 0] >= x, 0] - space)])
            half = min(x - left, right - x)
            for other, _ in tier:
                if other is not each and other.fitted.opening.centre[0] != x:
                    half = min(half, _fair_share(each, other, space))
            return float(2 * half)
        outward = 1 if each.side == "right" else -1
        start = edge * outward
        end = width - space if outward > 0 else space
        beyond = (start, end) if outward > 0 else (end, start)
        if beyond[0] >= beyond[1]:
            return 0.0
        box = (beyond[0], low - space, beyond[1], high + space)
        found = obstacles.across(box, each.fitted.opening.id)
        if len(found):
            end = min(found[:, 0]) - space if outward > 0 else max(found[:, 2]) + space
        return float((end - start) * outward)

    if room(1) <= each.style.height:
        return Fit(set_text(each.text, each.style), each.style, each.text.count("\n") + 1)
    return fitted(each.text, each.style, room, min(least_height, each.style.height))


def _fair_share(each: Wanted, other: Wanted, space: float) -> float:
    """Half the width that a name may take beside a neighbour on the same baseline.

    Half the distance, or more where the neighbour does not need its half.
    """
    apart = abs(each.fitted.opening.centre[0] - other.fitted.opening.centre[0])
    half_other = ink_width(set_text(other.text, other.style)) / 2
    return max((apart - space) / 2, apart - space - half_other)


def _band(each: Wanted, edge: float, lines: int) -> tuple[float, float]:
    """The lowest and the highest that the ink of so many lines reaches, in panel coordinates."""
    tall = each.style.height + (lines - 1) * line_pitch(each.text, each.style)
    if each.side == "above":
        return edge, edge + tall
    if each.side == "below":
        return -edge - tall, -edge
    y = each.fitted.axis[1]
    return y - tall / 2, y + tall / 2


def _mark(each: Wanted, edge: float, fit: Fit) -> Mark:
    """The name where it stands: ink centred on its hole's axis, or on the line of its row."""
    ink = fit.setting.outline
    x0, y0, x1, y1 = ink.bounds
    x = each.fitted.opening.centre[0]
    if each.side == "above":
        below_the_first = (fit.lines - 1) * line_pitch(fit.setting.text, fit.style)
        ink = ink.moved(x - (x0 + x1) / 2, edge + below_the_first)
    elif each.side == "below":
        ink = ink.moved(x - (x0 + x1) / 2, -edge - fit.style.height)
    else:
        dx = edge - x0 if each.side == "right" else -edge - x1
        ink = ink.moved(dx, each.fitted.axis[1] - (y0 + y1) / 2)
    role = role_of(each.text, each.role)
    owner = each.fitted.opening.id
    height = fit.style.height
    return Mark(ink, role, owner, each.source, each.text, height, fit.setting)


def _reports(each: Wanted, fit: Fit, mark: Mark) -> Iterator[Finding]:
    x0, y0, x1, y1 = mark.outline.bounds
    place = ((x0 + x1) / 2, (y0 + y1) / 2)
    said = each.text.replace("\n", " ")
    if fit.short:
        yield Finding(
            Severity.ERROR,
            "no-room",
            f"{said!r} is {fit.short:.1f} mm too wide for its room, though it was {fit.done}.",
            each.source,
            "Shorten it, put it on another side, or move the holes apart.",
            place,
        )
    elif fit.done:
        yield Finding(
            Severity.NOTE,
            "fitted",
            f"{said!r} was {fit.done}, to fit its room.",
            each.source,
            place=place,
        )
