"""Use the page as a person does, in a browser: by keys, by clicks, in two tabs, after a stop."""

from __future__ import annotations

import random
import re
import shutil
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from page_in_chromium import SAMPLE, Served, chromium, missing, served

pytestmark = pytest.mark.skipif(bool(missing()), reason=f"no browser: {missing()}")

TEXT = (SAMPLE / "panel.toml").read_text(encoding="utf-8")
LETTERS = "".join(chr(ord("a") + number % 26) for number in range(200))
#: Nothing takes so many ms but making everything.
PATIENCE = 15_000
#: What must not be told: markup in the words of a description.
HOSTILE = '<img src=x onerror=document.title="caught">'


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """One browser for all of these."""
    with chromium() as opened:
        yield opened


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The sample, served for all tests that need no server of their own."""
    folder = shutil.copytree(SAMPLE, tmp_path_factory.mktemp("page") / "sample")
    with served(folder / "panel.toml") as opened:
        yield opened


class Tab:
    """A page as it is open in the browser, with all that it asked for and complained of."""

    def __init__(self, browser: Any, server: Served, **how: Any) -> None:
        self.context = browser.new_context(**({"viewport": {"width": 1280, "height": 800}} | how))
        self.context.set_default_timeout(PATIENCE)
        self.requests: list[str] = []
        self.complaints: list[str] = []
        self.context.on("request", lambda request: self.requests.append(request.url))
        self.page = self.tab(server.address)

    def tab(self, address: str) -> Any:
        """One more tab of the same browser."""
        page = self.context.new_page()
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.on("console", self._said)
        page.on("websocket", lambda socket: self.requests.append(socket.url))
        page.goto(address)
        page.wait_for_selector("#board[data-revision]")
        return page

    def _said(self, message: Any) -> None:
        if message.type == "error" and "WebSocket" not in message.text:
            self.complaints.append(message.text)


@pytest.fixture
def open_tab(browser: Any) -> Iterator[Callable[..., Tab]]:
    """Open pages, and see afterwards that none of them complained."""
    tabs: list[Tab] = []

    def opened(server: Served, **how: Any) -> Tab:
        tabs.append(Tab(browser, server, **how))
        return tabs[-1]

    yield opened
    for tab in tabs:
        tab.context.close()
    assert [complaint for tab in tabs for complaint in tab.complaints] == []


@pytest.fixture
def page(server: Served, open_tab: Callable[..., Tab]) -> Any:
    """The sample as it is, saved and drawn, in a tab of its own."""
    page = open_tab(server).page
    if text_of(page) != TEXT or page.inner_text("#state") != "Saved.":
        write(page, TEXT)
        save(page)
    drawn(page)
    return page


# --- What one does ---


def text_of(page: Any) -> str:
    text: str = page.input_value("#area")
    return text


def write(page: Any, text: str) -> None:
    """Put a whole text in place of what stands there."""
    page.focus("#area")
    page.keyboard.press("Control+a")
    page.keyboard.insert_text(text)


def put_caret(page: Any, after: str) -> None:
    """Put the caret behind the first place where these words stand."""
    page.evaluate(
        """after => {
          const area = document.getElementById("area");
          const at = area.value.indexOf(after) + after.length;
          area.focus();
          area.setSelectionRange(at, at);
        }""",
        after,
    )


def save(page: Any) -> None:
    page.keyboard.press("Control+s")
    stands(page, "Saved.")


def stands(page: Any, words: str) -> None:
    """Wait until the head of the page says this."""
    page.wait_for_function(
        "words => document.getElementById('state').textContent.includes(words)", arg=words
    )


def drawn(page: Any, title: str = "ENLARGER TIMER") -> None:
    """Wait until the panel of this title is drawn."""
    page.wait_for_function(
        "title => document.getElementById('title').textContent === title", arg=title
    )


def pixel_of(page: Any, x: float, y: float) -> tuple[float, float]:
    """Where a point of the panel, 120 mm high, stands on the screen."""
    found: list[float] = page.evaluate(
        """([x, y]) => {
          const board = document.getElementById("board").getBoundingClientRect();
          const view = document.querySelector("svg.sheet").viewBox.baseVal;
          const scale = board.width / view.width;
          return [board.left + (x - view.x) * scale, board.top + (120 - y - view.y) * scale];
        }""",
        [x, y],
    )
    return found[0], found[1]


def line_of_caret(page: Any) -> str:
    line: str = page.evaluate(
        """() => {
          const { value, selectionEnd } = document.getElementById("area");
          return value.slice(0, selectionEnd).split("\\n").at(-1)
            + value.slice(selectionEnd).split("\\n")[0];
        }"""
    )
    return line


# --- The text ---


def test_letters_typed_fast_keep_their_order(page: Any) -> None:
    put_caret(page, TEXT)
    page.keyboard.type(f"# {LETTERS}", delay=20)
    assert text_of(page) == f"{TEXT}# {LETTERS}"
    stands(page, "Not saved")
    assert text_of(page) == f"{TEXT}# {LETTERS}"


def test_composed_letters_arrive_and_are_undone_in_one_step(page: Any) -> None:
    put_caret(page, TEXT)
    keyboard = page.context.new_cdp_session(page)
    for begun in ("´", "ni", "nih"):
        keyboard.send(
            "Input.imeSetComposition",
            {"text": begun, "selectionStart": len(begun), "selectionEnd": len(begun)},
        )
    keyboard.send("Input.insertText", {"text": "é日本"})
    assert text_of(page) == f"{TEXT}é日本"
    page.keyboard.press("Control+z")
    assert text_of(page) == TEXT
    page.keyboard.press("Control+y")
    assert text_of(page) == f"{TEXT}é日本"


def test_every_step_can_be_undone_and_done_again(page: Any) -> None:
    put_caret(page, 'title = "')
    page.keyboard.type("MY ")
    drawn(page, "MY ENLARGER TIMER")
    for _ in range(2):
        page.keyboard.press("Control+z")
    assert text_of(page) == TEXT
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
    page.wait_for_function("text => document.getElementById('area').value !== text", arg=TEXT)
    text = text_of(page)
    at = text.index('name = "START"')
    assert re.search(r"^\[", text[at:].removeprefix(TEXT[at:]) or text[at:], re.MULTILINE)
    assert len(text) > len(TEXT)
    page.keyboard.press("Control+z")
    assert text_of(page) == TEXT


def test_a_half_typed_line_leaves_the_last_picture_and_is_told(page: Any) -> None:
    before = page.locator("#board .picture").inner_html()
    put_caret(page, TEXT)
    page.keyboard.type("[[contr")
    page.wait_for_selector("#unread:not([hidden])")
    assert f"Line {TEXT.count(chr(10)) + 1}:" in page.inner_text("#unread")
    assert page.locator("#board .picture").inner_html() == before
    assert page.locator("#lines .sign.spoils").get_attribute("title")
    for _ in "[[contr":
        page.keyboard.press("Backspace")
    page.wait_for_selector("#unread", state="hidden")


def test_saving_writes_the_file(page: Any, server: Served) -> None:
    put_caret(page, 'title = "')
    page.keyboard.type("SAVED ")
    save(page)
    assert 'title = "SAVED ENLARGER TIMER"' in server.panel.read_text(encoding="utf-8")


def test_any_text_is_brought_in_by_changes_of_its_lines(page: Any) -> None:
    chance = random.Random(7)

    def some_text() -> str:
        lines = [
            chance.choice(["a", "b", "ab", "", "x = 1", "é😀"]) for _ in range(chance.randrange(9))
        ]
        return "\n".join(lines)

    pairs = [[some_text(), some_text()] for _ in range(400)]
    brought = page.evaluate(
        """async (pairs) => {
          const { changesByLine, changed } = await import("./browser/text/merging.js");
          return pairs.map(([from, to]) => changesByLine(from, to).reduceRight(changed, from));
        }""",
        pairs,
    )
    assert brought == [to for _, to in pairs]


def test_changes_in_different_places_are_both_taken(page: Any) -> None:
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
    merged = page.evaluate(
        """async (cases) => {
          const { merged } = await import("./browser/text/merging.js");
          return cases.map(([base, mine, theirs]) => merged(base, mine, theirs));
        }""",
        cases,
    )
    assert merged == [both for *_, both in cases]
    apart = page.evaluate(
        """async () => {
          const { merged } = await import("./browser/text/merging.js");
          return [merged("covers = 22", "covers = 24", "covers = 32"), merged("", "a", "b"),
            merged("at = [30, 45]", "at = [31, 45]", "at = [30, 46]")];
        }"""
    )
    assert apart == [None, None, "at = [31, 46]"]


# --- Other programs, other tabs, and a server that stops ---


def test_what_another_program_saves_comes_into_the_text(page: Any, server: Served) -> None:
    put_caret(page, "corner_radius = ")
    theirs = TEXT.replace("ENLARGER TIMER", "ELSEWHERE")
    server.panel.write_text(theirs, encoding="utf-8")
    drawn(page, "ELSEWHERE")
    assert text_of(page) == theirs
    assert line_of_caret(page) == "corner_radius = 3"
    page.keyboard.press("Control+z")
    assert text_of(page) == TEXT


def test_two_texts_stand_side_by_side_and_are_settled_by_lines(page: Any, server: Served) -> None:
    put_caret(page, 'title = "')
    page.keyboard.type("MINE ")
    drawn(page, "MINE ENLARGER TIMER")
    theirs = TEXT.replace('title = "', 'title = "THEIR ').replace("radius = 3", "radius = 4")
    server.panel.write_text(theirs, encoding="utf-8")
    page.wait_for_selector("#two-texts:not([hidden])")
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


def test_two_tabs_have_one_text(server: Served, page: Any, open_tab: Callable[..., Tab]) -> None:
    other = open_tab(server).page
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


def test_nothing_typed_is_lost_by_a_stop(tmp_path: Path, open_tab: Callable[..., Tab]) -> None:
    panel = shutil.copytree(SAMPLE, tmp_path / "sample") / "panel.toml"
    with served(panel) as first:
        tab = open_tab(first)
        put_caret(tab.page, TEXT)
        tab.page.keyboard.type("# typed before")
        stands(tab.page, "Not saved")
        time.sleep(0.1)  # the server has taken it in by now, or the page has kept it
    stands(tab.page, "Legend has stopped. Your text is safe here.")
    tab.page.keyboard.type(", and after")
    tab.page.wait_for_function(
        "() => Object.values(localStorage).some((kept) => kept.includes('after'))"
    )
    assert panel.read_text(encoding="utf-8") == TEXT
    with served(panel, first.port) as second:
        again = tab.tab(second.address)
        again.wait_for_function(
            "() => document.getElementById('area').value.endsWith('# typed before, and after')"
        )
        assert text_of(tab.page).endswith("# typed before, and after")
        again.focus("#area")
        save(again)
    assert panel.read_text(encoding="utf-8") == f"{TEXT}# typed before, and after"


# --- The panel ---


def test_the_stages_are_stepped_by_keys_and_keep_zoom_and_place(page: Any) -> None:
    page.focus("#board")
    for _ in range(4):
        page.keyboard.press("ArrowLeft")
    page.keyboard.press("+")
    seen = page.get_attribute("svg.sheet", "viewBox")
    pictures = []
    for _ in range(5):
        pictures.append(page.locator("#board .picture").inner_html())
        page.keyboard.press("ArrowRight")
    assert len(set(pictures)) == 5
    assert page.get_attribute("svg.sheet", "viewBox") == seen
    assert page.get_attribute("#stages button:last-child", "aria-pressed") == "true"
    put_caret(page, 'title = "')
    page.keyboard.type("NEW ")
    drawn(page, "NEW ENLARGER TIMER")
    assert page.get_attribute("svg.sheet", "viewBox") == seen


def test_what_is_drawn_again_in_part_is_what_is_drawn_as_a_whole(
    page: Any, server: Served, open_tab: Callable[..., Tab]
) -> None:
    page.focus("#board")
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    for after, words in (
        ('name = "EXPOSURE', " TIME"),
        ('name = "FOCUS', "ED"),
        ('title = "', "A "),
    ):
        put_caret(page, after)
        page.keyboard.type(words)
    drawn(page, "A ENLARGER TIMER")
    other = open_tab(server).page
    drawn(other, "A ENLARGER TIMER")
    other.click("#stages button:last-child")
    for part in ("defs", ".picture"):
        same = [each.locator(f"#board {part}").inner_html() for each in (page, other)]
        assert same[0] == same[1]
        assert len(same[0]) > 1000


def test_a_click_on_a_letter_goes_to_its_line_and_the_caret_rings_its_hole(page: Any) -> None:
    page.mouse.click(*pixel_of(page, 97.1, 15.4))  # the P of PROGRAM and its like stand here
    page.wait_for_function("() => document.activeElement.id === 'area'")
    assert line_of_caret(page) == 'name = "PROGRAM"'
    put_caret(page, 'hole = "LAMP"')
    box = page.locator("#board .caret .pen").bounding_box()
    x, y = pixel_of(page, 170, 81)
    assert box["x"] < x < box["x"] + box["width"] and box["y"] < y < box["y"] + box["height"]


def test_under_the_pointer_stand_the_place_and_the_legend(page: Any) -> None:
    page.mouse.move(*pixel_of(page, 110, 111))
    page.wait_for_function("() => document.getElementById('reading').textContent.includes('TIMER')")
    said = page.inner_text("#reading")
    assert said.startswith("110 mm from the left edge, 111 mm from the bottom.")
    assert "5" in said


def test_two_clicks_measure_from_hole_to_hole_and_lists_do_so_by_keys(page: Any) -> None:
    page.click("#measure-turn")
    page.mouse.click(*pixel_of(page, 37.8, 36.2))
    page.mouse.click(*pixel_of(page, 97.1, 35.9))
    said = page.inner_text("#measured")
    assert said.startswith("59.3 mm from middle to middle: 59.3 mm across, 0.3 mm up and down; ")
    assert said.endswith("49.8 mm from rim to rim.")  # drills of 9.5 mm and 3/8 in
    page.select_option("#measure-to", label="left edge")
    said = page.inner_text("#measured")
    assert said == ("37.8 mm from the middle of EXPOSURE to the left edge, 33 mm from its rim.")
    page.click("#measure-turn")


def test_the_panel_stands_at_its_real_size_once_a_rule_was_held_to_the_bar(page: Any) -> None:
    page.click("#real")
    page.evaluate("document.getElementById('bar-length').value = '400'")
    page.fill("#eye", "300")
    page.click("#bar-fits")
    assert float(page.get_attribute("svg.sheet", "viewBox").split()[2]) == pytest.approx(
        page.locator("#board").bounding_box()["width"] / 4, rel=0.01
    )
    page.click("#as-seen")  # read from 600 mm, and seen from 300 mm: at half its size
    assert float(page.get_attribute("svg.sheet", "viewBox").split()[2]) == pytest.approx(
        page.locator("#board").bounding_box()["width"] / 2, rel=0.01
    )


def test_what_moved_shows_the_saved_panel_under_the_one_of_now(page: Any) -> None:
    put_caret(page, 'text = "ENLARGER TIMER"')
    page.keyboard.type("\nheight = 7")
    page.wait_for_function("() => !document.getElementById('moved').disabled")
    page.click("#moved")
    assert page.locator("#board .ghost").get_attribute("href").startswith("data:image/svg+xml")
    assert "over-ghost" in page.get_attribute("#board .picture", "class")


# --- What was found, what is cut, what is made ---


def test_a_question_is_answered_on_the_spot_and_undone(page: Any) -> None:
    page.wait_for_selector("#list-granted .question")
    question = page.locator("#list-granted .finding", has_text="FOCUS").first
    question.locator("input").fill("21.5")
    question.locator("input").press("Enter")
    page.wait_for_function("() => document.getElementById('area').value.includes('covers = 21.5')")
    assert 'hole = "FOCUS"' in text_of(page).split("covers = 21.5")[0].rsplit("[[control]]", 1)[1]
    page.focus("#area")
    page.keyboard.press("Control+z")
    assert text_of(page) == TEXT


def test_a_key_goes_from_finding_to_finding(page: Any) -> None:
    page.wait_for_selector("#list-granted .finding")
    page.focus("#area")
    lines = []
    for _ in range(3):
        page.keyboard.press("F2")
        where = page.inner_text(".finding.chosen .where")
        lines.append(where)
        assert page.locator("#lines .here").count() == 1
        number = page.evaluate(
            "[...document.getElementById('lines').children]"
            ".indexOf(document.querySelector('#lines .here')) + 1"
        )
        assert where == f"Line {number}"
    assert len(set(lines)) > 1


def test_a_piece_lights_up_on_the_panel_and_on_its_sheet(page: Any) -> None:
    page.wait_for_selector("#sheets .piece-place")
    piece = page.locator("#sheets .piece-place").first
    piece.focus()
    assert page.inner_text("#piece-told") == piece.get_attribute("aria-label")
    assert page.locator("#board .piece .pen").count() == 1
    page.mouse.move(*pixel_of(page, 37.8, 36.2))
    lit = page.locator("#sheets .piece-place.lit")
    assert "EXPOSURE" in lit.first.get_attribute("aria-label")


def test_everything_is_made_and_what_stands_in_the_way_is_named(page: Any, server: Served) -> None:
    page.click("#make")
    page.wait_for_selector("#made .files a", timeout=60_000)
    made = {link.inner_text() for link in page.locator("#made .files a").all()}
    assert {"job-card.html", "overlay.pdf", "stencil-1.svg"} <= made
    folder = next(path.parent for path in server.panel.parent.rglob("job-card.html"))
    (folder / "proof.svg").write_text("mine", encoding="utf-8")
    page.click("#make")
    page.wait_for_function(
        "() => document.getElementById('made').textContent.includes('Nothing was written')",
        timeout=60_000,
    )
    assert "proof.svg" in page.inner_text("#made")
    page.fill("#made input", "elsewhere")
    page.press("#made input", "Enter")
    page.wait_for_selector("#made .files a", timeout=60_000)
    assert (server.panel.parent / "elsewhere" / "proof.svg").is_file()
    assert (folder / "proof.svg").read_text(encoding="utf-8") == "mine"


# --- Who may use it, and what it tells to whom ---


def test_nothing_is_asked_for_elsewhere(server: Served, open_tab: Callable[..., Tab]) -> None:
    tab = open_tab(server)
    tab.page.wait_for_selector("#sheets .piece-place")
    tab.page.focus("#board")
    tab.page.keyboard.press("ArrowRight")
    own = {f"http://127.0.0.1:{server.port}", f"ws://127.0.0.1:{server.port}"}
    asked = {"/".join(url.split("/")[:3]) for url in tab.requests if not url.startswith("data:")}
    assert asked == own


def test_words_of_a_description_are_never_markup(
    tmp_path: Path, open_tab: Callable[..., Tab]
) -> None:
    folder = shutil.copytree(SAMPLE, tmp_path / "a & b <i>")
    panel = (folder / "panel.toml").rename(folder / "<b>x&y'.toml")
    with served(panel) as server:
        page = open_tab(server).page
        assert page.inner_text("#file") == "<b>x&y'.toml"
        hole = TEXT.replace('title = "ENLARGER TIMER"', f"title = '{HOSTILE}'")
        write(page, hole.replace('name = "FOCUS"', f"name = '{HOSTILE}'"))
        drawn(page, HOSTILE)
        page.wait_for_selector("#list-granted .finding")
        page.mouse.move(*pixel_of(page, 110, 60))
        assert page.locator("img").count() == 0
        assert page.title() == HOSTILE


def test_everything_has_a_name_for_a_screen_reader(page: Any) -> None:
    page.wait_for_selector("#sheets .piece-place")
    reader = page.context.new_cdp_session(page)
    nodes = reader.send("Accessibility.getFullAXTree")["nodes"]
    roles = {"button", "textbox", "combobox", "link", "slider", "application", "img", "region"}
    nameless = [
        node
        for node in nodes
        if not node.get("ignored")
        and node["role"]["value"] in roles
        and not node.get("name", {}).get("value")
    ]
    assert nameless == []
    names = {node["name"]["value"] for node in nodes if node.get("name", {}).get("value")}
    assert {"Description of the panel", "The panel: ENLARGER TIMER", "Stage of the work"} <= names
    area = next(
        node for node in nodes if node.get("name", {}).get("value") == "Description of the panel"
    )
    assert area["value"]["value"] == TEXT


def test_all_can_be_reached_by_the_tab_key_alone(page: Any) -> None:
    page.wait_for_selector("#sheets .piece-place")
    reached = set()
    page.evaluate("document.activeElement.blur()")
    for _ in range(120):
        page.keyboard.press("Tab")
        reached.add(page.evaluate("document.activeElement.id"))
    assert {"board", "area", "make", "divider", "moved", "measure-turn", "ready"} - reached == set()


def test_on_a_phone_the_description_is_folded_away(
    server: Served, open_tab: Callable[..., Tab]
) -> None:
    page = open_tab(server, viewport={"width": 360, "height": 740}, has_touch=True).page
    assert page.is_hidden("#area")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.tap("#fold")
    assert page.is_visible("#area")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
