"""Write on the page as a person does: by keys, beside other programs, in two tabs, after a stop."""

from __future__ import annotations

import random
import re
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from page_in_chromium import Served, Tab, served
from page_in_use import (
    SHORT,
    cut,
    drawn,
    line_of_caret,
    put_caret,
    sample_in,
    save,
    stands,
    text_of,
)

#: Run in the page: two editors that type at once, and a server that hears them late.
MANY_HANDS = (Path(__file__).parent / "many_hands.js").read_text(encoding="utf-8")
LETTERS = "".join(chr(ord("a") + number % 26) for number in range(80))


@pytest.fixture(scope="module")
def text() -> str:
    """The description that tests begin with."""
    return SHORT


# --- The text ---


def test_letters_typed_fast_keep_their_order(page: Any) -> None:
    put_caret(page, SHORT)
    page.keyboard.type(f"# {LETTERS}", delay=20)
    assert text_of(page) == f"{SHORT}# {LETTERS}"
    stands(page, "Not saved")
    assert text_of(page) == f"{SHORT}# {LETTERS}"


def test_composed_letters_arrive_and_are_undone_in_one_step(page: Any) -> None:
    put_caret(page, SHORT)
    keyboard = page.context.new_cdp_session(page)
    for begun in ("´", "ni", "nih"):
        keyboard.send(
            "Input.imeSetComposition",
            {"text": begun, "selectionStart": len(begun), "selectionEnd": len(begun)},
        )
    keyboard.send("Input.insertText", {"text": "é日本"})
    assert text_of(page) == f"{SHORT}é日本"
    page.keyboard.press("Control+z")
    assert text_of(page) == SHORT
    page.keyboard.press("Control+y")
    assert text_of(page) == f"{SHORT}é日本"


def test_every_step_can_be_undone_and_done_again(page: Any) -> None:
    put_caret(page, 'title = "')
    page.keyboard.type("MY ")
    drawn(page, "MY ENLARGER TIMER")
    for _ in range(2):
        page.keyboard.press("Control+z")
    assert text_of(page) == SHORT
    drawn(page)
    for _ in range(2):
        page.keyboard.press("Control+y")
    drawn(page, "MY ENLARGER TIMER")


def test_what_may_stand_at_the_caret_is_told_with_its_meaning(page: Any) -> None:
    put_caret(page, 'name = "EXPOSURE"')
    page.keyboard.type("\nno")
    page.keyboard.press("Control+Space")
    page.wait_for_selector("#completing:not([hidden])")
    words = page.locator("#completions .word").all_inner_texts()
    assert "note =" in words
    for _ in range(words.index("note =")):
        page.keyboard.press("ArrowDown")
    assert len(page.inner_text("#completion-meaning").split()) > 5
    page.keyboard.press("Enter")
    assert 'name = "EXPOSURE"\nnote' in text_of(page)
    assert page.is_hidden("#completing")
    page.keyboard.press("Control+z")
    assert 'name = "EXPOSURE"\nno\n' in text_of(page)


def test_a_ready_table_is_put_in_and_undone(page: Any) -> None:
    put_caret(page, 'name = "START"')
    page.wait_for_selector("#ready option", state="attached")
    page.click("#put-in")
    page.wait_for_function("text => document.getElementById('area').value !== text", arg=SHORT)
    text = text_of(page)
    at = text.index('name = "START"')
    assert re.search(r"^\[", text[at:].removeprefix(SHORT[at:]) or text[at:], re.MULTILINE)
    assert len(text) > len(SHORT)
    page.keyboard.press("Control+z")
    assert text_of(page) == SHORT


def test_a_half_typed_line_leaves_the_last_picture_and_is_told(page: Any) -> None:
    before = page.locator("#board .picture").inner_html()
    put_caret(page, SHORT)
    page.keyboard.type("[[contr")
    page.wait_for_selector("#unread:not([hidden])")
    assert f"Line {SHORT.count(chr(10)) + 1}:" in page.inner_text("#unread")
    assert page.locator("#board .picture").inner_html() == before
    assert page.locator("#lines .sign.spoils").get_attribute("title")
    for _ in "[[contr":
        page.keyboard.press("Backspace")
    page.wait_for_selector("#unread", state="hidden")


def test_the_key_at_the_caret_is_explained(page: Any) -> None:
    for at, word, meaning in (
        ("covers", "covers", "hides of the panel"),
        ('law = "log"', "law", "travel"),
        ("[[control]]", "control", "fitted in a hole"),
    ):
        put_caret(page, at)
        page.wait_for_function(
            "word => document.querySelector('#key-meaning code')?.textContent === word", arg=word
        )
        assert meaning in page.inner_text("#key-meaning")
    put_caret(page, "stock = ")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Home")
    page.wait_for_function(
        "() => document.querySelector('#key-meaning code')?.textContent === 'method'"
    )


