"""Spell out a range: "T0 to T23" in, every name from the one end to the other out."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, WithJsonSchema

from legend.description.values.form import Form
from legend.description.values.text_values import WRITTEN_WORDS, HoleId, Words
from legend.limits import LONGEST_ID, MOST_HOLES

#: A range: what both ends begin with, and their numbers or single letters.
_RANGE = re.compile(r"\s*(.*?)(\d+|(?<![^\W\d_])[A-Za-z])\s+to\s+(.*?)(\d+|[A-Za-z])\s*")


def spelt_out(text: str) -> tuple[str, ...]:
    """Every name of a range, up or down, as long as its ends are where they have zeros in front.

    Error: ValueError, whose text goes on from "which", for what is no range.

    >>> spelt_out("T8 to T11")
    ('T8', 'T9', 'T10', 'T11')
    >>> spelt_out("03 to 01")
    ('03', '02', '01')
    >>> spelt_out("ROW A to ROW C")
    ('ROW A', 'ROW B', 'ROW C')
    """
    match = _RANGE.fullmatch(text)
    if not match:
        raise ValueError("is no range")
    prefix, first, other, last = match.groups()
    if prefix != other or first.isdigit() != last.isdigit():
        raise ValueError("has two ends that differ in more than a number or a letter")
    if not first.isdigit():
        if first.isupper() != last.isupper():
            raise ValueError("runs from a capital to a small letter")
        return tuple(f"{prefix}{chr(code)}" for code in _from_to(ord(first), ord(last)))
    if len(first) > len(str(MOST_HOLES)) + 2 or abs(int(last) - int(first)) >= MOST_HOLES:
        raise ValueError(f"has more than {MOST_HOLES} names, which no panel takes")
    padded = len(first) == len(last) and "0" in (first[0], last[0])
    width = len(first) if padded else 1
    return tuple(f"{prefix}{number:0{width}}" for number in _from_to(int(first), int(last)))


def _from_to(first: int, last: int) -> range:
    step = 1 if last >= first else -1
    return range(first, last + step, step)


def _in_order(value: Any) -> Any:
    return spelt_out(value) if isinstance(value, str) else value


def _or_a_range(item: dict[str, Any]) -> WithJsonSchema:
    written = {"type": "string", "pattern": r"^.*\S\s+to\s+\S.*$"}
    several = {"type": "array", "items": item, "minItems": 1, "maxItems": MOST_HOLES}
    return WithJsonSchema({"anyOf": [written, several]})


#: The holes of several controls, in order.
HolesInOrder = Annotated[
    tuple[HoleId, ...],
    Field(min_length=1, max_length=MOST_HOLES),
    Form(
        'a range of holes, such as "T0 to T23", or a list of their names, such as ["A", "B"]',
        (
            BeforeValidator(_in_order),
            _or_a_range({"type": "string", "minLength": 1, "maxLength": LONGEST_ID}),
        ),
    ),
]
#: What several things are called, in order.
SeveralWords = Annotated[
    tuple[Words, ...],
    Field(min_length=1, max_length=MOST_HOLES),
    Form(
        'a range, such as "0 to 23", or a list of texts, such as ["IN", "OUT"]',
        (BeforeValidator(_in_order), _or_a_range(WRITTEN_WORDS)),
    ),
]
