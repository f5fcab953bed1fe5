"""List the safety cautions for whoever carries the work out."""

from __future__ import annotations

import re

from legend.description.tables.description import Description
from legend.lettering.symbols.names import spelt
from legend.standards import EXTRA_LOW_VOLTAGE


def cautions(description: Description) -> tuple[str, ...]:
    """The cautions that apply to a panel, each a whole sentence or two."""
    always = (
        "Solvent paint needs moving air and a respirator with the right cartridges. "
        "Keep it from flames.",
        "Blades cut: push away from your hand, and change the blade while it is still whole.",
    )
    mains = (
        "A panel with mains or high voltage behind it must be bonded, fused and marked as the "
        "local code requires, by someone licensed to do so.",
    )
    return (
        *always,
        *(mains if has_mains(description) else ()),
        "Legends made with this program are no safety certification.",
    )


def has_mains(description: Description) -> bool:
    """Whether mains or high voltage is behind a panel: a control says so, or is a fuse or an inlet,
    or a legend warns of dangerous voltage or tells of so many volts.
    """
    controls = description.control
    if any(control.mains or control.kind in _OF_MAINS for control in controls):
        return True
    words = [text.text for text in description.text]
    words += [group.name for group in description.group]
    words += [said for control in controls for said in (control.name, control.note)]
    return any(map(tells_of_danger, words))


#: Kinds that have mains behind them, whether they say so or not.
_OF_MAINS = ("fuse", "inlet")
#: Symbols that warn of it.
_SIGNS = ("symbol:dangerous-voltage", "symbol:electric-shock")
_VOLTS = re.compile(r"(\d+(?:[.,]\d+)?)\s*(k?)V(?![^\W_])")
#: The rating of a fuse, which tells what it would stand and not what is there.
_RATING = re.compile(r"\d\s*m?A\s*[EHL]?\s*\d+\s*V")


def tells_of_danger(text: str) -> bool:
    """Whether a legend warns of dangerous voltage, or tells of so many volts."""
    if any(sign in spelt(text) for sign in _SIGNS):
        return True
    volts = (
        float(number.replace(",", ".")) * (1000 if kilo else 1)
        for number, kilo in _VOLTS.findall(_RATING.sub("", text))
    )
    return any(each > EXTRA_LOW_VOLTAGE for each in volts)
