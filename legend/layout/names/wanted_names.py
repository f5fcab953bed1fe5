"""List the names and notes that controls ask for, and on which side each is to stand."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from legend.description.source import Source
from legend.description.tables.control import OPPOSITE
from legend.description.tables.description import Control, Side
from legend.layout.artwork import Mark, Role
from legend.layout.fitted_controls import Fitted
from legend.layout.names.rows import lines_in_common
from legend.layout.styles import Styles
from legend.lettering.faces.face import TextStyle
from legend.lettering.outlines.outline import Box
from legend.lettering.symbols.names import sign_meant
from legend.lettering.typesetting import line_pitch


@dataclass(frozen=True, slots=True)
class Wanted:
    """A name or a note that is to stand by a control, on one side of it.

    How far off it stands is `out`, taken outward from the control: of a name above or below it
    the coordinate of the baseline next to it, of one beside it that of the edge next to it; so
    it falls below and to the left. `level` is the line of its row, for a legend beside its
    control; None where it is alone there, and level with its own hole. `least` is the least
    capital height that it may be set in. `others` are the further controls that a name for several
    is for. A name on the second `storey` stands beyond those of its row on the first.
    """

    fitted: Fitted
    text: str
    side: Side
    role: Role
    style: TextStyle
    source: Source
    least: float
    outermost: bool = False
    level: float | None = None
    others: tuple[Fitted, ...] = ()
    storey: int = 1

    @property
    def hole(self) -> str:
        return self.fitted.opening.id

    @property
    def holes(self) -> tuple[str, ...]:
        """All holes that it is for: as a rule its own alone."""
        return (self.hole, *(other.opening.id for other in self.others))

    @property
    def centre(self) -> tuple[float, float]:
        """The middle of its hole, or of all that it is for, from the first to the last."""
        centres = [each.opening.centre for each in (self.fitted, *self.others)]
        x, y = ((min(along) + max(along)) / 2 for along in zip(*centres, strict=True))
        return x, y

    @property
    def is_beside(self) -> bool:
        return self.side in ("left", "right")

    @property
    def lines(self) -> int:
        return self.text.count("\n") + 1

    @property
    def inward(self) -> float:
        """How far it reaches inward from where it stands, mm."""
        return self.style.height if self.side == "below" else 0.0

    def tall(self, lines: int, style: TextStyle) -> float:
        """From the lowest baseline of so many lines to the top of the first line's capitals."""
        return style.height + (lines - 1) * line_pitch(self.text, style)

    def baselines(self, out: float, lines: int, style: TextStyle) -> list[float]:
        """Where so many lines stand, from the first one down, mm."""
        further = self.tall(lines, style) - style.height
        if self.side == "above":
            first = out + further
        elif self.side == "below":
            first = -out
        elif lines == 1 and self.level is not None:  # made smaller, it stays on the row's baseline
            first = self.level - self.style.height / 2
        else:
            middle = self.centre[1] if self.level is None else self.level
            first = middle + (further - style.height) / 2
        pitch = line_pitch(self.text, style)
        return [first - number * pitch for number in range(lines)]

    def box(self, out: float, width: float, lines: int, style: TextStyle) -> Box:
        """What its capitals take, so far out and so wide."""
        baselines = self.baselines(out, lines, style)
        left = self.centre[0] - width / 2
        if self.is_beside:
            left = out if self.side == "right" else -out - width
        return left, baselines[-1], left + width, baselines[0] + style.height


def wanted_names(controls: Iterable[Fitted], marks: Iterable[Mark], styles: Styles) -> list[Wanted]:
    """The names and notes that the controls ask for; a note stands across from the name.

    A scale's unit that is not yet among the marks goes with the name.
    """
    controls = list(controls)
    by_hole = {each.control.hole: each for each in controls}
    drawn = {(mark.owner, mark.text) for mark in marks}
    wanted: list[Wanted] = []
    for each in controls:
        for text, side, role, source in _asked(each.control, drawn):
            if text.strip():
                style = styles[str(role)]
                least = min(styles.least_height, style.height)
                outermost = each.control.inner is not None
                named = Wanted(each, text, side, role, style, source, least, outermost)
                if role is Role.NAME:
                    others = (hole for hole in each.control.name_for if hole != each.control.hole)
                    others_there = tuple(by_hole[hole] for hole in others if hole in by_hole)
                    named = replace(named, others=others_there, storey=each.control.level)
                wanted.append(named)
    return list(_levelled(_evenly_pitched(wanted)))


def _evenly_pitched(wanted: Sequence[Wanted]) -> list[Wanted]:
    """The same, those of one row with lines as far apart as those of any of them ask for.

    So second lines are in line as well.
    """
    rows = [
        (
            each.side,
            each.role,
            round(each.fitted.axis[1], 3),
            None if each.fitted.control.in_row else number,
        )
        for number, each in enumerate(wanted)
    ]
    pitch: dict[object, float] = {}
    for each, row in zip(wanted, rows, strict=True):
        own = line_pitch(each.text, each.style) / each.style.height
        pitch[row] = max(own, pitch.get(row, 0.0))
    return [
        replace(each, style=replace(each.style, least_pitch=pitch[row]))
        for each, row in zip(wanted, rows, strict=True)
    ]


def _asked(
    control: Control, drawn: Collection[tuple[str, str]]
) -> Iterator[tuple[str, Side, Role, Source]]:
    """The names and the note of a control: what they say, where they stand, where it is asked."""
    side = control.name_side
    for knob in control.knobs:
        on = side if knob is control else knob.side or OPPOSITE[side]
        name = sign_meant(knob.name) or knob.name.strip()
        unit = knob.scale.unit if knob.scale else ""
        says_it = unit.strip() in re.split(r"[\s()]+", name)
        if unit.strip() and not says_it and (control.hole, unit) not in drawn:
            name = f"{name} ({unit})".strip()
        yield name, on, Role.NAME, knob.source_of("name")
    yield control.note, OPPOSITE[side], Role.NOTE, control.source_of("note")


def _levelled(wanted: Sequence[Wanted]) -> Iterator[Wanted]:
    """Those beside their controls, each role by itself, with the line of their row."""
    levels: dict[Role, dict[str, float]] = {}
    for role in (Role.NAME, Role.NOTE):
        openings = [
            each.fitted.opening
            for each in wanted
            if each.is_beside and each.role is role and each.fitted.control.in_row
        ]
        levels[role] = lines_in_common(
            {opening.id: opening.centre[1] for opening in openings},
            {opening.id: opening.nominal[1] for opening in openings},
        )
    for each in wanted:
        level = levels[each.role].get(each.hole) if each.is_beside else None
        yield replace(each, level=level)
