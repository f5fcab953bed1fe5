"""Define the types of value that are times, numbers, angles and flags."""

from __future__ import annotations

from typing import Annotated

from annotated_types import Ge, Gt, Le
from pydantic import (
    AfterValidator,
    AllowInfNan,
    BeforeValidator,
    Field,
    Strict,
    WithJsonSchema,
)

from legend.description.values.durations import WRITTEN as WRITTEN_TIME
from legend.description.values.durations import parse_duration
from legend.description.values.form import Form
from legend.limits import LONGEST_TIME as LONGEST_TIME

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
