"""Format lengths in the units of the description, for drawings and the job card.

In inches everything is told to a thousandth.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from legend.description.tables.description import Description
from legend.layout.artwork import BareDisc
from legend.standards import INCH


@dataclass(frozen=True, slots=True)
class Lengths:
    """Lengths as text, by the `units` of a description: mm, cm (told in mm), or in."""

    units: str

    @property
    def unit(self) -> str:
        """What all lengths are told in: mm or in."""
        return "in" if self.units == "in" else "mm"

    def __call__(self, mm: float) -> str:
        """A length in a table, in mm to a tenth."""
        return self._written(mm, 1)

    def fine(self, mm: float) -> str:
        """A small length, in mm to a hundredth."""
        return self._written(mm, 2)

    def signed(self, mm: float) -> str:
        """A small length with its sign, where it is not nothing."""
        text = self.fine(mm)
        return f"+{text}" if mm > 0 and text.strip("0.") else text

    def short(self, mm: float) -> str:
        """A length in running words: without the noughts that only a table needs."""
        return self(mm).rstrip("0").rstrip(".")

    def exact(self, mm: float) -> str:
        """A length as it was given, in mm to a hundredth, without noughts that tell nothing."""
        return self.fine(mm).rstrip("0").rstrip(".")

    def column(self, lengths: Iterable[float]) -> list[tuple[str, str]]:
        """Lengths below each other, exact, and what each lacks of the decimals of the longest.

        That is to be set unseen after it, so that their points stand below each other.
        """
        exact = [self.exact(mm) for mm in lengths]
        decimals = [text.partition(".")[2] for text in exact]
        most = max(map(len, decimals), default=0)
        return [
            (text, ("" if own else "." * (most > 0)) + "0" * (most - len(own)))
            for text, own in zip(exact, decimals, strict=True)
        ]

    def _written(self, mm: float, decimals: int) -> str:
        value, decimals = (mm / INCH, 3) if self.unit == "in" else (mm, decimals)
        # Adding 0 turns -0 into 0.
        return f"{round(value, decimals) + 0:.{decimals}f}".replace("-", "−")


def disc_in_words(disc: BareDisc, lengths: Lengths) -> str:
    """The diameter of a disc that keeps paint off, or both sides of a plug: 12, or 16 × 8."""
    sides = disc.size[:1] if disc.what == "disc" else disc.size
    return " × ".join(map(lengths.exact, sides))


def panel_size(description: Description) -> str:
    """Width and height of the panel, or its diameter, with the unit."""
    lengths = Lengths(description.units)
    return f"{description.panel.words(lengths.exact)} {lengths.unit}"
