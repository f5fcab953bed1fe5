"""Pictures are read upright and in linear light, and what cannot be measured in is refused."""

from __future__ import annotations

import io
import math
import re
import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from skimage.color import rgb2xyz

from legend.camera.picture import (
    LUMINANCE,
    Picture,
    UnreadablePictureError,
    picture_in,
    read_picture,
)

_ORIENTATION, _EXIF_TABLE, _FOCAL = 0x0112, 0x8769, 0xA405


def _marked(width: int = 160, height: int = 120) -> Image.Image:
    """A grey picture with its upper left corner red and its upper right one blue."""
    pixels = np.full((height, width, 3), 128, np.uint8)
    pixels[:40, :40] = (255, 0, 0)
    pixels[:40, -40:] = (0, 0, 255)
    return Image.fromarray(pixels)


def _bytes(image: Image.Image, kind: str = "PNG", **more: object) -> bytes:
    data = io.BytesIO()
    image.save(data, kind, **more)
    return data.getvalue()


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_kinds_of_files(tmp_path: Path, kind: str) -> None:
    path = tmp_path / f"panel.{kind.lower()}"
    path.write_bytes(_bytes(_marked(), kind))
    picture = read_picture(path)
    assert picture.size == (160, 120)
    assert picture.rgb.dtype == np.uint8
    assert abs(int(picture.rgb[60, 80, 0]) - 128) < 4


#: How the upper left and the upper right corner of the upright picture lie in the rows of the
#: file, for each value of Orientation. JEITA CP-3451, 4.6.4 A.
_TURNS = {
    1: lambda a: a,
    2: lambda a: a[:, ::-1],
    3: lambda a: a[::-1, ::-1],
    4: lambda a: a[::-1],
    5: lambda a: a.transpose(1, 0, 2),
    6: lambda a: np.rot90(a),
    7: lambda a: a[::-1, ::-1].transpose(1, 0, 2),
    8: lambda a: np.rot90(a, -1),
}


@pytest.mark.parametrize("turn", _TURNS)
def test_turned_by_the_camera(turn: int) -> None:
    exif = Image.Exif()
    exif[_ORIENTATION] = turn
    stored = Image.fromarray(np.ascontiguousarray(_TURNS[turn](np.asarray(_marked()))))
    picture = picture_in(_bytes(stored, exif=exif, dpi=(300, 600)), "it")
    assert picture.size == (160, 120)
    assert picture.rgb[10, 10].tolist() == [255, 0, 0]
    assert picture.rgb[10, -10].tolist() == [0, 0, 255]
    across, up = (600, 300) if turn > 4 else (300, 600)
    assert picture.dpi == pytest.approx((across, up), rel=1e-3)


def test_linear_light() -> None:
    values = np.arange(256, dtype=np.uint8)
    pixels = np.stack([values, values[::-1], np.roll(values, 99)], axis=1).reshape(16, 16, 3)
    picture = Picture(pixels, None, "all values")
    # The XYZ of another library holds the luminance of the same colours as its Y.
    expected = rgb2xyz(pixels)[:, :, 1]
    assert np.abs(picture.linear @ LUMINANCE - expected).max() < 1e-4
    assert picture.linear.dtype == np.float32
    assert picture.linear[0, 0].tolist() == pytest.approx([0.0, 1.0, picture.linear[0, 0, 2]])


def test_light_between_pixels() -> None:
    pixels = np.random.default_rng(1).integers(0, 256, (5, 7, 3), np.uint8)
    picture = Picture(pixels, None, "noise")
    linear = picture.linear
    across, down = np.meshgrid(np.arange(7.0), np.arange(5.0))
    assert picture.linear_at(np.stack([across, down], axis=-1)) == pytest.approx(linear, abs=2e-3)
    quarter = 0.75 * linear[2, 3] + 0.25 * linear[2, 4]
    assert picture.linear_at(np.array([3.25, 2.0])) == pytest.approx(quarter, abs=1e-6)
    middle = linear[2:4, 3:5].mean(axis=(0, 1))
    assert picture.linear_at(np.array([[3.5, 2.5]])) == pytest.approx(middle[None], abs=1e-6)
    assert picture.linear_at(np.array([-9.0, 1.0])) == pytest.approx(linear[1, 0], abs=1e-6)
    assert picture.linear_at(np.array([9.0, 99.0])) == pytest.approx(linear[4, 6], abs=2e-3)


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_sixteen_bits_of_grey(kind: str) -> None:
    deep = np.linspace(0, 65535, 120 * 160).astype(np.uint16).reshape(120, 160)
    picture = picture_in(_bytes(Image.fromarray(deep), kind), "it")
    assert np.abs(picture.rgb[:, :, 1].astype(float) - deep / 257).max() <= 1


