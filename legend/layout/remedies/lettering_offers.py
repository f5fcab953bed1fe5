"""Offer taller letters, other strokes and more space, in values that a builder would write.

Heights go up in steps of 0.1 mm, or of 1/64 in on an inch panel; strokes and tracking in
hundredths of the height.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from legend.description.tables.description import LETTERED_ROLES, Description, Text
from legend.layout.artwork import Artwork, Mark
from legend.layout.remedies.offers import Change, Keys, Offer, offer
from legend.layout.styles import least_readable
from legend.length_words import Lengths
from legend.lettering.faces.stroke_face import StrokeFace
from legend.standards import INCH

#: How many steps more than what was reckoned are tried, and how many times as tall at the end: what
#: is reckoned for letters as drawn falls short where they are narrowed, or made smaller, to fit.
_STEPS = (0, 1, 2, 4)
_AMPLE = 1.5
#: Nobody sets letters so many times taller for the sake of one of them. Common practice, no source.
_MOST_TIMES = 2.5
#: The broadest and the finest stroke, and the widest tracking, that a description may ask for.
_STROKES = (0.04, 0.3)
_WIDEST = 2.0


def height_step(units: str) -> float:
    """What heights are given in steps of, mm."""
    return INCH / 64 if units == "in" else 0.1


def heights_from(least: float, units: str) -> list[float]:
    """Heights to try, mm, the least of them no less than this."""
    step = height_step(units)
    first = math.ceil(least / step - 1e-6)
    counts = [first + more for more in _STEPS] + [math.ceil(first * _AMPLE)]
    return [round(count * step, 6) for count in dict.fromkeys(counts)]


def taller(artwork: Artwork, mark: Mark, times: float) -> Iterator[Offer]:
    """A mark, and all that is lettered as it is, so many times as tall or somewhat more."""
    description = artwork.description
    values = heights_from(mark.height * times, description.units)
    failed = "no greater height cures it as things stand"
    if times > _MOST_TIMES:
        wanted = Lengths(description.units).given(values[0])
        values, failed = [], f"it would have to be {wanted} tall"
    for keys in _height_keys(artwork, mark):
        yield offer("set it {} tall", keys, values, failed)


def lower(artwork: Artwork, mark: Mark) -> Iterator[Offer]:
    """A text of a height of its own, or one that takes it, made smaller while it can be read."""
    description = artwork.description
    index = text_of(description, mark)
    if index is None:
        return
    step, least = height_step(description.units), least_readable(description)
    counts = range(math.floor(mark.height / step - 1e-6), math.ceil(least / step - 1e-6) - 1, -1)
    every = max(1, len(counts) // 4)
    values = [round(count * step, 6) for count in counts[::every]]
    keys = ("text", index, "height")
    if values:
        yield offer("set it {} tall", keys, values, "no lesser height that can be read helps")


def stroked(artwork: Artwork, mark: Mark, times: float) -> Iterator[Offer]:
    """Strokes so many times as broad, in a face whose strokes can be chosen."""
    role = role_of(artwork, mark)
    style = artwork.styles[role]
    if not isinstance(style.face, StrokeFace):
        return
    wanted = style.stroke * times
    hundredths = math.ceil(wanted * 100 - 1e-6) if times > 1 else math.floor(wanted * 100 + 1e-6)
    values = [
        (hundredths + (more if times > 1 else -more)) / 100
        for more in range(3)
        if _STROKES[0] <= (hundredths + (more if times > 1 else -more)) / 100 <= _STROKES[1]
    ]
    if values:
        how = "give it a broader stroke" if times > 1 else "give it a finer stroke"
        failed = "no broader stroke" if times > 1 else "no finer stroke"
        keys = ("lettering", role, "stroke")
        yield offer(how, keys, values, f"{failed} can be read and cut")


def lighter(artwork: Artwork, mark: Mark, stroke: float | None, tall: float = 0.0) -> Offer | None:
    """A stroke that was found to open counters, if any was, at this height if it is a new one."""
    if stroke is None:
        return None
    role = role_of(artwork, mark)
    own = Change(("lettering", role, "stroke"), stroke)
    if not tall:
        return Offer(
            "give it a finer stroke", ((own,),), "no finer stroke opens them that can be cut"
        )
    (keys, *_) = _height_keys(artwork, mark)
    tries = tuple((Change(keys, h), own) for h in heights_from(tall, artwork.description.units))
    return Offer("set it {} tall in a finer stroke", tries, "no greater height helps")


def spaced(artwork: Artwork, mark: Mark, lacking: float) -> Iterator[Offer]:
    """More space between letters, by so many mm at least; or as much as the stock needs."""
    description = artwork.description
    role = role_of(artwork, mark)
    own, general = getattr(description.lettering, role), description.lettering
    given = own.tracking if own.tracking is not None else general.tracking
    if given is None:
        return
    table: Keys = ("lettering", role) if own.tracking is not None else ("lettering",)
    yield offer(
        "let the program part what stands too near",
        (*table, "tracking"),
        [None],
        "leaving tracking out does not help",
    )
    first = math.ceil((given + lacking / mark.height) * 100 - 1e-6)
    values = [(first + more) / 100 for more in (0, 1, 3, 8) if (first + more) / 100 <= _WIDEST]
    yield offer(
        "space its letters wider",
        ("lettering", role, "tracking"),
        values,
        "no more tracking helps",
    )


def role_of(artwork: Artwork, mark: Mark) -> str:
    """The role whose lettering a mark has; of a symbol that of what it stands for."""
    own = [each for each in artwork.description.control if each.hole == mark.owner]
    if any(each.scale and each.scale.unit == mark.text for each in own):
        return "numeral"
    if mark.role in LETTERED_ROLES:
        return str(mark.role)
    if any(each.name.strip() != mark.text.strip() for each in own):
        return "position"
    return "name"


def _height_keys(artwork: Artwork, mark: Mark) -> list[Keys]:
    """Where the height of a mark is set: its own, or that of its role."""
    description = artwork.description
    index = text_of(description, mark)
    if index is not None and description.text[index].height is not None:
        return [("text", index, "height")]
    return [("lettering", role_of(artwork, mark), "height")]


def text_of(description: Description, mark: Mark) -> int | None:
    """The number of the text that a mark is, if it is one."""

    def is_it(text: Text) -> bool:
        return not mark.owner and text.source == mark.source and text.text == mark.text

    return next((i for i, text in enumerate(description.text) if is_it(text)), None)
