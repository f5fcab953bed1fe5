"""Define the type of what a description says to be meant: codes of checks."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, WithJsonSchema

from legend.description.faults import likeliest
from legend.description.values.form import Form
from legend.rules import CAN_BE_MEANT, RULES


def _code(name: str) -> str:
    if name in RULES and name not in CAN_BE_MEANT:
        raise ValueError("cannot be meant, as only warnings and notes can")
    if name not in RULES:
        near = likeliest(name, CAN_BE_MEANT)
        raise ValueError("is no code of a check" + (f' (the nearest is "{near}")' if near else ""))
    return name


#: The code of a check that may be meant.
Code = Annotated[
    str,
    Form(
        'the code of a check, such as "off-up"',
        (AfterValidator(_code), WithJsonSchema({"type": "string", "enum": list(CAN_BE_MEANT)})),
    ),
]
#: What the checks find, and is meant to be so.
Codes = Annotated[
    tuple[Code, ...], Form('a list of codes of checks, such as ["off-up"]', each=True)
]
