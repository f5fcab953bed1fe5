"""Define the types of value that are names out of a registry, and positions."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    Discriminator,
    Field,
    Tag,
    WithJsonSchema,
)

from legend.description.kinds import KINDS
from legend.description.laws import LAWS, TAPERS
from legend.description.other_words import kind_meant
from legend.description.values.form import TAG, Form
from legend.description.values.number_values import Pairs
from legend.description.values.text_values import Words
from legend.limits import LONGEST_TIME as LONGEST_TIME

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


KindName = Annotated[str, replace(_name_of("a kind of control", KINDS), hint=kind_meant)]
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


#: What the positions of a turned control are called, in clockwise order.
RoundPositions = Annotated[
    tuple[Words, ...],
    Field(max_length=100),
    Form('a list in clockwise order, such as ["1", "2", "5"]', each=True),
]

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
