"""Draft one card: its windows, holes, stops, numbers and words, and an outline round them all."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.lettering.outlines.boolean import from_shape
from legend.lettering.outlines.outline import Box, Outline, box_round
from legend.stencil.cards.card import ByEdges, ByHoles, Card, Side, Stop, Window
from legend.stencil.cards.figures import inscriptions, words
from legend.stencil.cards.holding import Way, held
from legend.stencil.cards.marking import room_for_numbers, room_for_words
from legend.stencil.cards.site import RIM, ROUND_HOLE, SAME, Site, contains

#: The sides of the corner that is clipped, and the least that shows, mm; what is left between it
#: and a window, mm. Common practice, no source.
_CLIPPED, _LEAST_CLIPPED, _FROM_CLIP = 10.0, 5.0, 3.0
#: By how much a card is made larger for what it says, step by step, mm.
_LARGER = (0.0, 3.0, 6.0, 9.0, 12.0, 18.0, 24.0)
#: So many times as long as wide is card between a window and the rim at the most, where there is
#: room: longer, it bends. Common practice, no source.
_SLENDER = 20.0
#: Card round a number, mm, as `marking` leaves it.
_ROUND_NUMBER = 3.0


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """A card before it is known how many there are.

    `windows` are the numbers of its windows at the site, with the number of the piece beside
    each; `rest` is the rectangle of the card without its tabs; `clip` is cut off its upper right
    corner. Of the inscriptions the one at `which` stands `at` its place.
    """

    windows: tuple[tuple[int, Outline], ...]
    held: ByHoles | ByEdges
    rest: Box
    clip: float
    which: int
    at: tuple[float, float]


def drafted(
    site: Site, way: Way, room: Box, windows: Sequence[int], longest: float
) -> Draft | None:
    """A card with as many of these windows as have room for their numbers, the first always.

    `room` is where it may lie, stops and all; `longest` the longest stop. None where it cannot be
    held, or has no room for what it must say.
    """
    chosen = list(windows)
    while chosen:
        by = held(site, way, room, chosen, longest)
        if by is None:
            return None
        numbers = _numbers(site, by, room, chosen)
        if numbers[0] is None:
            return None
        if None in numbers:
            # A stop may have more room now, and what it took may be free.
            chosen = [w for w, n in zip(chosen, numbers, strict=True) if n is not None]
            continue
        found = [(w, n) for w, n in zip(chosen, numbers, strict=True) if n is not None]
        draft = _worded(site, by, room, found)
        if draft:
            return draft
        chosen.pop()
    return None


def _numbers(
    site: Site, by: ByHoles | ByEdges, room: Box, chosen: Sequence[int]
) -> list[Outline | None]:
    numbers = [words(str(site.pieces[k].number)) for k in chosen]
    inner = _but_tabs(site, by, room)
    on_panel = _meet(inner, site.panel)
    shapes = [site.windows[k] for k in chosen]
    return room_for_numbers(numbers, shapes, _taken(by), [on_panel, inner])


def _taken(by: ByHoles | ByEdges) -> NDArray[np.float64]:
    """The boxes of the holes and the stops that all else keeps clear of."""
    if isinstance(by, ByHoles):
        return np.array([hole.outline.bounds for hole in by.holes])
    return np.array([stop.strip for stop in by.stops])


def _but_tabs(site: Site, by: ByHoles | ByEdges, room: Box) -> Box:
    """The room without what lies beyond the edges that have stops."""
    inner = list(room)
    for stop in by.stops if isinstance(by, ByEdges) else ():
        inner[stop.side.axis + (2 if stop.side.outwards > 0 else 0)] = site.limits(stop.side)
    return inner[0], inner[1], inner[2], inner[3]


def _meet(one: Box, other: Box) -> Box:
    (a, b, c, d), (e, f, g, h) = one, other
    return max(a, e), max(b, f), min(c, g), min(d, h)


# --- The outline, and the words ---


def _worded(
    site: Site, by: ByHoles | ByEdges, room: Box, found: Sequence[tuple[int, Outline]]
) -> Draft | None:
    """The card round what was found, with what it says of itself; None where that has no room."""
    least = _least(site, by, room, found)
    if not contains(room, least):
        return None
    taken = np.array(
        [
            *(site.boxes[k] for k, _ in found),
            *(number.bounds for _, number in found),
            *_taken(by),
        ]
    )
    most = len(site.pieces)
    sizes = [each.bounds[2:] for each in inscriptions(10 ** len(str(most)) - 1, most)]
    sizes = [(width + 0.5, height) for width, height in sizes]
    for rest in _larger(by, least):
        if not contains(room, rest):
            continue
        clip = _clip(rest, taken)
        if clip < _LEAST_CLIPPED:
            continue
        x1, y1 = rest[2:]
        corner = (x1 - clip, y1 - clip, x1, y1)
        place = room_for_words(sizes, np.vstack([taken, corner]), rest)
        if place:
            return Draft(tuple(found), by, rest, clip, *place)
    return None


def _least(
    site: Site, by: ByHoles | ByEdges, room: Box, found: Sequence[tuple[int, Outline]]
) -> Box:
    """The rectangle that has room for all; as large as the panel where that is possible."""
    boxes = [_grown(site.boxes[k].tolist(), RIM) for k, _ in found]
    boxes += [_grown(number.bounds, _ROUND_NUMBER) for _, number in found]
    if isinstance(by, ByHoles):
        boxes += [_grown(hole.outline.bounds, ROUND_HOLE) for hole in by.holes]
    else:
        boxes += [_at_the_edge(site, stop) for stop in by.stops]
    inner = _but_tabs(site, by, room)
    if contains(room, site.panel):
        boxes.append(site.panel)
        inner = site.panel
    stiff = [_meet(_stiffened(site.boxes[k].tolist()), inner) for k, _ in found]
    return box_round([*boxes, *stiff])


def _stiffened(window: Box) -> Box:
    """A window with card round it that is the wider the longer its sides are."""
    x0, y0, x1, y1 = window
    across, up = (max(RIM, side / _SLENDER) for side in (y1 - y0, x1 - x0))
    return x0 - across, y0 - up, x1 + across, y1 + up


def _at_the_edge(site: Site, stop: Stop) -> Box:
    """Where the tab over a stop begins."""
    box = list(stop.strip)
    box[stop.side.axis] = box[stop.side.axis + 2] = site.limits(stop.side)
    return box[0], box[1], box[2], box[3]


def _grown(box: Sequence[float], by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def _larger(by: ByHoles | ByEdges, rest: Box) -> Iterator[Box]:
    """The rectangle, and larger ones: upwards by choice, never over a stop."""
    stopped = {stop.side for stop in by.stops} if isinstance(by, ByEdges) else set()
    ways = [side for side in (Side.TOP, Side.RIGHT, Side.BOTTOM, Side.LEFT) if side not in stopped]
    yield rest
    for more, side in itertools.product(_LARGER[1:], ways):
        box = list(rest)
        box[side.axis + (2 if side.outwards > 0 else 0)] += side.outwards * more
        yield box[0], box[1], box[2], box[3]


def _clip(rest: Box, taken: NDArray[np.float64]) -> float:
    """How much can be clipped off the upper right corner."""
    spare = np.maximum(rest[2:] - taken[:, 2:], 0.0).sum(axis=1)  # tabs lie beyond
    return float(min(_CLIPPED, (spare - _FROM_CLIP * np.sqrt(2)).min()))


# --- The whole card ---


def finished(site: Site, draft: Draft, number: int, count: int) -> Card:
    """The card, with its own number of how many."""
    windows = [
        Window(site.pieces[k], from_shape(site.windows[k]), figure) for k, figure in draft.windows
    ]
    windows.sort(key=lambda window: window.piece.number)
    says = inscriptions(number, count)[draft.which].moved(*draft.at)
    x0, y0, x1, y1 = draft.rest
    corners = [(x0, y0), (x1, y0), (x1, y1 - draft.clip), (x1 - draft.clip, y1), (x0, y1)]
    stops = draft.held.stops if isinstance(draft.held, ByEdges) else ()
    whole = shapely.union_all(
        [shapely.Polygon(corners), *(shapely.box(*stop.strip) for stop in stops)]
    )
    return Card(number, tuple(windows), draft.held, says, from_shape(whole.simplify(SAME)))
