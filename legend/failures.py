"""What every failure that is told to the user has in common."""

from __future__ import annotations


class PlainError(Exception):
    """A failure whose text is one or more whole sentences for the user, with nothing to add."""
