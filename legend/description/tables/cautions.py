"""List the safety cautions for whoever carries the work out."""

from __future__ import annotations

from legend.description.tables.description import Description


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
    """Whether a control says that mains is behind it, or is a fuse or an inlet."""
    return any(control.mains or control.kind in _OF_MAINS for control in description.control)


#: Kinds that have mains behind them, whether they say so or not.
_OF_MAINS = ("fuse", "inlet")
