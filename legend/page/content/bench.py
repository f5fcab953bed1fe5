"""Do for one description whatever the page asks for: the server calls it, and nothing else here.

What was laid out last is kept, since most that is asked for is about it.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from legend.description.faults import DescriptionError
from legend.page.messages import Drawing, FaultShown, Unread
from legend.sentences import printable

if TYPE_CHECKING:
    from legend.layout.artwork import Artwork


class Bench:
    """The description in a file, as its text changes; the file itself is never read here.

    A text is laid out once, whatever is asked of it. Where it cannot be read, the last one that
    could be is kept for what needs a panel.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._laid: tuple[str, Artwork] | None = None

    def draw(self, revision: int, text: str) -> Drawing | Unread:
        """The panel at all stages, or why the text cannot be read."""
        from legend.page.content.panel_shown import panel_shown

        try:
            artwork = self._artwork(text)
        except DescriptionError as error:
            return self._unread(revision, error)
        return panel_shown(revision, text, artwork)

    def _artwork(self, text: str) -> Artwork:
        """The artwork of a text. Error: DescriptionError."""
        from legend.description.reading.description_file import parse
        from legend.making.stages import artwork_of

        if self._laid is None or self._laid[0] != text:
            self._laid = text, artwork_of(parse(text, str(self._path)))
        return self._laid[1]

    def _unread(self, revision: int, error: DescriptionError) -> Unread:
        faults = (
            FaultShown(self._called(each.source.file), each.source.line, printable(each.message))
            for each in error.faults
        )
        return Unread(revision, tuple(faults))

    def _called(self, file: str) -> str:
        """What a file is called beside the description; "" for the description itself."""
        if file == str(self._path):
            return ""
        path = Path(file)
        folder = self._path.parent
        return printable(str(path.relative_to(folder) if path.is_relative_to(folder) else path))
