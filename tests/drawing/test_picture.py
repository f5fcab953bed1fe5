"""Pictures put together from bands, and written as PNG files at true size."""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from legend.drawing.picture import PictureError, check_size, drawn, png_file, usual_dpi
from legend.limits import MOST_PIXELS
from legend.standards import INCH


@pytest.mark.parametrize("bands", [[40], [1, 39], [7, 7, 26]])
def test_pixels_come_back_as_they_went_in(bands: list[int]) -> None:
    pixels = np.random.default_rng(1).integers(0, 256, (40, 31, 3), dtype=np.uint8)
    picture = drawn("RGB", (31, 40), np.split(pixels, np.cumsum(bands)[:-1]))
    with Image.open(io.BytesIO(png_file(picture, 300, "Ring: Ø"))) as image:
        assert image.info["dpi"] == pytest.approx((300, 300), abs=0.02)
        assert image.info["Title"] == "Ring: Ø"
        assert (np.asarray(image) == pixels).all()


def test_a_palette_is_looked_up() -> None:
    numbers = np.random.default_rng(2).integers(0, 5, (9, 14), dtype=np.uint8)
    palette = np.array([[0, 0, 0], [255, 0, 0], [0, 128, 7], [9, 9, 255], [250, 240, 1]], np.uint8)
    picture = drawn("P", (14, 9), [numbers[:4], numbers[4:]])
    picture.putpalette(palette.tobytes())
    with Image.open(io.BytesIO(png_file(picture, 72, ""))) as image:
        assert (np.asarray(image.convert("RGB")) == palette[numbers]).all()


@pytest.mark.parametrize("title", ["Ring: Ø", "Печь 2", "暗室"])
def test_a_title_is_kept_in_any_script(title: str) -> None:
    picture = drawn("L", (2, 1), [np.zeros((1, 2), dtype=np.uint8)])
    with Image.open(io.BytesIO(png_file(picture, 72, title))) as image:
        image.load()
        assert str(image.info["Title"]) == title


@pytest.mark.parametrize("size", [(110, 70), (700, 500), (10_000, 10_000), (9_000, 12)])
def test_the_usual_resolution_is_one_that_can_be_drawn(size: tuple[float, float]) -> None:
    dpi = usual_dpi(*size)
    pixels = size[0] * size[1] * (dpi / INCH) ** 2
    assert dpi == 300 or (pixels > 0.7 * MOST_PIXELS and dpi == round(dpi) < 300)
    assert pixels <= MOST_PIXELS
    check_size(*size, dpi)


def test_too_many_dots_are_refused_with_the_most_there_can_be() -> None:
    told = "At 2400 dots to the inch the picture would have 4464 million dots, more than there is"
    with pytest.raises(PictureError, match=f"{told} memory for; ask for 175 to the inch at the"):
        check_size(1000, 500, 2400)
    check_size(1000, 500, 175)


#: Runs a command in a process of its own, and tells the memory that took, KiB.
DRAWING = """\
import re, sys
from pathlib import Path
from legend.commands.cli import legend
legend(sys.argv[1:], standalone_mode=False)
print(re.search(r"VmHWM:\\s+([0-9]+)", Path("/proc/self/status").read_text())[1])
"""


@pytest.mark.skipif(sys.platform != "linux", reason="memory is told otherwise")
def test_the_largest_picture_stays_within_its_memory(tmp_path: Path) -> None:
    """Every stage, so that there are too many colours for a palette, at the most dots."""
    panel = Path(__file__).parents[2] / "samples/kiln-controller/panel.toml"
    words = ["proof", str(panel), "--stage", "all", "--out", str(tmp_path / "proof.png")]
    ran = subprocess.run(
        [sys.executable, "-c", DRAWING, *words], capture_output=True, text=True, check=True
    )
    with Image.open(tmp_path / "proof.png") as image:
        assert image.mode == "RGB"
        assert image.width * image.height > 0.9 * MOST_PIXELS
    assert 100_000 < int(ran.stdout.splitlines()[-1]) < 400_000
