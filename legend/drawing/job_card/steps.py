"""Schedule the work at the bench, step by step, with the time that each step takes.

The times are those of the description's [bench].
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from legend.drawing.length_words import disc_in_words
from legend.layout.artwork import Artwork
from legend.length_words import Lengths
from legend.standards import RECOAT_WRINKLES
from legend.stencil.corner_marks import how_laid
from legend.stencil.sheet import Cut, Piece

#: Thin coats that make a base coat, and a top coat. Common practice, no source.
BASE_COATS, TOP_COATS = 3, 2

_COUNT = {2: "Two", 3: "Three"}
#: In English whatever the locale, by which `strftime` would go.
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]


@dataclass(frozen=True, slots=True)
class Step:
    """One step: what to do, how, and between which minutes from the start.

    `window` tells that it must be done within these times, not that it takes them.
    """

    title: str
    how: tuple[str, ...]
    begin: float
    end: float
    window: bool = False


@dataclass(frozen=True, slots=True)
class _Way:
    """What differs from one way of masking to another: each step its title, and then how."""

    drying: str
    masking: tuple[str, ...]
    unmasking: tuple[str, ...]


_TRY_A_SCRAP = (
    "Leave it lying flat, free of dust. Try a scrap of film where a part will hide it: "
    "it must not lift the paint."
)
_LETTERS_OF_FILM = _Way(
    _TRY_A_SCRAP,
    (
        "Put the letters on",
        "Weed each piece down to its letters, the counters as well. Take it up with transfer "
        "tape, and lay it down by the overlay, through its window in a placement card, or by "
        "its distances from the edges of the panel: they are in the table of pieces.",
        "The disc in each hole shows that the piece is centred: the gap is even all round. "
        "Rub down, peel the tape back flat on itself, and look for edges that stand up.",
    ),
    (
        "Lift the letters",
        "While the top coat is still soft: sooner it strings, later it chips.",
        "Raise an end with the point of a blade, and pull it back flat on itself with "
        "tweezers. Wipe the blade often.",
    ),
)
_STENCIL_OF_FILM = _Way(
    _TRY_A_SCRAP,
    (
        "Put the stencil on",
        "Weed the letters out of each piece and leave their islands; take it up with transfer "
        "tape, and lay it down by the circle and the cross lines on its hole.",
        "Rub down, peel the tape back flat on itself, and mask the rest of the panel with paper.",
    ),
    (
        "Take the stencil off",
        "While the paint is still soft. Pull back flat; then the islands, with tweezers.",
    ),
)
_STENCIL_OF_SHEET = _Way(
    "Leave it lying flat, free of dust, until the stencil leaves no print in it.",
    (
        "Pin the stencil on",
        "Bolt each piece to the panel through its holes, hold it flat, and mask the rest of "
        "the panel with paper.",
    ),
    ("Take the stencil off", "Straight up. Clean the sheet before the paint sets."),
)


def steps_of(artwork: Artwork, pieces: Sequence[Piece]) -> list[Step]:
    """The steps for the method and the stock of this artwork, in order."""
    stencil, times = artwork.description.stencil, artwork.description.bench
    lift_off = stencil.method == "lift-off"
    of_film = _LETTERS_OF_FILM if lift_off else _STENCIL_OF_FILM
    way = _STENCIL_OF_SHEET if stencil.stock == "sheet" else of_film
    steps = []
    now = 0.0
    for title, how, takes in _up_to_the_top_coat(artwork, way, pieces):
        steps.append(Step(title, how, now, now + takes))
        now += takes
    opens, closes = (now + time for time in (times.lifting if lift_off else times.unmasking))
    handled = now + times.handling
    alone = (
        "Do not stack it, wrap it or warm it.",
        f"It can be handled after {_span(times.handling)}; it is hard after {_span(times.hard)}.",
    )
    fit = ("Put washers under the nuts, so that they do not turn the paint.",)
    title, *unmask = way.unmasking
    return [
        *steps,
        Step(title, (*unmask, *_with_the_discs(artwork, on=False)), opens, closes, window=True),
        Step("Leave it alone", alone, closes, handled),
        Step("Fit the parts", fit, handled, handled),
    ]


def _up_to_the_top_coat(
    artwork: Artwork, way: _Way, pieces: Sequence[Piece]
) -> list[tuple[str, tuple[str, ...], float]]:
    """Steps that follow each other: what each is called, how it is done, and what it takes."""
    finish, times = artwork.description.finish, artwork.description.bench
    clean = "Rub it down, wipe it with solvent, and do not touch the face again."
    base = (
        f"Colour {finish.base_called}. {_COUNT[BASE_COATS]} thin coats, each dull before the next."
    )
    top = (
        f"Colour {finish.top_called}. {_COUNT[TOP_COATS]} thin, nearly dry coats, square on to the "
        "panel; a wet coat creeps under the edges.",
        "Note the time when the last coat is on: what follows counts from it.",
        _as_the_can_says(times.recoat, times.base_drying + times.per_piece * len(pieces)),
    )
    title, *mask = way.masking
    lengths = Lengths(artwork.description.units)
    by_corners = how_laid(pieces, artwork.description.stencil, lengths)
    how = (*mask, by_corners, *_over_the_plugs(artwork, pieces))
    return [
        ("Clean the metal", (clean, *_with_the_discs(artwork, on=True)), times.cleaning),
        ("Spray the base coat", (base,), times.base_coat),
        ("Let the base coat dry", (way.drying,), times.base_drying),
        (title, tuple(filter(None, how)), times.per_piece * len(pieces)),
        ("Spray the top coat", top, times.top_coat),
    ]


def _as_the_can_says(recoat: tuple[float, float] | None, after: float) -> str:
    """Where the top coat falls in the time in which the base coat must not be painted over.

    `after` is how long after the base coat it begins, minutes; `recoat` are the moments between
    which it would wrinkle.
    """
    if recoat is None:
        within, not_before = (minutes / 60 for minutes in RECOAT_WRINKLES)
        return (
            "Look on the can when the base coat can be painted over: many paints wrinkle where "
            f"that is done between {within:g} and {not_before:g} hours after it."
        )
    within, not_before = recoat
    begins = f"By this plan it begins {_elapsed(after)} after the base coat"
    if after >= not_before:
        return f"{begins}: rightly not before {_span(not_before)}, as the base coat wants."
    wrinkles = f"{_span(within)} to {_span(not_before)} after it the base coat wrinkles"
    if within and after <= within:
        return f"{begins}, within the {_span(within)} that it takes; {wrinkles}."
    wrinkles = wrinkles if within else f"up to {_span(not_before)} after it the base coat wrinkles"
    return f"Do not spray yet. {begins}, but {wrinkles}: wait until {_span(not_before)} are over."


def _with_the_discs(artwork: Artwork, on: bool) -> tuple[str, ...]:
    """What is done with the discs that keep metal bare, where there are any."""
    kinds = Counter(disc.what for disc in artwork.bare_discs)
    if not kinds:
        return ()
    called = " and ".join(f"{kind}s" if kinds[kind] > 1 else kind for kind in sorted(kinds))
    if not on:
        return (f"Peel the bare-metal {called} off as well.",)
    lengths = Lengths(artwork.description.units)
    discs = [
        f"{disc.bare.hole} ({disc_in_words(disc, lengths)} {lengths.unit})"
        for disc in artwork.bare_discs
    ]
    return (f"Stick the bare-metal {called} on: {', '.join(discs)}.",)


def _over_the_plugs(artwork: Artwork, pieces: Sequence[Piece]) -> tuple[str, ...]:
    """What pieces are brought to whose hole is under a plug, where there are any."""
    if artwork.description.stencil.stock == "sheet":
        return ()
    plugs = [disc for disc in artwork.bare_discs if disc.what == "plug"]
    return tuple(
        f"The hole {plug.bare.hole} is under its plug: bring piece {piece.number} to the edge of "
        "that, which shows under the paint."
        for plug in plugs
        for piece in pieces
        if any(
            path.cut is Cut.REGISTRATION and plug.outline.shape.covers(path.outline.shape)
            for path in piece.paths
        )
    )


def clock_times(step: Step, start: datetime | None) -> tuple[str, str]:
    """When a step begins and ends: by the clock from `start`, or in hours from the first."""
    if start is None:
        return _elapsed(step.begin), _elapsed(step.end)
    begin, end = (start + timedelta(minutes=m) for m in (step.begin, step.end))
    return _day_and_time(begin), _day_and_time(end)


def _elapsed(minutes: float) -> str:
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest:02}"


def _day_and_time(at: datetime) -> str:
    return f"{_DAYS[at.weekday()]} {at.day} {_MONTHS[at.month - 1]}, {at:%H:%M}"


def _span(minutes: float) -> str:
    units = [("day", 24 * 60.0), ("hour", 60.0), ("minute", 1.0)]
    unit, length = next((u for u in units if minutes >= 2 * u[1]), units[-1])
    count = round(minutes / length, 2)
    return f"{count:g} {unit}{'' if count == 1 else 's'}"
