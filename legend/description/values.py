"""Define the types of value that a key of a description may hold, which check themselves.

A value as TOML has it goes in; a plain Python value comes out, lengths in mm. Each type
that is more than one of Python's own carries its `Form`: pydantic's annotations by which it is
checked, what JSON Schema can say of it, and the words by which a fault tells what is allowed.
What a check raises is a ValueError whose text goes on from "which ...".
"""

from __future__ import annotations

import unicodedata
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from annotated_types import Ge, GroupedMetadata, Gt, Le, MinLen
from pydantic import (
    AfterValidator,
    AllowInfNan,
    BeforeValidator,
    Discriminator,
    Field,
    Strict,
    Tag,
    ValidationInfo,
    WithJsonSchema,
)
from pydantic.json_schema import JsonSchemaValue

from legend.description.durations import WRITTEN as WRITTEN_TIME
from legend.description.durations import parse_duration
from legend.description.kinds import KINDS
from legend.description.laws import LAWS, TAPERS
from legend.description.lengths import WRITTEN, parse_length
from legend.description.paint_colours import NAMES, rgb
from legend.description.reading.files import names_a_file
from legend.limits import LONGEST_ID, LONGEST_TEXT, MOST_ACCENTS
from legend.limits import LONGEST_LENGTH as LONGEST
from legend.limits import LONGEST_TIME as LONGEST_TIME
from legend.standards import INCH


@dataclass(frozen=True, slots=True, eq=False)
class Form(GroupedMetadata):
    """The form that a value must have.

    `words` say what it must be, going on from "it must be", and `choices` are the names that
    it may take. Where `each` is true and the value is a list or a table, each wrong item is
    told by itself; otherwise whatever is wrong inside is told of the value as a whole. `unit`
    is what the numbers of the checked value count, where the file may have it otherwise.

    `rules` are the annotations of pydantic's that the form stands for.
    """

    words: str
    rules: tuple[Any, ...] = ()
    choices: tuple[str, ...] = ()
    each: bool = False
    unit: Literal["", "mm", "min"] = ""

    def __iter__(self) -> Iterator[Any]:
        return iter(self.rules)


#: What the tags of unions begin with, by which they are known in pydantic's locations.
TAG = "\0"


# --- Lengths ---


def _length(value: Any, info: ValidationInfo) -> float:
    """A length in mm; a bare number is in the units of the file in which its key stands."""
    units_of = (info.context or {}).get("units", {})
    sources = info.data.get("sources", {})
    source = sources.get((info.field_name or "").removesuffix("_"), sources.get(""))
    return parse_length(value, units_of.get(source.file, "mm") if source else "mm")


#: How lengths may be written, after the words that say how long they may be.
SUCH_AS = ', such as 9.5, "9.5 mm" or "3/8 in"'


def _length_of(least: float, most: float, what: str = "a length", such_as: str = SUCH_AS) -> Form:
    """The form of a length of so many mm.

    JSON Schema knows nothing of units: a bare number may be as small as the least one would
    be in inches.
    """
    smallest = least / INCH if least > 0 else least
    bare = {"type": "number", "minimum": smallest, "maximum": most}
    written = {"anyOf": [bare, {"type": "string", "pattern": WRITTEN}]}
    return Form(
        f"{what} of {least:g} to {most:g} mm{such_as}",
        (Ge(least), Le(most), BeforeValidator(_length), WithJsonSchema(written)),
        unit="mm",
    )


