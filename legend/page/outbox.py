"""Hold what one page is to be told until it is sent."""

from __future__ import annotations

import asyncio

from legend.page.messages import Cutting, Drawing, Found, Unread

#: Of these only the newest is of use.
_ONLY_THE_NEWEST = (Drawing, Unread, Found, Cutting)


class Outbox:
    """Messages in the order in which they were put in, without those that a newer one replaces."""

    def __init__(self) -> None:
        self._waiting: dict[object, object] = {}
        self._filled = asyncio.Event()

    def put(self, message: object) -> None:
        """Put one in."""
        key = type(message) if isinstance(message, _ONLY_THE_NEWEST) else object()
        self._waiting.pop(key, None)
        self._waiting[key] = message
        self._filled.set()

    async def take(self) -> object:
        """Take out the next one, when there is one."""
        while not self._waiting:
            self._filled.clear()
            await self._filled.wait()
        return self._waiting.pop(next(iter(self._waiting)))
