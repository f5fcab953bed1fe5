"""Define the colours of what is not paint; blend colours, and write them as CSS."""

from __future__ import annotations

#: Red, green and blue, each 0 to 255.
Colour = tuple[int, int, int]

BARE_METAL: Colour = (176, 180, 183)
#: What is seen through a hole.
INSIDE: Colour = (24, 24, 26)

#: On a photograph: what is sure or true; what is doubtful; and what is wrong.
GREEN: Colour = (0, 150, 60)
YELLOW: Colour = (196, 136, 0)
RED: Colour = (214, 24, 36)


def blend(one: Colour, other: Colour, share: float) -> Colour:
    """Of `one`, with this share of `other` in it."""
    red, green, blue = (round(a + (b - a) * share) for a, b in zip(one, other, strict=True))
    return red, green, blue


def apart(one: Colour, other: Colour) -> int:
    """How far apart two colours lie: the sum of the differences of their parts, 0 to 765."""
    return sum(abs(a - b) for a, b in zip(one, other, strict=True))


def css(colour: Colour) -> str:
    """The colour as an SVG or HTML file writes it."""
    return "#{:02x}{:02x}{:02x}".format(*colour)
