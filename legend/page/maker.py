"""Make every file of the description that is open, as `legend make` does, in a worker's process."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from legend.making.panel_files import Order, make
from legend.page.progress_told import progress_told
from legend.sentences import listed
from legend.writing import ForeignFileError

#: The longest that the making may take, seconds: as long as the largest panels need.
MOST_PATIENCE = 600.0


@dataclass(frozen=True, slots=True)
class Outcome:
    """What was made, each file with what it is; or what stood there, and no file then.

    `edited` are files that this program wrote and that were changed since; `foreign` any others.
    """

    files: tuple[tuple[Path, str], ...] = ()
    edited: tuple[Path, ...] = ()
    foreign: tuple[Path, ...] = ()

    def in_the_way(self) -> str:
        """What stands there, as the user is told it; "" for nothing."""
        said = []
        if self.foreign:
            what = "was" if len(self.foreign) == 1 else "were"
            names = listed(path.name for path in self.foreign)
            said.append(f"{names} {what} not written by this program, and will not be replaced.")
        if self.edited:
            what = "was" if len(self.edited) == 1 else "were"
            names = listed(path.name for path in self.edited)
            said.append(f"{names} {what} changed since this program wrote it.")
        return " ".join(said)


class Maker:
    """Makes the files of one description, and tells meanwhile how far that has come."""

    def __init__(self, panel: Path) -> None:
        self._panel = panel
        self.tell: Callable[[str], None] = lambda _words: None

    def make(self, folder: Path, replace: bool) -> Outcome:
        """Write everything into a folder, or nothing. Errors: as `make` of a panel has them."""
        with progress_told(self.tell):
            try:
                made = make(Order(self._panel, folder, replace=replace))
            except ForeignFileError as error:
                return Outcome((), error.edited, error.foreign)
        return Outcome(made.files)
