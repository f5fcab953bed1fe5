"""Serve a page in a thread, for tests that speak to it over the wire."""

import asyncio
import contextlib
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from stand_in_bench import StandIn

#: So long anything is waited for, seconds.
_PATIENCE = 15.0


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


@contextlib.contextmanager
def serving(path: Path, beginning: str = "", bench: type = StandIn) -> Iterator[Served]:
    """Serve a description until the end of the block, or until it is ended."""
    from legend.page.open_panel import OpenPanel
    from legend.page.server import PageServer

    began = threading.Event()
    panel = OpenPanel(path, beginning, bench)
    server = PageServer(panel, None, lambda _address: began.set(), lambda _unsaved: None)
    thread = threading.Thread(target=lambda: asyncio.run(server.serve()), daemon=True)
    thread.start()
    assert began.wait(_PATIENCE)
    served = Served(server.address, panel, server, thread)
    try:
        yield served
    finally:
        served.end()
