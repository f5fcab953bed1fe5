"""What a stock can carry: the `[stencil]` table in, its least sizes out."""

from __future__ import annotations

from dataclasses import dataclass

from legend.description.schema import Stencil
from legend.standards import STOCK_LIMITS


@dataclass(frozen=True, slots=True)
class StockLimits:
    """The least sizes, mm, that a stock keeps when it is cut, weeded and painted.

    `margin` is the room from the marks of a piece to its weeding box; `registration` the even
    gap between a hole and the disc that sits in it.
    """

    stroke: float
    counter: float
    gap: float
    bridge: float
    margin: float
    registration: float


def limits(stencil: Stencil) -> StockLimits:
    """The least sizes of the chosen stock, those given in the description first."""
    usual = STOCK_LIMITS[stencil.stock]
    return StockLimits(
        stroke=stencil.least_stroke or usual["stroke"],
        counter=stencil.least_counter or usual["counter"],
        gap=stencil.least_gap or usual["gap"],
        bridge=stencil.least_bridge or usual["bridge"],
        margin=usual["margin"] if stencil.margin is None else stencil.margin,
        registration=usual["registration"],
    )
