"""Open the page of a description in a Chromium of this system, for tests and measurements."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

SAMPLE = Path(__file__).parents[1] / "samples" / "enlarger-timer"
#: Nothing that a browser does by itself goes out to the net.
_QUIET = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--no-first-run",
)
#: Nothing on the page takes so many ms, on however slow a machine.
_PATIENCE_MS = 60_000
#: What is there once a panel is drawn.
_DRAWN = "#board[data-revision]"
#: So many seconds a server may take to say where it is.
_PATIENCE = 60


def missing() -> str:
    """Why no page can be opened here; "" where one can."""
    try:
        import playwright.sync_api  # noqa: F401
    except ImportError:
        return "Playwright for Python is not installed"
    return "" if _chromium() else "there is no Chromium on this system"


def _chromium() -> str | None:
    return shutil.which("chromium") or shutil.which("chromium-browser")


@contextmanager
def chromium() -> Iterator[Any]:
    """A browser that is seen by nobody."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=_chromium(), args=list(_QUIET))
        yield browser
        browser.close()


class Served:
    """A description that is served by `legend page`, in a process of its own."""

    def __init__(self, panel: Path, port: int | None = None) -> None:
        self.panel, self.port = panel, port or _free_port()
        where = ["--address-only", "--port", str(self.port)]
        command = [sys.executable, "-m", "legend", "page", str(panel), *where]
        self._process = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
        )
        assert self._process.stdout
        said = self._process.stdout.readline()
        if "http://" not in said:
            assert self._process.stderr
            raise RuntimeError(f"no page was served: {said}{self._process.stderr.read()}")
        self.address = said[said.index("http://") :].strip()

    def end(self) -> None:
        """End it as Ctrl-C does."""
        if self._process.poll() is None:
            self._process.send_signal(signal.CTRL_C_EVENT if os.name == "nt" else signal.SIGINT)
            self._process.communicate(timeout=_PATIENCE)


def _free_port() -> int:
    """One that no other page has, of a user or of another test."""
    with socket.socket() as tried:
        tried.bind(("127.0.0.1", 0))
        port: int = tried.getsockname()[1]
        return port


@contextmanager
def served(panel: Path, port: int | None = None) -> Iterator[Served]:
    """A description that is served as long as it is wanted."""
    page = Served(panel, port)
    try:
        yield page
    finally:
        page.end()


class Tab:
    """A page as it is open in the browser, with all that it asked for and complained of."""

    def __init__(self, browser: Any, server: Served, waits_for: str = _DRAWN, **how: Any) -> None:
        self.context = browser.new_context(**({"viewport": {"width": 1280, "height": 800}} | how))
        self.context.set_default_timeout(_PATIENCE_MS)
        self.requests: list[str] = []
        self.complaints: list[str] = []
        self.context.on("request", lambda request: self.requests.append(request.url))
        self.page = self.tab(server.address, waits_for)

    def tab(self, address: str, waits_for: str = _DRAWN) -> Any:
        """One more tab of the same browser."""
        page = self.context.new_page()
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.on("console", self._said)
        page.on("websocket", lambda socket: self.requests.append(socket.url))
        page.goto(address)
        page.wait_for_selector(waits_for)
        return page

    def _said(self, message: Any) -> None:
        if message.type == "error" and "WebSocket" not in message.text:
            self.complaints.append(message.text)
