"""Put what was found into three heaps, each finding with its question where it has one.

Besides what the checks find, what the description leaves to the program is told as well: it is
taken for granted, and can be settled in the same way.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Literal

from legend.description.source import Source
from legend.layout.artwork import Finding, Severity
from legend.layout.remedies.offers import Keys
from legend.page.content.questions import Said, question_for
from legend.page.messages import FindingShown, Found
from legend.sentences import printable

_HEAPS: Mapping[Severity, Literal["spoils", "look", "granted"]] = {
    Severity.ERROR: "spoils",
    Severity.WARNING: "look",
    Severity.NOTE: "granted",
}


@dataclass(slots=True)
class Findings:
    """What was found of one text, each with a number that it keeps however much more is found."""

    said: Said
    _numbers: dict[Hashable, int] = field(default_factory=dict)
    _settled_by: dict[int, Keys] = field(default_factory=dict)

    def shown(self, revision: int, findings: Sequence[Finding]) -> Found:
        """All findings, the worst first, and what was left out, which is told last."""
        numbered = []
        for shown, keys in _asked_once((*_found(self.said, findings), *_left_out(self.said))):
            told = (shown.code, shown.line, shown.message, shown.places)
            number = self._numbers.setdefault(told, len(self._numbers))
            self._settled_by[number] = keys
            numbered.append(replace(shown, number=number))
        return Found(revision, tuple(numbered))

    def settled_by(self, number: int) -> Keys | None:
        """The way to the key that settles a finding, () where none does; None for no finding."""
        return self._settled_by.get(number)


def _found(said: Said, findings: Sequence[Finding]) -> Iterator[tuple[FindingShown, Keys]]:
    own = said.artwork.description.source.file
    for each in findings:
        is_own = each.source.file == own
        elsewhere = "" if is_own or not each.source.file else f"{_beside(each.source)}: "
        question = question_for(said, each.settled_by)
        shown = FindingShown(
            number=0,
            heap=_HEAPS[each.severity],
            code=each.code,
            line=each.source.line if is_own else 0,
            message=printable(elsewhere + each.message),
            remedy=printable(each.remedy or each.besides),
            place=each.place and _plain(each.place),
            places=tuple(map(_plain, each.places)),
            question=question,
        )
        yield shown, each.settled_by if question else ()


def _asked_once(
    found: Sequence[tuple[FindingShown, Keys]],
) -> Iterator[tuple[FindingShown, Keys]]:
    """What one answer settles is told once, of the first of those that it is about."""
    asked: dict[Hashable, list[FindingShown]] = {}
    for shown, _ in found:
        if shown.question:
            asked.setdefault((shown.code, shown.line, shown.question), []).append(shown)
    for shown, keys in found:
        alike = asked.get((shown.code, shown.line, shown.question), [shown])
        if len(alike) == 1:
            yield shown, keys
        elif shown is alike[0]:
            message = f"{shown.message.removesuffix('.')}; so it is with {len(alike) - 1} more."
            places = tuple(
                place for each in alike for place in each.places or (each.place,) if place
            )
            yield replace(shown, message=message, places=places), keys


def _beside(source: Source) -> Source:
    """A line of another file, by the file's name alone, which is short enough for a list."""
    return replace(source, file=Path(source.file).name)


def _plain(place: tuple[float, float]) -> tuple[float, float]:
    x, y = place
    return float(x), float(y)


def _left_out(said: Said) -> Iterator[tuple[FindingShown, Keys]]:
    """What a description leaves out of what most depends on it, and what is taken instead."""
    description, lengths = said.artwork.description, said.lengths
    panel, stencil, finish = description.panel, description.stencil, description.finish
    width, length = (lengths.short(side) for side in stencil.stock_size)
    taken = (
        (
            panel,
            "panel",
            "viewing_distance",
            f"The panel is taken to be read from {lengths.short_said(panel.viewing_distance)} off.",
        ),
        (
            stencil,
            "stencil",
            "method",
            f'The letters are taken to be lifted out of the top coat: method = "{stencil.method}".',
        ),
        (
            stencil,
            "stencil",
            "stock_size",
            f"Your {stencil.stock} is taken to be cut from {width} × {length} {lengths.unit} "
            "at once.",
        ),
        (finish, "finish", "base", f"The base coat is taken to be {finish.base_called}."),
        (finish, "finish", "top", f"The top coat is taken to be {finish.top_called}."),
    )
    for table, name, key, message in taken:
        if key not in table.sources:
            keys = (name, key)
            line = table.source.line if table.source.file == description.source.file else 0
            question = question_for(said, keys)
            yield (
                FindingShown(
                    number=0,
                    heap="granted",
                    code=f"{name}.{key}",
                    line=line,
                    message=message,
                    remedy="",
                    place=None,
                    places=(),
                    question=question,
                ),
                keys,
            )
