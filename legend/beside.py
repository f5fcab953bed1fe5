"""Work that only writes files in; the same done by another processor meanwhile, out.

The process is copied as it stands, so that nothing has to be read, laid out or handed over
again. Where a system cannot do that well, the work is done first, and what follows after it.
"""

from __future__ import annotations

import contextlib
import os
import pickle
import select
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from typing import NoReturn


@contextlib.contextmanager
def beside(work: Callable[[], object]) -> Iterator[None]:
    """Do `work` in a process of its own while the block runs; both are done at its end.

    Errors: whatever `work` raises; MemoryError where its process was ended from outside.
    """
    # A process with threads cannot be copied safely, nor can one of macOS's own libraries.
    if not hasattr(os, "fork") or sys.platform == "darwin" or threading.active_count() > 1:
        work()
        yield
        return
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        os.close(reading)
        _do(work, writing)
    os.close(writing)
    try:
        yield
    finally:
        with os.fdopen(reading, "rb") as pipe:
            told = pipe.read()
        _, status = os.waitpid(child, 0)
    if told:
        raise pickle.loads(told)
    if status:
        raise MemoryError


def _do(work: Callable[[], object], writing: int) -> NoReturn:
    """Do the work, tell of what it raises, and end. The one who began it tells of signals."""
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, signal.SIG_DFL)
    threading.Thread(target=_end_unheard, args=(writing,), daemon=True).start()
    try:
        work()
    except BaseException as error:
        with os.fdopen(writing, "wb") as pipe:
            pipe.write(_pickled(error))
    finally:
        os._exit(0)


def _end_unheard(writing: int) -> None:
    """End as soon as nobody is there any more to be told how it went."""
    heard = select.poll()
    heard.register(writing, 0)
    heard.poll()
    os._exit(1)


def _pickled(error: BaseException) -> bytes:
    try:
        return pickle.dumps(error)
    except Exception:
        return pickle.dumps(RuntimeError(str(error)))