#: A length, which may lie on either side of 0.
Coordinate = Annotated[float, _length_of(-LONGEST, LONGEST)]
#: The size of something on a panel.
Length = Annotated[float, _length_of(0.01, 2000)]
#: The least of something that a stock carries: none is so coarse as the most that is taken.
Least = Annotated[float, _length_of(0.01, 20)]
#: A size that may be nothing.
Width = Annotated[float, _length_of(0, 2000)]
#: A height of capitals that can be cut.
Height = Annotated[float, _length_of(0.5, 200, "a height", ", such as 3.5")]
#: How far off a panel is read.
Distance = Annotated[float, _length_of(50, LONGEST, such_as=", such as 600")]
Point = Annotated[
    tuple[Coordinate, Coordinate], Form("[x, y], two lengths of at most 10000 mm", unit="mm")
]
Size = Annotated[
    tuple[Length, Length], Form("[width, height], two lengths of 0.01 to 2000 mm", unit="mm")
]
SlotSize = Annotated[
    tuple[Length, Length], Form("[length, width], two lengths of 0.01 to 2000 mm", unit="mm")
]
#: The width, the height or the diameter of a panel.
PanelSide = Annotated[float, _length_of(1, LONGEST)]
PanelSize = Annotated[
    tuple[PanelSide, PanelSide], Form("[width, height], two lengths of 1 to 10000 mm", unit="mm")
]
_StockSide = Annotated[float, _length_of(20, LONGEST)]
StockSize = Annotated[
    tuple[_StockSide, _StockSide],
    Form("[width, length], two lengths of 20 to 10000 mm", unit="mm"),
]
_Measured = Annotated[float, _length_of(45, 55)]
#: What a test square of 50 mm measured when it was cut.
MeasuredSquare = Annotated[
    tuple[_Measured, _Measured],
    Form(
        "[across, along], what the test square of 50 mm measured, two lengths of 45 to 55 mm",
        unit="mm",
    ),
]
#: How far a cut is continued past its start.
Overrun = Annotated[float, _length_of(0, 3, such_as=", such as 0.5")]


def _length_or_size(value: Any) -> str:
    return TAG + ("size" if isinstance(value, (list, tuple)) else "length")


#: What a fitted part hides.
Cover = Annotated[
    Annotated[Length, Tag(TAG + "length")] | Annotated[Size, Tag(TAG + "size")],
    Discriminator(_length_or_size),
    Form("a diameter, such as 24, or [width, height], of 0.01 to 2000 mm", unit="mm"),
]

# --- Times ---

#: How times may be written, after the words that say how they are counted.
SUCH_TIMES = ', such as 24, or with its unit, such as "30 min" or "2 days"'

#: How long something takes, minutes.
Duration = Annotated[
    float,
    Form(
        "a time in hours" + SUCH_TIMES,
        (
            BeforeValidator(parse_duration),
            WithJsonSchema(
                {
                    "anyOf": [
                        {"type": "number", "minimum": 0, "maximum": LONGEST_TIME / 60},
                        {"type": "string", "pattern": WRITTEN_TIME},
                    ]
                }
            ),
        ),
        unit="min",
    ),
]
#: Between which two moments something must be done, minutes.
TimeWindow = Annotated[
    tuple[Duration, Duration],
    Form("[from, to], two times in hours, such as [1, 2]", unit="min"),
]

# --- Numbers ---


def _not_lost(value: float) -> float:
    if 0 < abs(value) < 1e-15:
        raise ValueError("is nearer to 0 than any scale goes")
    return value


#: A number that can be reckoned with.
Number = Annotated[
    float,
    Form(
        "a number",
        (Strict(), AllowInfNan(False), Ge(-1e15), Le(1e15), AfterValidator(_not_lost)),
    ),
]
#: A step from one graduation to the next.
Step = Annotated[float, Form("a number above 0", (Strict(), Gt(0), Le(1e15)))]
Angle = Annotated[
    float,
    Form(
        "an angle in degrees, from -360 to 360",
        (Strict(), AllowInfNan(False), Ge(-360), Le(360)),
    ),
]


def number_of(least: float, most: float) -> Form:
    """The form of a number from `least` to `most`."""
    words = f"a number of at least {least:g} and at most {most:g}"
    return Form(words, (Strict(), Ge(least), Le(most)))


def number_up_to(most: float) -> Form:
    """The form of a number above 0, up to `most`."""
    return Form(f"a number of more than 0 and at most {most:g}", (Strict(), Gt(0), Le(most)))


