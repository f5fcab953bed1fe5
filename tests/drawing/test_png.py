"""PNG files made band by band, read again with Pillow."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from legend.drawing.png import PngWriter


@pytest.mark.parametrize("bands", [[40], [1, 39], [7, 7, 26]])
def test_pixels_come_back_as_they_went_in(bands: list[int]) -> None:
    pixels = np.random.default_rng(1).integers(0, 256, (40, 31, 3), dtype=np.uint8)
    png = PngWriter(31, 40, 300, {"Title": "Ring: Ø"})
    for part in np.split(pixels, np.cumsum(bands)[:-1]):
        png.add(part)
    with Image.open(io.BytesIO(png.finish())) as image:
        assert image.info["dpi"] == pytest.approx((300, 300), abs=0.02)
        assert image.info["Title"] == "Ring: Ø"
        assert (np.asarray(image) == pixels).all()


def test_a_palette_is_looked_up() -> None:
    numbers = np.random.default_rng(2).integers(0, 5, (9, 14), dtype=np.uint8)
    palette = np.array([[0, 0, 0], [255, 0, 0], [0, 128, 7], [9, 9, 255], [250, 240, 1]], np.uint8)
    png = PngWriter(14, 9, 72, {}, palette)
    png.add(numbers[:4])
    png.add(numbers[4:])
    with Image.open(io.BytesIO(png.finish())) as image:
        assert (np.asarray(image.convert("RGB")) == palette[numbers]).all()


@pytest.mark.parametrize("title", ["Ring: Ø", "Печь 2", "暗室"])
def test_a_title_is_kept_in_any_script(title: str) -> None:
    png = PngWriter(2, 1, 72, {"Title": title})
    png.add(np.zeros((1, 2, 3), dtype=np.uint8))
    with Image.open(io.BytesIO(png.finish())) as image:
        image.load()
        assert str(image.info["Title"]) == title
