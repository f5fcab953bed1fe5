"""Fit the controls in their holes, and align what the legends of a row share."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from legend.description.tables.description import Control, Description, Direction, Side
from legend.kept import Kept
from legend.layout.artwork import KeepOut, Opening
from legend.layout.names.nearness import Parts
from legend.layout.names.rows import lines_in_common, shared_axes
from legend.layout.openings import cover_of, heads_of
from legend.length_words import Lengths
from legend.lettering.outlines.outline import Box, box_round

#: Where what a switch says stands over or under it, and the side of a name beyond that.
ABOVE_OR_BELOW: Mapping[Direction, Side] = {"up": "above", "down": "below"}

#: The parts of the last panel.
_PARTS: Kept[Parts] = Kept()


@dataclass(frozen=True, slots=True)
class Fitted:
    """A control in its hole: what is known of it before its legends are laid.

    `axis` is the point its legends are laid from: its own hole along the row, and the row's
    line across it. `reach` is how far the switches of its row reach up and down from there, mm.
    `level` is the line of the words beside it, where others of its row have such as well.
    `parts` are all those on the panel. `screws` are the holes of those that hold it, and `heads`
    what these hide. `centre` is the side on which the word for its centre stands, if it has one.
    `neighbour` is the control that its scale is for as well, where it names one that is there.
    `frame` is the number of the group in whose frame it stands, of several that of the smallest.
    `lengths` says lengths in the units of the panel.
    """

    control: Control
    opening: Opening
    cover: KeepOut
    axis: tuple[float, float]
    reach: tuple[float, float]
    level: float | None
    parts: Parts
    lengths: Lengths
    screws: tuple[Opening, ...] = ()
    heads: tuple[KeepOut, ...] = ()
    centre: Direction = "right"
    neighbour: Fitted | None = None
    frame: int | None = None

    @property
    def box(self) -> Box:
        """The box round what it hides, its screws with it."""
        return box_of(self.cover, self.heads)


def box_of(cover: KeepOut, heads: Sequence[KeepOut]) -> Box:
    """The box round what a part hides, and the heads of its screws."""
    return box_round([cover.shape.bounds, *(head.shape.bounds for head in heads)])


def fit_controls(description: Description, openings: Sequence[Opening]) -> list[Fitted]:
    """Every control in its hole, with what its legends share with others of its row."""
    by_id = {opening.id: opening for opening in openings}
    controls = description.control
    in_row = [control for control in controls if control.in_row]
    rows = _common(shared_axes, in_row, by_id)
    levels = _common(lines_in_common, filter(_has_words_beside, in_row), by_id)
    screws = [tuple(by_id[hole] for hole in control.fixing_holes) for control in controls]
    covers = [
        cover_of(control, by_id[control.hole], its)
        for control, its in zip(controls, screws, strict=True)
    ]
    heads = [heads_of(control, its) for control, its in zip(controls, screws, strict=True)]
    hiding = (*covers, *(head for several in heads for head in several))
    parts = _PARTS.made("", Parts, hiding)
    lengths, frames, fitted = Lengths(description.units), _frames(description), []
    for control, cover, its, their in zip(controls, covers, screws, heads, strict=True):
        opening = by_id[control.hole]
        x, y = opening.centre
        y = rows[control.hole] if control.in_row else y
        level = levels.get(control.hole) if control.in_row else None
        _, bottom, _, top = box_of(cover, their)
        reach = top - y, y - bottom
        each = Fitted(control, opening, cover, (x, y), reach, level, parts, lengths, its, their)
        fitted.append(replace(each, frame=frames.get(control.hole)))
    fitted = _reaching_alike(fitted)
    by_hole = {each.control.hole: each for each in fitted}
    return [
        replace(each, neighbour=by_hole.get(each.control.scale.shared_with))
        if each.control.scale and each.control.scale.shared_with
        else each
        for each in fitted
    ]


def _frames(description: Description) -> dict[str, int]:
    """The group in whose frame a control stands, by hole: the smallest, where there are several."""
    frames: dict[str, int] = {}
    for number, group in enumerate(description.group):
        if group.style == "frame":
            for hole in group.holes:
                within = frames.get(hole)
                if within is None or len(group.holes) < len(description.group[within].holes):
                    frames[hole] = number
    return frames


def _common(
    shared: Callable[[dict[str, float], dict[str, float]], dict[str, float]],
    controls: Iterable[Control],
    by_id: Mapping[str, Opening],
) -> dict[str, float]:
    """The lines that these controls share, by hole."""
    openings = [by_id[control.hole] for control in controls]
    return shared(
        {opening.id: opening.centre[1] for opening in openings},
        {opening.id: opening.nominal[1] for opening in openings},
    )


def _has_words_beside(control: Control) -> bool:
    return not sides_named(control) <= ABOVE_OR_BELOW.keys()


def sides_named(control: Control) -> set[Direction]:
    """The sides on which words stand: what the centre is called is on one of them as well."""
    positions = control.positions if isinstance(control.positions, Mapping) else {}
    named = {side for side, word in positions.items() if word.strip()}
    return named - {"centre"} | set(centre_sides(control)[:1])


def centre_sides(control: Control) -> tuple[Direction, ...]:
    """The sides on which the word for the centre may stand, what suits it best first.

    Beside a lever that moves up and down; under or over one that moves to the sides, and there
    away from the name. None where the centre has no word.
    """
    positions = control.positions if isinstance(control.positions, Mapping) else {}
    if not positions.get("centre", "").strip():
        return ()
    level: list[Direction] = ["left", "right"] if control.side == "right" else ["right", "left"]
    upright: list[Direction] = ["up", "down"] if control.side == "below" else ["down", "up"]
    moves_up = bool(positions.keys() & ABOVE_OR_BELOW.keys()) or positions.keys() == {"centre"}
    first, then = (level, upright) if moves_up else (upright, level)
    free = [side for side in first if side not in positions]
    return tuple(free or [side for side in then if side not in positions])


def _reaching_alike(fitted: Sequence[Fitted]) -> list[Fitted]:
    """The controls, those of one kind in a row with the reach of the largest that says anything."""
    reach: dict[tuple[str, float], tuple[float, float]] = {}
    rows = [(each.control.kind, each.axis[1]) for each in fitted]
    for each, row in zip(fitted, rows, strict=True):
        if each.control.in_row and isinstance(each.control.positions, Mapping):
            up, down = reach.get(row, (-math.inf, -math.inf))
            says = sides_named(each.control)
            reach[row] = (
                max(up, each.reach[0]) if "up" in says else up,
                max(down, each.reach[1]) if "down" in says else down,
            )
    return [
        replace(each, reach=reach.get(row, each.reach)) if each.control.in_row else each
        for each, row in zip(fitted, rows, strict=True)
    ]
