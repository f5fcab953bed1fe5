"""List what is measured and read at the bench, with lines to write it on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from legend.description.tables.description import Description
from legend.length_words import Lengths
from legend.standards import INCH, TRIAL_EVERY
from legend.stencil.coupon.paint_trial import FRAMES
from legend.stencil.test_square import side_in_words

#: The bars of the overlay: those of each unit, mm.
_BARS = {"mm": 100.0, "in": 4 * INCH}


@dataclass(frozen=True, slots=True)
class Blank:
    """What is found out, what is written, each with a line to write on, and what it is for."""

    what: str
    lines: tuple[str, ...]
    used: str


def blanks(description: Description) -> Iterator[Blank]:
    """What is filled in by hand, in the order of the work."""
    lengths, stencil = Lengths(description.units), description.stencil
    bar = lengths.given(_BARS[lengths.unit])
    yield Blank(
        f"Bars of the overlay, {bar}",
        ("across", "up"),
        "`--correction`: what is lacking, in per cent",
    )
    yield Blank(
        f"Test square, {side_in_words(lengths)}", ("across", "along"), "`measured` in `[stencil]`"
    )
    last = ("counter", "least_counter") if stencil.stock == "film" else ("bridge", "least_bridge")
    yield Blank(
        "Finest that came out whole",
        ("stroke", "gap", last[0]),
        f"`least_stroke`, `least_gap`, `{last[1]}` in `[stencil]`",
    )
    over = ("within", "or after")
    yield Blank("Base coat, by its can: a coat over it", over, "`recoat` in `[bench]`")
    if description.finish.has_clear:
        yield Blank("Top coat, by its can: a clear coat", over, "`clear_coat` in `[bench]`")
    last_coat = "Clear coat" if description.finish.has_clear else "Top coat"
    yield Blank(
        f"{last_coat}, by its can", ("to be handled", "hard"), "`handling`, `hard` in `[bench]`"
    )
    yield Blank("Last coat of the base, of the top", ("base", "top"), "the times of the steps")
    if stencil.stock == "film":
        off = "Letters to be lifted" if stencil.method == "lift-off" else "Film to be taken off"
        yield Blank(off, ("from", "to"), "reckoned from the last top coat")
    yield Blank("The day", ("warmth", "damp"), "cold or damp, paint takes longer")


def trial_letters() -> list[tuple[str, int]]:
    """The letters of the paint trial, and when each is lifted, minutes after the last coat."""
    letters = enumerate("".join(FRAMES), 1)
    return [(letter, round(TRIAL_EVERY * number)) for number, letter in letters]
