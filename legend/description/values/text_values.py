"""Define the types of value that are texts: words to be lettered, and names of holes."""

from __future__ import annotations

import unicodedata
from typing import Annotated

from annotated_types import MinLen
from pydantic import (
    AfterValidator,
    Field,
    WithJsonSchema,
)

from legend.description.values.form import Form
from legend.limits import LONGEST_ID, LONGEST_TEXT, MOST_ACCENTS
from legend.limits import LONGEST_TIME as LONGEST_TIME

# --- Texts ---


def sound_words(text: str) -> str:
    """Words that can be lettered. Error: ValueError, of what is no character, or too long."""
    if len(text) > LONGEST_TEXT:
        raise ValueError(f"has {len(text)} characters")
    accents = 0
    for character in text:
        accents = accents + 1 if unicodedata.combining(character) else 0
        if accents > MOST_ACCENTS:
            raise ValueError(f"has more than {MOST_ACCENTS} accents on one letter")
        if character != "\n" and unicodedata.category(character) in ("Cc", "Zl", "Zp"):
            raise ValueError(f"holds the control character U+{ord(character):04X}")
        if ord(character) & 0xFFFE == 0xFFFE or 0xFDD0 <= ord(character) <= 0xFDEF:
            raise ValueError(f"holds U+{ord(character):04X}, which is no character")
    return text


#: What JSON Schema can say of words: their length, and that they hold no control characters,
#: nor any of the few codes that Unicode gives to no character (The Unicode Standard, 23.7).
WRITTEN_WORDS = {
    "type": "string",
    "maxLength": LONGEST_TEXT,
    "pattern": "^[^\\x00-\\x09\\x0b-\\x1f\\x7f-\\x9f\\u2028\\u2029\\ufdd0-\\ufdef\\ufffe\\uffff]*$",
}

#: Words to be lettered, or to be read on the job card.
Words = Annotated[
    str,
    Form(
        f"a text in quotation marks, of at most {LONGEST_TEXT} characters",
        (AfterValidator(sound_words), WithJsonSchema(WRITTEN_WORDS)),
    ),
]
SomeWords = Annotated[
    str,
    Form(
        f"a text in quotation marks, of 1 to {LONGEST_TEXT} characters",
        (MinLen(1), AfterValidator(sound_words), WithJsonSchema(WRITTEN_WORDS | {"minLength": 1})),
    ),
]


def _id(text: str) -> str:
    if not text.strip() or len(text) > LONGEST_ID or not text.isprintable():
        raise ValueError("cannot be the name of a hole")
    return text


#: The name of a hole.
HoleId = Annotated[
    str,
    Form(
        f'the name of a hole in quotation marks, such as "A", of at most {LONGEST_ID} characters',
        (
            AfterValidator(_id),
            WithJsonSchema({"type": "string", "minLength": 1, "maxLength": LONGEST_ID}),
        ),
    ),
]
HoleIds = Annotated[
    tuple[HoleId, ...],
    Field(min_length=1),
    Form('a list of the names of holes, such as ["A", "B"]', each=True),
]
