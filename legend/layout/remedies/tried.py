"""Try what the checks offer, by laying the panel out anew with it, and tell what helps.

1. The changes of an offer are applied to the description, the mildest first.
2. The panel is laid out and inspected with them, each set of changes but once.
3. The first helps with which the finding is gone, and no error or warning has come for it.

It takes one layout for each that is tried, and none where nothing is found; so many in all are
tried at most, in the order in which things are told.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace

from legend.description.faults import DescriptionError
from legend.description.tables.description import Description
from legend.layout.artwork import Artwork, Finding, Severity
from legend.layout.inspection import inspect
from legend.layout.laying import lay
from legend.layout.remedies.applied import applied, written
from legend.layout.remedies.offers import Changes, Offer
from legend.length_words import Lengths
from legend.lettering.faces.face import FaceError
from legend.rules import FOUND_IN_CUTTING, RULES_ABOUT
from legend.sentences import capitalised, listed

#: What finds what there is to find of a description.
Find = Callable[[Description], Sequence[Finding]]

#: So many layouts are tried at most for all that is found on a panel, and so many marks laid by
#: them, but for the first few: some seconds.
_MOST_TRIED, _MOST_LAID, _FEWEST_TRIED = 40, 2_000, 3
#: Of these one finding tells of many legends; where it is cured, it may tell of the next worst.
_TELLS_OF_MANY = frozenset(RULES_ABOUT["Lettering"])
#: Of these it is best to find a place that is free of everything.
_OF_PLACES = frozenset({*RULES_ABOUT["Where legends stand"], "no-room"})


def with_remedies(artwork: Artwork, findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """The findings of an artwork, what is offered against each tried, and told in its remedy."""
    if not any(each.offers for each in findings):
        return tuple(findings)
    laid = [each for each in findings if each.code not in FOUND_IN_CUTTING]

    def found(description: Description) -> Sequence[Finding]:
        return inspect(lay(description, {}))

    done = iter(tried(artwork, laid, findings, found))
    return tuple(each if each.code in FOUND_IN_CUTTING else next(done) for each in findings)


def tried(
    artwork: Artwork, findings: Sequence[Finding], before: Sequence[Finding], find: Find
) -> list[Finding]:
    """Findings with what helps against them, by what is found with it and was found before."""
    trying = _Trying(artwork, before, find)
    return [trying.remedied(each) if each.offers else each for each in findings]


class _Trying:
    """What was tried on a panel so far, and what was found of it."""

    def __init__(self, artwork: Artwork, findings: Sequence[Finding], find: Find) -> None:
        self._description, self._find = artwork.description, find
        in_good_time = max(_FEWEST_TRIED, _MOST_LAID // max(1, len(artwork.marks)))
        self._most = min(_MOST_TRIED, in_good_time)
        self._before = Counter((each.code, each.source) for each in findings)
        self._count = Counter(each.code for each in findings)
        self._known: dict[Changes, tuple[Finding, ...] | None] = {}

    def remedied(self, finding: Finding) -> Finding:
        """A finding with what helps against it; where nothing does that was tried, that is said."""
        units = self._description.units
        helping = [(each, self._first_helping(each, finding)) for each in finding.offers]
        said = [_said(each, changes, units) for each, changes in self._best(helping, finding)]
        if said:
            remedy = f"{capitalised('; or '.join(said))}."
        else:
            failed = dict.fromkeys(each.failed for each, _ in helping)
            remedy = f"{capitalised(listed(failed))}. {finding.remedy}".rstrip()
        return replace(finding, remedy=f"{remedy} {finding.besides}".rstrip(), offers=())

    def _best(
        self, helping: Sequence[tuple[Offer, Changes | None]], finding: Finding
    ) -> list[tuple[Offer, Changes]]:
        """What helps; of places those alone that are free of everything, if any is."""
        able = [(each, changes) for each, changes in helping if changes]
        clear = [pair for pair in able if self._is_clear(pair[1], finding)]
        return clear if clear and finding.code in _OF_PLACES else able

    def _first_helping(self, offer: Offer, finding: Finding) -> Changes | None:
        helping = (each for each in offer.tries if self._helps(each, finding))
        if finding.code not in _OF_PLACES:
            return next(helping, None)
        able = list(helping)
        # What stands in one's way is seldom alone there.
        return next(
            (each for each in able if self._is_clear(each, finding)), next(iter(able), None)
        )

    def _is_clear(self, changes: Changes, finding: Finding) -> bool:
        """Whether nothing at all is found any more of what the finding is about."""
        return not any(
            finding.source in each.sources
            for each in self._found(changes) or ()
            if each.severity is not Severity.NOTE
        )

    def _helps(self, changes: Changes, finding: Finding) -> bool:
        found = self._found(changes)
        if found is None or not self._is_rarer(changes, found, finding.code):
            return False
        here = (finding.code, finding.source)
        if sum((each.code, each.source) == here for each in found) >= self._before[here]:
            return False
        return all(
            each.severity is Severity.NOTE or self._is_known(each, finding) for each in found
        )

    def _is_known(self, each: Finding, finding: Finding) -> bool:
        """Whether something was found before, or behind what was."""
        of_many = each.code == finding.code and each.code in _TELLS_OF_MANY
        return of_many or (each.code, each.source) in self._before

    def _is_rarer(self, changes: Changes, found: Sequence[Finding], code: str) -> bool:
        """Whether a change to all legends of a role cures all of them that are told as one."""
        of_a_role = code in _TELLS_OF_MANY and changes[0].keys[0] == "lettering"
        return not of_a_role or sum(each.code == code for each in found) < self._count[code]

    def _found(self, changes: Changes) -> tuple[Finding, ...] | None:
        """What is found with the changes; None where it cannot be laid out, or enough was tried."""
        if changes not in self._known:
            if len(self._known) >= self._most:
                return None
            self._known[changes] = self._inspected(changes)
        return self._known[changes]

    def _inspected(self, changes: Changes) -> tuple[Finding, ...] | None:
        description = applied(self._description, changes)
        if description is None:
            return None
        try:
            return tuple(self._find(description))
        except (DescriptionError, FaceError):
            return None


def _said(offer: Offer, changes: Changes, units: str) -> str:
    """An offer in words, with what to write."""
    first = changes[0].value
    value = Lengths(units).given(first) if isinstance(first, float) else str(first)
    return f"{offer.how.format(value)}: {written(changes, units)}"
