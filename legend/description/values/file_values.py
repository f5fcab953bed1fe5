"""Define the types of value that are names of files: styles, hole lists and fonts."""

from __future__ import annotations

from typing import Annotated, get_args

from pydantic import (
    AfterValidator,
    WithJsonSchema,
)

from legend.description.reading.files import names_a_file
from legend.description.values.form import Form
from legend.description.values.length_values import Datum
from legend.limits import LONGEST_TIME as LONGEST_TIME


def _path(text: str) -> str:
    if not names_a_file(text):
        raise ValueError("cannot be the name of a file")
    return text


def _file(words: str) -> Form:
    return Form(
        words, (AfterValidator(_path), WithJsonSchema({"type": "string", "pattern": r"\S"}))
    )


#: The name of another file, from the folder of the file that names it.
FileName = Annotated[str, _file('the name of a file, such as "house-style.toml"')]
ListName = Annotated[str, _file('the name of a hole list, such as "holes.csv" or "holes.dxf"')]
#: The same, or a table with the name and where the holes of the list are measured from, of which
#: reading leaves the name.
HoleList = Annotated[
    str,
    Form(
        'the name of a hole list, such as "holes.csv" or "holes.dxf", or a table of its name and '
        'its datum, such as { file = "holes.csv", datum = "upper right" }',
        (
            AfterValidator(_path),
            WithJsonSchema(
                {
                    "anyOf": [
                        {"type": "string", "pattern": r"\S"},
                        {
                            "type": "object",
                            "properties": {
                                "file": {"type": "string", "pattern": r"\S"},
                                "datum": {"enum": list(get_args(Datum))},
                            },
                            "required": ["file"],
                            "additionalProperties": False,
                        },
                    ]
                }
            ),
        ),
    ),
]
FaceName = Annotated[str, _file('the name of a face, such as "plain", or of a font file')]
