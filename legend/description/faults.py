"""Define the faults of a description, and the error that carries all of them at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from legend.description.source import Source
from legend.failures import PlainError
from legend.sentences import capitalised, printable


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One thing that is wrong, where, and what would be right: a whole plain sentence."""

    source: Source
    message: str

    def __str__(self) -> str:
        """One line, whatever of the user's it quotes."""
        return printable(f"{self.source}: {self.message}")


class DescriptionError(PlainError):
    """A description that cannot be read: all of its faults, file by file and line by line.

    >>> error = DescriptionError([Fault(Source("panel.toml", 3), "There is no hole Z.")])
    >>> print(error)
    panel.toml:3: There is no hole Z.
    """

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(set(faults)))
        super().__init__("\n".join(str(fault) for fault in self.faults))


def meant(written: str, choices: Iterable[str], allowed: str) -> str:
    """The end of a sentence about a wrong name: the likeliest right one, and what is allowed.

    >>> meant("knbo", ["knob", "lamp"], "it may be knob or lamp")
    '; did you mean "knob"? It may be knob or lamp'
    >>> meant("x", ["knob", "lamp"], "it may be knob or lamp")
    '; it may be knob or lamp'
    """
    near = likeliest(written, choices)
    return f'; did you mean "{near}"? {capitalised(allowed)}' if near else f"; {allowed}"


def likeliest(written: str, choices: Iterable[str], like: float = 0.6) -> str | None:
    """The choice that is most like what was written, if any is like it at all.

    `like` is how alike they must be, from 0 to 1, the same.
    """
    import difflib

    by_low = {choice.lower(): choice for choice in choices}
    near = difflib.get_close_matches(written.strip().lower()[:100], by_low, n=1, cutoff=like)
    return by_low[near[0]] if near else None
