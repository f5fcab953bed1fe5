"""Offer other places: another side for a name, a place of its own, a text moved by a little."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from legend.description.tables.control import Control, InnerKnob, Side
from legend.layout.artwork import Artwork, Mark, Role
from legend.layout.remedies.lettering_offers import text_of
from legend.layout.remedies.offers import Keys, Offer, offer
from legend.lettering.outlines.outline import Box
from legend.standards import BOX_STEP

#: The sides on which a name may stand, in the order in which they are tried.
_SIDES: Sequence[Side] = ("above", "below", "right", "left")
#: So many steps more than what was reckoned are tried, since what is reckoned is by boxes.
_STEPS = (0, 1, 3)
#: Texts are moved no further than this, mm: what must go further wants a place of its own.
_FURTHEST = 40.0


def elsewhere(artwork: Artwork, mark: Mark, away_from: Box | None = None) -> Iterator[Offer]:
    """Other places for a mark that is a name, or a text; none for what cannot be moved.

    A text is moved clear of a box by its gap and a little more; where there is none, on to the
    panel.
    """
    if mark.role in (Role.NAME, Role.NOTE, Role.SYMBOL) and mark.owner:
        yield from other_sides(artwork.description.control, mark.owner)
    index = text_of(artwork.description, mark)
    if index is not None:
        yield from _moved(artwork, mark, index, away_from)


def other_sides(controls: Sequence[Control], hole: str) -> Iterator[Offer]:
    """The other sides for the name of the control on a hole."""
    index = next((i for i, each in enumerate(controls) if each.hole == hole), None)
    if index is None or not _by_itself(controls, index):
        return
    control = controls[index]
    if control.level == 1 and not control.name_for and control.inner is None:
        sides = [side for side in _SIDES if side != control.name_side]
        yield offer(
            "put its name on another side",
            ("control", index, "side"),
            sides,
            "no other side is free",
        )


def out_of_row(controls: Sequence[Control], hole: str, in_row: bool = True) -> Iterator[Offer]:
    """The legends of the control on a hole by themselves, where they are in line with others."""
    index = next((i for i, each in enumerate(controls) if each.hole == hole), None)
    if index is not None and in_row and controls[index].in_row and _by_itself(controls, index):
        yield offer(
            "take it out of its row",
            ("control", index, "in_row"),
            [False],
            "it does not help to take it out of its row",
        )


def scale_keys(artwork: Artwork, control: Control, knob: Control | InnerKnob) -> Keys:
    """Where the scale of a knob is said; nothing where it is said of several at once."""
    controls = artwork.description.control
    index = next((i for i, each in enumerate(controls) if each.hole == control.hole), None)
    if index is None or not _by_itself(controls, index):
        return ()
    return ("control", index, *(() if knob == controls[index] else ("inner",)), "scale")


def _by_itself(controls: Sequence[Control], index: int) -> bool:
    """Whether a control is one table of the file, and no other was made of the same."""
    source = controls[index].source
    return not source.line or sum(each.source == source for each in controls) == 1


def _moved(artwork: Artwork, mark: Mark, index: int, away_from: Box | None) -> Iterator[Offer]:
    """A text moved in round steps, the shortest way first."""
    description = artwork.description
    text = description.text[index]
    if text.at is None:
        return
    step = BOX_STEP[description.units]
    measuring = description.panel.measuring
    x, y = measuring.on_panel(text.at)
    values = []
    for dx, dy in _shifts(mark, away_from, artwork.panel.bounds, step):
        at = measuring.measured((x + dx, y + dy))
        values.append((round(at[0], 6), round(at[1], 6)))
    if values:
        how = "move it a little"
        yield offer(how, ("text", index, "at"), values, "there is no free place close by")


def _shifts(
    mark: Mark, away_from: Box | None, panel: Box, step: float
) -> list[tuple[float, float]]:
    """The ways to move a mark, mm, that are whole steps, the shortest first."""
    left, bottom, right, top = mark.outline.bounds
    space = max(mark.height / 2, 1.0)

    def steps(mm: float, more: int) -> float:
        return (math.ceil(max(mm, 0.0) / step - 1e-6) + more) * step

    ways: list[tuple[float, float]] = []
    for more in _STEPS:
        if away_from is None:
            x0, y0, x1, y1 = panel
            to_right = steps(x0 + space - left, more) if left < x0 + space else 0.0
            to_left = steps(right - (x1 - space), more) if right > x1 - space else 0.0
            up = steps(y0 + space - bottom, more) if bottom < y0 + space else 0.0
            down = steps(top - (y1 - space), more) if top > y1 - space else 0.0
            ways.append((to_right - to_left, up - down))
        else:
            x0, y0, x1, y1 = away_from
            ways += [
                (steps(x1 + space - left, more), 0.0),
                (-steps(right - (x0 - space), more), 0.0),
                (0.0, steps(y1 + space - bottom, more)),
                (0.0, -steps(top - (y0 - space), more)),
            ]
    near = [way for way in ways if any(way) and math.hypot(*way) <= _FURTHEST]
    return sorted(dict.fromkeys(near), key=lambda way: math.hypot(*way))
