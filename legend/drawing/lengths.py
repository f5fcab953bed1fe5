"""Lengths in mm in; how a drawing or the job card says them, in the description's units, out.

In inches everything is told to a thousandth.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from legend.description.hole import Hole
from legend.description.schema import Description
from legend.layout.openings import hole_size
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

    def column(self, lengths: Iterable[float]) -> list[str]:
        """Lengths below each other: in mm to a tenth, or to a hundredth where one needs it."""
        lengths = list(lengths)
        fine = any(self.fine(mm) != f"{self(mm)}0" for mm in lengths)
        return [self.fine(mm) if fine else self(mm) for mm in lengths]

    def _written(self, mm: float, decimals: int) -> str:
        value, decimals = (mm / INCH, 3) if self.unit == "in" else (mm, decimals)
        # Adding 0 turns -0 into 0.
        return f"{round(value, decimals) + 0:.{decimals}f}".replace("-", "−")


def size_in_words(hole: Hole, lengths: Lengths) -> str:
    """The size of a hole as a drawing says it: Ø 9.5, or 40 × 18."""
    if hole.drill is not None:
        return f"Ø {lengths.exact(hole.drill)}"
    return " × ".join(map(lengths.exact, hole_size(hole)))


def panel_size(description: Description) -> str:
    """Width and height of the panel, with their unit."""
    lengths = Lengths(description.units)
    return f"{' × '.join(map(lengths.exact, description.panel.size))} {lengths.unit}"
