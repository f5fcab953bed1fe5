"""Share the pieces of a panel out among as few cards as can be, each held true to the panel.

Cards are made one after the other. Each must have a window for the first piece that is still
without one, and has as many more as it can:

1. It lies within a room of the size of a card, over the panel and a little beyond its edges.
   Where that is too small for the panel, it is tried in several places.
2. In each room the ways to hold it true are tried that leave the most windows.
3. Windows that stand too near to each other are parted: those with the fewest others in their
   way come first.
4. Numbers, and what the card says, are given room; a window without room for its number waits
   for another card.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from shapely.geometry.base import BaseGeometry

from legend.layout.artwork import Artwork
from legend.length_words import Lengths
from legend.lettering.outlines.outline import Box
from legend.stencil.cards.card import ByHoles, Cards, Unserved
from legend.stencil.cards.drafting import Draft, drafted, finished
from legend.stencil.cards.holding import BY_EYE, PINNED, Way, edges_within, ways
from legend.stencil.cards.site import (
    BESIDE,
    OVERHANG,
    PLAY,
    RIM,
    SAME,
    STOP,
    Site,
    contains,
    site_of,
)
from legend.stencil.pieces.whole_panel import is_flush
from legend.stencil.sheet import Cut, Piece, Sheet, pieces_of

#: Shapes that differ by less of their area are the same.
_SAME_PART = 0.01
#: A sheet that so many bolts pin needs no card.
_ENOUGH_TO_PIN = 2
#: So many of the best ways are given numbers and words, one after the other, until one has room
#: for them all.
_MOST_DRAFTED = 8
#: Of holes that are so nearly as far apart as the furthest, those are taken that give the neater
#: card.
_AS_FAR = 0.8
#: So many places for a card are tried, those with the most windows first.
_MOST_ROOMS = 10
#: What a number beside a window takes, mm.
_BESIDE = 14.0


def cards_for(artwork: Artwork, sheets: Sequence[Sheet]) -> Cards:
    """The placement cards of a panel, by what is cut for it, and the pieces that none places.

    Pieces that are put on before the base coat need no window: their holes place them.
    """
    return _cards_for(artwork, tuple(sheets))


@lru_cache(maxsize=1)
def _cards_for(artwork: Artwork, sheets: tuple[Sheet, ...]) -> Cards:
    wanted = [
        piece for piece in pieces_of(sheets) if any(path.cut is Cut.MARK for path in piece.paths)
    ]
    bolted = [piece for piece in wanted if _is_bolted(artwork, piece)]
    flush = [piece for piece in wanted if is_flush(artwork, piece)]
    unserved, pieces = [], []
    for piece in wanted:
        if piece not in bolted and piece not in flush:
            why = _off_the_panel(artwork, piece)
            if why:
                unserved.append(Unserved(piece, why))
            else:
                pieces.append(piece)
    drafts: list[Draft] = []
    if pieces:
        site = site_of(artwork, pieces)
        drafts, left = _fewest(site)
        if not any(site.closed):  # else a later card may need holes that an earlier one closes
            drafts.sort(key=lambda draft: min(k for k, _ in draft.windows))
        unserved += (Unserved(pieces[k], why) for k, why in left.items())
    unserved.sort(key=lambda each: each.piece.number)
    count = len(drafts)
    cards = [finished(site, draft, k, count) for k, draft in enumerate(drafts, 1)]
    return Cards(tuple(cards), tuple(unserved), tuple(bolted), tuple(flush))


def _is_bolted(artwork: Artwork, piece: Piece) -> bool:
    """Whether a piece of rigid sheet is pinned by bolts through holes of its own."""
    if artwork.description.stencil.stock != "sheet":
        return False
    marks = [path.outline.shape for path in piece.paths if path.cut is Cut.REGISTRATION]
    pinning = [
        opening
        for opening in artwork.openings
        if opening.hole.shape.diameter is not None
        and any(_are_one(opening.outline.shape, mark) for mark in marks)
    ]
    return len(pinning) >= _ENOUGH_TO_PIN


def _are_one(shape: BaseGeometry, other: BaseGeometry) -> bool:
    return bool(shape.symmetric_difference(other).area < _SAME_PART * shape.area)


def _off_the_panel(artwork: Artwork, piece: Piece) -> str:
    """Why a piece that reaches far over the edge of the panel has no window, or ""."""
    if not piece.edge.shape.intersects(artwork.panel.shape):
        return "off the panel"
    x0, y0, x1, y1 = artwork.panel.bounds
    left, bottom, right, top = piece.box
    over = max(x0 - left, y0 - bottom, right - x1, top - y1)
    most = OVERHANG - RIM - PLAY
    if over <= most:
        return ""
    said = Lengths(artwork.description.units).short_said(over)
    return f"reaching {said} over the edge of the panel"


# --- Card after card ---

#: The cards, and why windows are on none of them.
_Shared = tuple[list[Draft], dict[int, str]]


def _fewest(site: Site) -> _Shared:
    """As few cards as can be; and of as many, those that pins hold, which need no stops."""
    as_they_come = _all_drafts(site, BY_EYE)
    if all(isinstance(draft.held, ByHoles) and draft.held.pinned for draft in as_they_come[0]):
        return as_they_come
    pinned = _all_drafts(site, PINNED)
    return min(pinned, as_they_come, key=lambda each: (len(each[1]), len(each[0])))


def _all_drafts(site: Site, by_choice: int) -> _Shared:
    """Card after card, held by a way of this rank or a better one wherever there is any."""
    left = set(range(len(site.pieces)))
    done: set[int] = set()
    drafts: list[Draft] = []
    unserved: dict[int, str] = {}
    x0, y0, x1, y1 = site.panel
    begins = site.boxes[:, 0] if x1 - x0 >= y1 - y0 else -site.boxes[:, 3]
    while left:
        first = min(left, key=lambda k: (begins[k], k))
        draft, why = _next_draft(site, first, left, done, by_choice)
        if draft is None:
            unserved[first] = why
            left.remove(first)
            continue
        drafts.append(draft)
        windows = {k for k, _ in draft.windows}
        left -= windows
        done |= windows
    return drafts, unserved


@dataclass(frozen=True, slots=True)
class _Try:
    """A card to be drafted: how it is held, where it may lie, its windows, the longest stop."""

    way: Way
    room: Box
    windows: tuple[int, ...]
    longest: float


def _next_draft(
    site: Site, first: int, left: AbstractSet[int], done: AbstractSet[int], by_choice: int
) -> tuple[Draft | None, str]:
    """The card with the most windows, the first among them; or why there is none."""
    tries: list[_Try] = []
    fits = any(True for size in site.sizes for _ in _places(site, first, size))
    for by_holes in (True, False):
        for room, longest in _rooms(site, first, left, by_holes):
            within = _within(site, room, left)
            for way in ways(site, room, within, done, by_holes):
                if first in way.windows:
                    windows = _apart(site, way.windows, first)
                    tries.append(_Try(way, room, tuple(windows), longest))
    tries.sort(
        key=lambda each: (
            each.way.rank > by_choice,
            -len(each.windows),
            each.way.rank,
            -each.way.span,
        )
    )
    best: tuple[tuple[float, ...], Draft] | None = None
    for each in tries[:_MOST_DRAFTED]:
        if best and not _may_be_better(site, each, best[1], tries[0]):
            break
        draft = drafted(site, each.way, each.room, each.windows, each.longest)
        if draft:
            merit = (len(draft.windows), -each.way.rank, -_over_the_edge(site, draft))
            if best is None or merit > best[0]:
                best = merit, draft
    if best:
        return best[1], ""
    for each in tries[_MOST_DRAFTED:]:
        draft = drafted(site, each.way, each.room, (first,), each.longest)
        if draft:
            return draft, ""
    if not fits:
        return None, f"with card all round, larger than {site.size_in_words}"
    if not tries:
        return None, (
            "no two holes clear of the window and far enough apart, nor two straight edges, are "
            f"within reach of a card of {site.size_in_words}"
        )
    return None, "no room on a card for the number beside the window, or for stops"


def _may_be_better(site: Site, each: _Try, best: Draft, foremost: _Try) -> bool:
    """Whether a card may have more windows than the best, or as many and lie more neatly."""
    if len(each.windows) != len(best.windows) or not _over_the_edge(site, best):
        return len(each.windows) > len(best.windows)
    return each.way.rank == foremost.way.rank and each.way.span >= _AS_FAR * foremost.way.span


def _over_the_edge(site: Site, draft: Draft) -> float:
    """How far the card without its tabs reaches over the edges of the panel, in all, mm."""
    pairs = zip(draft.rest, site.panel, (-1, -1, 1, 1), strict=True)
    return sum(max(way * (end - edge), 0.0) for end, edge, way in pairs)


def _rooms(
    site: Site, first: int, left: AbstractSet[int], by_holes: bool
) -> list[tuple[Box, float]]:
    """Where a card may lie that has the first window, and how long its stops may be.

    The places with the most windows come first, of the way up that is to be tried first.
    """
    rooms: dict[Box, float] = {}
    for width, height in site.sizes:
        row = OVERHANG + BESIDE
        lessened = [(width, height)] if by_holes else [(width, height - row), (width - row, height)]
        for size in lessened:
            longest = (width if size[0] == width else height) / 2 - BESIDE
            for room in _places(site, first, size):
                rooms.setdefault(room, longest)
    able = {
        room: longest for room, longest in rooms.items() if by_holes or edges_within(site, room)
    }
    most = sorted(
        able.items(),
        key=lambda each: (-len(_within(site, each[0], left)), not contains(each[0], site.panel)),
    )
    return most[:_MOST_ROOMS]


def _places(site: Site, first: int, size: tuple[float, float]) -> Iterator[Box]:
    """Where a card of some size may lie that has the first window."""
    for x0, x1 in _stretches(site, first, 0, size[0]):
        for y0, y1 in _stretches(site, first, 1, size[1]):
            yield x0, y0, x1, y1


def _stretches(site: Site, first: int, axis: int, room: float) -> Iterator[tuple[float, float]]:
    """Where a card may lie along an axis that has the first window, so much there being room."""
    low, high = site.panel[axis] - OVERHANG, site.panel[axis + 2] + OVERHANG
    begin, end = site.boxes[first, axis] - RIM, site.boxes[first, axis + 2] + RIM
    if room >= high - low:
        yield low, high
        return
    if room < end - begin:
        return
    tight, loose = site.panel[axis] - STOP, site.panel[axis + 2] + STOP - room
    middle = (low + high - room) / 2
    wanted = [tight, loose, middle, begin, begin - _BESIDE, end - room, end + _BESIDE - room]
    for at in sorted({float(np.clip(each, low, high - room)) for each in wanted}):
        if at <= begin + SAME and at + room >= end - SAME:
            yield at, at + room


def _within(site: Site, room: Box, left: AbstractSet[int]) -> frozenset[int]:
    """The windows that are left and have card all round them in the room."""
    x0, y0, x1, y1 = room
    low = (site.boxes[:, :2] - RIM >= (x0 - SAME, y0 - SAME)).all(axis=1)
    high = (site.boxes[:, 2:] + RIM <= (x1 + SAME, y1 + SAME)).all(axis=1)
    return frozenset(np.flatnonzero(low & high).tolist()) & left


def _apart(site: Site, windows: AbstractSet[int], first: int) -> list[int]:
    """The first window, and as many others as can be that all stand a web apart.

    Those with the fewest others in their way come first, which leaves room for the most.
    """
    able = set(windows) - site.clash[first] - {first}
    in_the_way = {k: len(site.clash[k] & able) for k in able}
    chosen = [first]
    waiting = [(count, k) for k, count in in_the_way.items()]
    heapq.heapify(waiting)
    while waiting:
        count, k = heapq.heappop(waiting)
        if k not in able or count != in_the_way[k]:
            continue
        chosen.append(k)
        gone = (site.clash[k] & able) | {k}
        able -= gone
        for other in gone:
            for near in site.clash[other] & able:
                in_the_way[near] -= 1
                heapq.heappush(waiting, (in_the_way[near], near))
    return chosen
