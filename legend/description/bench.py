"""The [bench] table of a description: how long each step of the work takes."""

from __future__ import annotations

from collections.abc import Iterator

from legend.description.table import Clash, Table
from legend.description.values import Duration, TimeWindow
from legend.standards import BENCH_MINUTES, LIFTING_WINDOW, UNMASKING_WINDOW


class Bench(Table):
    """How long the work at the bench takes, in minutes; a bare number of the file is hours.

    `lifting` and `unmasking` are counted from the end of spraying the top coat: letters are
    lifted within the one, a stencil that was painted through is taken off within the other.
    """

    cleaning: Duration = BENCH_MINUTES["cleaning"]
    base_coat: Duration = BENCH_MINUTES["base_coat"]
    base_drying: Duration = BENCH_MINUTES["base_drying"]
    per_piece: Duration = BENCH_MINUTES["per_piece"]
    top_coat: Duration = BENCH_MINUTES["top_coat"]
    lifting: TimeWindow = LIFTING_WINDOW
    unmasking: TimeWindow = UNMASKING_WINDOW
    handling: Duration = BENCH_MINUTES["handling"]
    hard: Duration = BENCH_MINUTES["hard"]

    def unsound(self) -> Iterator[Clash]:
        """Windows that close before they open; a panel that is hard before it is dry."""
        for key, (opens, closes) in (("lifting", self.lifting), ("unmasking", self.unmasking)):
            if closes < opens:
                yield key, f"has {key} end before it begins; write {key} = [from, to]"
        if self.handling < max(self.lifting[1], self.unmasking[1]):
            yield (
                "handling",
                "has the panel handled before the time for taking the mask off is over; "
                "give a longer time for handling",
            )
        if self.hard < self.handling:
            yield "hard", "has the panel hard before it can be handled; give hard a longer time"
