"""Load the pages of the handbook by name, and list the titles of their sections."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

_FOLDER = Path(__file__).parent

#: Every page: a file of Markdown.
PAGES = {name: _FOLDER / f"{name}.md" for name in ("description", "checks")}


def page(name: str) -> str:
    """A page as it is read: without the markers of what is made. Error: KeyError."""
    text = PAGES[name].read_text(encoding="utf-8")
    return re.sub(r"<!-- .*? -->\n+", "", text)


def sections(name: str) -> Iterator[str]:
    """The titles of the sections of a page, in order."""
    return (title for title in re.findall(r"^## (.+)$", page(name), re.MULTILINE))