def test_grey_palette_and_opaque_pictures() -> None:
    converted = {mode: _marked().convert(mode) for mode in ("L", "RGBA", "LA", "YCbCr")}
    converted["P"] = converted["L"].convert("P")
    for mode, image in converted.items():
        picture = picture_in(_bytes(image, "TIFF" if mode == "YCbCr" else "PNG"), mode)
        assert picture.rgb.shape == (120, 160, 3)
        assert abs(int(picture.rgb[100, 80, 1]) - 128) <= 2


def _no_dpi(image: Image.Image, **more: object) -> tuple[float, float] | None:
    return picture_in(_bytes(image, "JPEG", **more), "it").dpi


def test_dots_to_the_inch() -> None:
    assert _no_dpi(_marked(), dpi=(300, 300)) == (300, 300)
    assert _no_dpi(_marked()) is None
    assert _no_dpi(_marked(), dpi=(1, 1)) is None


def test_focal_length_of_a_camera() -> None:
    exif = Image.Exif()
    exif.get_ifd(_EXIF_TABLE)[_FOCAL] = 26
    picture = picture_in(_bytes(_marked(), "JPEG", exif=exif), "it")
    # A 35 mm film frame is 24 mm by 36 mm; both have the same angle from corner to corner.
    corner = math.atan(math.hypot(12, 18) / 26)
    assert picture.focal == pytest.approx(math.hypot(80, 60) / math.tan(corner), rel=1e-6)
    assert picture_in(_bytes(_marked(), "JPEG"), "it").focal is None


def _damaged_jpeg() -> bytes:
    noise = np.random.default_rng(1).integers(0, 255, (300, 300, 3), np.uint8)
    return _bytes(Image.fromarray(noise), "JPEG")[:9000]


def _huge_png() -> bytes:
    """The head of a PNG that says that it is larger than memory."""
    data = bytearray(_bytes(_marked()))
    data[16:24] = struct.pack(">II", 20_000, 20_000)
    data[29:33] = struct.pack(">I", zlib.crc32(data[12:29]))
    return bytes(data)


def _see_through() -> bytes:
    image = _marked().convert("RGBA")
    image.putpixel((3, 3), (0, 0, 0, 100))
    return _bytes(image)


def _raw() -> bytes:
    return _bytes(_marked(), "TIFF", tiffinfo={0xC612: b"\x01\x04\x00\x00"})


_HEIC = b"\x00\x00\x00\x24ftypheic\x00\x00\x00\x00mif1heic" + b"\x00" * 60


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "is empty"),
        (b"no picture at all, but words", "is no picture in JPEG.*Save it as JPEG"),
        (b"%PDF-1.7 and so on", "PDF.*scanner save as PNG"),
        (_HEIC, "HEIC.*Save it as JPEG"),
        (_damaged_jpeg(), "damaged or cut off"),
        (_bytes(_marked())[:20], "damaged or cut off"),
        (_huge_png(), "more than 60 million dots"),
        (_bytes(_marked(10_000, 6_001).convert("L")), "more than 60 million dots"),
        (_bytes(_marked(90, 3000)), "90 × 3000 dots, too few"),
        (_bytes(_marked().convert("CMYK"), "TIFF"), "printing press.*Save it in RGB"),
        (_bytes(_marked().convert("P")), "few colours.*Save it in full colours"),
        (_bytes(_marked().convert("1")), "black and white.*Scan in colour"),
        (_bytes(_marked().convert("F"), "TIFF"), "fractions"),
        (_bytes(_marked().convert("LAB"), "TIFF"), r"L\*a\*b\*"),
        (_see_through(), "see-through"),
        (_raw(), "undeveloped.*Save it as JPEG"),
        (_bytes(_marked(), "GIF"), "is no picture in JPEG"),
    ],
)
def test_refused(data: bytes, told: str) -> None:
    with pytest.raises(UnreadablePictureError) as failure:
        picture_in(data, "panel.jpg")
    words = str(failure.value)
    assert words.startswith("panel.jpg ") and words.endswith(".")
    assert re.search(told, words), words


def test_no_file(tmp_path: Path) -> None:
    with pytest.raises(UnreadablePictureError, match="There is no picture"):
        read_picture(tmp_path / "absent.jpg")
    with pytest.raises(UnreadablePictureError, match="is a folder"):
        read_picture(tmp_path)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_damaged_files_are_told(kind: str) -> None:
    data = _bytes(_marked(), kind)
    random = np.random.default_rng(7)
    for _ in range(60):
        spoiled = bytearray(data)
        for at in random.integers(0, len(data), 8):
            spoiled[at] = random.integers(0, 256)
        try:
            picture = picture_in(bytes(spoiled[: random.integers(1, len(data) + 1)]), "it")
        except UnreadablePictureError:
            continue
        assert picture.rgb.ndim == 3
