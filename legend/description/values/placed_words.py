"""Read the words that stand along a scale: by value, or as a list evenly."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Annotated, Any

from pydantic import BeforeValidator, WithJsonSchema

from legend.description.values.form import Form
from legend.description.values.text_values import WRITTEN_WORDS, sound_words
from legend.limits import MOST_WORDS_OF_A_SCALE


def _placed_words(value: Any) -> tuple[tuple[float | None, str], ...]:
    """The words of a scale, each with its value; of a list, with none."""
    pairs: list[tuple[float | None, Any]]
    if isinstance(value, (list, tuple)):
        pairs = [(None, word) for word in value]
    elif isinstance(value, Mapping):
        pairs = [(_value_of(key, word), word) for key, word in value.items()]
    else:
        raise ValueError("is neither a list of words nor a table of words by value")
    values = [at for at, _ in pairs if at is not None]
    twice = next((at for at in values if values.count(at) > 1), None)
    if twice is not None:
        raise ValueError(f"says two words at {twice:g}")
    if len(pairs) > MOST_WORDS_OF_A_SCALE:
        raise ValueError(f"has {len(pairs)} words")
    for _, word in pairs:
        if not isinstance(word, str):
            raise ValueError(f"holds {word!r}, which is no text in quotation marks")
        sound_words(word)
    return tuple(pairs)


def _value_of(key: str, word: Any) -> float:
    """The value that a word stands at, from its key."""
    if isinstance(word, Mapping):  # TOML takes 0.5 = "HALF" for a table 0 with a key 5
        inner = next(iter(word), "")
        raise ValueError(
            f'has a value with a point without quotation marks; write it as "{key}.{inner}"'
        )
    try:
        value = float(key.replace(",", ".").replace("−", "-"))
    except ValueError:
        raise ValueError(f"has a word at {key!r}, which is no number") from None
    if not math.isfinite(value):
        raise ValueError(f"has a word at {key!r}, which is no number")
    return value


#: Words that stand along a scale, by value or, as a list, evenly.
PlacedWords = Annotated[
    tuple[tuple[float | None, str], ...],
    Form(
        'a table of words by value, such as { 0 = "N", 90 = "E" }, or a list of words, such as '
        '["COLD", "WARM", "HOT"]',
        (
            BeforeValidator(_placed_words),
            WithJsonSchema(
                {
                    "anyOf": [
                        {
                            "type": "object",
                            "additionalProperties": WRITTEN_WORDS,
                            "propertyNames": {
                                "pattern": r"^\s*[-+−]?[0-9.,]+([eE][-+]?[0-9]+)?\s*$"
                            },
                        },
                        {"type": "array", "items": WRITTEN_WORDS},
                    ]
                }
            ),
        ),
    ),
]