def test_the_caret_is_in_sight_after_many_lines_were_put_in(page: Any) -> None:
    put_caret(page, "[stencil]\n")
    page.keyboard.insert_text("# a line\n" * 60)
    page.wait_for_function(
        "() => document.querySelector('.here .words').textContent !== '# a line'"
    )
    page.wait_for_function("""() => {
      const line = document.querySelector(".here").getBoundingClientRect();
      const paper = document.querySelector(".paper").getBoundingClientRect();
      return paper.top <= line.top && line.bottom <= paper.bottom;
    }""")


def test_nothing_moves_while_a_line_is_half_typed(page: Any) -> None:
    cut(page)  # so that nothing that was found comes in between
    page.click("#larger")
    put_caret(page, 'name = "EXPOSURE"')
    where = """() => ["svg.sheet", "#board", ".paper", "#save", ".heap"].map(each => {
      const place = document.querySelector(each);
      const box = place.getBoundingClientRect();
      return [box.x, box.y, box.width, box.height, place.getAttribute("viewBox")];
    })"""
    before = page.evaluate(where)
    for key in "\nside = ":
        page.keyboard.type(key)
        page.wait_for_timeout(30)
        assert page.evaluate(where) == before
    page.wait_for_selector("#unread:not([hidden])")
    assert page.evaluate(where) == before
    assert page.inner_text("#earlier") == "This is the panel of the text before."
    assert page.inner_text("#findings-head").lower() == "found before"
    page.click("#fit")
    for _ in range(len("\nside = ")):
        page.keyboard.press("Control+z")
    page.wait_for_selector("#unread", state="hidden")
    assert page.inner_text("#findings-head").lower() == "found" and page.is_hidden("#earlier")


def test_findings_keep_their_lines_while_the_text_cannot_be_read(page: Any) -> None:
    text = text_of(page)
    first = page.locator(".finding .where", has_text="Line").first
    number = int(first.inner_text().removeprefix("Line "))
    put_caret(page, 'units = "mm"')
    page.keyboard.type("\n= =\n")
    page.wait_for_selector("#unread:not([hidden])")
    assert first.inner_text() == f"Line {number + 2}"
    first.click()
    assert line_of_caret(page) == text.split("\n")[number - 1]


def test_saving_writes_the_file(page: Any, server: Served) -> None:
    put_caret(page, 'title = "')
    page.keyboard.type("SAVED ")
    save(page)
    assert 'title = "SAVED ENLARGER TIMER"' in server.panel.read_text(encoding="utf-8")


def test_any_text_is_brought_in_by_changes_of_its_lines(tab: Tab) -> None:
    chance = random.Random(7)

    def some_text() -> str:
        lines = [
            chance.choice(["a", "b", "ab", "", "x = 1", "é😀"]) for _ in range(chance.randrange(9))
        ]
        return "\n".join(lines)

    pairs = [[some_text(), some_text()] for _ in range(400)]
    brought = tab.page.evaluate(
        """async (pairs) => {
          const { changesByLine, changed } = await import("./browser/text/merging.js");
          return pairs.map(([from, to]) => changesByLine(from, to).reduceRight(changed, from));
        }""",
        pairs,
    )
    assert brought == [to for _, to in pairs]


def test_changes_in_different_places_are_both_taken(tab: Tab) -> None:
    chance = random.Random(11)
    cases = []
    for _ in range(200):
        lines = [f"line {number} = {chance.randrange(9)}" for number in range(12)]
        mine, theirs = chance.sample(range(0, 12, 2), 2)
        both = list(lines)
        texts = ["\n".join(lines)]
        for at, word in ((mine, "mine"), (theirs, "theirs")):
            new = chance.choice([f"{lines[at]} {word}", f"{word}\n{lines[at]}", f"{word}"])
            texts.append("\n".join([*lines[:at], new, *lines[at + 1 :]]))
            both[at] = new
        cases.append([*texts, "\n".join(both)])
    merged = tab.page.evaluate(
        """async (cases) => {
          const { merged } = await import("./browser/text/merging.js");
          return cases.map(([base, mine, theirs]) => merged(base, mine, theirs));
        }""",
        cases,
    )
    assert merged == [both for *_, both in cases]
    apart = tab.page.evaluate(
        """async () => {
          const { merged } = await import("./browser/text/merging.js");
          return [merged("covers = 22", "covers = 24", "covers = 32"), merged("", "a", "b"),
            merged("at = [30, 45]", "at = [31, 45]", "at = [30, 46]")];
        }"""
    )
    assert apart == [None, None, "at = [31, 46]"]


def test_two_that_type_at_once_come_to_one_text_with_every_word(tab: Tab) -> None:
    for seed in range(12):
        ended = tab.page.evaluate(MANY_HANDS, {"rounds": 300, "seed": seed})
        assert len(set(ended["texts"])) == 1, seed
        words = Counter(ended["texts"][0].split())
        assert len(ended["typed"]) > 50
        assert {word: words[word] for word in ended["typed"] if words[word] != 1} == {}, seed


