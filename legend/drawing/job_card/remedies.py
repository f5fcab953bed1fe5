"""Tell what to do when something goes wrong at the bench. Common practice, no source."""

from __future__ import annotations

from legend.description.tables.description import Stencil
from legend.sentences import capitalised

#: What went wrong, and what to do.
Remedy = tuple[str, str]


def remedies(stencil: Stencil, panel: str) -> list[Remedy]:
    """What can go wrong with this method and stock, in the order of the work.

    `panel` is the name of the description that a piece is cut again from.
    """
    if stencil.stock == "sheet":
        return [*_SHEET, *_PAINT]
    again = f"cut it again: `legend cut {panel} --piece` with its number"
    spoiled = f"Take its spare, or {again}." if stencil.copies > 1 else f"{capitalised(again)}."
    method = _LIFTED if stencil.method == "lift-off" else _MASKED
    return [("A piece is spoiled before it is on", spoiled), *_FILM, *method, *_PAINT]


_FILM: tuple[Remedy, ...] = (
    (
        "A piece lies askew",
        "Pull it off flat at once, and put on a new one: film that was stretched never lies true.",
    ),
    (
        "An edge stands up before the paint",
        "Warm the film with your hand, and rub it down through its backing paper. What will not "
        "stay down is put on anew.",
    ),
)
_LIFTED: tuple[Remedy, ...] = (
    (
        "A letter, dot or accent is lost before the paint",
        "Cut its piece again, and lay the one letter of it over the place, by the letters beside "
        "it. First wipe off what the lost one left there.",
    ),
    (
        "Paint strings as a letter lifts",
        "It is too soft: press the letter down again and wait ten minutes. A string that fell on "
        "the letter is picked off when it is dry.",
    ),
    (
        "Paint chips, or an edge is torn",
        "It is too hard: score round the next letters with a new blade before you lift them. When "
        "all is hard, touch the torn edge in with top coat on the finest brush.",
    ),
    (
        "Paint crept under",
        "Leave it until it is hard. Then scrape it off with the side of a blade, towards the "
        "middle of the letter; or touch it over with base coat on the finest brush.",
    ),
    (
        "A letter was lost, and painted over",
        "When all is hard, lay a piece cut for paint-through over the place, mask round it, and "
        "spray the letter in the colour of the base.",
    ),
    (
        "A ghost of film is left: glue, or a dull print",
        "When all is hard, white spirit on a cotton bud, wiped off at once; never the thinner of "
        "the paint. Try it where a part will hide it. A dull print goes with a little polish.",
    ),
)
_MASKED: tuple[Remedy, ...] = (
    (
        "An island is lost before the paint",
        "Cut its piece again, and lay the one island of it, by the edges of its letter.",
    ),
    (
        "Paint tears as the film lifts",
        "It is too hard: score round the next letters with a new blade before you pull on.",
    ),
    (
        "Paint crept under",
        "While it is soft, push it back with a shaped stick, barely damp with thinner. When it is "
        "hard, touch it over with base coat on the finest brush.",
    ),
    (
        "A ghost of film is left: glue, or a dull print",
        "When all is hard, white spirit on a cotton bud, wiped off at once; never the thinner of "
        "the paint. Try it where a part will hide it.",
    ),
)
_SHEET: tuple[Remedy, ...] = (
    (
        "A bridge is torn",
        "Lay a strip of thin tape along it on the front, and trim it to the bridge.",
    ),
    (
        "An edge is blurred",
        "The sheet stood off, or the coat was wet: hold that place down, spray drier and square "
        "on. When it is hard, touch it over with base coat on the finest brush.",
    ),
    (
        "The sheet slipped",
        "While the paint is wet, wipe the whole legend off with thinner that the base coat stands; "
        "try that where a part will hide it.",
    ),
    (
        "Paint builds up on the sheet",
        "Clean it after each panel. Small openings close first: pick them free with a "
        "wooden point.",
    ),
)
_PAINT: tuple[Remedy, ...] = (
    (
        "The paint wrinkles",
        "Spray no more. It has the wrong time after the coat below, or the wrong paint: let all "
        "harden for a week, rub it down, and begin again.",
    ),
)
