"""Form plain sentences for the user: lists, counts, capitals and printable texts."""

from __future__ import annotations

from collections.abc import Iterable


def capitalised(text: str) -> str:
    """The text with a capital at its beginning."""
    return text[:1].upper() + text[1:]


def sentence(text: str) -> str:
    """The text with a capital at its beginning and a stop at its end."""
    text = capitalised(text)
    return text if text.endswith((".", "?", "!")) else text + "."


def listed(names: Iterable[str], last: str = "and") -> str:
    """Names in a row, as a sentence has them: a, b and c. Error: ValueError for none."""
    *most, end = names
    return f"{', '.join(most)} {last} {end}" if most else end


def counted(count: int, word: str) -> str:
    """So many of what the word stands for.

    >>> counted(1, "piece"), counted(3, "piece")
    ('1 piece', '3 pieces')
    """
    return f"{count} {word}{'' if count == 1 else 's'}"


def printable(text: str) -> str:
    """The text on one line, whatever of the user's it quotes: what cannot be printed, as �."""
    return "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in text)
