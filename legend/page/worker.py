"""Have work done in another process, which keeps what it knows from one call to the next.

A call that takes too long is given up: its process is ended, and another one begun. What counts is
the work of its own process, since a computer that is slow or busy, or reads the program from a cold
disk, has done nothing wrong; a call that stands still is given up too, much later.
"""

from __future__ import annotations

import asyncio
import gc
import math
import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from multiprocessing import resource_tracker
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnContext
from pathlib import Path
from typing import Any

from legend.failures import PlainError, in_plain_words

#: The longest that one call may work, seconds; and so many times longer it may take in all.
MOST_PATIENCE = 20.0
_IN_ALL = 6
#: What is worked on is looked at every so many seconds.
_LOOKED_AT = 0.25
#: The exit status of a process that worked too long, and the longest that ending takes, seconds.
_WORKED_TOO_LONG, _ENDING = 77, 5.0
#: By so much less urgent, for the system, is what gives way.
_BEHIND = 5
#: What is told of what was given up because somebody wanted it so, and of what ended otherwise.
STOPPED = "It was stopped."
_ENDED_OF_ITSELF = (
    "The part of the program that did this ended of itself, perhaps for want of memory."
)
#: Asks for another object in the place of that which there is.
_RENEWED = ""


class Worker:
    """A process that makes one object for a description, and calls its methods when asked.

    `make` is a class, or a function of a module, since it is found again by its name. One call
    at a time is worked on; others wait in the order of asking. One that `gives_way` works when the
    others leave it something of the computer.
    """

    def __init__(
        self,
        make: Callable[[Path], object],
        panel: Path,
        patience: float = MOST_PATIENCE,
        gives_way: bool = False,
    ) -> None:
        self._make, self._panel = make, panel
        self.patience, self._gives_way = patience, gives_way
        self._turn = asyncio.Lock()
        self._process: multiprocessing.process.BaseProcess | None = None
        self._ended = self._is_stopped = False

    def begin(self) -> None:
        """Begin the process, which gets ready by itself."""
        context = multiprocessing.get_context("spawn")
        self._connection, other = context.Pipe()
        with _interrupts_held_back():
            self._process = self._begun(context, other)
        other.close()

    def _begun(
        self, context: SpawnContext, other: Connection
    ) -> multiprocessing.process.BaseProcess:
        given = (other, self._make, self._panel, self._gives_way)
        process = context.Process(target=_work, args=given, daemon=True)
        process.start()
        return process

    async def renew(self) -> None:
        """Have the object made anew, when it has been asked all that was asked before."""
        await self.ask(_RENEWED)

    def end(self) -> None:
        """End the process, whatever it does; who waits for it is told."""
        self._ended = True
        if self._process is not None:
            self._process.kill()

    def stop(self) -> None:
        """Give up what is worked on now, if anything is; who waits for that is told."""
        process = self._process
        if self._turn.locked() and process is not None:
            self._is_stopped = True
            process.kill()

    async def ask(
        self, method: str, *given: object, told: Callable[[str], None] | None = None
    ) -> Any:
        """What the object's method gives. `told` is called with words that come meanwhile.

        Error: PlainError with what the method failed at, or that it was given up.
        """
        loop = asyncio.get_running_loop()

        def tell(words: str) -> None:
            if told is not None:
                loop.call_soon_threadsafe(told, words)

        async with self._turn:
            return await asyncio.to_thread(self._answer, method, given, tell)

    def _answer(self, method: str, given: tuple[object, ...], tell: Callable[[str], None]) -> Any:
        try:
            if self._is_stopped:  # when it was done already
                self._anew()
            if self._process is None:
                self.begin()
            self._connection.send((method, given, self.patience))
            until = time.monotonic() + _IN_ALL * self.patience
            while True:
                if not self._connection.poll(max(0.0, until - time.monotonic())):
                    raise TimeoutError
                kind, value = self._connection.recv()
                if kind == "told":
                    tell(value)
                elif kind == "failed":
                    raise PlainError(value)
                else:
                    return value
        except (EOFError, OSError) as error:
            why = self._why_ended(error)
            self._anew()
            raise PlainError(why) from None

    def _why_ended(self, error: EOFError | OSError) -> str:
        if self._is_stopped:
            return STOPPED
        if isinstance(error, TimeoutError):
            return f"This did not end in {_IN_ALL * self.patience:g} seconds, and was given up."
        if self._process is not None:
            self._process.join(_ENDING)
            if self._process.exitcode == _WORKED_TOO_LONG:
                return f"This took more than {self.patience:g} seconds of work, and was given up."
        return _ENDED_OF_ITSELF

    def _anew(self) -> None:
        self._kill()
        self._is_stopped = False
        if not self._ended:
            self.begin()

    def _kill(self) -> None:
        if self._process is not None:
            self._process.kill()
            self._process.join()
            self._connection.close()
            self._process = None


@contextmanager
def _interrupts_held_back() -> Iterator[None]:
    """Within, what is begun never hears of Ctrl-C, which is for this process alone."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    resource_tracker.ensure_running()  # which would let interrupts through when it is begun
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


# --- In the other process ---


def _work(
    connection: Connection, make: Callable[[Path], object], panel: Path, gives_way: bool
) -> None:
    """Answer calls until nobody is left who could ask."""
    if gives_way and hasattr(os, "nice"):
        os.nice(_BEHIND)
    gc.set_threshold(100_000, 20, 20)  # as of the whole program, where the reasons are
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # where it was not held back
    watch = _Watch()
    watch.start()

    def made() -> Callable[[str, tuple[object, ...]], tuple[str, object]]:
        return _calls(make, panel, lambda words: connection.send(("told", words)))

    call = made()
    while True:
        try:
            method, given, patience = connection.recv()
            with watch.over(patience):
                if method == _RENEWED:
                    call = made()
                    outcome: tuple[str, object] = "done", None
                else:
                    outcome = call(method, given)
            connection.send(outcome)
        except (EOFError, OSError):
            return


def _calls(
    make: Callable[[Path], object], panel: Path, tell: Callable[[str], None]
) -> Callable[[str, tuple[object, ...]], tuple[str, object]]:
    """What gives the outcome of a call. An object that has a `tell` is handed one."""
    try:
        made = make(panel)
        if hasattr(made, "tell"):
            made.tell = tell
    except Exception as error:
        unmade = ("failed", in_plain_words(error))
        return lambda _method, _given: unmade

    def call(method: str, given: tuple[object, ...]) -> tuple[str, object]:
        try:
            return "done", getattr(made, method)(*given)
        except Exception as error:
            return "failed", in_plain_words(error)

    return call


class _Watch(threading.Thread):
    """Ends this process when its parent has ended, or when one call has worked for too long."""

    def __init__(self) -> None:
        super().__init__(daemon=True)
        self._until = math.inf

    @contextmanager
    def over(self, patience: float) -> Iterator[None]:
        """Within, this process may work for so many seconds."""
        self._until = time.process_time() + patience
        try:
            yield
        finally:
            self._until = math.inf

    def run(self) -> None:
        parent = multiprocessing.parent_process()
        if parent is None:
            return
        while not wait([parent.sentinel], _LOOKED_AT):
            if time.process_time() > self._until:
                os._exit(_WORKED_TOO_LONG)
        os._exit(0)
