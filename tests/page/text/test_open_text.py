"""Of one text that several pages and the file share, nothing is lost, and every state is told."""

import pytest

from legend.page.text.open_text import OpenText, Page
from legend.page.text.written import Written


def _written(text: str) -> Written:
    return Written(text.encode(), text)


@pytest.fixture
def text() -> OpenText:
    return OpenText("panel.toml", "a\nb\nc\n", _written("a\nb\nc\n"))


# --- Typing ---


def test_what_is_typed_is_the_text(text: OpenText) -> None:
    page = Page()
    assert text.told(page).state == "saved"
    text.edited(page, 1, "a\nb\nc\nd\n")
    told = text.told(page, 7)
    assert (told.revision, told.text, told.state, told.answers) == (
        2,
        "a\nb\nc\nd\n",
        "unsaved",
        7,
    )
    text.edited(page, 2, "a\nb\nc\n")  # undone
    assert text.told(page).state == "saved"
    assert not text.is_to_keep


def test_two_pages_have_what_both_typed(text: OpenText) -> None:
    one, other = Page(), Page()
    text.edited(one, 1, "A\nb\nc\n")
    text.edited(other, 1, "a\nb\nC\n")
    assert text.told(one).text == text.told(other).text == "A\nb\nC\n"


def test_one_page_may_type_on_before_it_is_answered(text: OpenText) -> None:
    page, other = Page(), Page()
    text.edited(other, 1, "A\nb\nc\n")
    for typed in ("a\nb\nc\nx", "a\nb\nc\nxy", "a\nb\nc\nxyz", "a\nb\nc\nx"):
        text.edited(page, 1, typed)
    assert text.text == "A\nb\nc\nx"


def test_what_cannot_be_merged_is_settled_by_its_own_page(text: OpenText) -> None:
    one, other = Page(), Page()
    text.edited(one, 1, "a\none\nc\n")
    text.edited(other, 1, "a\nother\nc\n")
    assert text.told(one).state == "unsaved"
    told = text.told(other)
    assert (told.state, told.text, told.theirs) == ("two", "a\nother\nc\n", "a\none\nc\n")
    text.edited(other, told.revision, "a\nother!\nc\n")  # typed on meanwhile
    assert text.text == "a\none\nc\n"
    assert text.told(other).text == "a\nother!\nc\n"
    text.edited(one, 2, "A\none\nc\n")
    text.settled(other, told.revision, "a\none or other\nc\n")
    assert text.told(other).state == "unsaved"
    assert text.text == "A\none or other\nc\n"


def test_a_page_that_is_closed_leaves_its_text_to_the_others(text: OpenText) -> None:
    one, other = Page(), Page()
    text.edited(one, 1, "a\none\nc\n")
    text.edited(other, 1, "a\nother\nc\n")
    assert text.left(other)
    told = text.told(one)
    assert (told.state, told.theirs) == ("two", "a\nother\nc\n")
    assert text.is_to_settle
    text.settled(one, told.revision, "a\nother\nc\n")
    assert text.told(one).state == "unsaved"
    assert text.told(one).text == "a\nother\nc\n"
    assert not text.left(one)


def test_a_page_may_outlive_its_server(text: OpenText) -> None:
    page = Page()
    text.edited(page, -1, "a\nb\nc\ntyped\n", base_text="a\nb\nc\n")
    assert text.text == "a\nb\nc\ntyped\n"


def test_an_edit_upon_what_nobody_knows_is_not_taken_blindly(text: OpenText) -> None:
    page = Page()
    text.edited(page, 99, "x\n")
    told = text.told(page)
    assert (told.state, told.text, told.theirs) == ("two", "x\n", "a\nb\nc\n")
    text.edited(page, 99, "a\nb\nc\n")
    assert text.told(page).state == "saved"


def test_long_ago_is_forgotten_in_the_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("legend.page.text.open_text._MOST_REMEMBERED", 100)
    text, page = OpenText("panel.toml", "x" * 40, None), Page()
    for revision in range(1, 5):
        text.edited(page, revision, "y" * (40 + revision))
    assert text.of_revision(1) is None
    assert text.of_revision(5) == text.text


# --- The file ---


def test_another_program_is_followed_where_nothing_was_typed(text: OpenText) -> None:
    page = Page()
    assert text.found(_written("theirs\n"))
    told = text.told(page)
    assert (told.state, told.text, told.revision) == ("saved", "theirs\n", 2)
    assert not text.found(_written("theirs\n"))


