"""Do on the page what a person does, and wait for what he would wait for."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Any

from page_in_chromium import SAMPLE

TEXT = (SAMPLE / "panel.toml").read_text(encoding="utf-8")
_TABLES = re.split(r"^(?=\[\[)", TEXT, flags=re.MULTILINE)
_FEW = ('hole = "EXPOSURE"', 'hole = "START"', 'hole = "FOCUS"', "[[text]]")


def _revision(of: str) -> str:
    return f"document.getElementById('{of}').dataset.revision"


#: Holds in the page once what is drawn is the text, and the server has every letter of it.
_OF_THE_TEXT = f"{_revision('area')} && {_revision('board')} === {_revision('area')}"
#: The sample with three of its controls, for what a large panel would only make slower.
SHORT = _TABLES[0] + "".join(each for each in _TABLES if any(few in each for few in _FEW))


def sample_in(folder: Path, text: str = TEXT) -> Path:
    """The sample copied into a new folder, with this description."""
    panel = shutil.copytree(SAMPLE, folder / "sample") / "panel.toml"
    panel.write_text(text, encoding="utf-8")
    return panel


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
    """Wait until the panel of this title is drawn, as the text now describes it."""
    page.wait_for_function(
        f"title => document.getElementById('title').textContent === title && {_OF_THE_TEXT}",
        arg=title,
    )


def cut(page: Any) -> None:
    """Wait until the sheets are those of the panel that is drawn, and this is that of the text."""
    page.wait_for_function(f"() => {_OF_THE_TEXT} && {_revision('sheets')} === {_revision('area')}")


def pixel_of(page: Any, x: float, y: float) -> tuple[float, float]:
    """Where a point of the panel, 120 mm high, stands on the screen, once the view fits the board.

    The browser tells of another size of the board only with the next frame.
    """
    page.wait_for_function(
        """() => {
          const { clientWidth, clientHeight } = document.getElementById("board");
          const view = document.querySelector("svg.sheet").viewBox.baseVal;
          return view?.width > 0
            && Math.abs(view.width * clientHeight - view.height * clientWidth) < view.width;
        }"""
    )
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
