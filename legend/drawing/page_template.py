"""Load the templates of HTML pages, in which whatever the user wrote is escaped."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jinja2 import Template


@cache
def page_template(file: Path, **filters: Callable[[str], str]) -> Template:
    """The template in a file, which may include others from its folder; with filters by name.

    It is compiled once and kept, since that takes longer than most pages take to be filled in.
    """
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        keep_trailing_newline=True,
        loader=FileSystemLoader(file.parent),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= filters
    return environment.get_template(file.name)
