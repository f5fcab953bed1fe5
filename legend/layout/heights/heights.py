"""Find the heights that are asked for by what fits: Descriptions in, the heights out.

1. All begin at the least height that can be read and whose strokes the stock carries.
2. "As small as can be cut" grows until nothing is found any more that greater letters cure.
3. "As large as fits" grows, all in proportion, while nothing more is found by the checks than
   at the least height, no scale loses numbers, and no piece outgrows the stock.
4. Then each grows by itself, one after the other, until none can.

Heights are tenths of a millimetre. What is looked for is halved each time, so that it takes some
ten layouts for each height to be found. Panels that are to match are tried together.
"""

from __future__ import annotations

import logging
import math
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import shapely
from shapely.geometry.base import BaseGeometry

from legend.description.faults import DescriptionError
from legend.description.tables.description import LETTERED_ROLES, Description
from legend.description.tables.stock import limits
from legend.description.values.asked_heights import GREATEST, SMALLEST
from legend.layout.artwork import Artwork, Finding, Role, Severity
from legend.layout.heights.wishes import Wish, granted, wishes
from legend.layout.inspection import inspect
from legend.layout.laying import lay
from legend.standards import BOX_STEP

#: Heights that are found are so many mm, or multiples of it.
STEP = 0.1
#: What is found of letters that are too small, and is cured by greater ones.
_CURED_BY_SIZE = frozenset(
    {"too-small", "thin-stroke", "small-counter", "narrow-gap", "narrow-mouth", "heavy-bridge"}
)
#: Notes of what does not spoil a panel, but is not done to it for the sake of taller letters.
_UNSIGHTLY = frozenset({"fitted", "nearer-to-legend"})
#: Letters so many times taller than usual are no longer too small for anything.
_AMPLE = 4.0
#: Rounds in which each height may still grow a little, because another has.
_ROUNDS = 3

#: Seconds after which it is told that the search goes on; each time after as long again.
_PATIENCE = 2.0
_log = logging.getLogger(__name__)

#: Heights in steps.
_Steps = Mapping[Wish, int]
#: What is found on each of several panels, in words.
_Found = tuple[Mapping[str, None], ...]


@dataclass(frozen=True, slots=True)
class Heights:
    """The descriptions with their heights found, and for each what is to be told of that."""

    descriptions: tuple[Description, ...]
    told: tuple[tuple[Finding, ...], ...]


def find_heights(descriptions: Sequence[Description]) -> Heights:
    """The heights that the descriptions ask to be found, once for all of them.

    Errors: FaceError where a face cannot be found or read; DescriptionError where there is more
    than can be worked out.
    """
    if not any(map(_asks, descriptions)):
        return Heights(tuple(descriptions), ((),) * len(descriptions))
    usual = [lay(each, {}) for each in descriptions]
    trying = _Trying(descriptions, usual, wishes(descriptions, usual))
    steps = trying.found()
    heights = {wish: round(step * STEP, 6) for wish, step in steps.items()}
    told: list[list[Finding]] = [[] for _ in descriptions]
    for wish in trying.wishes:
        note = Finding(Severity.NOTE, "height-found", trying.said(wish, steps), wish.source)
        for number in {number for number, _ in wish.places}:
            told[number].append(note)
    return Heights(tuple(granted(descriptions, heights)), tuple(map(tuple, told)))


def _asks(description: Description) -> bool:
    lettering = description.lettering
    tables = [lettering, *(getattr(lettering, role) for role in LETTERED_ROLES), *description.text]
    return any(table.height in (GREATEST, SMALLEST) for table in tables)


