"""Define the [bench] table of a description: minutes that each step of the work takes."""

from collections.abc import Iterator

from legend.description.table import Clash, Table
from legend.description.values.number_values import Duration, TimeWindow
from legend.standards import BENCH_MINUTES, LIFTING_WINDOW, UNMASKING_WINDOW


class Bench(Table):
    """How long the work at the bench takes; a bare number is hours."""

    cleaning: Duration = BENCH_MINUTES["cleaning"]
    """To clean the metal, and to stick on what keeps it bare."""
    base_coat: Duration = BENCH_MINUTES["base_coat"]
    """To spray the base coat."""
    base_drying: Duration = BENCH_MINUTES["base_drying"]
    """Until the base coat takes film, or a sheet, without a mark."""
    recoat: TimeWindow | None = None
    """When the base coat can be painted over without wrinkling, as its can says: within the first
    time after it, or not before the second. Left out, the card says to look on the can."""
    per_piece: Duration = BENCH_MINUTES["per_piece"]
    """To put one piece on."""
    top_coat: Duration = BENCH_MINUTES["top_coat"]
    """To spray the top coat."""
    lifting: TimeWindow = LIFTING_WINDOW
    """Between which times after the top coat the letters are lifted: for lift-off."""
    unmasking: TimeWindow = UNMASKING_WINDOW
    """Between which times after the top coat the stencil is taken off: for paint-through."""
    handling: Duration = BENCH_MINUTES["handling"]
    """From the top coat until the panel can be handled."""
    hard: Duration = BENCH_MINUTES["hard"]
    """From the top coat until it is hard."""

    def unsound(self) -> Iterator[Clash]:
        """Windows that close before they open; a panel that is hard before it is dry."""
        windows = [("lifting", self.lifting), ("unmasking", self.unmasking)]
        for key, (opens, closes) in windows:
            if closes < opens:
                yield key, f"has {key} end before it begins; write {key} = [from, to]"
        if self.recoat and self.recoat[1] < self.recoat[0]:
            yield (
                "recoat",
                "has the second time of recoat before the first; write recoat = [within, after], "
                "such as [1, 48]",
            )
        if self.handling < max(self.lifting[1], self.unmasking[1]):
            yield (
                "handling",
                "has the panel handled before the time for taking the mask off is over; "
                "give a longer time for handling",
            )
        if self.hard < self.handling:
            yield "hard", "has the panel hard before it can be handled; give hard a longer time"