def count_of(least: int, most: int) -> Form:
    """The form of a whole number from `least` to `most`."""
    words = f"a whole number of at least {least} and at most {most}"
    return Form(words, (Strict(), Ge(least), Le(most)))


Flag = Annotated[bool, Form("true or false", (Strict(),))]
Pairs = Annotated[tuple[tuple[Number, Number], ...], Field(max_length=1000)]
#: Measured points of a scale.
Calibration = Annotated[
    Pairs, Form("a list of measured [value, degrees] pairs, such as [[0, -120], [50, 10]]")
]

#: Values for the axes of a variable font, by their tags.
Axes = Annotated[
    dict[str, Number], Form("a table of numbers by tag, such as { wght = 600 }", each=True)
]


# --- Texts ---


def _words(text: str) -> str:
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
        (AfterValidator(_words), WithJsonSchema(WRITTEN_WORDS)),
    ),
]
SomeWords = Annotated[
    str,
    Form(
        f"a text in quotation marks, of 1 to {LONGEST_TEXT} characters",
        (MinLen(1), AfterValidator(_words), WithJsonSchema(WRITTEN_WORDS | {"minLength": 1})),
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
FaceName = Annotated[str, _file('the name of a face, such as "plain", or of a font file')]


def _colour(text: str) -> str:
    rgb(text)
    return text


_WRITTEN_COLOURS: list[JsonSchemaValue] = [
    {"enum": list(NAMES)},
    {"type": "string", "pattern": r"^\s*([A-Za-z]+|#([0-9A-Fa-f]{3}){1,2})\s*$"},
    {"type": "string", "pattern": r"^\s*[A-Za-z][A-Za-z -]*(595[A-Ca-c]?)?\W*\d{4,5}\s*$"},
]
Colour = Annotated[
    str,
    Form(
        'a CSS colour name, such as "white", a number, such as "#5b6160", or that of a paint, '
        'such as "RAL 7035" or "AMS-STD-595 26152"',
        (AfterValidator(_colour), WithJsonSchema({"anyOf": _WRITTEN_COLOURS})),
    ),
]

# --- Names from a registry ---


def _name_of(what: str, registry: Collection[str]) -> Form:
    """The form of a name that a registry holds; its fault lists them all."""

    def known(name: str) -> str:
        if name not in registry:
            raise ValueError(f"is not {what}")
        return name

    written = WithJsonSchema({"type": "string", "enum": list(registry)})
    return Form(what, (AfterValidator(known), written), tuple(registry))


def _name_or_pairs(value: Any) -> str:
    return TAG + ("pairs" if isinstance(value, (list, tuple)) else "name")


KindName = Annotated[str, _name_of("a kind of control", KINDS)]
LawName = Annotated[str, _name_of("a law", LAWS)]
Taper = Annotated[
    Annotated[str, _name_of("a taper", TAPERS), Tag(TAG + "name")]
    | Annotated[Pairs, Tag(TAG + "pairs")],
    Discriminator(_name_or_pairs),
    Form("a list of [rotation %, resistance %] pairs, or", choices=tuple(TAPERS)),
]

# --- Positions ---

#: The ways a lever or a slide may stand.
Direction = Literal["up", "down", "left", "right", "centre"]


def _sides_or_round(value: Any) -> str | None:
    if isinstance(value, dict):
        return TAG + "sides"
    return TAG + "round" if isinstance(value, (list, tuple)) else None


#: What the positions of a switch are called: by side, or in clockwise order.
Positions = Annotated[
    Annotated[dict[Direction, Words], Tag(TAG + "sides")]
    | Annotated[tuple[Words, ...], Field(max_length=100), Tag(TAG + "round")],
    Discriminator(_sides_or_round),
    Form(
        'a list in clockwise order, such as ["1", "2", "5"], or a table of sides, '
        'such as { up = "ON", down = "OFF" }',
        each=True,
    ),
]
