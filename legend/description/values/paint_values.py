"""Define the types of value that are colours of paint."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    PlainValidator,
    WithJsonSchema,
)
from pydantic.json_schema import JsonSchemaValue

from legend.description.paint_colours import NAMES, is_paint, rgb
from legend.description.values.form import Form
from legend.description.values.text_values import WRITTEN_WORDS, sound_words
from legend.limits import LONGEST_TIME as LONGEST_TIME


def _colour(text: str) -> str:
    rgb(text)
    return text


_WRITTEN_COLOURS: list[JsonSchemaValue] = [
    {"enum": list(NAMES)},
    {"type": "string", "pattern": r"^\s*([A-Za-z][A-Za-z ]*|#([0-9A-Fa-f]{3}){1,2})\s*$"},
    {"type": "string", "pattern": r"^\s*[A-Za-z][A-Za-z -]*(595[A-Ca-c]?)?\W*\d{4,5}\s*$"},
]


@dataclass(frozen=True, slots=True)
class NamedColour:
    """A colour as a picture shows it, with what the paint is called at the bench."""

    colour: str
    called: str


def _paint(value: Any) -> str | NamedColour:
    if isinstance(value, str):
        return _colour(value)
    if not isinstance(value, dict) or value.keys() != {"colour", "called"}:
        raise ValueError("is not a colour, nor a table with the two keys colour and called")
    colour, called = value["colour"], value["called"]
    if not isinstance(colour, str) or not isinstance(called, str) or not called.strip():
        raise ValueError("has a colour or a name that is no text")
    return NamedColour(_colour(colour), " ".join(sound_words(called).split()))


_WRITTEN_COLOUR: JsonSchemaValue = {"anyOf": _WRITTEN_COLOURS}
#: The colour of a paint, by itself or with what the paint is called.
Paint = Annotated[
    str | NamedColour,
    Form(
        'a CSS colour name, such as "white", a number, such as "#5b6160", or that of a paint, '
        'such as "RAL 7035" or "AMS-STD-595 26152"; or a table with a name for the paint as well, '
        'such as { colour = "#6b6e6c", called = "flat grey" }',
        (
            PlainValidator(_paint),
            WithJsonSchema(
                {
                    "anyOf": [
                        *_WRITTEN_COLOURS,
                        {
                            "type": "object",
                            "properties": {
                                "colour": _WRITTEN_COLOUR,
                                "called": WRITTEN_WORDS | {"pattern": r"\S"},
                            },
                            "required": ["colour", "called"],
                            "additionalProperties": False,
                        },
                    ]
                }
            ),
        ),
    ),
]


def _line_colour(text: str) -> str:
    if is_paint(text):
        raise ValueError("is not a colour that a file can name")
    return text


#: The colour of a line in a file: that of a paint is known only about.
LineColour = Annotated[
    str,
    Form(
        'a CSS colour name, such as "red", or a number, such as "#ff0000"',
        (AfterValidator(_line_colour), WithJsonSchema({"anyOf": _WRITTEN_COLOURS[:2]})),
    ),
]
