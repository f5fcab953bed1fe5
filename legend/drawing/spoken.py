"""Say a legend's words as somebody would read them out."""

from __future__ import annotations

import re


def spoken(text: str) -> str:
    """The text with its symbols named as one would say them."""
    return re.sub(r"symbol:([\w-]+)", lambda m: m[1].replace("-", " ") + " symbol", text)
