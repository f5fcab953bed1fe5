"""Answer the requests of the page: what stands at which address, and nothing else.

Every address stands in a table of names. No path of a file is made from what is asked for, so that
no file in another place can be reached.
"""

from __future__ import annotations

import os
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from starlette.applications import Starlette
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.routing import Route, WebSocketRoute
from starlette.types import ASGIApp
from starlette.websockets import WebSocket

from legend.failures import PlainError, in_plain_words
from legend.page.guard import MADE_POLICY, NOT_HERE, Guard
from legend.page.open_panel import OpenPanel
from legend.page.talk import talk

_BROWSER = Path(__file__).parent / "browser"
#: By the ending of the name, and not by what the system says of it, which may be anything.
_KINDS = {
    ".css": "text/css",
    ".js": "text/javascript",
    ".svg": "image/svg+xml",
    ".html": "text/html",
    ".pdf": "application/pdf",
    ".png": "image/png",
    ".json": "application/json",
}
_OF_THE_PAGE = (".css", ".js", ".svg")
#: What a browser would run scripts of.
_DOCUMENTS = (".html", ".svg")


def page_app(panel: OpenPanel, token: str, port: int) -> ASGIApp:
    """What serves an open panel under a token, to pages that come from this port."""
    views = _Views(panel)

    @asynccontextmanager
    async def open_meanwhile(_app: Starlette) -> AsyncIterator[None]:
        panel.begin()
        try:
            yield
        finally:
            await panel.end()

    routes = [
        Route("/", views.page),
        Route("/browser/{name:path}", views.of_browser),
        Route("/overlay.pdf", views.overlay),
        Route("/made/{name}", views.made),
        Route("/pictures", views.take_in, methods=["POST"]),
        Route("/picture-{number:int}.png", views.picture),
        WebSocketRoute("/talk", views.talk),
    ]
    app = Starlette(routes=routes, lifespan=open_meanwhile)
    app.router.redirect_slashes = False
    return Guard(app, token, port)


class _Views:
    """What each address shows."""

    def __init__(self, panel: OpenPanel) -> None:
        self._panel = panel
        self._own = {
            file.relative_to(_BROWSER).as_posix(): file
            for file in _BROWSER.rglob("*")
            if file.suffix in _OF_THE_PAGE and file.is_file()
        }

    async def page(self, _request: Request) -> Response:
        return _file(_BROWSER / "page.html", {"cache-control": "no-store"})

    async def of_browser(self, request: Request) -> Response:
        return _file(self._own.get(request.path_params["name"]))

    async def overlay(self, _request: Request) -> Response:
        try:
            data = await self._panel.overlay()
        except PlainError as error:
            return PlainTextResponse(str(error), 503)
        return Response(data, media_type="application/pdf", headers={"cache-control": "no-store"})

    async def made(self, request: Request) -> Response:
        path = self._panel.made.get(request.path_params["name"])
        headers = {"cache-control": "no-store"}
        if path and path.suffix in _DOCUMENTS:
            headers["content-security-policy"] = MADE_POLICY
        # A link that was put in the place of a file that was made is not followed.
        return _file(path, headers, getattr(os, "O_NOFOLLOW", 0))

    async def take_in(self, request: Request) -> Response:
        """Take in a picture, which is the whole body of the request."""
        stream = request.stream()
        length = request.headers.get("content-length", "")
        try:
            number = await self._panel.pictures.uploads.take_in(
                request.query_params.get("name", ""), stream, int(length) if length else None
            )
        except (PlainError, OSError) as error:
            async for _ in stream:  # or the browser would not hear the answer
                pass
            return PlainTextResponse(in_plain_words(error), 413)
        except ClientDisconnect:
            return Response(status_code=400)
        return JSONResponse({"picture": number})

    async def picture(self, request: Request) -> Response:
        data = self._panel.pictures.picture(request.path_params["number"])
        if data is None:
            return PlainTextResponse(NOT_HERE, 404)
        return Response(data, media_type="image/png", headers={"cache-control": "no-store"})

    async def talk(self, socket: WebSocket) -> None:
        await talk(socket, self._panel)


def _file(path: Path | None, headers: dict[str, str] | None = None, flags: int = 0) -> Response:
    """A file, where it still is one."""
    content = None if path is None else _content(path, flags)
    if path is None or content is None:
        return PlainTextResponse(NOT_HERE, 404)
    kind = _KINDS.get(path.suffix.lower(), "application/octet-stream")
    return Response(content, media_type=kind, headers=headers)


def _content(path: Path, flags: int) -> bytes | None:
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_BINARY", 0) | flags)
        with os.fdopen(handle, "rb") as file:
            return file.read()
    except OSError:
        return None
