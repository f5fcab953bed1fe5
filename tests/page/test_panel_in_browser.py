"""Look at the panel on the page as a person does, at what was found, and have all of it made."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from page_in_chromium import Served, Tab
from page_in_use import (
    TEXT,
    cut,
    drawn,
    line_of_caret,
    pixel_of,
    put_caret,
    text_of,
    write,
)

#: What must not be told: markup in the words of a description.
HOSTILE = '<img src=x onerror=document.title="caught">'


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
    page: Any, server: Served, tab: Tab
) -> None:
    """By a page that was there before, and by one that is opened afterwards."""
    told: list[str] = []
    page.on(
        "websocket",
        lambda socket: socket.on("framereceived", lambda frame: told.append(str(frame)[:24])),
    )
    page.reload()
    drawn(page)
    other = tab.tab(server.address)
    for before, after in (
        ('name = "EXPOSURE', 'name = "𝄞XEXPOSURE'),
        ('name = "𝄞X', 'name = "'),
        ("to = ", "to = 1"),
    ):
        write(page, text_of(page).replace(before, after, 1))
        drawn(page)
        _the_same(page, other)
    put_caret(page, 'title = "')
    page.keyboard.type("A ")
    drawn(page, "A ENLARGER TIMER")
    page.click("#stages button:last-child")
    _the_same(page, other)
    assert sum("redrawing" in each for each in told) >= 3
    other.close()


def _the_same(page: Any, other: Any) -> None:
    """Both show the same drawing at the same stage, once the other page is opened anew."""
    other.reload()
    drawn(other, page.inner_text("#title"))
    if page.get_attribute("#stages button:last-child", "aria-pressed") == "true":
        other.click("#stages button:last-child")
    board = "document.querySelector('#board .sheet').outerHTML"
    shown = page.evaluate(board)
    assert shown == other.evaluate(board)
    assert len(shown) > 2000


def test_a_click_on_a_letter_goes_to_its_line_and_the_caret_rings_its_hole(page: Any) -> None:
    page.mouse.click(*pixel_of(page, 97.1, 15.4))  # the P of PROGRAM and its like stand here
    page.wait_for_function("() => document.activeElement.id === 'area'")
    assert line_of_caret(page) == 'name = "PROGRAM"'
    put_caret(page, 'hole = "LAMP"')
    page.wait_for_function(
        """([x, y]) => {
          const ring = document.querySelector("#board .caret .pen")?.getBoundingClientRect();
          return ring && ring.left < x && x < ring.right && ring.top < y && y < ring.bottom;
        }""",
        arg=pixel_of(page, 170, 81),
    )


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
    _shows(page, pixels=4)
    page.click("#as-seen")  # read from 600 mm, and seen from 300 mm: at half its size
    _shows(page, pixels=2)


def _shows(page: Any, pixels: float) -> None:
    """Wait until the board shows a millimetre so many pixels wide, to 1 per cent.

    The browser tells of another size of the board only with the next frame.
    """
    page.wait_for_function(
        """pixels => {
          const { width } = document.querySelector("svg.sheet").viewBox.baseVal;
          const board = document.getElementById("board").getBoundingClientRect();
          return Math.abs(width * pixels / board.width - 1) < 0.01;
        }""",
        arg=pixels,
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
    before = question.locator("input").element_handle()
    put_caret(page, "# The front panel")
    page.keyboard.insert_text("\n# of zinc, ")  # so that all is found anew, a line further down
    page.wait_for_function("box => !box.isConnected", arg=before)
    assert question.locator("input").input_value() == "21.5"
    question.locator("input").press("Enter")
    page.wait_for_function("() => document.getElementById('area').value.includes('covers = 21.5')")
    assert 'hole = "FOCUS"' in text_of(page).split("covers = 21.5")[0].rsplit("[[control]]", 1)[1]
    page.focus("#area")
    for _ in range(2):
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
    cut(page)
    piece = page.locator("#sheets .piece-place").first
    piece.focus()
    assert page.inner_text("#piece-told") == piece.get_attribute("aria-label")
    assert page.locator("#board .piece .pen").count() == 1
    page.mouse.move(*pixel_of(page, 37.8, 36.2))
    page.wait_for_selector("#sheets .piece-place.lit[aria-label*=EXPOSURE]")


def test_a_piece_that_has_the_focus_keeps_it_when_the_sheets_are_drawn_anew(
    page: Any, server: Served, tab: Tab
) -> None:
    cut(page)
    piece = page.locator("#sheets .piece-place").nth(1)
    piece.focus()
    words = piece.get_attribute("aria-label")
    before = page.get_attribute("#sheets", "data-revision")
    other = tab.tab(server.address)
    put_caret(other, 'name = "FOCUS')
    other.keyboard.type("ED")
    page.wait_for_function(
        "before => document.getElementById('sheets').dataset.revision !== before", arg=before
    )
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == words
    assert page.inner_text("#piece-told") == words
    assert page.locator("#board .piece .pen").count() == 1
    other.close()


def test_everything_is_made_and_what_stands_in_the_way_is_named(page: Any, server: Served) -> None:
    page.click("#make")
    page.wait_for_selector("#made .files a")
    made = {link.inner_text() for link in page.locator("#made .files a").all()}
    assert {"job-card.html", "overlay.pdf", "stencil-1.svg"} <= made
    folder = next(path.parent for path in server.panel.parent.rglob("job-card.html"))
    (folder / "proof.svg").write_text("mine", encoding="utf-8")
    page.click("#make")
    page.wait_for_function(
        "() => document.getElementById('made').textContent.includes('Nothing was written')",
    )
    assert "proof.svg" in page.inner_text("#made")
    page.fill("#made input", "elsewhere")
    page.press("#made input", "Enter")
    page.wait_for_selector("#made .files a")
    assert (server.panel.parent / "elsewhere" / "proof.svg").is_file()
    assert (folder / "proof.svg").read_text(encoding="utf-8") == "mine"


# --- Who may use it, and what it tells to whom ---


def test_nothing_is_asked_for_elsewhere(page: Any, tab: Tab, server: Served) -> None:
    cut(page)
    page.focus("#board")
    page.keyboard.press("ArrowRight")
    own = {f"http://127.0.0.1:{server.port}", f"ws://127.0.0.1:{server.port}"}
    asked = {"/".join(url.split("/")[:3]) for url in tab.requests if not url.startswith("data:")}
    assert asked == own


def test_words_of_a_description_are_never_markup(page: Any) -> None:
    assert page.inner_text("#file") == "<b>x&y'.toml"
    hole = TEXT.replace('title = "ENLARGER TIMER"', f"title = '{HOSTILE}'")
    write(page, hole.replace('name = "FOCUS"', f"name = '{HOSTILE}'"))
    drawn(page, HOSTILE)
    page.wait_for_selector("#list-granted .finding")
    page.mouse.move(*pixel_of(page, 110, 60))
    assert page.locator("img").count() == 0
    assert page.title() == HOSTILE


def test_everything_has_a_name_for_a_screen_reader(page: Any) -> None:
    cut(page)
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
    cut(page)
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
