"""Do for one description whatever the page asks for: the server calls it, and nothing else here.

What was laid out last is kept, since most that is asked for is about it.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from legend.description.faults import DescriptionError
from legend.page.messages import (
    Change,
    Completions,
    Cutting,
    Drawing,
    FaultShown,
    Found,
    Picked,
    Refused,
    Unread,
)
from legend.sentences import printable

if TYPE_CHECKING:
    from legend.layout.artwork import Artwork
    from legend.layout.remedies.offers import Keys
    from legend.page.content.findings import Findings
    from legend.page.content.picking import Picking


class Bench:
    """The description in a file, as its text changes; the file itself is never read here.

    A text is laid out once, whatever is asked of it. Where it cannot be read, the last one that
    could be is kept for what needs a panel.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._laid: tuple[str, Artwork] | None = None
        self._findings: Findings | None = None
        self._picking: Picking | None = None

    # --- The panel, what is found, and what is cut ---

    def draw(self, revision: int, text: str) -> Drawing | Unread:
        """The panel at all stages, or why the text cannot be read."""
        from legend.page.content.panel_shown import panel_shown

        try:
            artwork = self._artwork(text)
        except DescriptionError as error:
            return self._unread(revision, error)
        return panel_shown(revision, text, artwork)

    def find(self, revision: int, text: str) -> Found | None:
        """All that is found of a text, but in cutting; None where it cannot be read.

        Remedies are not tried yet, which takes long; that is done when it is cut.
        """
        from legend.layout.inspection import inspect

        try:
            artwork = self._artwork(text)
        except DescriptionError:
            return None
        return self._found(text).shown(revision, inspect(artwork))

    def cut(self, revision: int, text: str) -> Cutting | None:
        """What will be cut, and all that is found; None where the text cannot be read."""
        from legend.making.stages import cut_from
        from legend.page.content.cutting_shown import cutting_shown, shows_otherwise
        from legend.page.content.panel_shown import panel_shown

        before = self.find(revision, text)  # so that findings are numbered as there
        if before is None:
            return None
        artwork = self._artwork(text)
        sheets, findings = cut_from(artwork)
        drawing = None
        if shows_otherwise(artwork):
            drawing = panel_shown(revision, text, artwork, sheets)
        found = self._found(text).shown(revision, findings)
        return cutting_shown(revision, artwork, sheets, drawing, found)

    def overlay(self) -> bytes:
        """The true-scale overlay of the last panel, as PDF. Error: LookupError, without a panel."""
        from legend.drawing.pdf.overlay_pdf import overlay_pdf
        from legend.making.stages import cut_from

        if self._laid is None:
            raise LookupError("no panel was laid out yet")
        artwork = self._laid[1]
        return overlay_pdf(artwork, cut_from(artwork)[0], "A4", (0.0, 0.0))

    # --- What is asked about it ---

    def pick(self, ask: int, at: tuple[float, float]) -> Picked | Refused:
        """What lies nearest to a point of the last panel."""
        from legend.page.content.picking import Picking

        if self._laid is None:
            return Refused(ask, "There is no panel yet.")
        if self._picking is None:
            self._picking = Picking(self._laid[1])
        return self._picking.picked(ask, at) or Refused(ask, "There is nothing on the panel yet.")

    def answer(
        self, ask: int, revision: int, text: str, finding: int, value: str
    ) -> Change | Refused:
        """What to write for the answer to a finding of this text, by its number."""
        from legend.description.reading.description_file import parse
        from legend.page.content.questions import AnswerError, Said, answered

        try:
            keys = self._settled_by(revision, text, finding)
            if not keys:
                return Refused(ask, "That is not among the findings any more.")
            edit = answered(Said(text, self._artwork(text)), keys, value)
            parse(edit.done_to(text), str(self._path))
        except AnswerError as error:
            return Refused(ask, printable(str(error)))
        except DescriptionError as error:
            return Refused(ask, printable(error.faults[0].message))
        return Change(ask, revision, edit.begin, edit.end, edit.text, edit.select)

    def _settled_by(self, revision: int, text: str, finding: int) -> Keys | None:
        """The way to the key that settles a finding; it is found anew where it is not known."""
        for find in (self.find, self.cut):
            keys = self._found(text).settled_by(finding)
            if keys is not None:
                return keys
            find(revision, text)
        return self._found(text).settled_by(finding)

    def put_in(self, ask: int, revision: int, text: str, ready: str, line: int) -> Change | Refused:
        """What to write for a ready table, after the table that a line is in."""
        from legend.description.reading.description_file import parse
        from legend.page.content.putting_in import PuttingInError, put_in

        amiss = "Nothing can be put in while the text cannot be read"
        try:
            artwork = self._artwork(text)
            amiss = "It cannot be put in"
            edit = put_in(text, artwork, ready, line)
            parse(edit.done_to(text), str(self._path))
        except PuttingInError as error:
            return Refused(ask, printable(str(error)))
        except DescriptionError as error:
            return Refused(ask, f"{amiss}: {printable(error.faults[0].message)}")
        return Change(ask, revision, edit.begin, edit.end, edit.text, edit.select)

    def complete(self, ask: int, text: str, at: int) -> Completions:
        """What may be written at a place of a text, whether it can be read or not."""
        from legend.page.content.completion import completions

        return completions(ask, text, at, self._laid[1] if self._laid else None)

    # --- What is kept ---

    def _artwork(self, text: str) -> Artwork:
        """The artwork of a text. Error: DescriptionError."""
        from legend.description.reading.description_file import parse
        from legend.making.stages import artwork_of

        if self._laid is None or self._laid[0] != text:
            self._laid = text, artwork_of(parse(text, str(self._path)))
            self._picking = None
        return self._laid[1]

    def _found(self, text: str) -> Findings:
        """What was found of a text so far. Error: DescriptionError."""
        from legend.page.content.findings import Findings
        from legend.page.content.questions import Said

        if self._findings is None or self._findings.said.text != text:
            self._findings = Findings(Said(text, self._artwork(text)))
        return self._findings

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
