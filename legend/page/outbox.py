"""Hold what one page is to be told until it is sent."""

from __future__ import annotations

import asyncio

from legend.page.messages import Cutting, Drawing, Found, Text, Unread

#: Of these only the newest is of use, but for texts that answer something.
_ONLY_THE_NEWEST = (Text, Drawing, Unread, Found, Cutting)


class Outbox:
    """Messages in the order in which they were put in, without those that a newer one replaces."""

    def __init__(self) -> None:
        self._waiting: dict[object, object] = {}
        self._filled = asyncio.Event()

    def __len__(self) -> int:
        """How many are waiting."""
        return len(self._waiting)

    def put(self, message: object) -> None:
        """Put one in."""
        answers = isinstance(message, Text) and message.answers
        only_the_newest = isinstance(message, _ONLY_THE_NEWEST) and not answers
        key = type(message) if only_the_newest else object()
        self._waiting.pop(key, None)
        self._waiting[key] = message
        self._filled.set()

    async def take(self) -> object:
        """Take out the next one, when there is one."""
        while not self._waiting:
            self._filled.clear()
            await self._filled.wait()
        return self._waiting.pop(next(iter(self._waiting)))
