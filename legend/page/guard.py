"""Let nobody in but the browser of this computer's user, at the address that was opened.

Every request and every socket is looked at: the host it was sent to, so that no other name leads
here; the origin of the page that sent it; and the token in its path. Every answer bears the headers
that keep other pages out.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

#: What the page may load, and from where.
_PAGE_POLICY = (
    "default-src 'self'; script-src 'self'; style-src 'self'; "
    "img-src 'self' data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
#: Files that were made have their script and style within, and are kept apart from the page.
MADE_POLICY = (
    "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data:; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'; "
    "sandbox allow-scripts allow-modals"
)
_HEADERS = {
    "content-security-policy": _PAGE_POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    # Of an earlier version nothing is shown.
    "cache-control": "no-cache",
}
NOT_HERE = "There is nothing at this address."


@dataclass(frozen=True, slots=True)
class Guard:
    """The application, for whoever knows the token, asks this host, and comes from its page."""

    app: ASGIApp
    token: str
    port: int

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or hand on with the path after the token."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        answered = _with_headers(send, _HEADERS)
        status = self._refusal(scope)
        if not status:
            await self.app(self._within(scope), receive, answered)
        elif scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
        else:
            await PlainTextResponse(NOT_HERE, status)(scope, receive, answered)

    def _refusal(self, scope: Scope) -> int:
        """The status that tells why somebody is not let in; 0 where he is."""
        headers = Headers(scope=scope)
        hosts = [f"127.0.0.1:{self.port}", f"localhost:{self.port}"]
        asked, origins = headers.getlist("host"), headers.getlist("origin")
        if len(asked) != 1 or asked[0].lower() not in hosts:
            return 403
        from_page = [f"http://{host}" for host in hosts]
        if len(origins) > 1 or not set(origins) <= set(from_page):
            return 403
        reads = scope["type"] == "http" and scope["method"] in ("GET", "HEAD")
        if not reads and not origins:  # every browser says it
            return 403
        said = scope["path"].split("/")
        token = said[1] if len(said) > 2 else ""
        return 0 if secrets.compare_digest(token.encode(), self.token.encode()) else 404

    def _within(self, scope: Scope) -> Scope:
        return {**scope, "root_path": "", "path": scope["path"].removeprefix(f"/{self.token}")}


def _with_headers(send: Send, headers: Mapping[str, str]) -> Send:
    async def answered(message: Message) -> None:
        if message["type"] == "http.response.start":
            said = MutableHeaders(scope=message)
            for name, value in headers.items():
                said.setdefault(name, value)
        await send(message)

    return answered