@dataclass(slots=True)
class _Trying:
    """What is tried, and what was found of it so far."""

    descriptions: Sequence[Description]
    usual: Sequence[Artwork]
    wishes: Sequence[Wish]
    _known: dict[tuple[int, ...], _Found] = field(default_factory=dict)
    _wanted: dict[Wish, int] = field(default_factory=dict)
    _begun: float = 0.0
    _patience: float = _PATIENCE

    def found(self) -> dict[Wish, int]:
        """The height of each wish, in steps."""
        self._begun = time.monotonic()
        steps = dict(map(_at_least, self.wishes))
        for wish in self.wishes:
            if wish.asked == SMALLEST:
                steps[wish] = self._smallest(wish, steps)
        steps = self._grown_together(steps)
        for _ in range(_ROUNDS):
            before = steps
            for wish in self._great:
                steps = steps | {wish: self._grown(wish, steps)}
            if steps == before:
                break
        return steps

    def _smallest(self, wish: Wish, steps: _Steps) -> int:
        """The least height at which no more is found that size cures than at an ample one.

        Or as near to it as there is room for.
        """
        ample = math.ceil(_AMPLE * max(wish.usual, wish.least) / STEP)
        cured = self._findings({**steps, wish: ample}, _CURED_BY_SIZE)

        def is_too_small(tall: int) -> bool:
            found = self._findings({**steps, wish: tall}, _CURED_BY_SIZE)
            return _first_new(found, cured) is not None

        least = _least(wish)
        if not is_too_small(least):
            return least
        wanted = self._wanted[wish] = _furthest(least, ample, is_too_small) + 1
        return _furthest(least, wanted + 1, lambda tall: self._fits({**steps, wish: tall}))

    @property
    def _great(self) -> Sequence[Wish]:
        return [wish for wish in self.wishes if wish.asked == GREATEST]

    def _grown_together(self, steps: dict[Wish, int]) -> dict[Wish, int]:
        """All that are to be great, as tall as they can be in their usual proportion."""
        smallest = min((wish.usual for wish in self._great), default=1.0)

        def at(tall: int) -> dict[Wish, int]:
            """The smallest of them so tall; none less than its own least."""
            return steps | {
                wish: max(_least(wish), math.floor(tall * wish.usual / smallest))
                for wish in self._great
            }

        return at(_furthest(0, self._highest, lambda tall: self._fits(at(tall))))

    def _grown(self, wish: Wish, steps: _Steps) -> int:
        """How tall one of them can be if the others stay as they are."""
        return _furthest(steps[wish], self._highest, lambda tall: self._fits({**steps, wish: tall}))

    @property
    def _highest(self) -> int:
        """Taller than any panel has room for."""
        tallest = max(description.panel.size[1] for description in self.descriptions)
        return math.ceil(tallest / STEP) + max(map(_least, self._great), default=0)

    # --- Judging ---

    def _fits(self, steps: _Steps) -> bool:
        return self._in_the_way(steps) is None

    def _in_the_way(self, steps: _Steps) -> str | None:
        """The first thing that is found more than where all is at its least."""
        return _first_new(self._findings(steps), self._findings(dict(map(_at_least, self.wishes))))

    def _findings(self, steps: _Steps, codes: frozenset[str] = frozenset()) -> _Found:
        """What is found on each panel at these heights: of these codes, or all else that counts."""
        key = (len(codes), *(steps[wish] for wish in self.wishes))
        if key not in self._known:
            heights = {wish: round(step * STEP, 6) for wish, step in steps.items()}
            panels = zip(granted(self.descriptions, heights), self.usual, strict=True)
            self._known[key] = tuple(_found(*panel, codes) for panel in panels)
            self._tell_that_it_goes_on()
        return self._known[key]

    def _tell_that_it_goes_on(self) -> None:
        """Log that the search goes on, where it has taken long since that was last told."""
        taken = time.monotonic() - self._begun
        if taken >= self._patience:
            self._patience = 2 * taken
            _log.info(
                "Still finding the heights that fit: %.0f seconds so far, %d layouts tried.",
                taken,
                len(self._known),
            )

    def said(self, wish: Wish, steps: _Steps) -> str:
        """How tall what is found is, and why no taller, or no smaller, for a note."""
        tall = steps[wish]
        wanted = self._wanted.get(wish, tall)
        begin = f"{wish.what} {tall * STEP:.1f} mm tall, "
        if tall < wanted:
            stops = self._in_the_way({**steps, wish: tall + 1})
            return f"{begin}as to be cut well takes {wanted * STEP:.1f} mm, but taller: {stops}"
        begin += wish.asked
        if wish.asked == GREATEST:
            stops = self._in_the_way({**steps, wish: tall + 1})
            return f"{begin}. A step taller: {stops}" if stops else f"{begin}."
        if tall == _least(wish):
            return f"{begin} and read."
        smaller = self._findings({**steps, wish: tall - 1}, _CURED_BY_SIZE)
        stops = _first_new(smaller, self._findings(steps, _CURED_BY_SIZE))
        return f"{begin}. A step smaller: {stops}"


def _first_new(found: _Found, before: _Found) -> str | None:
    for ours, theirs in zip(found, before, strict=True):
        for message in ours:
            if message not in theirs:
                return message
    return None


def _found(description: Description, usual: Artwork, codes: frozenset[str]) -> dict[str, None]:
    """What is found on a panel, in words: of these codes, or all else that counts."""
    try:
        artwork = lay(description, {}, as_asked=True)
    except DescriptionError as error:
        return {str(error): None}
    findings = inspect(artwork)
    if codes:
        return {finding.message: None for finding in findings if finding.code in codes}
    said = [
        finding.message
        for finding in findings
        if finding.code not in _CURED_BY_SIZE
        and (finding.severity is not Severity.NOTE or finding.code in _UNSIGHTLY)
    ]
    return dict.fromkeys([*said, *_fewer_numbers(artwork, usual), *_off_the_stock(artwork)])


def _fewer_numbers(artwork: Artwork, usual: Artwork) -> Iterator[str]:
    """The scales that have fewer numbers than where their height is as usual."""
    ours, theirs = (
        Counter(mark.owner for mark in each.marks if mark.role is Role.NUMERAL)
        for each in (artwork, usual)
    )
    for owner, count in theirs.items():
        if ours[owner] < count:
            yield f"The scale of {owner} has room for fewer numbers than usual."


def _off_the_stock(artwork: Artwork) -> Iterator[str]:
    """The controls and texts whose legends, with their margin, are larger than the stock."""
    description = artwork.description
    stencil = description.stencil
    around = 2 * (limits(stencil).margin + BOX_STEP[description.units])
    width, length = stencil.room
    owned: dict[str, list[BaseGeometry]] = {}
    for mark in artwork.marks:
        if mark.owner or mark.text:
            owned.setdefault(mark.owner or repr(mark.text), []).append(mark.outline.shape)
    for owner, shapes in owned.items():
        left, bottom, right, top = shapely.total_bounds(shapes).tolist()
        w, h = right - left + around, top - bottom + around
        turned = stencil.turn and w <= length and h <= width
        if not turned and (w > width or h > length):
            yield f"What stands at {owner} is larger than the stock."


# --- Halving ---


def _at_least(wish: Wish) -> tuple[Wish, int]:
    return wish, _least(wish)


def _least(wish: Wish) -> int:
    """The least height of what is asked for, in steps."""
    return math.ceil(wish.least / STEP - 1e-6)


def _furthest(low: int, high: int, holds: Callable[[int], bool]) -> int:
    """The furthest that something holds which holds at `low` and no longer at `high`.

    What lies far beyond takes longest to try, so that steps begin small.
    """
    step = 1
    while low + step < high and holds(low + step):
        low += step
        step *= 2
    high = min(high, low + step)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low
