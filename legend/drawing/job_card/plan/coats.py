"""Tell where coats fall in the times in which the coat below must not be painted over."""

from __future__ import annotations

from legend.description.tables.description import Description
from legend.drawing.job_card.plan.time_words import elapsed, span
from legend.standards import RECOAT_WRINKLES

#: Thin coats that make a base coat, and a top coat. Common practice, no source.
BASE_COATS, TOP_COATS = 3, 2


def seals(description: Description) -> bool:
    """Whether the edges of the film are sealed with the base colour before the top coat.

    Not where the base coat must not be painted over as soon as the top coat then follows.
    """
    recoat, takes = description.bench.recoat, description.bench.sealing
    if description.stencil.stock != "film" or not takes:
        return False
    return recoat is None or not recoat[0] < takes < recoat[1]


def why_not_sealed(description: Description) -> str:
    """Why the edges are not sealed, where they would be but for what the can says."""
    recoat, takes = description.bench.recoat, description.bench.sealing
    if description.stencil.stock != "film" or not takes or recoat is None or seals(description):
        return ""
    return (
        "The edges of the film are not sealed with the base colour first: its can forbids a top "
        "coat so soon after it. Make the first coat all but dry, a mist from further off."
    )


def on_the_base_coat(recoat: tuple[float, float] | None, after: float) -> str:
    """Where the coat that follows falls in the time in which the base coat must not be painted.

    `after` is how long after the base coat it begins, minutes; `recoat` are the moments between
    which it would wrinkle, and between which no plan has it.
    """
    if recoat is None:
        within, not_before = (minutes / 60 for minutes in RECOAT_WRINKLES)
        return (
            "Look on the can when the base coat can be painted over: many paints wrinkle where "
            f"that is done between {within:g} and {not_before:g} hours after it. By this plan it "
            f"is done {elapsed(after)} after it."
        )
    within, not_before = recoat
    begins = f"By this plan it begins {elapsed(after)} after the base coat"
    if after >= not_before:
        return f"{begins}: rightly not before {span(not_before)}, as the base coat wants."
    return (
        f"{begins}, within the {span(within)} that it takes; {span(within)} to {span(not_before)} "
        "after it the base coat wrinkles."
    )


def on_the_seal(recoat: tuple[float, float] | None, after: float) -> str:
    """Where the top coat falls in that time after the sealing coat, which is of the same paint."""
    if recoat is None:
        return "Go on with the top coat as soon as it is dull, well within the hour."
    within, not_before = recoat
    if after >= not_before:
        return f"The top coat follows not before {span(not_before)}, as the base coat wants."
    return (
        f"The top coat follows {span(after)} after it, within the {span(within)} that the base "
        "coat takes: do not let it wait longer."
    )


def clear_begins(description: Description, unmasked: float) -> float:
    """When the clear coat can begin, in minutes after the top coat, if by `unmasked` it is free."""
    within, not_before = description.bench.clear_coat or (0.0, RECOAT_WRINKLES[1])
    return unmasked if unmasked <= within else max(not_before, unmasked)
