"""Serve the page of one description to this computer's own browser, until Ctrl-C."""

from __future__ import annotations

import asyncio
import errno
import secrets
import signal
import socket
import sys
import threading
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import uvicorn

from legend.failures import PlainError
from legend.limits import LONGEST_MESSAGE
from legend.page.app import page_app
from legend.page.open_panel import OpenPanel

#: Where the page is found each time, so that the browser finds what it remembers of it. Below the
#: ports that systems hand out by themselves, and in the list of services of none.
USUAL_PORT = 28310
#: So many panels can be open at once before one has to say another port.
_MOST_PORTS = 20
#: Open pages are waited for so long at the end, seconds.
_FAREWELL = 1


def serve(
    panel: Path,
    beginning: str,
    port: int | None,
    began: Callable[[str], None],
    ended: Callable[[str | None], None],
) -> None:
    """Serve a description; where there is no file yet, beginning with this text.

    `began` is called with the address. `ended` is called with None where all is saved, and else
    with why it could not be kept either, "" where it is. Errors: PlainError or OSError, where the
    file cannot be read or the port cannot be had.
    """
    from legend.page.content.bench import Bench
    from legend.page.content.ready_tables import READY
    from legend.page.messages import ReadyShown

    ready = tuple(ReadyShown(word, table.title) for word, table in READY.items())
    asyncio.run(PageServer(OpenPanel(panel, beginning, Bench, ready), port, began, ended).serve())


class PageServer(uvicorn.Server):
    """Serves an open panel at `address`, under a token that nobody can guess.

    It keeps what is not saved before all else when it is ended. Error: PlainError.
    """

    def __init__(
        self,
        panel: OpenPanel,
        port: int | None,
        began: Callable[[str], None],
        ended: Callable[[str | None], None],
    ) -> None:
        self._panel, self._began, self._ended = panel, began, ended
        self._listening = _listening(port)
        here, token = self._listening.getsockname()[1], secrets.token_urlsafe(32)
        self.address = f"http://127.0.0.1:{here}/{token}/"
        super().__init__(
            uvicorn.Config(
                page_app(panel, token, here),
                ws_max_size=LONGEST_MESSAGE,
                ws_per_message_deflate=False,  # it goes no further than this computer
                lifespan="on",
                log_config=None,
                log_level="critical",
                access_log=False,
                proxy_headers=False,
                server_header=False,
                timeout_graceful_shutdown=_FAREWELL,
            )
        )

    async def serve(self, sockets: list[socket.socket] | None = None) -> None:
        """Serve until it is ended."""
        await super().serve(sockets or [self._listening])

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Begin to serve, and say so."""
        await super().startup(sockets)
        if threading.current_thread() is threading.main_thread() and hasattr(signal, "SIGHUP"):
            signal.signal(signal.SIGHUP, self.handle_exit)  # the terminal was closed
        self._began(self.address)

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Keep what is not saved, and end everything."""
        await self._panel.keep_now()
        await super().shutdown(sockets)
        await self._panel.end()
        text = self._panel.text
        self._ended(text.not_kept if text.is_to_keep else None)


def _listening(port: int | None) -> socket.socket:
    """A socket on this computer alone: at this port, or at the usual one or the next that is free.

    Error: PlainError.
    """
    tried = range(USUAL_PORT, USUAL_PORT + _MOST_PORTS) if port is None else [port]
    for each in tried:
        with suppress(_TakenError):
            return _bound(each)
    if port is None:
        raise PlainError(f"The ports {tried[0]} to {tried[-1]} are all taken; say one with --port.")
    raise PlainError(f"Port {port} is taken by another program; say another one, or none.")


class _TakenError(Exception):
    """Another program has this port."""


def _bound(port: int) -> socket.socket:
    # That it speaks TCP has to be said: only then asyncio sends at once what is written, and no
    # answer waits 40 ms for the browser to acknowledge the one before.
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    # Elsewhere this lets a port be had again at once; on Windows it would let two have it.
    if sys.platform == "win32":
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
    else:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind(("127.0.0.1", port))
        listening.listen()  # at once, or another run that begins now could bind it as well
    except OSError as error:
        listening.close()
        if error.errno in (errno.EADDRINUSE, errno.EACCES):
            raise _TakenError from None
        raise
    return listening
