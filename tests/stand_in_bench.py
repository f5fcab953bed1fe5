"""Stand in for what draws, finds and cuts, for tests of what serves it: quick, and tells much."""

import os
import time
from pathlib import Path

from legend.failures import PlainError
from legend.page.messages import (
    Change,
    Completions,
    Cutting,
    Drawing,
    FaultShown,
    Found,
    Picked,
    Unread,
)


class StandIn:
    """Draws every text but one that holds "unread"; the words below do what they say."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._calls = 0

    def draw(self, revision: int, text: str) -> Drawing | Unread:
        self._calls += 1
        while "held" in text and not self._path.with_name("go on").exists():
            time.sleep(0.01)
        if "asleep" in text:
            time.sleep(60)
        if "waits" in text:
            time.sleep(1)
        until = time.process_time() + 60 * ("slow" in text)
        while time.process_time() < until:
            pass
        if "die" in text:
            os._exit(3)
        if "fail" in text:
            raise PlainError("It failed, as it was told to.")
        if "unread" in text:
            return Unread(revision, (FaultShown("", 1, "It is unread."),))
        title = f"{self._path.name}, call {self._calls}"
        box = (0.0, 0.0, 10.0, 10.0)
        return Drawing(
            revision, title, box, box, "mm", (0.0, 0.0), (1, 1), 500.0, {"base": "<g/>"}, {}, ()
        )

    def find(self, revision: int, _text: str) -> Found | None:
        return Found(revision, ())

    def cut(self, revision: int, _text: str) -> Cutting | None:
        return Cutting(revision, (), (), (), (), ())

    def pick(self, ask: int, at: tuple[float, float]) -> Picked | None:
        return None if at[0] < 0 else Picked(ask, f"At {at[0]:g}.", 1, "A", "")

    def complete(self, ask: int, _text: str, at: int) -> Completions:
        return Completions(ask, at, ())

    def put_in(self, ask: int, revision: int, _text: str, ready: str, _line: int) -> Change:
        return Change(ask, revision, 0, 0, ready, (0, 0))

    def overlay(self) -> bytes:
        return b"%PDF-1.4 overlay"
