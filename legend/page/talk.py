"""Talk with one page over its socket: take in what it says, and tell it what there is."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Coroutine
from typing import Any

from starlette.websockets import WebSocket, WebSocketDisconnect

from legend.failures import PlainError, in_plain_words
from legend.page.messages import (
    Answer,
    Complete,
    Drawing,
    Edit,
    FromPage,
    Make,
    Pick,
    PutIn,
    Refused,
    Save,
    Settle,
    from_json,
    to_json,
)
from legend.page.open_panel import OpenPanel
from legend.page.outbox import Outbox
from legend.page.pictures.picture_messages import See, StopSeeing, TakeOver
from legend.page.redrawing import redrawing

#: No page has more questions open at once.
_MOST_OPEN = 64
#: No page that listens leaves so many messages waiting.
_MOST_WAITING = 1000
_NOT_UNDERSTOOD = "What the page said was not understood. Load it anew."
_TOO_MUCH = "Too much was asked at once. Try again."
_NOTHING = "There is nothing here to tell of."


async def talk(socket: WebSocket, panel: OpenPanel) -> None:
    """Talk with a page until it is closed."""
    await socket.accept()
    outbox = Outbox()
    panel.came(outbox)
    sending = asyncio.create_task(_send(socket, outbox))
    asked: set[asyncio.Task[None]] = set()
    try:
        while (said := await socket.receive())["type"] == "websocket.receive":
            try:
                message = from_json(said.get("text") or "")
            except ValueError:
                outbox.put(Refused(0, _NOT_UNDERSTOOD))
                continue
            _take_in(message, panel, outbox, asked)
            if len(outbox) > _MOST_WAITING:  # it talks, and hears nothing
                break
    finally:
        panel.went(outbox)
        sending.cancel()


async def _send(socket: WebSocket, outbox: Outbox) -> None:
    last: Drawing | None = None
    with contextlib.suppress(WebSocketDisconnect, RuntimeError, OSError):  # the page is closed
        while True:
            message = await outbox.take()
            if isinstance(message, Drawing):
                told = message if last is None else redrawing(message, last)
                last = message
                message = told
            await socket.send_text(to_json(message))


def _take_in(
    message: FromPage, panel: OpenPanel, outbox: Outbox, asked: set[asyncio.Task[None]]
) -> None:
    """Do at once what is done at once, and begin what takes longer."""
    match message:
        case Edit():
            panel.edit(outbox, message)
        case Settle():
            panel.settle(outbox, message)
        case Save():
            _begin(_save(panel, message), 0, outbox, asked)
        case StopSeeing():
            panel.pictures.stop()
        case _ if len(asked) >= _MOST_OPEN:
            outbox.put(Refused(message.ask, _TOO_MUCH))
        case Make():
            _begin(panel.make(outbox, message), message.ask, outbox, asked)
        case _:
            _begin(_answer(message, panel, outbox), message.ask, outbox, asked)


def _begin(
    what: Coroutine[Any, Any, None], ask: int, outbox: Outbox, asked: set[asyncio.Task[None]]
) -> None:
    task = asyncio.create_task(_told_of_failures(what, ask, outbox))
    asked.add(task)
    task.add_done_callback(asked.discard)


async def _told_of_failures(what: Coroutine[Any, Any, None], ask: int, outbox: Outbox) -> None:
    try:
        await what
    except Exception as error:  # which nobody foresaw
        outbox.put(Refused(ask, in_plain_words(error)))


async def _save(panel: OpenPanel, message: Save) -> None:
    await panel.save(message.revision)


_Asking = Pick | Answer | PutIn | Complete | See | TakeOver


async def _answer(message: _Asking, panel: OpenPanel, outbox: Outbox) -> None:
    """Answer a question; whatever comes of it, the page hears something."""
    try:
        outbox.put(await _asked(message, panel, outbox) or Refused(message.ask, _NOTHING))
    except PlainError as error:
        outbox.put(Refused(message.ask, str(error)))


async def _asked(message: _Asking, panel: OpenPanel, outbox: Outbox) -> object:
    match message:
        case Pick(ask, at):
            return await panel.drawing.ask("pick", ask, at)
        case Complete(ask, text, at):
            return await panel.drawing.ask("complete", ask, text, at)
    upon = panel.text.of_revision(message.revision)
    if upon is None:
        raise PlainError("The text has changed too much since; try again.")
    if isinstance(message, See):
        return await panel.pictures.see(message, upon, outbox.put)
    if isinstance(message, TakeOver):
        return await panel.pictures.take_over(message, upon)
    if isinstance(message, PutIn):
        given = (message.ask, message.revision, upon, message.ready, message.line)
        return await panel.drawing.ask("put_in", *given)
    answer = (message.ask, message.revision, upon, message.finding, message.value)
    return await panel.finding.ask("answer", *answer)
