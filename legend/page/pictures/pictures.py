"""Have pictures that pages send looked at, one after the other, and keep what was seen in them."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable

from legend.failures import PlainError
from legend.page.messages import Change, Progress
from legend.page.pictures.picture_messages import See, Seen, TakeOver
from legend.page.pictures.seer import Sight
from legend.page.pictures.uploads import Uploads
from legend.page.worker import Worker

#: Of so many looks, what was seen is kept, to be shown and taken over.
_MOST_KEPT = 4
_WAYS = ("holes", "letters")


class Pictures:
    """The pictures of one description: those that wait, and what was seen in the last ones.

    `worker` has a `Seer`.
    """

    def __init__(self, worker: Worker) -> None:
        self.worker, self.uploads = worker, Uploads()
        self._kept: OrderedDict[int, Sight] = OrderedDict()
        self._last = self._looked_at = 0

    async def see(self, see: See, text: str, told: Callable[[Progress], None]) -> Seen:
        """Look at pictures for the panel of a text; they are gone afterwards.

        Error: PlainError, with why nothing is seen in them, and what to do.
        """
        if see.of not in _WAYS:
            raise PlainError("What the picture is of was not understood.")
        uploads = self.uploads.taken_out(see.pictures)

        def tell(words: str) -> None:
            told(Progress(see.ask, words))

        if self._looked_at:
            tell("Another picture is looked at; this one waits for it.")
        self._looked_at += 1
        self._last += 1
        number = self._last
        try:
            named = [(each.name, each.path) for each in uploads]
            sight: Sight = await self.worker.ask(see.of, see.ask, number, text, named, told=tell)
        finally:
            self._looked_at -= 1
            for each in uploads:
                each.path.unlink(missing_ok=True)
        self._kept[number] = sight
        while len(self._kept) > _MOST_KEPT:
            self._kept.popitem(last=False)
        return sight.seen

    async def take_over(self, order: TakeOver, text: str) -> Change:
        """The change by which a text takes over the holes that were seen. Error: PlainError."""
        sight = self._kept.get(order.seen)
        if sight is None or sight.takeable is None:
            raise PlainError("What was measured is here no more; drop the picture once more.")
        change: Change = await self.worker.ask(
            "take_over", order.ask, order.revision, text, sight.takeable
        )
        return change

    def picture(self, number: int) -> bytes | None:
        """The picture of what was seen, as PNG; None where it is kept no more."""
        sight = self._kept.get(number)
        return None if sight is None else sight.png

    def stop(self) -> None:
        """Stop what is being looked at."""
        self.worker.stop()

    def end(self) -> None:
        """Stop everything, and remove the pictures."""
        self.worker.end()
        self.uploads.end()
