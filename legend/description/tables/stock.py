"""Look up the least sizes that a stencil stock can carry, and the roles that are bridged.

The layout checks marks against them; the stencil is cut by them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from legend.description.tables.description import LETTERED_ROLES, Description, Stencil
from legend.standards import BRIDGE_PER_HEIGHT, FILM_LIMITS, SHEET_LIMITS


@dataclass(frozen=True, slots=True)
class StockLimits:
    """The least sizes of a stock, all in mm.

    `stroke` is the least width of what is painted, `counter` the least width of an enclosed
    part, `gap` the least distance between two cuts, `bridge` the least width of a bridge.
    `margin` is the stock left round the marks of a piece, `registration_gap` the gap all
    round a disc in its hole, and `free_edge` the longest edge that lies flat untied.
    `bridge_per_height` is the width of a bridge over the height of its letter, where that is more.
    """

    stroke: float
    counter: float
    gap: float
    bridge: float
    margin: float
    registration_gap: float
    free_edge: float
    bridge_per_height: float = BRIDGE_PER_HEIGHT


def limits(stencil: Stencil) -> StockLimits:
    """The limits of the stock in use: those of the description, or else the usual ones."""
    usual = FILM_LIMITS if stencil.stock == "film" else SHEET_LIMITS
    given = {
        "stroke": stencil.least_stroke,
        "counter": stencil.least_counter,
        "gap": stencil.least_gap,
        "bridge": stencil.least_bridge,
        "margin": stencil.margin,
    }
    return StockLimits(**usual | {key: value for key, value in given.items() if value is not None})


def limits_for(description: Description, role: str) -> StockLimits:
    """The limits of the stock in use for marks of a role, whose bridges may be of a width of their
    own.
    """
    lettering, least = description.lettering, limits(description.stencil)
    own = getattr(lettering, role).bridge if role in LETTERED_ROLES else None
    asked = lettering.bridge if own is None and role in LETTERED_ROLES else own
    return least if asked is None else replace(least, bridge=asked, bridge_per_height=0.0)


def bridged_roles(description: Description) -> set[str]:
    """The roles of the marks that are bridged: all on rigid stock, or those that are to look so."""
    lettering = description.lettering
    if description.stencil.stock == "sheet":
        return {*LETTERED_ROLES, "graduation", "frame", "rule", "symbol"}
    own = {role: getattr(lettering, role).bridged for role in LETTERED_ROLES}
    asked = {
        role for role in LETTERED_ROLES if own[role] or (own[role] is None and lettering.bridged)
    }
    return asked | {"symbol"} if lettering.bridged else asked
