"""Leave out what a description says to be meant: findings in, those to be told out.

A control, a text, a rule, a group and the panel may name codes under `meant`. A finding is of
the table on whose lines it is told, a control's with those of its hole; one that is about
several is meant as soon as one of them means it. So every check comes under it by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from legend.description.source import Source
from legend.description.table import Table
from legend.description.tables.description import Description
from legend.layout.artwork import Finding, Severity
from legend.rules import FOUND_IN_CUTTING
from legend.sentences import listed


@dataclass(frozen=True, slots=True)
class Claim:
    """What one table says to be meant.

    `whose` names the table in words, and `lines` are those on which its findings are told; None
    where they are told anywhere.
    """

    codes: tuple[str, ...]
    whose: str
    source: Source
    lines: frozenset[Source] | None

    def takes(self, code: str, sources: Iterable[Source]) -> bool:
        """Whether what is found by this code on these lines is meant."""
        return code in self.codes and (self.lines is None or not self.lines.isdisjoint(sources))


def claims_of(description: Description) -> tuple[Claim, ...]:
    """What the tables of a description say to be meant."""
    return tuple(_claims(description))


def _claims(description: Description) -> Iterator[Claim]:
    panel = description.panel
    if panel.meant:
        yield Claim(panel.meant, "The panel", panel.source_of("meant"), None)
    for control in description.control:
        if control.meant:
            lines = _lines(control) | _lines(description.holes[control.hole])
            whose = f"The {control.kind} on {control.hole}"
            yield Claim(control.meant, whose, control.source_of("meant"), lines)
    for group in description.group:
        if group.meant:
            yield Claim(
                group.meant, f"The group {group.name!r}", group.source_of("meant"), _lines(group)
            )
    for text in description.text:
        if text.meant:
            said = text.text.replace("\n", " ")
            yield Claim(text.meant, f"The text {said!r}", text.source_of("meant"), _lines(text))
    for rule in description.rule:
        if rule.meant:
            yield Claim(rule.meant, "The rule", rule.source_of("meant"), _lines(rule))


def _lines(table: Table) -> frozenset[Source]:
    """The lines on which a table and those inside of it say anything."""
    lines = frozenset(table.sources.values()) | {table.source}
    for key in type(table).model_fields:
        value = getattr(table, key)
        for inside in value if isinstance(value, tuple) else (value,):
            if isinstance(inside, Table):
                lines |= _lines(inside)
    return lines


def is_meant(claims: Iterable[Claim], code: str, sources: Sequence[Source]) -> bool:
    """Whether what is found by this code on these lines is meant by any table."""
    return any(claim.takes(code, sources) for claim in claims)


def to_be_told(findings: Iterable[Finding], claims: Sequence[Claim]) -> list[Finding]:
    """The findings that no table means, and all errors."""
    return [
        each
        for each in findings
        if each.severity is Severity.ERROR or not is_meant(claims, each.code, each.sources)
    ]


def in_vain(
    findings: Sequence[Finding], claims: Iterable[Claim], was_cut: bool
) -> Iterator[Finding]:
    """What is said to be meant, and was not found.

    `findings` are all, before any was left out. What is found in cutting is not told of where
    nothing was cut.
    """
    found = [each for each in findings if each.severity is not Severity.ERROR]
    for claim in claims:
        idle = [
            f'"{code}"'
            for code in dict.fromkeys(claim.codes)
            if (was_cut or code not in FOUND_IN_CUTTING)
            and not any(claim.takes(each.code, each.sources) for each in found if each.code == code)
        ]
        if idle:
            yield Finding(
                Severity.NOTE,
                "meant-in-vain",
                f"{claim.whose} says that {listed(idle)} {'are' if idle[1:] else 'is'} meant, and "
                "nothing of the kind was found.",
                claim.source,
                "Leave it out there.",
            )
