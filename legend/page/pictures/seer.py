"""See in pictures the holes of the panel, or its laid letters, in a worker's process."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from legend.description.faults import DescriptionError
from legend.failures import PlainError
from legend.page.messages import Change
from legend.page.pictures.picture_messages import Seen
from legend.page.progress_told import progress_told
from legend.sentences import printable

if TYPE_CHECKING:
    from legend.camera.picture import Picture
    from legend.description.tables.description import Description
    from legend.page.pictures.taking_over import Takeable

#: The longest that it may take, seconds: several large pictures on a slow computer.
MOST_PATIENCE = 300.0

#: A picture: the name that the user knows it by, and the file that it is in.
Named = tuple[str, Path]


@dataclass(frozen=True, slots=True)
class Sight:
    """What was seen, a picture of it as PNG, and what can be taken over, if anything."""

    seen: Seen
    png: bytes
    takeable: Takeable | None = None


class Seer:
    """Sees in pictures what belongs to one description, and tells how far it has come."""

    def __init__(self, panel: Path) -> None:
        self._panel = panel
        self.tell: Callable[[str], None] = lambda _words: None

    def holes(self, ask: int, number: int, text: str, pictures: Sequence[Named]) -> Sight:
        """The holes of the panel of a text, measured in all the pictures together.

        Errors: PlainError, as measuring has them, which say what to do.
        """
        from legend.camera.measured.measured_picture import measured_png
        from legend.camera.measuring import measured_from
        from legend.page.pictures.holes_seen import holes_seen
        from legend.page.pictures.taking_over import Takeable

        description = self._description(text)
        read = [self._read(each) for each in pictures]
        with progress_told(self.tell):
            measured = measured_from(read, description.panel, description.units, description)
        self.tell("Drawing what was found.")
        png = measured_png(measured)
        takeable = Takeable.of(measured) if measured.holes else None
        return Sight(holes_seen(ask, number, measured), png, takeable)

    def letters(self, ask: int, number: int, text: str, pictures: Sequence[Named]) -> Sight:
        """How the letters of the panel of a text lie in a photograph.

        Errors: PlainError, which says what to do.
        """
        from legend.camera.letters.placed import placed_in
        from legend.camera.letters.telling.placed_picture import placed_png
        from legend.making.stages import artwork_of
        from legend.page.pictures.letters_seen import letters_seen
        from legend.stencil import cut

        if len(pictures) != 1:
            raise PlainError("Laid letters are checked in one photograph at a time.")
        description = self._description(text)
        picture = self._read(pictures[0])
        self.tell("Working out where each letter is wanted.")
        artwork = artwork_of(description)
        sheets = cut(artwork).sheets
        self.tell(f"Looking for the letters in {picture.name}.")
        placed = placed_in(picture, artwork, sheets)
        self.tell("Drawing what was found.")
        return Sight(letters_seen(ask, number, placed), placed_png(placed))

    def take_over(self, ask: int, revision: int, text: str, takeable: Takeable) -> Change:
        """Write measured holes beside the description, and give the change that names them.

        Errors: as `taken_over` has them.
        """
        from legend.page.pictures.taking_over import taken_over

        edit = taken_over(self._panel, text, takeable)
        return Change(ask, revision, edit.begin, edit.end, edit.text, edit.select)

    def _description(self, text: str) -> Description:
        """The description of a text. Errors: PlainError; also where the camera is not installed."""
        from legend.camera.opencv import opencv
        from legend.description.reading.description_file import parse

        opencv()
        try:
            return parse(text, str(self._panel))
        except DescriptionError as error:
            said = printable(error.faults[0].message)
            raise PlainError(
                f"The description cannot be read as it stands; mend that first: {said}"
            ) from None

    def _read(self, picture: Named) -> Picture:
        from legend.camera.picture import picture_in

        name, path = picture
        self.tell(f"Reading {name}.")
        return picture_in(path.read_bytes(), name)