# --- Other programs, other tabs, and a server that stops ---


def test_what_another_program_saves_comes_into_the_text(page: Any, server: Served) -> None:
    put_caret(page, "corner_radius = ")
    theirs = SHORT.replace("ENLARGER TIMER", "ELSEWHERE")
    server.panel.write_text(theirs, encoding="utf-8")
    drawn(page, "ELSEWHERE")
    assert text_of(page) == theirs
    assert line_of_caret(page) == "corner_radius = 3"
    page.keyboard.press("Control+z")
    assert text_of(page) == SHORT


def test_two_texts_stand_side_by_side_and_are_settled_by_lines(page: Any, server: Served) -> None:
    put_caret(page, 'title = "')
    page.keyboard.type("MINE ")
    drawn(page, "MINE ENLARGER TIMER")
    theirs = SHORT.replace('title = "', 'title = "THEIR ').replace("radius = 3", "radius = 4")
    server.panel.write_text(theirs, encoding="utf-8")
    page.wait_for_selector("#two-texts:not([hidden])")
    kept = "() => Object.entries(localStorage).filter(([place]) => place.includes('unsent'))"
    assert "MINE" in str(page.evaluate(kept))  # as long as it is not settled
    sides = page.locator("#two-texts .differs").all_inner_texts()
    assert 'title = "MINE ENLARGER TIMER"' in sides
    assert 'title = "THEIR ENLARGER TIMER"' in sides
    # What they alone changed is theirs to begin with; the other is chosen without the pointer.
    page.wait_for_selector("#two-texts input[value=theirs]:checked")
    page.focus("#two-texts input[value=mine]:checked")
    page.keyboard.press("ArrowDown")
    page.focus("text=Use what is chosen below")
    page.keyboard.press("Enter")
    page.wait_for_selector("#two-texts", state="hidden")
    drawn(page, "THEIR ENLARGER TIMER")
    assert text_of(page) == theirs
    stands(page, "Saved.")
    assert page.evaluate(kept) == []


def test_two_tabs_have_one_text(server: Served, page: Any, tab: Tab) -> None:
    other = tab.tab(server.address)
    put_caret(other, "# ")
    put_caret(page, 'text = "ENLARGER ')
    page.keyboard.type("DARKROOM ", delay=5)
    other.keyboard.type("Seen from the other tab. ", delay=5)
    for each in (page, other):
        each.wait_for_function(
            """() => {
              const text = document.getElementById("area").value;
              return text.startsWith("# Seen from the other tab. The front")
                && text.includes('text = "ENLARGER DARKROOM TIMER"');
            }"""
        )
    assert text_of(page) == text_of(other)
    other.close()


def test_nothing_typed_is_lost_by_a_stop(tmp_path: Path, open_tab: Callable[..., Tab]) -> None:
    panel = sample_in(tmp_path, SHORT)
    with served(panel) as first:
        tab = open_tab(first)
        other = tab.tab(first.address)
        put_caret(tab.page, SHORT)
        tab.page.keyboard.type("# typed before")
        for page in (tab.page, other):
            stands(page, "Not saved")
            page.wait_for_function(
                "() => document.getElementById('area').value.endsWith('# typed before')"
            )
    for page in (tab.page, other):
        stands(page, "Legend has stopped. Your text is safe here.")
    tab.page.keyboard.type(", and after")
    put_caret(other, "# The front panel")
    other.keyboard.type(" in two tabs")
    tab.page.wait_for_function(
        """() => ["and after", "in two tabs"].every(
          (words) => Object.values(localStorage).some((kept) => kept.includes(words)))"""
    )
    assert panel.read_text(encoding="utf-8") == SHORT
    both = SHORT.replace("# The front panel", "# The front panel in two tabs")
    both += "# typed before, and after"
    with served(panel, first.port) as second:
        again = tab.tab(second.address)
        again.wait_for_function("both => document.getElementById('area').value === both", arg=both)
        assert text_of(tab.page).endswith("# typed before, and after")
        assert "in two tabs" in text_of(other)
        again.click("text=Go back to what the file says")
        assert text_of(again) == SHORT
        again.focus("#area")
        again.keyboard.press("Control+z")
        assert text_of(again) == both
        again.focus("#area")
        save(again)
        again.wait_for_function(
            "() => !Object.keys(localStorage).some((k) => k.includes('unsent'))"
        )
    assert panel.read_text(encoding="utf-8") == both


def test_a_text_that_cannot_be_read_is_opened_and_mended(
    tmp_path: Path, open_tab: Callable[..., Tab]
) -> None:
    panel = sample_in(tmp_path, SHORT.replace("[panel]", "[panel"))
    with served(panel) as server:
        page = open_tab(server, waits_for="#unread:not([hidden])").page
        page.click("#unread button")
        assert line_of_caret(page) == "[panel"
        page.keyboard.press("End")
        page.keyboard.type("]")
        drawn(page)
        assert page.is_hidden("#unread")