def test_another_program_does_not_win_over_what_was_typed(text: OpenText) -> None:
    page = Page()
    text.edited(page, 1, "mine\n")
    assert text.found(_written("theirs\n"))
    told = text.told(page)
    assert (told.state, told.text, told.theirs) == ("two", "mine\n", "theirs\n")
    assert text.is_to_settle and text.is_to_keep
    text.settled(page, told.revision, "mine\ntheirs\n")
    assert text.told(page).state == "unsaved"
    assert text.to_save(text.revision) == ("mine\ntheirs\n", b"mine\ntheirs\n")
    text.saved("mine\ntheirs\n", b"mine\ntheirs\n")
    assert text.told(page).state == "saved"


@pytest.mark.parametrize("settled", ["mine\n", "theirs\n"])
def test_one_of_the_two_may_be_kept(text: OpenText, settled: str) -> None:
    page = Page()
    text.edited(page, 1, "mine\n")
    text.found(_written("theirs\n"))
    text.settled(page, text.told(page).revision, settled)
    told = text.told(page)
    assert told.text == settled
    assert told.state == ("saved" if settled == "theirs\n" else "unsaved")


def test_what_nobody_has_seen_is_not_settled(text: OpenText) -> None:
    page, other = Page(), Page()
    text.edited(page, 1, "mine\n")
    text.edited(other, 1, "other\n")
    text.found(_written("theirs\n"))
    seen = text.told(page)
    text.found(_written("theirs again\n"))  # while the user chooses
    text.settled(page, seen.revision, "mine\n")
    told = text.told(page)
    assert (told.state, told.theirs) == ("two", "theirs again\n")
    text.left(other)
    text.settled(page, told.revision, "mine\n")
    assert text.told(page).theirs == "other\n"
    text.settled(page, told.revision, "mine\n")  # once more, by another page
    told = text.told(page)
    assert told.theirs == "other\n"
    text.settled(page, told.revision, "mine\n")
    assert text.told(page).state == "unsaved"


def test_a_page_that_comes_back_is_asked_once(text: OpenText) -> None:
    one, other = Page(), Page()
    text.edited(one, 1, "a\none\nc\n")
    text.edited(other, 1, "a\nother\nc\n")
    text.left(other)
    again = Page()
    text.edited(again, -1, "a\nother\nc\n", base_text="a\nb\nc\n")
    assert text.told(again).theirs == "a\none\nc\n"
    assert text.told(one).state == "unsaved"


def test_where_the_other_takes_it_back_there_is_nothing_to_settle(text: OpenText) -> None:
    page = Page()
    text.edited(page, 1, "mine\n")
    text.found(_written("theirs\n"))
    assert text.found(_written("a\nb\nc\n"))
    assert text.told(page).state == "unsaved"


def test_a_file_that_is_gone_is_told_and_comes_back(text: OpenText) -> None:
    page = Page()
    assert text.found(None)
    told = text.told(page)
    assert told.state == "unsaved" and "removed or renamed" in told.words
    assert text.is_to_keep
    assert text.found(_written("another\n"))  # nothing was typed
    assert (text.told(page).state, text.told(page).text) == ("saved", "another\n")


def test_a_file_that_cannot_be_read_is_told(text: OpenText) -> None:
    page = Page()
    assert text.found(None, "panel.toml is a folder.")
    assert "panel.toml is a folder." in text.told(page).words
    assert text.text == "a\nb\nc\n"
    assert text.found(_written("a\nb\nc\n"))
    assert text.told(page).state == "saved"


# --- New, and found unsaved ---


def test_a_new_one_is_not_to_be_kept_before_it_is_touched() -> None:
    text, page = OpenText("panel.toml", "begin\n", None, fresh="begin\n"), Page()
    assert text.told(page).words == "Not saved: there is no panel.toml yet."
    assert not text.is_to_keep
    assert not text.found(None)
    text.edited(page, 1, "begin it\n")
    assert text.is_to_keep
    assert text.found(_written("somebody else's\n"))
    assert text.told(page).state == "two"


def test_what_was_found_unsaved_is_offered_until_it_is_settled() -> None:
    text = OpenText("panel.toml", "typed\n", _written("file\n"), draft=True)
    page = Page()
    told = text.told(page)
    assert (told.state, told.draft, told.text, told.theirs) == (
        "unsaved",
        True,
        "typed\n",
        "file\n",
    )
    text.settled(page, told.revision, "file\n")
    told = text.told(page)
    assert (told.state, told.draft, told.theirs) == ("saved", False, None)


def test_where_it_cannot_be_kept_that_is_said(text: OpenText) -> None:
    page = Page()
    text.edited(page, 1, "typed\n")
    text.not_kept = "There is no room left on the disk."
    told = text.told(page)
    assert told.state == "not-kept" and told.words.endswith("no room left on the disk.")
