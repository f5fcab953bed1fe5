"""Take the picture anew that the README shows of the page, with a sample open in a Chromium.

.venv/bin/python tests/bench/page_picture.py

A control was clicked on the panel: its hole is ringed, the caret at its line. The picture
is of few colours, for the repository.
"""

from __future__ import annotations

import io
import shutil
import sys
import tempfile
from pathlib import Path

from PIL import Image

sys.path.insert(0, str(Path(__file__).parents[1]))

from page_in_chromium import SAMPLE, Tab, chromium, missing, served
from page_in_use import pixel_of

#: Where it is put, what is clicked, as a place of the panel in mm, and how large the window is.
PICTURE, CLICKED, WINDOW = SAMPLE / "page.png", (37.8, 36.2), {"width": 1280, "height": 860}
COLOURS = 128


def picture() -> bytes:
    """The picture as a PNG file."""
    with tempfile.TemporaryDirectory() as scratch, chromium() as browser:
        folder = Path(shutil.copytree(SAMPLE, Path(scratch) / SAMPLE.name))
        with served(folder / "panel.toml") as page_served:
            page = Tab(browser, page_served, viewport=WINDOW).page
            page.wait_for_selector("#sheets figure")  # the last that is worked out
            page.mouse.click(*pixel_of(page, *CLICKED))
            page.wait_for_selector("#board .caret .pen", state="attached")
            page.wait_for_selector("#key-meaning:not(:empty)")
            shot = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    few = shot.quantize(COLOURS, Image.Quantize.MAXCOVERAGE, kmeans=2, dither=Image.Dither.NONE)
    file = io.BytesIO()
    few.save(file, "PNG", optimize=True)
    return file.getvalue()


def main() -> None:
    """Take it."""
    if why := missing():
        raise SystemExit(f"No picture can be taken: {why}.")
    PICTURE.write_bytes(picture())


if __name__ == "__main__":
    main()
