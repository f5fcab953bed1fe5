"""Parse TOML text into plain tables, and report what is wrong with its syntax."""

from __future__ import annotations

import re
import tomllib

from legend.description.faults import Fault
from legend.description.reading.explaining.toml_repair import Parsed, mended
from legend.description.source import Source

#: A key of so many parts is no key of a description, and takes the parser very long to read.
_ENDLESS_KEY = r"""(?<![\w"'.-])(?:[\w"'-]+\s*\.\s*){64}"""


def parse_toml(text: str, file: str) -> Parsed:
    """Read a TOML text as far as it can be read."""
    endless = re.search(_ENDLESS_KEY, text)
    if endless:
        line = text.count("\n", 0, endless.start()) + 1
        what = "A key here has more parts, with points between them, than any that there is."
        return Parsed({}, "", text, (Fault(Source(file, line), what),))
    try:
        return Parsed(tomllib.loads(text), text)
    except (tomllib.TOMLDecodeError, ValueError, RecursionError):
        return mended(text, file)
