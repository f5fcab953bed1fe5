"""Serve a page in a thread, for tests that speak to it over the wire."""

import asyncio
import contextlib
import json
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest.mock import patch
from urllib.parse import urlsplit

from stand_in_bench import StandIn

#: So long anything is waited for, seconds.
_PATIENCE = 60.0


@dataclass
class Served:
    """A page that is served: where, what it serves, and what ends it."""

    address: str
    panel: Any
    server: Any
    thread: threading.Thread

    @property
    def port(self) -> int:
        return urlsplit(self.address).port or 0

    @property
    def token(self) -> str:
        return urlsplit(self.address).path.strip("/")

    def end(self) -> None:
        self.server.should_exit = True
        self.thread.join(_PATIENCE)
        assert not self.thread.is_alive()

    def end_soon(self) -> None:
        """Tell it to end, and wait for the one that was told before it."""
        self.server.should_exit = True
        _ending.append(self)
        if len(_ending) > 1:
            _ending.pop(0).end()


#: One that was told to end, and is not waited for yet.
_ending: list[Served] = []


class _Near:
    """A worker in this process, which is begun at once."""

    def __init__(
        self, make: Callable[[Path], object], panel: Path, *_more: object, **_else: object
    ) -> None:
        self._make, self._panel = make, panel
        self._made = make(panel)

    def begin(self) -> None:
        """There is nothing to begin."""

    def end(self) -> None:
        """There is nothing to end."""

    def stop(self) -> None:
        """Nothing goes on that could be stopped."""

    async def renew(self) -> None:
        self._made = self._make(self._panel)

    async def ask(
        self, method: str, *given: object, told: Callable[[str], None] | None = None
    ) -> object:
        from legend.failures import PlainError, in_plain_words

        await asyncio.sleep(0)
        if told:
            self._made.tell = told  # type: ignore[attr-defined]
        try:
            return getattr(self._made, method)(*given)
        except Exception as error:
            raise PlainError(in_plain_words(error)) from None


@contextlib.contextmanager
def serving(
    path: Path,
    beginning: str = "",
    bench: type = StandIn,
    apart: bool = False,
    end_awaited: bool = True,
) -> Iterator[Served]:
    """Serve a description until the end of the block, or until it is ended.

    What draws it is in processes of its own only where that is wanted `apart`. Where the end is
    not awaited, it is so before the next one that is not.
    """
    from legend.page.open_panel import OpenPanel
    from legend.page.server import PageServer

    class Prompt(PageServer):
        """Looks more often than every tenth of a second whether it is to end."""

        async def main_loop(self) -> None:
            while not await self.on_tick(0):
                await asyncio.sleep(0.005)

    began = threading.Event()
    with contextlib.nullcontext() if apart else patch("legend.page.open_panel.Worker", _Near):
        panel = OpenPanel(path, beginning, bench)
    server = Prompt(panel, None, lambda _address: began.set(), lambda _unsaved: None)
    thread = threading.Thread(target=lambda: asyncio.run(server.serve()), daemon=True)
    thread.start()
    assert began.wait(_PATIENCE)
    served = Served(server.address, panel, server, thread)
    try:
        yield served
    finally:
        if end_awaited:
            served.end()
        else:
            served.end_soon()


class Tab:
    """A page of the browser, as far as its socket goes; what it hears is kept in order."""

    def __init__(self, served: Served) -> None:
        from websockets.sync.client import connect

        here = f"http://127.0.0.1:{served.port}"
        self._open = contextlib.ExitStack()
        self._socket = self._open.enter_context(
            connect(
                served.address.replace("http", "ws") + "talk",
                origin=here,
                max_size=None,
                ping_interval=None,
            )
        )
        self.heard: list[dict[str, Any]] = []
        self._asks = 0

    def say(self, kind: str, **more: Any) -> None:
        """Say something, and wait for no answer."""
        self._socket.send(json.dumps({"kind": kind, **more}))

    def send(self, raw: str | bytes) -> None:
        """Send anything at all."""
        self._socket.send(raw)

    def next(self, until: float | None = None) -> dict[str, Any]:
        """The next message that comes."""
        wait = (until or time.monotonic() + _PATIENCE) - time.monotonic()
        message: dict[str, Any] = json.loads(self._socket.recv(wait))
        self.heard.append(message)
        return message

    def until(self, kind: str, **more: Any) -> dict[str, Any]:
        """The next message of a kind that says this among other things."""
        until = time.monotonic() + _PATIENCE
        while True:
            message = self.next(until)
            if message["kind"] == kind and more.items() <= message.items():
                return message

    def type(self, base: int, text: str, **more: Any) -> dict[str, Any]:
        """Type a text upon a revision: the text that answers it."""
        self._asks += 1
        self.say("edit", base=base, text=text, ask=self._asks, **more)
        return self.until("text", answers=self._asks)

    def close(self) -> None:
        """Close the page."""
        self._open.close()


def eventually(holds: Callable[[], bool]) -> None:
    """Wait until something holds. Error: AssertionError after a long time."""
    until = time.monotonic() + _PATIENCE
    while not holds():
        assert time.monotonic() < until
        time.sleep(0.01)
