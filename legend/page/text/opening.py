"""Open the text of a description: what its file says, or what was typed and not saved before."""

from __future__ import annotations

from pathlib import Path

from legend.failures import PlainError
from legend.page.text.draft import Draft
from legend.page.text.open_text import OpenText
from legend.page.text.written import Written, read_written


def open_text(panel: Path, draft: Draft, beginning: str) -> OpenText:
    """The text to begin with; `beginning` where there is neither a file nor a draft.

    Nothing is written. Errors: PlainError or OSError, where there is a file that cannot be read.
    """
    file = file_there(panel)
    kept = _kept(draft)
    if kept is not None and file is not None and kept.text == file.text:
        draft.remove()
        kept = None
    if kept is None and file is None:
        return OpenText(panel.name, beginning, None, fresh=beginning)
    if kept is None:
        return OpenText(panel.name, file.text if file else "", file)
    if file is None or draft.is_newer:
        return OpenText(panel.name, kept.text, file, draft=True)
    return OpenText(panel.name, kept.text, None, theirs=file, draft=True)


def file_there(panel: Path) -> Written | None:
    """What the file of a description holds; None where there is none.

    Errors: PlainError, where it is no text, or no file at all; OSError.
    """
    try:
        return read_written(panel)
    except (FileNotFoundError, NotADirectoryError):
        return None
    except IsADirectoryError:
        raise PlainError(f"{panel.name} is a folder, and no description.") from None
    except PermissionError:
        raise PlainError(f"{panel.name} may not be read; ask its owner for leave.") from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        raise PlainError(f"{panel.name} cannot be read: {why}.") from None


def _kept(draft: Draft) -> Written | None:
    try:
        return draft.found()
    except (OSError, PlainError):  # whatever it is, it is no text of ours, and is left alone
        draft.disown()
        return None
