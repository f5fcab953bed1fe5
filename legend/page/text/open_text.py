"""Hold the one text of a description that is open: its revisions, and how it stands to the file.

Nothing here reads or writes: what the file holds is told to it, and what is to go into the file is
asked of it.
"""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, field, replace
from typing import Literal

from legend.page.messages import Text
from legend.page.text.merging import merged
from legend.page.text.written import NOTHING, Written

#: Texts of so many characters together are remembered, for pages that lag behind.
_MOST_REMEMBERED = 30_000_000


@dataclass(slots=True)
class Page:
    """What one page has been shown, and what it typed.

    `seen` is the text that it was sent last. `sent` is the revision that its last edit became, and
    that edit. `apart` is what it typed where that could not be merged, and `upon` the text that it
    was typed upon.
    """

    seen: str = ""
    sent: tuple[int, str] | None = None
    apart: str | None = None
    upon: str = ""


@dataclass(slots=True)
class OpenText:
    """The text of the description `name`, as all pages share it.

    `file` is what the file holds, as far as the user knows; None where there is no file. `theirs`
    is what another program saved upon it, or None; `left_over` is what pages typed that were closed
    before it could be merged. `fresh` is the text to begin a new description with. `draft` tells
    that the text was found unsaved. `in_the_way` says why what stands there now cannot be read, and
    `is_gone` that nothing does any more; `refused` why the file could not be written, and
    `not_kept` why the draft could not; "" where they could.
    """

    name: str
    text: str
    file: Written | None
    revision: int = 1
    theirs: Written | None = None
    left_over: list[str] = field(default_factory=list)
    fresh: str | None = None
    draft: bool = False
    in_the_way: str = ""
    is_gone: bool = False
    refused: str = ""
    not_kept: str = ""
    _asked_since: int = 0
    _before: OrderedDict[int, str] = field(default_factory=OrderedDict)
    _remembered: int = 0

    def __post_init__(self) -> None:
        """Remember the first text."""
        self._remember()

    @property
    def is_saved(self) -> bool:
        """Whether the file holds this text."""
        there = not self.in_the_way and not self.is_gone
        return there and self.file is not None and self.file.text == self.text

    @property
    def is_to_keep(self) -> bool:
        """Whether something would be lost if the program ended now."""
        return not self.is_saved and self.text != self.fresh

    @property
    def is_to_settle(self) -> bool:
        """Whether the user has to choose before anything can be saved."""
        return self._beside is not None

    @property
    def _beside(self) -> str | None:
        """What stands beside the text in every page, for the user to choose; None for nothing."""
        if self.theirs is not None:
            return self.theirs.text
        return self.left_over[0] if self.left_over else None

    def of_revision(self, revision: int) -> str | None:
        """The text of a revision; None for one that never was, or was long ago."""
        return self._before.get(revision)

    # --- What pages do ---

    def edited(self, page: Page, base: int, text: str, base_text: str = "") -> None:
        """Take in what a page typed upon a revision, or put it by where that cannot be."""
        upon = page.upon if page.apart is not None else self._typed_upon(page, base, base_text)
        both = text if upon is None and text == self.text else None
        if upon is not None:
            both = merged(upon, self.text, text)
        if both is None:
            page.apart = text
            page.upon = "" if upon is None else upon
            if text in self.left_over:  # its page is back
                beside = self._beside
                self.left_over.remove(text)
                self._ask_anew(beside)
            return
        page.apart = None
        self._become(both)
        page.sent = (self.revision, text)
        self.refused = ""

    def settled(self, page: Page, revision: int, text: str) -> None:
        """Take the text that the user settled on, who saw the text of that revision beside.

        A `revision` below 0 stands for what the page was shown last. What has come to stand beside
        the text since then, nobody has settled yet.
        """
        seen = page.seen if revision < 0 else self.of_revision(revision)
        both = None if seen is None else merged(seen, self.text, text)
        if both is None:
            page.apart, page.upon = text, seen or ""
            return
        if page.apart is not None:
            page.apart, self.draft = None, False
        elif revision < 0 or revision >= self._asked_since:
            self._settle_what_is_beside()
        self._become(both)
        page.sent = (self.revision, text)

    def _settle_what_is_beside(self) -> None:
        self.draft, beside = False, self._beside
        if self.theirs is not None:
            self.file, self.theirs = self.theirs, None
        else:
            del self.left_over[:1]
        self._ask_anew(beside)

    def left(self, page: Page) -> bool:
        """A page is closed; whether what it typed now stands beside the text of the others."""
        apart, page.apart = page.apart, None
        if apart is None or apart == self.text:
            return False
        beside = self._beside
        self.left_over.append(apart)
        self._ask_anew(beside)
        return True

    def _ask_anew(self, before: str | None) -> None:
        """Where something else stands beside the text than before, have it seen before it counts.

        Who chooses must have seen this revision, or a later one.
        """
        if self._beside not in (None, before):
            self._remember_next()
            self._asked_since = self.revision

    def _typed_upon(self, page: Page, base: int, base_text: str) -> str | None:
        """The text that an edit grew out of; None where that is not known any more."""
        if base < 0:
            return base_text
        if page.sent and page.sent[0] > base:  # it typed on before it had seen the answer
            return page.sent[1]
        return self.of_revision(base)

    # --- The file ---

    def to_save(self, revision: int) -> tuple[str, bytes]:
        """The text of a revision, and the bytes that the file is to hold for it.

        Error: PlainError for a text that no file can hold.
        """
        text = self._before.get(revision, self.text)
        return text, (self.file or NOTHING).rewritten(text)

    def saved(self, text: str, content: bytes) -> None:
        """The file holds this now."""
        self.file, self.fresh, self.draft = Written(content, text), None, False
        self.in_the_way, self.refused, self.is_gone = "", "", False

    def found(self, there: Written | None, why: str = "") -> bool:
        """The file holds this; or there is none, or it cannot be read, and why.

        Whether anything is to be told.
        """
        before, beside = self._standing(), self._beside
        self._take_in(there, why)
        self._ask_anew(beside)
        return before != self._standing()

    def _standing(self) -> tuple[object, ...]:
        return self.text, self.file, self.theirs, self.in_the_way, self.is_gone

    def _take_in(self, there: Written | None, why: str) -> None:
        if there is None:
            self.theirs, self.in_the_way, self.is_gone = None, why, not why and bool(self.file)
            return
        self.in_the_way, self.is_gone = "", False
        before = self.file.text if self.file else self.fresh
        if self.file and there.content == self.file.content:
            self.theirs = None
        elif self.text in (there.text, before):
            self.file, self.theirs, self.fresh = there, None, None
            self._become(there.text)
        else:
            self.theirs = there

    def drawn_anew(self) -> None:
        """Something that the description names has changed: the same text is to be read again."""
        self._remember_next()

    # --- What is told ---

    def told(self, page: Page, answers: int = 0) -> Text:
        """The text as a page is told of it; `answers` is the edit of its that is taken in."""
        return replace(self._as_seen_by(page), answers=answers)

    def _as_seen_by(self, page: Page) -> Text:
        page.seen = self.text
        if page.apart is not None:
            words = "Another page changed the same place. Choose what is to stay."
            return Text(self.revision, page.apart, "two", words, self.text)
        if self.theirs is not None:
            words = f"{self.name} was changed by another program. Choose what is to stay."
            if self.draft:
                words = f"{self.name} was changed after this was typed and not saved. Choose."
            return Text(self.revision, self.text, "two", words, self.theirs.text, self.draft)
        if self.left_over:
            words = "A page that was closed had another text. Choose what is to stay."
            return Text(self.revision, self.text, "two", words, self.left_over[0], self.draft)
        if self.is_saved:
            return Text(self.revision, self.text, "saved", "Saved.")
        own = self.file.text if self.draft and self.file else None
        state: Literal["unsaved", "not-kept"] = "not-kept" if self.not_kept else "unsaved"
        return Text(self.revision, self.text, state, self._unsaved_words(), own, self.draft)

    def _unsaved_words(self) -> str:
        said = "Not saved."
        if self.draft:
            said = "This was typed earlier, and not saved."
        elif self.is_gone:
            said = f"Not saved: {self.name} was removed or renamed. Saving writes it again."
        elif self.file is None and not self.in_the_way:
            said = f"Not saved: there is no {self.name} yet."
        if self.not_kept:
            said = f"Not saved, and kept in this page only. {self.not_kept}"
        return " ".join(each for each in (said, self.in_the_way, self.refused) if each)

    # --- Revisions ---

    def _become(self, text: str) -> None:
        if text != self.text:
            self.text = text
            self._remember_next()
        self.draft = self.draft and not self.is_saved

    def _remember_next(self) -> None:
        self.revision += 1
        self._remember()

    def _remember(self) -> None:
        self._before[self.revision] = self.text
        self._remembered += len(self.text)
        while self._remembered > _MOST_REMEMBERED and len(self._before) > 1:
            self._remembered -= len(self._before.popitem(last=False)[1])
