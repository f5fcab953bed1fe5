"""Keep one description open for all pages that show it: its text, its pictures, its file.

What a page does to the text goes to all pages at once, then the drawing, then what was found and
what will be cut. Where the text changes again meanwhile, only the newest is worked on.
"""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Awaitable, Callable
from pathlib import Path

from legend.failures import PlainError, in_plain_words
from legend.limits import LONGEST_FILE
from legend.page.maker import MOST_PATIENCE, Maker
from legend.page.messages import (
    Cutting,
    Drawing,
    Edit,
    FaultShown,
    FileMade,
    Found,
    InTheWay,
    Made,
    Make,
    Opened,
    Progress,
    ReadyShown,
    Refused,
    Settle,
    Unread,
)
from legend.page.outbox import Outbox
from legend.page.pictures.pictures import Pictures
from legend.page.pictures.seer import MOST_PATIENCE as PATIENCE_FOR_PICTURES
from legend.page.pictures.seer import Seer
from legend.page.text.draft import Draft
from legend.page.text.files import changed_files
from legend.page.text.open_text import Page
from legend.page.text.opening import file_there, open_text
from legend.page.text.saving import save_whole
from legend.page.text.written import Written
from legend.page.worker import Worker

#: What is typed is kept within so many seconds, and tried again after so many where that failed.
_KEPT_AFTER, _KEPT_AGAIN = 0.2, 5.0
#: What failed unforeseen is begun again after so many seconds.
_AGAIN_AFTER = 1.0
_CHOOSE = "First choose which of the two texts is to stay."
#: Nothing is found, and nothing cut, before the text has stayed the same for so many seconds.
_FOUND_AFTER, _CUT_AFTER = 0.1, 0.4


