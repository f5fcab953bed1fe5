"""Prepare the artwork for checks: its shapes at hand, and words for findings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from legend.layout.artwork import Artwork, Finding, Mark, Role, Severity
from legend.layout.inspection.meant import Claim, claims_of, is_meant
from legend.layout.remedies.offers import Offer
from legend.layout.styles import Styles, gap
from legend.length_words import Lengths
from legend.lettering.faces.face import TextStyle
from legend.sentences import capitalised

#: Clearances are held to this, mm: a tenth of what a hand can place.
TOLERANCE = 0.02

#: Roles that are lines, not words.
LINES = frozenset({Role.GRADUATION, Role.FRAME, Role.RULE})


@dataclass(frozen=True)
class Scene:
    """An artwork with the shapes of its marks and keep-outs as arrays, made once."""

    artwork: Artwork

    @property
    def marks(self) -> tuple[Mark, ...]:
        return self.artwork.marks

    @cached_property
    def lengths(self) -> Lengths:
        """How lengths are said: in the units of the panel."""
        return Lengths(self.artwork.description.units)

    @property
    def styles(self) -> Styles:
        return self.artwork.styles

    def style_of(self, mark: Mark) -> TextStyle:
        """How a text was set, but for what was done to make it fit its room."""
        style = self.styles.of.get(mark.role, self.styles["name"])
        return replace(style, height=mark.height)

    @cached_property
    def claims(self) -> tuple[Claim, ...]:
        """What the tables of the description say to be meant."""
        return claims_of(self.artwork.description)

    def parted(self, code: str, marks: Iterable[Mark]) -> list[list[Mark]]:
        """Marks of which one finding tells: those where it is not meant, and those where it is."""
        parts: dict[bool, list[Mark]] = {}
        for mark in marks:
            parts.setdefault(is_meant(self.claims, code, [mark.source]), []).append(mark)
        return list(parts.values())

    @cached_property
    def shapes(self) -> NDArray[np.object_]:
        return _array([mark.outline.shape for mark in self.marks])

    @cached_property
    def tree(self) -> shapely.STRtree:
        return shapely.STRtree(self.shapes)

    @cached_property
    def gaps(self) -> NDArray[np.float64]:
        """The clear space round each mark, mm."""
        return np.array([gap(mark.height) for mark in self.marks])

    @cached_property
    def covers(self) -> NDArray[np.object_]:
        return _array([cover.shape for cover in self.artwork.keep_outs])

    @cached_property
    def holes(self) -> NDArray[np.object_]:
        return _array([opening.outline.shape for opening in self.artwork.openings])


Check = Callable[[Scene], Iterator[Finding]]

#: Every check, in the order in which they are made. Filled by `check`.
CHECKS: list[Check] = []


def check(function: Check) -> Check:
    """Enter a check in `CHECKS`. Its docstring says what it holds to."""
    CHECKS.append(function)
    return function


def what(mark: Mark) -> str:
    """What a mark is, in words, to stand in the middle of a sentence."""
    if mark.called:
        return mark.called
    if mark.role is Role.RULE and mark.source.line:
        return f"the rule of line {mark.source.line}"
    of = f" of {mark.owner}" if mark.owner else ""
    said = mark.text.replace("\n", " ")
    noun = "legend" if mark.role in (Role.NAME, Role.SYMBOL) else str(mark.role)
    return f"the {noun} {said!r}{of}" if said else f"the {noun}{of}"


def finding(
    severity: Severity,
    code: str,
    message: str,
    mark: Mark,
    remedy: str,
    *others: Mark,
    offers: Iterable[Offer] = (),
    besides: str = "",
) -> Finding:
    """A finding about one mark, at its middle, and about the others that it names.

    What it offers is tried by `legend.layout.remedies.tried`, and told in the place of the remedy
    where it helps, and with what helps besides.
    """
    also = tuple(other.source for other in others)
    return Finding(
        severity,
        code,
        capitalised(message),
        mark.source,
        remedy,
        middle(mark),
        also=also,
        offers=tuple(offers),
        besides=besides,
    )


def middle(mark: Mark) -> tuple[float, float]:
    """The middle of a mark, mm."""
    x0, y0, x1, y1 = mark.outline.bounds
    return round((x0 + x1) / 2, 3), round((y0 + y1) / 2, 3)


def _array(shapes: list[BaseGeometry]) -> NDArray[np.object_]:
    array = np.empty(len(shapes), dtype=object)
    array[:] = shapes
    return array
