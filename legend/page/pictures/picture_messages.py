"""Define what the page and the server say to each other about pictures, as `legend.page.messages`.

The pictures themselves do not go over the socket: each is sent to `pictures?name=NAME` by itself,
and the answer is `{"picture": NUMBER}`. Lengths are mm in panel coordinates; outlines are path data
in the drawing's coordinates.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Point = tuple[float, float]

# --- From the page ---


@dataclass(frozen=True, slots=True)
class See:
    """Look at pictures that were sent: at the `holes` of the panel, or at the laid `letters`.

    Several pictures of holes are averaged. The panel is that of the text of `revision`.
    """

    ask: int
    revision: int
    of: str
    pictures: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class StopSeeing:
    """Stop what is being seen now; who asked for it is refused."""


@dataclass(frozen=True, slots=True)
class TakeOver:
    """Write the holes that were seen beside the description, and name them in the text."""

    ask: int
    revision: int
    seen: int


# --- From the server ---


@dataclass(frozen=True, slots=True)
class SeenThing:
    """A hole or a piece of letters: what it is called, how it stands, and where.

    `standing` says how it is drawn: `true` as it should be; `doubtful`, to be looked at; `off`, not
    as it should be; `missing`; `extra`, none of the panel's. `short` is that in a word or two,
    `words` in whole sentences. `wanted` and `seen` are outlines, "" where there is none.
    """

    name: str
    standing: Literal["true", "doubtful", "off", "missing", "extra"]
    short: str
    words: str
    at: Point
    box: tuple[float, float, float, float]
    hole: str = ""
    wanted: str = ""
    seen: str = ""


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen in pictures: in a sentence, thing by thing, and what was taken for granted.

    `number` is that of what was seen, and `picture` the address of a picture of it. `top` is the
    height of the panel that its outlines are drawn for, the top edge at 0. `take_over` is what the
    button says by which the holes are taken over, "" where there is nothing to take over.
    """

    ask: int
    number: int
    of: Literal["holes", "letters"]
    words: str
    things: tuple[SeenThing, ...]
    assumed: tuple[str, ...]
    picture: str
    top: float
    take_over: str = ""
