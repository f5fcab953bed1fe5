"""Merge findings that are alike, and limit how many are told.

A knob that stands half off the panel has a scale of fifty graduations there: that is one thing
to know, and one to put right.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import islice

from legend.layout.artwork import Finding
from legend.limits import MOST_OF_A_CHECK
from legend.sentences import listed

#: The words that a legend says, and what else differs between findings of one kind: measures.
_WORDS = re.compile(r"'(?:[^'\\]|\\.)*'")
_MEASURE = re.compile(r"(?:(?:\d+ )?\d+/\d+|\d+(?:\.\d+)?) (?:mm|in|%)")
#: So many legends are told by their words.
_FEW = 4


def some(findings: Iterator[Finding]) -> list[Finding]:
    """The findings of one check; where they have no end, the last of them says so."""
    found = list(islice(findings, MOST_OF_A_CHECK + 1))
    if len(found) <= MOST_OF_A_CHECK:
        return found
    last = found[MOST_OF_A_CHECK - 1]
    untold = replace(
        last, message=f"{last.message} There are more of the kind, which are not told."
    )
    return [*found[: MOST_OF_A_CHECK - 1], untold]


def gathered(findings: Iterable[Finding]) -> list[Finding]:
    """Findings that differ in their measures and words alone as one, which tells of them all.

    They have their severity, code, remedy and line in common. What is told in full is the first
    of them; its `places` are those of all.
    """
    kinds: dict[tuple[object, ...], list[Finding]] = {}
    for each in findings:
        said = _MEASURE.sub("", _WORDS.sub("", each.message))
        kind = (each.severity, each.code, each.source, each.remedy, said)
        kinds.setdefault(kind, []).append(each)
    return [_as_one(alike) for alike in kinds.values()]


def _as_one(alike: list[Finding]) -> Finding:
    first, *others = alike
    if not others:
        return first
    found = [_WORDS.search(each.message) for each in others]
    words = list(dict.fromkeys(words[0] for words in found if words))
    if len(others) > len(words[:_FEW]):
        words[_FEW:] = [f"{len(others) - len(words[:_FEW])} more"]
    message = f"{first.message.removesuffix('.')}; so it is with {listed(words)}."
    places = tuple(each.place for each in alike if each.place is not None)
    offers = first.offers if all(each.offers == first.offers for each in others) else ()
    return replace(first, message=message, places=places, offers=offers)
