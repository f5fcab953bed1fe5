"""Define the artwork of a panel: marks, openings, keep-outs and findings.

All in panel coordinates: mm, x right, y up, origin at the panel's lower left corner.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from shapely.geometry.base import BaseGeometry

from legend.description.source import Source
from legend.description.tables.description import Bare, Description, Hole
from legend.layout.remedies.offers import Keys, Offer
from legend.layout.styles import Styles
from legend.length_words import Lengths, said_by
from legend.lettering.faces.face import Letter
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import Setting
from legend.rules import RULES
from legend.vector import Vector

#: What is as high as it is wide to this, mm, and as large as a disc to this part, is round.
_ROUND = 0.02


class Role(StrEnum):
    """What a mark is for."""

    TITLE = "title"
    GROUP = "group"
    NAME = "name"
    POSITION = "position"
    NUMERAL = "numeral"
    GRADUATION = "graduation"
    FRAME = "frame"
    RULE = "rule"
    SYMBOL = "symbol"
    NOTE = "note"


@dataclass(frozen=True, slots=True, eq=False)
class Mark:
    """One thing to be painted.

    `owner` is the hole of the control it belongs to, or "" for what belongs to the whole
    panel. `text` is what it says, "" for a line. `height` is the capital height it was set
    at, 0 for a line. `source` is where the description asks for it. `setting` is the text as
    it was set, before it was moved to its place; None for a line. `flattened` tells that some
    curves of a line are made of short straight ones. `called` is what a line is called that
    belongs to no control, "" where its role says enough. `group` is the number of the group
    whose line or name it is, from 0 as the description has them.
    """

    outline: Outline
    role: Role
    owner: str
    source: Source
    text: str = ""
    height: float = 0.0
    setting: Setting | None = None
    flattened: bool = False
    called: str = ""
    group: int | None = None

    @property
    def letters(self) -> Iterator[Letter]:
        """The letters of a text one by one, where they stand on the panel."""
        if self.setting:
            (x, y, *_), (x0, y0, *_) = self.outline.bounds, self.setting.outline.bounds
            for letter in self.setting.letters:
                if letter.outline:
                    yield letter.moved(x - x0, y - y0)

    @property
    def baselines(self) -> tuple[float, ...]:
        """Where the lines of a text stand on the panel, from the first one down."""
        if not self.setting:
            return ()
        up = self.outline.bounds[1] - self.setting.outline.bounds[1]
        return tuple(up + baseline for baseline in self.setting.baselines)


@dataclass(frozen=True, slots=True, eq=False)
class Opening:
    """A hole or cut-out in the metal: its description, and its outline on the panel.

    `design` is where its centre was to be, where it is known how it was drilled; what is to
    line up with others is told by that.
    """

    id: str
    hole: Hole
    centre: Vector
    outline: Outline
    design: Vector | None = None

    @property
    def nominal(self) -> Vector:
        """Where the centre was to be, as far as anyone says."""
        return self.design or self.centre

    @property
    def punched(self) -> list[Vector]:
        """Where the hole is begun with a punch, on the panel."""
        points = self.hole.shape.punched
        return [self.centre + point.turned(self.hole.angle) for point in points]


@dataclass(frozen=True, slots=True, eq=False)
class KeepOut:
    """A part of the panel where no legend may stand.

    `owner` is the hole it belongs to; `what` says in words what is there, as in "the knob on
    A". `fitted` is true under a fitted part, false for an empty hole or bare metal. `assumed`
    is true where the size was not given but taken from the drill. `screw` is the hole of the
    screw whose head it is, where it is one that holds the owner's part; "" elsewhere.
    """

    shape: BaseGeometry
    owner: str
    what: str
    fitted: bool = False
    assumed: bool = False
    screw: str = ""

    @property
    def over(self) -> str:
        """The hole that it lies on."""
        return self.screw or self.owner

    def size(self, lengths: Lengths) -> str:
        """Its size in words: of a round one the diameter, else both sides."""
        x0, y0, x1, y1 = self.shape.bounds
        box = x1 - x0, y1 - y0
        disc = math.pi / 4 * box[0] * box[1]
        round_ = abs(box[0] - box[1]) < _ROUND and abs(self.shape.area - disc) < _ROUND * disc
        return lengths.across(box, round_)


@dataclass(frozen=True, slots=True, eq=False)
class BareDisc:
    """A disc or a plug that keeps paint off the metal round a hole; its width and height, mm."""

    bare: Bare
    outline: Outline
    size: tuple[float, float]

    @property
    def what(self) -> str:
        """What it is called: a plug has the shape of its hole."""
        return "disc" if self.bare.diameter is not None else "plug"


class Severity(StrEnum):
    """How much a finding matters: an error spoils the panel, a warning may, a note tells."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"

    @property
    def rank(self) -> int:
        """Its place among all, the worst first."""
        return list(Severity).index(self)


@dataclass(frozen=True, slots=True)
class Finding:
    """Something to know about the artwork before paint is spent on it.

    `code` is a short name for programs; `place` is the point of the panel in mm, or None;
    `remedy` is what would cure it. `places` are the points of all that it stands for, where it
    stands for several. `also` are further lines of the description that it is about. `offers` are
    what may cure it and is still to be tried; of these, what helps is told in the place of the
    remedy, and `besides` after it. `settled_by` is the way to the key of the description, as it is
    written out, whose value would settle what was taken for granted.
    """

    severity: Severity
    code: str
    message: str
    source: Source
    remedy: str = ""
    place: tuple[float, float] | None = None
    places: tuple[tuple[float, float], ...] = ()
    also: tuple[Source, ...] = ()
    offers: tuple[Offer, ...] = ()
    besides: str = ""
    settled_by: Keys = ()

    @property
    def sources(self) -> tuple[Source, ...]:
        """Every line of the description that it is about."""
        return (self.source, *self.also)

    @property
    def rule(self) -> str:
        """Where the rule behind the finding comes from."""
        return RULES[self.code].source


def not_drawn(error: ValueError, source: Source, lengths: Lengths, of: str = "") -> Finding:
    """The finding for a legend, `of` something, that could not be drawn at all."""
    whose = f" of {of}" if of else ""
    said = f"A legend{whose} was not drawn: {said_by(error, lengths)}"
    return Finding(Severity.ERROR, "not-drawn", said, source, "Change its words, or its face.")


@dataclass(frozen=True, slots=True, eq=False)
class Artwork:
    """The panel as it is to be: description and styles in hand, everything on it placed."""

    description: Description
    styles: Styles
    panel: Outline
    openings: tuple[Opening, ...]
    marks: tuple[Mark, ...]
    keep_outs: tuple[KeepOut, ...]
    bare_discs: tuple[BareDisc, ...]
    findings: tuple[Finding, ...] = ()

    def opening(self, hole: str) -> Opening:
        """The opening with this name. Error: KeyError where there is none."""
        for opening in self.openings:
            if opening.id == hole:
                return opening
        raise KeyError(hole)
