"""Settle what panels that are to match have in common: Descriptions in, the same settled out.

Units of one panel, each with its holes as drilled, and panels that share a style are to look
alike beside each other.

1. Heights that are to be found are found once for all: see `legend.layout.heights.heights`.
2. Where a name was made smaller or narrower to fit on one of them, those like it are so on all:
   the same name of another unit; or, as to their height, the names on the same level of another
   panel. These share a line as well, as far as they may stand there.
3. What still stands otherwise than on the first is told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from legend.description.tables.description import Description
from legend.layout.artwork import Artwork, Finding, Mark, Role, Severity
from legend.layout.ground import Twin, Twins
from legend.layout.heights.heights import find_heights
from legend.layout.laying import lay
from legend.layout.names.rows import SAME_AXIS
from legend.sentences import listed

#: Lines that stand further apart than this are seen to do so from one panel to the next, mm.
#: Common practice, no source.
_SEEN = 0.1
#: Heights that differ by less are the same, mm.
_SAME = 1e-6
#: Widths are worked out to less than this, mm.
_ROUNDED = 1e-3
#: So many legends are told by their words.
_FEW = 4


@dataclass(frozen=True, slots=True)
class Matched:
    """A description that is ready to be laid out, with what it owes to those that it matches."""

    description: Description
    twins: Twins
    told: tuple[Finding, ...]

    def laid(self) -> Artwork:
        """Its artwork. Error: DescriptionError, where there is more than can be worked out."""
        return lay(self.description, self.twins, self.told)


def match(descriptions: Sequence[Description]) -> list[Matched]:
    """The descriptions, settled so that their panels match; the first is what others are told by.

    Errors: as `legend.layout.lay_out` has them.
    """
    heights = find_heights(descriptions)
    settled = [
        Matched(description, {}, told)
        for description, told in zip(heights.descriptions, heights.told, strict=True)
    ]
    if len(settled) < 2:
        return settled
    laid = [_Laid(each, each.laid()) for each in settled]
    all_twins = [_twins(each, laid) for each in laid]
    if any(all_twins):
        settled = [
            replace(each, twins=twins) for each, twins in zip(settled, all_twins, strict=True)
        ]
        laid = [_Laid(each, each.laid()) for each in settled]
    return [
        replace(each.matched, told=(*each.matched.told, *_otherwise(each, laid[0])))
        for each in laid
    ]


@dataclass(frozen=True, slots=True)
class _Laid:
    """A panel among others, as it was laid out."""

    matched: Matched
    artwork: Artwork

    @property
    def description(self) -> Description:
        return self.matched.description

    @property
    def called(self) -> str:
        """What the panel is told by: its hole list, or the file of its description."""
        return self.description.unit or self.description.source.file

    def is_unit_with(self, other: _Laid) -> bool:
        """Whether both are units of one panel."""
        return self.description.source.file == other.description.source.file

    @property
    def names(self) -> Iterator[Mark]:
        """The names and notes that stand by controls, as far as they found room."""
        without = {each.source for each in self.artwork.findings if each.code == "no-room"}
        units = {c.hole: c.scale.unit for c in self.description.control if c.scale}
        for mark in self.artwork.marks:
            if mark.text == units.get(mark.owner):
                continue
            is_name = mark.setting and mark.owner and mark.role in (Role.NAME, Role.NOTE)
            if is_name and mark.source not in without:
                yield mark


def _pairs(ours: _Laid, theirs: _Laid) -> Iterator[tuple[Mark, Mark]]:
    """The names of one panel, each with those of another that are to stand as it does."""
    if ours.is_unit_with(theirs):
        of_theirs = {(mark.owner, mark.role, mark.text): mark for mark in theirs.names}
        for mark in ours.names:
            if other := of_theirs.get((mark.owner, mark.role, mark.text)):
                yield mark, other
        return
    lines = [(_line(mark, theirs.artwork), mark) for mark in theirs.names]
    for mark in ours.names:
        side, line = _line(mark, ours.artwork)
        for (other_side, other_line), other in lines:
            on_a_level = side == other_side and abs(line - other_line) <= SAME_AXIS
            if on_a_level and mark.role is other.role:
                yield mark, other


def _line(mark: Mark, artwork: Artwork) -> tuple[bool, float]:
    """Whether a name stands above its hole or not, and the height of its row on the panel, mm."""
    x, y = artwork.opening(mark.owner).nominal
    return mark.baselines[0] > y, y


def _twins(ours: _Laid, panels: Sequence[_Laid]) -> dict[tuple[str, str], Twin]:
    """What the names of a panel owe to those like them on the others."""
    twins: dict[tuple[str, str], Twin] = {}
    for theirs in panels:
        if theirs is ours:
            continue
        for mark, other in _pairs(ours, theirs):
            key = (mark.owner, str(mark.role))
            twin = twins.get(
                key, Twin(line=None if ours.is_unit_with(theirs) else _inner(mark, ours))
            )
            if _is_asked_alike(mark, ours, theirs):
                twin = replace(twin, tall=min(twin.tall, other.height))
            if ours.is_unit_with(theirs):
                twin = replace(twin, wide=min(twin.wide, _width(other) + _ROUNDED))
            elif twin.line is not None:
                further = max if _line(mark, ours.artwork)[0] else min
                twin = replace(twin, line=further(twin.line, _inner(other, theirs)))
            twins[key] = twin
    return twins


def _is_asked_alike(mark: Mark, ours: _Laid, theirs: _Laid) -> bool:
    """Whether names of this role are to have one height on both panels."""
    asked, other_asked = (each.artwork.styles[mark.role].height for each in (ours, theirs))
    return abs(asked - other_asked) < _SAME


def _inner(mark: Mark, panel: _Laid) -> float:
    """The baseline of a name next to its control, mm."""
    is_above, _ = _line(mark, panel.artwork)
    return mark.baselines[-1 if is_above else 0]


def _otherwise(ours: _Laid, first: _Laid) -> Iterator[Finding]:
    """What stands higher or lower than on the first panel, or is of another height."""
    if ours.artwork is first.artwork:
        return
    nearest: dict[int, tuple[Mark, Mark]] = {}
    for mark, other in _pairs(ours, first):
        known = nearest.setdefault(id(mark), (mark, other))
        if abs(_up(mark, other)) < abs(_up(*known)):
            nearest[id(mark)] = mark, other
    told: dict[str, list[Mark]] = {}
    for mark, other in nearest.values():
        up = _up(mark, other)
        if abs(mark.height - other.height) > _SAME:
            said = f"{mark.height:.2f} mm tall, not {other.height:.2f} mm as"
        elif abs(up) > _SEEN:
            said = f"{abs(up):.1f} mm {'higher' if up > 0 else 'lower'} than"
        else:
            continue
        told.setdefault(said, []).append(mark)
    for said, marks in told.items():
        marks.sort(key=lambda mark: mark.outline.bounds[0])
        names = [repr(mark.text.replace("\n", " ")) for mark in marks]
        names[_FEW:] = [f"{len(names) - _FEW} more"] * (len(names) > _FEW)
        mark = marks[0]
        verb = "is" if "tall" in said else "stands"
        if len(marks) > 1:
            verb = "are" if "tall" in said else "stand"
        yield Finding(
            Severity.NOTE,
            "not-alike",
            f"{listed(names)} {verb} {said} on {first.called}, which this panel is to match.",
            mark.source,
            places=tuple(_middle(mark) for mark in marks),
        )


def _up(mark: Mark, other: Mark) -> float:
    """How much higher a name stands than another on its panel, mm."""
    return mark.baselines[0] - other.baselines[0]


def _width(mark: Mark) -> float:
    x0, _, x1, _ = mark.outline.bounds
    return x1 - x0


def _middle(mark: Mark) -> tuple[float, float]:
    x0, y0, x1, y1 = mark.outline.bounds
    return (x0 + x1) / 2, (y0 + y1) / 2
