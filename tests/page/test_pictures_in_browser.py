"""A picture is dropped on the page, and what was found in it is gone through, and taken over."""

from __future__ import annotations

import base64
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest
from camera.synthetic.plates import Hand, made
from camera.synthetic.shots import BLACK_PAPER, scan
from page_in_chromium import Served, Tab, served
from page_in_use import stands, text_of

import legend

pytest.importorskip("cv2", reason="measuring takes the extra 'camera'")

_TEXT = """\
title = "OVEN"

[panel]
size = [60, 40]

[holes]
HEAT = { at = [20, 20], drill = 9 }
LAMP = { at = [45, 20], drill = 7 }
M1 = { at = [5, 35], drill = 3.2 }
M2 = { at = [55, 5], drill = 3.2 }
"""
#: So long a picture may take on a busy computer, ms.
_PATIENCE_MS = 60_000


def _picture() -> bytes:
    """A scan of the panel, one hole of which was forgotten."""
    holes = {id: hole for id, hole in legend.parse(_TEXT).holes.items() if id != "LAMP"}
    hand = Hand(chamfered=0, filed=0, burred=0)
    plate = made((60.0, 40.0), holes, np.random.default_rng(3), hand)
    return scan(plate, 3, dpi=300, backing=BLACK_PAPER).data


def _drag(page: Any, what: str, on: str, data: bytes) -> None:
    page.evaluate(
        """([what, on, data]) => {
          const bytes = Uint8Array.from(atob(data), (c) => c.charCodeAt(0));
          const dataTransfer = new DataTransfer();
          dataTransfer.items.add(new File([bytes], "scan.jpg", { type: "image/jpeg" }));
          const event = new DragEvent(what, { bubbles: true, cancelable: true, dataTransfer });
          document.querySelector(on).dispatchEvent(event);
        }""",
        [what, on, base64.b64encode(data).decode()],
    )


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The panel, served to both."""
    panel = tmp_path_factory.mktemp("oven") / "panel.toml"
    panel.write_text(_TEXT)
    with served(panel) as opened:
        yield opened


def test_a_picture_is_dropped_gone_through_and_taken_over(
    server: Served, open_tab: Callable[..., Tab]
) -> None:
    tab = open_tab(server)
    page = tab.page
    data = _picture()
    _drag(page, "dragover", "#area", data)
    assert page.locator(".drop-area").all_inner_texts()[0].startswith("Measure holes")
    assert page.is_visible("#drop")
    _drag(page, "drop", ".drop-area[data-of=holes]", data)
    assert page.is_hidden("#drop")
    page.wait_for_selector("#seen .seen-words", timeout=_PATIENCE_MS)
    assert page.inner_text("#seen .seen-words").startswith("3 holes of 4 found")
    assert page.inner_text("#seen li button").startswith("✕ LAMP: missing")
    assert page.inner_text("#seen details .count") == "3"
    assert page.locator("#board .seen .seen-true").count() == 3
    assert page.locator("#board .seen .seen-word").all_text_contents() == ["LAMP: missing"]
    page.wait_for_function("() => document.querySelector('.seen-picture img').naturalWidth > 200")
    page.click("#seen li button")
    assert "LAMP" in page.evaluate(
        "() => { const a = document.getElementById('area');"
        " return a.value.slice(a.selectionStart, a.selectionEnd); }"
    )
    assert text_of(page) == _TEXT
    assert sorted(path.name for path in server.panel.parent.iterdir()) == ["panel.toml"]
    page.click("text=Take 3 holes over as drilled, LAMP as designed")
    page.wait_for_function("() => document.getElementById('area').value.includes('[as_drilled]')")
    assert 'hole_list = "measured.csv"\ndatum = "lower left"' in text_of(page)
    assert (server.panel.parent / "measured.csv").read_text().startswith("id,x (mm)")
    stands(page, "Not saved")
    page.click("#undo")
    assert text_of(page) == _TEXT
    page.focus("#board")
    page.keyboard.press("Escape")
    assert page.inner_html("#seen") == ""
    assert page.locator("#board .seen").inner_html() == ""
    outside = [url for url in tab.requests if server.address.split("/")[2] not in url]
    assert all(url.startswith("data:") for url in outside)


def test_a_picture_is_chosen_by_the_keyboard_and_refused_in_words(
    server: Served, open_tab: Callable[..., Tab]
) -> None:
    page = open_tab(server, viewport={"width": 360, "height": 700}).page
    with page.expect_file_chooser() as chooser:
        page.focus("#see-letters")
        page.keyboard.press("Enter")
    assert chooser.value.is_multiple() is False
    chooser.value.set_files({"name": "a.jpg", "mimeType": "image/jpeg", "buffer": b"none"})
    page.wait_for_function(
        "() => document.getElementById('pictures-told').textContent.includes('is no picture')",
        timeout=_PATIENCE_MS,
    )
    assert page.locator("#pictures-told button").count() == 0
    width = page.evaluate("() => document.documentElement.scrollWidth")
    assert width <= 360