class OpenPanel:
    """The description in a file, as it is open in any number of pages.

    `bench` makes what draws, finds and cuts, in processes of their own; `ready` are the tables
    that it can put in. Errors: as `open_text` has them.
    """

    def __init__(
        self,
        panel: Path,
        beginning: str,
        bench: Callable[[Path], object],
        ready: tuple[ReadyShown, ...] = (),
    ) -> None:
        self.panel, self.ready = panel, ready
        self.drawing = Worker(bench, panel)
        self.finding = Worker(bench, panel, gives_way=True)
        self.making = Worker(Maker, panel, MOST_PATIENCE)
        self.pictures = Pictures(Worker(Seer, panel, PATIENCE_FOR_PICTURES, gives_way=True))
        self.made: dict[str, Path] = {}
        self._draft = Draft(panel)
        self.text = open_text(panel, self._draft, beginning)
        self._pages: dict[Outbox, Page] = {}
        self._last: dict[str, object] = {}
        self._to_draw, self._to_find, self._to_keep = (asyncio.Event() for _ in range(3))
        self._filing = asyncio.Lock()
        self._is_making = False
        self._tasks: list[asyncio.Task[None]] = []

    # --- From beginning to end ---

    def begin(self) -> None:
        """Begin to draw, to keep, and to watch the files."""
        for worker in (self.drawing, self.finding):
            worker.begin()
        self._to_draw.set()
        loops = (self._draw, self._get_ready, self._find, self._keep, self._watch)
        self._tasks = [asyncio.create_task(self._lasting(each)) for each in loops]

    async def _lasting(self, loop: Callable[[], Awaitable[None]]) -> None:
        """Let something go on whatever happens; what nobody foresaw is told."""
        while True:
            try:
                await loop()
                return
            except Exception as error:
                for page in self._pages:
                    page.put(Refused(0, in_plain_words(error)))
                await asyncio.sleep(_AGAIN_AFTER)

    async def end(self) -> None:
        """Keep what is not saved, and end all that goes on."""
        await self.keep_now()
        for task in self._tasks:
            task.cancel()
        for worker in (self.drawing, self.finding, self.making):
            worker.end()
        self.pictures.end()
        await asyncio.gather(*self._tasks, return_exceptions=True)

    def came(self, page: Outbox) -> None:
        """A page has been opened: it is told all that there is."""
        shown = self._pages[page] = Page()
        page.put(Opened(self.panel.name, str(self.panel.absolute().parent), self.ready))
        page.put(self.text.told(shown))
        for message in self._last.values():
            page.put(message)

    def went(self, page: Outbox) -> None:
        """A page has been closed."""
        shown = self._pages.pop(page, None)
        if shown is not None and self.text.left(shown):
            self._to_draw.set()  # as another revision
            self._tell_text()

    # --- What pages do to the text ---

    def edit(self, page: Outbox, edit: Edit) -> None:
        """Take in what was typed."""
        self._change(page, edit.ask, lambda shown: self.text.edited(
            shown, edit.base, edit.text, edit.base_text
        ))  # fmt: skip

    def settle(self, page: Outbox, settle: Settle) -> None:
        """Take what the user settled on."""
        self._change(page, 0, lambda shown: self.text.settled(shown, settle.revision, settle.text))

    def _change(self, page: Outbox, ask: int, change: Callable[[Page], None]) -> None:
        before = self.text.revision
        change(self._pages[page])
        if self.text.revision != before:
            self._to_draw.set()
        self._to_keep.set()
        self._tell_text(page, ask)

    async def save(self, revision: int) -> bool:
        """Write the text of a revision into the file; whether that was done."""
        async with self._filing:
            await self._look()
            if self.text.is_to_settle or self.text.in_the_way:  # which is not written over
                self._tell_text()
                return False
            try:
                text, content = self.text.to_save(revision)
                await asyncio.to_thread(save_whole, self.panel, content)
            except (OSError, PlainError) as error:
                self.text.refused = in_plain_words(error)
                self._tell_text()
                return False
            self.text.saved(text, content)
            await self._keep_or_remove()
        self._tell_text()
        return True

    def _tell_text(self, by: Outbox | None = None, ask: int = 0) -> None:
        """Tell all pages of the text; the one that changed it, what answers it."""
        for page, shown in self._pages.items():
            page.put(self.text.told(shown, ask if page is by else 0))

    # --- Making ---

    async def make(self, page: Outbox, order: Make) -> None:
        """Make everything of the text on the screen, which is saved first."""
        if self._is_making:
            page.put(Refused(order.ask, "Something is being made already; wait until it is done."))
            return
        self._is_making = True
        try:
            page.put(await self._made(page, order))
        except (PlainError, OSError) as error:
            page.put(Refused(order.ask, in_plain_words(error)))
        finally:
            self._is_making = False

    async def _made(self, page: Outbox, order: Make) -> Made | InTheWay | Refused:
        folder = self._folder(order.folder)
        if self._is_apart(page):
            return Refused(order.ask, f"Nothing is made. {_CHOOSE}")
        if not self.text.is_saved:
            page.put(Progress(order.ask, f"Saving {self.panel.name}, which it is made from."))
            if not await self.save(self.text.revision):
                words = f"Nothing is made, because {self.panel.name} could not be saved."
                why = self.text.in_the_way or self.text.refused or _CHOOSE
                return Refused(order.ask, f"{words} {why}")
        outcome = await self.making.ask(
            "make", folder, order.replace, told=lambda words: page.put(Progress(order.ask, words))
        )
        if words := outcome.in_the_way():
            return InTheWay(order.ask, f"In {folder.name}, {words}", not outcome.foreign)
        self.made = {path.name: path for path, _ in outcome.files}
        files = tuple(
            FileMade(path.name, what, f"made/{path.name}") for path, what in outcome.files
        )
        return Made(order.ask, folder.name, files)

    def _is_apart(self, page: Outbox) -> bool:
        """Whether a page has another text than all others, until its user has chosen."""
        shown = self._pages.get(page)
        return shown is not None and shown.apart is not None

    def _folder(self, name: str) -> Path:
        """Where to make it: in the usual folder, or in one of this name beside the description.

        Error: PlainError for what is no plain name, or leads elsewhere.
        """
        from legend.making.panel_files import usual_folder

        if not name:
            return usual_folder(self.panel)
        strange = {"/", "\\", ":", "\0"} & set(name)
        if strange or name.startswith(".") or not name.isprintable() or name != name.strip():
            raise PlainError("Write the plain name of a folder beside the description.")
        folder = self.panel.parent / name
        if folder.is_symlink():
            raise PlainError(f"{name} is a link that leads elsewhere; name another folder.")
        return folder

    # --- Drawing, finding and cutting ---

    async def _draw(self) -> None:
        while True:
            await self._to_draw.wait()
            self._to_draw.clear()
            revision, text = self.text.revision, self.text.text
            self._say(await self._drawn(revision, text))
            self._to_find.set()

    async def _drawn(self, revision: int, text: str) -> Drawing | Unread:
        words = f"This is longer than {LONGEST_FILE // 10**6} MB, which no panel needs."
        if len(text) <= LONGEST_FILE:
            try:
                drawn: Drawing | Unread = await self.drawing.ask("draw", revision, text)
                return drawn
            except PlainError as error:
                words = str(error)
        return Unread(revision, (FaultShown("", 0, words),))

    async def _get_ready(self) -> None:
        """Have the finding part load what it needs while the first drawing is made."""
        with contextlib.suppress(PlainError):
            await self.finding.ask("find", self.text.revision, self.text.text)

    async def _find(self) -> None:
        while True:
            await self._to_find.wait()
            self._to_find.clear()
            if await self._is_drawn_again(_FOUND_AFTER):
                continue
            revision, text = self.text.revision, self.text.text
            drawn = self._last.get("drawing")
            if not isinstance(drawn, Drawing) or drawn.revision != revision:
                continue
            await self._tell_of("find", revision, text)
            if not await self._is_drawn_again(_CUT_AFTER) and revision == self.text.revision:
                await self._tell_of("cut", revision, text)

    async def _is_drawn_again(self, seconds: float) -> bool:
        """Whether another text has been drawn before so many seconds have gone."""
        with contextlib.suppress(TimeoutError):
            await asyncio.wait_for(self._to_find.wait(), seconds)
        return self._to_find.is_set()

    async def _tell_of(self, method: str, revision: int, text: str) -> None:
        """Tell the pages what the finding part gives, if it is not too late for this text."""
        try:
            said: Found | Cutting | None = await self.finding.ask(method, revision, text)
        except PlainError as error:
            for page in self._pages:
                page.put(Refused(0, str(error)))
            return
        if said is not None and revision == self.text.revision:
            self._say(said)

    def _say(self, message: object) -> None:
        """Tell all pages, and those that come later."""
        if isinstance(message, Drawing):
            self._last.pop("unread", None)
        name = {Drawing: "drawing", Unread: "unread", Found: "found", Cutting: "cutting"}
        self._last.pop(name[type(message)], None)
        self._last[name[type(message)]] = message
        for page in self._pages:
            page.put(message)

    async def overlay(self) -> bytes:
        """The true-scale overlay of the text as it is, as PDF. Error: PlainError."""
        found = await self.finding.ask("find", self.text.revision, self.text.text)
        if found is None:
            raise PlainError("The description cannot be read as it stands; mend that first.")
        data: bytes = await self.finding.ask("overlay")
        return data

    # --- The files ---

    async def _watch(self) -> None:
        async for changed in changed_files(self.panel, lambda: self.text.text):
            if self.panel in changed:
                async with self._filing:
                    await self._look()
            if changed - {self.panel}:
                for worker in (self.drawing, self.finding):
                    with contextlib.suppress(PlainError):  # then it is another one anyway
                        await worker.renew()
                self.text.drawn_anew()
                self._to_draw.set()
                self._tell_text()

    async def _look(self) -> None:
        """Look at the file, and tell of what has changed in it."""
        before, why = self.text.revision, ""
        there: Written | None = None
        try:
            there = await asyncio.to_thread(file_there, self.panel)
        except (PlainError, OSError) as error:
            why = in_plain_words(error)
        if self.text.found(there, why):
            self._to_keep.set()
            self._tell_text()
        if self.text.revision != before:
            self._to_draw.set()

    async def _keep(self) -> None:
        """Keep what is typed, soon after it is."""
        while True:
            wait = _KEPT_AGAIN if self.text.not_kept else None
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(self._to_keep.wait(), wait)
            self._to_keep.clear()
            await asyncio.sleep(_KEPT_AFTER)
            await self.keep_now()

    async def keep_now(self) -> None:
        """Keep what is not saved beside the description, or take that away where all is saved."""
        async with self._filing:
            await self._keep_or_remove()

    async def _keep_or_remove(self) -> None:
        why, text = "", self.text.text
        try:
            if self.text.is_to_keep:
                behind = self.text.theirs is not None
                await asyncio.to_thread(self._draft.keep, text, behind)
            else:
                await asyncio.to_thread(self._draft.remove)
        except (OSError, PlainError) as error:
            why = in_plain_words(error)
        if self.text.not_kept != why:
            self.text.not_kept = why
            self._tell_text()
