"""Define the failures that are told to the user, and put any failure into plain words."""

from __future__ import annotations

import errno

from legend.sentences import printable

#: What is told of a run that was ended by a signal.
INTERRUPTED = "Interrupted; no file is left half-written."
#: The exit status of a run that did not do what it was asked to.
NOT_DONE = 2


class PlainError(Exception):
    """A failure whose text is one or more whole sentences for the user, with nothing to add."""


def in_plain_words(error: Exception) -> str:
    """What went wrong, as the user is told it."""
    if isinstance(error, PlainError):
        return str(error)
    if isinstance(error, OSError):
        return _of_the_system(error)
    if isinstance(error, MemoryError):
        return "There is not enough memory for this panel; a smaller picture (--dpi) may do."
    return (
        f"The program failed at something its makers did not foresee ({type(error).__name__}: "
        f"{error}). No file is left half-written. Please report it, with the description."
    )


#: Sharing and lock violations: Windows, System Error Codes 32 and 33.
_IN_USE = (32, 33)


def _of_the_system(error: OSError) -> str:
    """What the system refused, and why."""
    what = printable(str(error.filename2 or error.filename or "A file"))
    if getattr(error, "winerror", None) in _IN_USE:
        return f"{what} cannot be written: another program has it open. Close it there."
    why = {
        errno.ENOSPC: "there is no room left on the disk",
        errno.EDQUOT: "your share of the disk is full",
        errno.EROFS: "the disk can only be read",
        errno.EACCES: "you may not write there",
        errno.EPERM: "you may not write there",
        errno.ENOTDIR: "a file stands where a folder is needed",
        errno.EEXIST: "a file stands where a folder is needed",
        errno.EISDIR: "a folder stands where the file would go",
        errno.ENAMETOOLONG: "its name is too long",
    }.get(error.errno or 0, (error.strerror or str(error)).lower())
    return f"{what} cannot be written: {why}."
