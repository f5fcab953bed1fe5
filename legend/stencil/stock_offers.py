"""Offer other stock, turned pieces or smaller ones, for what does not fit the stock."""

from __future__ import annotations

import math
from collections.abc import Iterator

from legend.description.tables.description import Stencil
from legend.layout.remedies.offers import Offer, offer
from legend.lettering.outlines.outline import Box
from legend.standards import INCH

#: Stock is bought in whole steps of so many mm, by the unit of the panel. Common practice, no
#: source.
_STEPS = {"mm": 10.0, "cm": 10.0, "in": INCH / 2}


def turned(stencil: Stencil) -> Iterator[Offer]:
    """Pieces that may be turned by a quarter."""
    if not stencil.turn:
        how, failed = "allow pieces to be turned by a quarter", "to turn them by a quarter does not"
        yield offer(how, ("stencil", "turn"), [True], f"{failed} help")


def less_margin(stencil: Stencil) -> Iterator[Offer]:
    """Stock that is cut up to its edge."""
    if stencil.stock_margin:
        failed = "to leave no margin of the stock does not help"
        yield offer("cut up to the edge of the stock", ("stencil", "stock_margin"), [0.0], failed)


def by_control(stencil: Stencil) -> Iterator[Offer]:
    """Each control on a piece of its own."""
    if stencil.travelling != "control":
        failed = "to give each control a piece of its own does not help"
        how = "give each control a piece of its own"
        yield offer(how, ("stencil", "piece"), ["control"], failed)


def larger(stencil: Stencil, box: Box, units: str) -> Offer:
    """Stock on which a box of this size lies, in whole steps and no smaller than it is now."""
    step = _STEPS[units]
    around = 2 * stencil.stock_margin
    needed = (box[2] - box[0] + around, box[3] - box[1] + around)
    sizes = []
    for more in (0, 1):
        width, length = (
            have if need <= have else (math.ceil(need / step - 1e-6) + more) * step
            for have, need in zip(stencil.stock_size, needed, strict=True)
        )
        sizes.append((width, length))
    how, failed = "take larger stock", "no larger stock helps"
    return offer(how, ("stencil", "stock_size"), list(dict.fromkeys(sizes)), failed)
