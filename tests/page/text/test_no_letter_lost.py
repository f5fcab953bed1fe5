"""However pages type at once, every word typed is in the text, or beside it for the user."""

from dataclasses import dataclass, field

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from legend.page.messages import Text
from legend.page.text.open_text import OpenText, Page
from legend.page.text.written import Written

_PAGES = st.integers(0, 2)
_BEGINNING = "one = 1\ntwo = 2\nthree = 3\n"


@dataclass
class _Browser:
    """A page as far as its text goes: what stands in it, and the revision that this is upon."""

    shown: Page
    text: str
    base: int = 1
    is_apart: bool = False
    told: list[Text] = field(default_factory=list)


class Typing(RuleBasedStateMachine):
    """Pages type, send and hear in any order; other programs save meanwhile."""

    def __init__(self) -> None:
        super().__init__()
        self.text = OpenText("panel.toml", _BEGINNING, Written(_BEGINNING.encode(), _BEGINNING))
        self.pages = [_Browser(Page(), _BEGINNING) for _ in range(3)]
        self.typed: list[set[str]] = [set() for _ in self.pages]
        self.words = 0
        self.arrived: set[str] = set()

    @rule(which=_PAGES, at=st.integers(0, 200), line=st.booleans())
    def type(self, which: int, at: int, line: bool) -> None:
        """Type a word that nobody typed before, in a line or as a line of its own."""
        page = self.pages[which]
        self.words += 1
        word = f"W{self.words}W"
        between = "\n" if line else " \n"
        places = [k + 1 for k, letter in enumerate(page.text) if letter in between]
        at = places[at % len(places)]
        page.text = page.text[:at] + (f"{word}\n" if line else f" {word} ") + page.text[at:]
        self.typed[which].add(word)

    @rule(which=_PAGES)
    def send(self, which: int) -> None:
        """Send what stands in a page, whether it has heard the answer to the last or not."""
        page = self.pages[which]
        self.text.edited(page.shown, page.base, page.text)
        for each in self.pages:
            each.told.append(self.text.told(each.shown))
        page.is_apart = page.shown.apart is not None
        if not page.is_apart:
            self.arrived |= _words(page.text)

    @rule(which=_PAGES)
    def hear(self, which: int) -> None:
        """Take in the newest text, where nothing was typed that it does not have."""
        page = self.pages[which]
        told, page.told = page.told[-1:], []
        if told and not page.is_apart and all(w in told[0].text for w in _words(page.text)):
            page.text, page.base = told[0].text, told[0].revision

    @rule(which=_PAGES, mine=st.booleans())
    def settle(self, which: int, mine: bool) -> None:
        """Settle on both texts, one after the other."""
        page = self.pages[which]
        if not page.is_apart:
            return
        told = self.text.told(page.shown)
        both = [page.text, told.theirs or ""]
        settled = "".join(both if mine else reversed(both))
        self.text.settled(page.shown, told.revision, settled)
        page.is_apart = page.shown.apart is not None
        if not page.is_apart:
            page.text, page.base = self.text.text, self.text.revision
            self.arrived |= _words(settled)

    @invariant()
    def nothing_is_lost(self) -> None:
        """What arrived stays in the text; all else is in its page, or stands apart for it."""
        assert self.arrived <= _words(self.text.text)
        for page, mine in zip(self.pages, self.typed, strict=True):
            assert mine <= _words(" ".join([self.text.text, page.text]))
            assert not page.is_apart or mine <= _words(f"{page.text} {page.shown.apart}")


def _words(text: str) -> set[str]:
    return {word for word in text.split() if word.startswith("W") and word.endswith("W")}


TestTyping = Typing.TestCase
TestTyping.settings = settings(max_examples=40, stateful_step_count=25, deadline=None)
