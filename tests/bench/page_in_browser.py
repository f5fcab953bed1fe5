"""How long it takes from a key to the picture on the page, measured in the browser.

    .venv/bin/python tests/bench/page_in_browser.py              # the sample, and 100 controls
    .venv/bin/python tests/bench/page_in_browser.py --keys 100   # more keys

It is no test: nothing here passes or fails, since times depend on the machine. Letters are typed
into the name of a control, one at a time, each once the picture of the last one stands. The time
is from the key, as the page hears of it, to the moment after the frame with the picture is painted.
"""

from __future__ import annotations

import argparse
import shutil
import statistics
import sys
import tempfile
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from bench.speed import panel
from page_in_chromium import SAMPLE, chromium, missing, served

#: Run in the page: notes when a key goes down, and when a picture that is new has been painted.
WATCHING = """
() => {
  const board = document.getElementById("board");
  window.times = [];
  let pressed = null, before = board.dataset.revision;
  addEventListener("keydown", () => { pressed = performance.now(); }, true);
  new MutationObserver(() => {
    if (board.dataset.revision === before || pressed === null) return;
    before = board.dataset.revision;
    requestAnimationFrame(() => {
      const channel = new MessageChannel();
      channel.port1.onmessage = () => window.times.push(performance.now() - pressed);
      channel.port2.postMessage(null);
    });
  }).observe(board, { attributes: true, attributeFilter: ["data-revision"] });
}
"""
#: Keys that are not counted, while everything is warming up.
WARM = 5


def times(browser: Any, description: Path, after: str, keys: int) -> list[float]:
    """The times of so many keys, ms, typed after these words of the description."""
    with served(description) as page_served:
        page = browser.new_page(viewport={"width": 1280, "height": 800})
        page.goto(page_served.address)
        page.wait_for_selector("#board[data-revision]")
        page.wait_for_selector("#sheets figure", timeout=60_000)
        page.evaluate(WATCHING)
        page.evaluate(
            """after => {
              const area = document.getElementById("area");
              const at = area.value.indexOf(after) + after.length;
              area.focus();
              area.setSelectionRange(at, at);
            }""",
            after,
        )
        for number in range(WARM + keys):
            page.keyboard.press("ABCDEFGH"[number % 8] if number % 16 < 8 else "Backspace")
            page.wait_for_function("number => window.times.length > number", arg=number)
        found: list[float] = page.evaluate("window.times")[WARM:]
        page.close()
    return found


def main() -> None:
    """Measure, and print a table."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--keys", type=int, default=40, help="keys for each panel")
    keys = parser.parse_args().keys
    if why := missing():
        raise SystemExit(f"Nothing can be measured: {why}.")
    with tempfile.TemporaryDirectory() as scratch, chromium() as browser:
        sample = Path(shutil.copytree(SAMPLE, Path(scratch) / "sample")) / "panel.toml"
        large = Path(scratch) / "large.toml"
        large.write_text(panel(100), encoding="utf-8")
        print(f"{'panel':24}{'median':>10}{'95 %':>10}   ms from key to picture, {keys} keys")
        for called, description, after in (
            ("twelve controls", sample, 'name = "EXPOSURE'),
            ("100 controls", large, 'name = "'),
        ):
            found = times(browser, description, after, keys)
            tail = statistics.quantiles(found, n=20)[-1]
            print(f"{called:24}{statistics.median(found):10.0f}{tail:10.0f}")


if __name__ == "__main__":
    main()
