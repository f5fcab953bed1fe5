"""Define the [bench] table of a description: how long each step of the work takes."""

from collections.abc import Iterator

from legend.description.table import Clash, Table
from legend.description.values.length_values import Length
from legend.description.values.number_values import Duration, TimeWindow
from legend.standards import BENCH_MINUTES, LIFTING_WINDOW, UNMASKING_WINDOW

#: A time for each of many small things that is longer than this was meant in another unit, minutes.
_LONGEST_RATE = 60.0
_RATES = ("per_contour", "per_counter", "per_mark")


class Bench(Table):
    """How long the work at the bench takes; a bare number is hours."""

    printing: Duration = BENCH_MINUTES["printing"]
    """To print the overlay, and to measure it."""
    coupon: Duration = BENCH_MINUTES["coupon"]
    """To cut the test coupon, and to look what came out well."""
    per_sheet: Duration = BENCH_MINUTES["per_sheet"]
    """To load one sheet of the stock, and to set the knife."""
    cutting_speed: Length | None = None
    """How far the knife gets in a second, corners and lifting included; a length. Left out, 10 mm
    where the job card says to cut slowly, and else 30 mm."""
    per_contour: Duration = BENCH_MINUTES["per_contour"]
    """To weed along one closed line of the cut, such as "3 s"."""
    per_counter: Duration = BENCH_MINUTES["per_counter"]
    """To pull out one counter, or to see that one dot stays, such as "10 s"."""
    cleaning: Duration = BENCH_MINUTES["cleaning"]
    """To clean the metal, and to stick on what keeps it bare."""
    base_coat: Duration = BENCH_MINUTES["base_coat"]
    """To spray the base coat."""
    base_drying: Duration = BENCH_MINUTES["base_drying"]
    """Until the base coat takes film, or a sheet, without a mark."""
    recoat: TimeWindow | None = None
    """When the base coat can be painted over without wrinkling, as its can says: within the first
    time after it, or not before the second. Left out, the card says to look on the can."""
    trial: Duration = BENCH_MINUTES["trial"]
    """To put the paint trial on its scrap, and to spray it."""
    per_piece: Duration = BENCH_MINUTES["per_piece"]
    """To put one piece on."""
    sealing: Duration = BENCH_MINUTES["sealing"]
    """To seal the edges of film with a thin coat of the base colour, and until that is dull; 0
    leaves it out."""
    top_coat: Duration = BENCH_MINUTES["top_coat"]
    """To spray the top coat, or a clear coat."""
    lifting: TimeWindow = LIFTING_WINDOW
    """Between which times after the top coat the letters are lifted, as the paint trial showed: for
    lift-off. Until it is given, the job card has the trial in it."""
    per_mark: Duration = BENCH_MINUTES["per_mark"]
    """To lift one loose piece of film from the paint, a letter, a dot or a graduation, such as
    "15 s"."""
    unmasking: TimeWindow = UNMASKING_WINDOW
    """Between which times after the top coat the stencil is taken off: for paint-through."""
    clear_coat: TimeWindow | None = None
    """When a clear coat can go over the top coat without wrinkling it, as the cans say: within the
    first time after it, or not before the second. Left out, it is reckoned to wait 48 hours, and
    the card says to look on the can."""
    handling: Duration = BENCH_MINUTES["handling"]
    """From the last coat until the panel can be handled."""
    hard: Duration = BENCH_MINUTES["hard"]
    """From the last coat until it is hard."""

    def unsound(self) -> Iterator[Clash]:
        """Windows that close before they open; a panel that is hard before it is dry; hours where
        seconds were meant."""
        windows = [("lifting", self.lifting), ("unmasking", self.unmasking)]
        for key, (opens, closes) in windows:
            if closes < opens:
                yield key, f"has {key} end before it begins; write {key} = [from, to]"
        for key, times in (("recoat", self.recoat), ("clear_coat", self.clear_coat)):
            if times and times[1] < times[0]:
                yield (
                    key,
                    f"has the second time of {key} before the first; write {key} = [within, after],"
                    " such as [1, 48]",
                )
        if self.handling < max(self.lifting[1], self.unmasking[1]):
            yield (
                "handling",
                "has the panel handled before the time for taking the mask off is over; "
                "give a longer time for handling",
            )
        if self.hard < self.handling:
            yield "hard", "has the panel hard before it can be handled; give hard a longer time"
        for key in _RATES:
            if getattr(self, key) > _LONGEST_RATE:
                yield (
                    key,
                    f"takes more than an hour for {key}, which is for one of many; a bare number "
                    f'is hours, so write seconds as {key} = "10 s"',
                )
