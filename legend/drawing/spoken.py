"""Say a legend's words as somebody would read them out."""

from __future__ import annotations

import re

from legend.description.tables.description import Description


def spoken(text: str) -> str:
    """The text with its symbols named as one would say them."""
    return re.sub(r"symbol:([\w-]+)", lambda m: m[1].replace("-", " ") + " symbol", text)


def called_by_hole(description: Description) -> dict[str, str]:
    """What each hole is called: by the name of its control, and its own where it differs."""
    called: dict[str, str] = {}
    for control in description.control:
        name = spoken(" ".join(control.name.split()))
        same = not name or name.casefold() == control.hole.casefold()
        called.setdefault(control.hole, control.hole if same else f"{name} ({control.hole})")
    return called
