"""List the heights that descriptions ask to be found, and write down what was found.

Panels that are to match share what they ask alike: a role has one height on all of them, and
so have the texts on one baseline.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from legend.description.source import Source
from legend.description.tables.description import LETTERED_ROLES, Description, Text
from legend.description.values.asked_heights import GREATEST, SMALLEST
from legend.layout.artwork import Artwork, Role
from legend.layout.names.rows import SAME_AXIS, clustered
from legend.layout.styles import least_chosen
from legend.sentences import capitalised

#: Where a height is asked for: in [lettering] under a role, or in the whole table, for which
#: stands ""; or in a [[text]], by its number.
Place = str | int

#: A symbol is as tall as what would stand in its place.
_SYMBOLS = {"name", "position", "note"}


@dataclass(frozen=True, slots=True)
class Wish:
    """A height that is to be found, once for all that ask for it.

    `places` are those that ask, each with the number of its description. `least` is the least
    that it may be, mm, and `usual` what it would be if nobody had asked.
    """

    places: tuple[tuple[int, Place], ...]
    asked: str
    role: str
    least: float
    usual: float
    source: Source

    @property
    def what(self) -> str:
        """What is to be so tall, to begin a sentence with, and its verb."""
        if isinstance(self.places[0][1], int):
            words = f"the {self.role} texts" if len(self.places) > 1 else f"the {self.role} text"
            return capitalised(f"{words} {'are' if len(self.places) > 1 else 'is'}")
        return f"Every {self.role or 'name'} is"


def wishes(descriptions: Sequence[Description], usual: Sequence[Artwork]) -> list[Wish]:
    """What the descriptions ask to be found, of what there is on their panels.

    `usual` is how each is laid where nobody asks. Small ones come before great ones.
    """
    found = [*_of_roles(descriptions, usual), *_of_texts(descriptions, usual)]
    return sorted(found, key=lambda wish: wish.asked != SMALLEST)


def _of_roles(descriptions: Sequence[Description], usual: Sequence[Artwork]) -> Iterator[Wish]:
    for role in ("", *LETTERED_ROLES):
        asking: dict[str, list[int]] = {}
        for number, description in enumerate(descriptions):
            lettering = description.lettering
            asked = (getattr(lettering, role) if role else lettering).height
            if asked in (GREATEST, SMALLEST) and _is_used(role, usual[number]):
                asking.setdefault(asked, []).append(number)
        for asked, numbers in asking.items():
            first = descriptions[numbers[0]].lettering
            table = getattr(first, role) if role else first
            yield Wish(
                tuple((number, role) for number in numbers),
                asked,
                role,
                max(least_chosen(descriptions[number]) for number in numbers),
                usual[numbers[0]].styles[role or "name"].height,
                table.source_of("height"),
            )


def _is_used(role: str, artwork: Artwork) -> bool:
    """Whether anything on the panel follows the height of this role, or of the whole panel."""
    return any(
        (mark.text and (not role or mark.role == role))
        or (mark.role is Role.SYMBOL and role in _SYMBOLS)
        for mark in artwork.marks
    )  # fmt: skip


def _of_texts(descriptions: Sequence[Description], usual: Sequence[Artwork]) -> Iterator[Wish]:
    """One wish for the texts of a role on one baseline; one of its own for each round a hole."""
    alike: dict[tuple[str, str, bool], dict[tuple[int, int], Text]] = {}
    for number, description in enumerate(descriptions):
        for index, text in enumerate(description.text):
            if text.height in (GREATEST, SMALLEST):
                of_row = text.at is not None
                alike.setdefault((text.height, text.role, of_row), {})[number, index] = text
    for (asked, role, of_row), texts in alike.items():
        for row in _rows(texts, descriptions) if of_row else _by_hole(texts):
            number, index = row[0]
            yield Wish(
                tuple(row),
                asked,
                role,
                max(least_chosen(descriptions[number]) for number, _ in row),
                usual[number].styles[role].height,
                texts[number, index].source_of("height"),
            )


def _rows(
    texts: Mapping[tuple[int, int], Text], descriptions: Sequence[Description]
) -> Iterator[list[tuple[int, int]]]:
    """The texts that stand on one baseline, by the panels on which they stand."""
    heights = {}
    for (number, index), text in texts.items():
        assert text.at is not None
        heights[f"{number} {index}"] = descriptions[number].panel.from_datum(text.at)[1]
    for row in clustered(heights, SAME_AXIS):
        numbers = ((int(number), int(index)) for number, index in map(str.split, row))
        yield sorted(numbers)


def _by_hole(texts: Mapping[tuple[int, int], Text]) -> Iterator[list[tuple[int, int]]]:
    """The same text of several units of a panel."""
    for index in sorted({index for _, index in texts}):
        yield sorted(key for key in texts if key[1] == index)


# --- Writing down ---


def granted(
    descriptions: Sequence[Description], heights: Mapping[Wish, float]
) -> list[Description]:
    """The descriptions with these heights, mm, in the place of what was asked for."""
    given: list[dict[Place, float]] = [{} for _ in descriptions]
    for wish, height in heights.items():
        for number, place in wish.places:
            given[number][place] = height
    return [_given(each, found) for each, found in zip(descriptions, given, strict=True)]


def _given(description: Description, heights: Mapping[Place, float]) -> Description:
    if not heights:
        return description
    lettering = description.lettering
    of_roles: dict[str, Any] = {
        place: getattr(lettering, place).model_copy(update={"height": height})
        for place, height in heights.items()
        if isinstance(place, str) and place
    }
    if "" in heights:
        of_roles["height"] = heights[""]
    texts = tuple(
        text.model_copy(update={"height": heights[index]}) if index in heights else text
        for index, text in enumerate(description.text)
    )
    return description.model_copy(
        update={"lettering": lettering.model_copy(update=of_roles), "text": texts}
    )
