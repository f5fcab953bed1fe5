"""Tell on the standard error, in a terminal, that what takes long goes on."""

from __future__ import annotations

import logging
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager

import click


class _OnTheStandardError(logging.Handler):
    """Each message a line; those of further processes are left out, which have no terminal."""

    def emit(self, record: logging.LogRecord) -> None:
        click.echo(record.getMessage(), err=True)


@contextmanager
def progress_told() -> Iterator[None]:
    """What the program logs of its progress is told within, where somebody looks on."""
    if not sys.stderr.isatty():
        yield
        return
    log, handler, own = logging.getLogger("legend"), _OnTheStandardError(), os.getpid()
    handler.addFilter(lambda record: record.process == own)
    before = log.level
    log.setLevel(logging.INFO)
    log.addHandler(handler)
    try:
        yield
    finally:
        log.removeHandler(handler)
        log.setLevel(before)
