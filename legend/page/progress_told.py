"""Tell the page how far a worker has come, by what the program logs meanwhile."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def progress_told(tell: Callable[[str], None]) -> Iterator[None]:
    """Within, everything that is logged is told too."""
    log, handler = logging.getLogger("legend"), _Told(tell)
    before = log.level
    log.setLevel(logging.DEBUG)
    log.addHandler(handler)
    try:
        yield
    finally:
        log.removeHandler(handler)
        log.setLevel(before)


class _Told(logging.Handler):
    def __init__(self, tell: Callable[[str], None]) -> None:
        super().__init__()
        self._tell = tell

    def emit(self, record: logging.LogRecord) -> None:
        self._tell(record.getMessage())
