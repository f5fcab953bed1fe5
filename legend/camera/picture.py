"""Read a scan or a photograph: its pixels upright and in linear light, its dots to the inch.

JPEG, PNG, TIFF and WebP are read, by Pillow. What could only be measured by a guess, such as
the inks of a printing press or a scan in pure black and white, is refused.
"""

from __future__ import annotations

import io
import math
import warnings
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from legend.camera.srgb import linear
from legend.failures import PlainError
from legend.limits import (
    FEWEST_PIXELS_OF_A_SIDE,
    LONGEST_PICTURE,
    MOST_PIXELS_OF_A_PHOTOGRAPH,
)
from legend.sentences import printable

if TYPE_CHECKING:
    from PIL.Image import Image

Pixels = NDArray[np.uint8]
Light = NDArray[np.float32]

_KINDS = ("JPEG", "PNG", "TIFF", "WEBP")
#: Shares of red, green and blue in luminance. IEC 61966-2-1 (sRGB), after ITU-R BT.709.
LUMINANCE = (0.2126, 0.7152, 0.0722)
#: Dots to the inch out of these bounds are no scan's: cameras write some number that means nothing.
_LEAST_DPI, _MOST_DPI = 20.0, 10_000.0
#: Tags of EXIF and of TIFF. JEITA CP-3451 (Exif); Adobe, Digital Negative Specification.
_EXIF_TABLE, _ORIENTATION, _FOCAL_IN_35_MM, _DNG_VERSION = 0x8769, 0x0112, 0xA405, 0xC612
#: The turns by which rows of pixels are columns of the upright picture.
_TURNED_BY_A_QUARTER = (5, 6, 7, 8)
#: The diagonal of a frame of 35 mm film, mm: 24 × 36.
_DIAGONAL_OF_35_MM = math.hypot(24.0, 36.0)
#: The focal length where a camera does not say it, mm of 35 mm film: that of the main lens of most
#: phones. Common practice, no source.
_USUAL_ON_FILM = 28.0
#: Brands of files in the ISO base media format (ISO/IEC 14496-12) that hold pictures.
_HEIF_BRANDS = (b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif", b"avis")
#: How files of `_KINDS` begin.
_BEGINNINGS = (b"\xff\xd8", b"\x89PNG", b"II*\x00", b"MM\x00*", b"RIFF")
_DAMAGED = "is damaged or cut off: copy it from the camera or scanner once more."
_AS_JPEG = "Save it as JPEG, in the best quality, and give that."


class UnreadablePictureError(PlainError):
    """A file that is no picture, or one that cannot be measured in; the message says what to do."""


@dataclass(frozen=True, slots=True, eq=False)
class Picture:
    """A picture turned upright: red, green and blue as the file has them, height × width × 3.

    `dpi` are the dots to the inch across and up, where the file says so; `focal` is the focal
    length in pixels, as a camera says it, rounded to a millimetre of 35 mm film. What is worked
    out of the pixels takes much memory and is worked out each time: keep it only while it is used.
    """

    rgb: Pixels
    dpi: tuple[float, float] | None
    name: str
    focal: float | None = None

    @property
    def size(self) -> tuple[int, int]:
        """Width and height, px."""
        return self.rgb.shape[1], self.rgb.shape[0]

    @property
    def usual_focal(self) -> float:
        """The focal length, px, that most cameras have: for a picture whose own is not known."""
        return _focal_on_film(_USUAL_ON_FILM, self.size)

    @property
    def linear(self) -> Light:
        """Red, green and blue in linear light, 0 to 1: by the curve of IEC 61966-2-1 (sRGB)."""
        return linear_light()[self.rgb]

    def linear_at(self, places: NDArray[np.float64]) -> Light:
        """Red, green and blue in linear light at places, px, shape (..., 2): shape (..., 3).

        Between pixels bilinear; beyond the border as at it.
        """
        width, height = self.size
        x = np.clip(places[..., 0], 0, width - 1.001)
        y = np.clip(places[..., 1], 0, height - 1.001)
        column, row = x.astype(np.intp), y.astype(np.intp)
        right, down = ((part.astype(np.float32)[..., None]) for part in (x - column, y - row))
        first, flat = row * width + column, self.rgb.reshape(-1, 3)
        out = np.zeros((*first.shape, 3), np.float32)
        for step, share in (
            (0, (1 - right) * (1 - down)),
            (1, right * (1 - down)),
            (width, (1 - right) * down),
            (width + 1, right * down),
        ):
            # Of as few as these, `take` is several times as quick as an index.
            out += linear_light().take(flat.take(first + step, axis=0)) * share
        return out


@lru_cache(maxsize=1)
def linear_light() -> Light:
    """Linear light for each of the 256 values."""
    return linear(np.arange(256) / 255).astype(np.float32)


def mirrored(picture: Picture) -> Picture:
    """The picture with left and right exchanged."""
    return replace(picture, rgb=np.ascontiguousarray(picture.rgb[:, ::-1]))


def read_picture(path: Path) -> Picture:
    """The picture in a file. Errors: UnreadablePictureError, which says what to do instead."""
    name = printable(str(path))
    if path.is_dir():
        raise UnreadablePictureError(f"{name} is a folder; name the picture itself.")
    try:
        if path.stat().st_size > LONGEST_PICTURE:
            raise UnreadablePictureError(_too_long(name))
        data = path.read_bytes()
    except FileNotFoundError:
        raise UnreadablePictureError(f"There is no picture {name}.") from None
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise UnreadablePictureError(f"{name} cannot be read: {why}.") from None
    return picture_in(data, name)


def picture_in(data: bytes, name: str) -> Picture:
    """The picture in the bytes of a file of this name. Errors: as `read_picture`."""
    from PIL import Image, UnidentifiedImageError

    if len(data) > LONGEST_PICTURE:
        raise UnreadablePictureError(_too_long(name))
    if not data:
        raise UnreadablePictureError(f"{name} is empty: copy it from the camera once more.")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # what is too large is refused below, in plain words
        try:
            with Image.open(io.BytesIO(data), formats=_KINDS) as image:
                _check(image, name)
                return _upright(image, name)
        except UnidentifiedImageError:
            raise UnreadablePictureError(f"{name} {_what_it_is(data)}") from None
        except Image.DecompressionBombError:
            raise UnreadablePictureError(_too_many(name)) from None
        except (OSError, SyntaxError, ValueError, EOFError, KeyError, TypeError):
            # Whatever a decoder makes of bytes that are damaged.
            raise UnreadablePictureError(f"{name} {_DAMAGED}") from None


def _too_long(name: str) -> str:
    return (
        f"{name} is longer than {LONGEST_PICTURE // 1_000_000} million bytes. Scan at 300 to 600 "
        "dots to the inch, and save as PNG or JPEG."
    )


def _too_many(name: str) -> str:
    return (
        f"{name} has more than {MOST_PIXELS_OF_A_PHOTOGRAPH // 1_000_000} million dots, more than "
        "there is memory for. Scan at fewer to the inch, 300 will do, or cut away what is not "
        "panel or target page."
    )


def _what_it_is(data: bytes) -> str:
    """What a file that cannot be told as one of `_KINDS` is, and what to do."""
    if data.startswith(_BEGINNINGS):
        return _DAMAGED
    if data[4:8] == b"ftyp" and any(brand in data[8:64] for brand in _HEIF_BRANDS):
        return f"is a HEIC, HEIF or AVIF picture, which is not read here. {_AS_JPEG}"
    if data.startswith(b"%PDF"):
        return "is a PDF file. Let the scanner save as PNG, TIFF or JPEG instead."
    return f"is no picture in JPEG, PNG, TIFF or WebP. {_AS_JPEG}"


def _check(image: Image, name: str) -> None:
    """Refuse what would take too much memory, or what no light can be told of."""
    width, height = image.size
    if width * height > MOST_PIXELS_OF_A_PHOTOGRAPH:
        raise UnreadablePictureError(_too_many(name))
    if min(width, height) < FEWEST_PIXELS_OF_A_SIDE:
        raise UnreadablePictureError(
            f"{name} has only {width} × {height} dots, too few to measure in. Give the picture "
            "itself, not a small copy of it."
        )
    if image.format == "TIFF" and _DNG_VERSION in image.getexif():
        raise UnreadablePictureError(f"{name} holds what the sensor saw, undeveloped. {_AS_JPEG}")
    if image.mode == "P" and not _is_of_greys(image):
        raise UnreadablePictureError(
            f"{name} has few colours, and mixes others of dots, among which rims are lost. Save it "
            "in full colours."
        )
    why = {
        "1": "is in black and white with nothing between. Scan in colour.",
        "CMYK": "is in the inks of a printing press (CMYK). Save it in RGB.",
        "LAB": "is in L*a*b* colours. Save it in RGB.",
        "HSV": "is in hues. Save it in RGB.",
        "F": "has its shades as fractions. Save it in RGB, 8 bits a colour.",
    }.get(image.mode)
    if why:
        raise UnreadablePictureError(f"{name} {why}")


def _is_of_greys(image: Image) -> bool:
    """Whether the few colours that a picture has are all greys, of which there are not more."""
    palette = image.convert("RGB").getcolors(256) or []
    return all(isinstance(colour, tuple) and len({*colour}) == 1 for _, colour in palette)


def _upright(image: Image, name: str) -> Picture:
    """The picture with its turn undone, as the file tells it."""
    from PIL import ImageOps

    dpi = _dpi(image)
    turn = image.getexif().get(_ORIENTATION)
    if turn in _TURNED_BY_A_QUARTER and dpi:
        dpi = dpi[1], dpi[0]
    focal = _focal(image)
    image.load()
    ImageOps.exif_transpose(image, in_place=True)
    return Picture(_in_rgb(image, name), dpi, name, focal)


def _in_rgb(image: Image, name: str) -> Pixels:
    """Red, green and blue, 8 bits each."""
    if image.mode.startswith("I"):  # 16 bits of grey, whatever their order
        deep = np.asarray(image, dtype=np.int64)
        grey = np.clip(deep // 257, 0, 255).astype(np.uint8)
        return np.repeat(grey[:, :, None], 3, axis=2)
    if image.has_transparency_data:
        image = image.convert("RGBA")
        if image.getchannel("A").getextrema() != (255, 255):
            raise UnreadablePictureError(
                f"{name} is see-through in places. Save the picture as it was taken, whole."
            )
    # A copy of what Pillow gives is writable, and lies in memory row by row.
    return np.array(image if image.mode == "RGB" else image.convert("RGB"))


def _dpi(image: Image) -> tuple[float, float] | None:
    """Dots to the inch across and up, where a file tells any that can be."""
    told: Any = image.info.get("dpi")
    try:
        x, y = (float(each) for each in told)
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    if not (_LEAST_DPI <= x <= _MOST_DPI and _LEAST_DPI <= y <= _MOST_DPI):  # nor no number
        return None
    return x, y


def _focal(image: Image) -> float | None:
    """The focal length, px, from that on 35 mm film which has the same angle of view.

    It is told for the diagonals. CIPA DCG-001.
    """
    told: Any = image.getexif().get_ifd(_EXIF_TABLE).get(_FOCAL_IN_35_MM)
    try:
        on_film = float(told)
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    if not 5 <= on_film <= 2000:  # 0 is for not known
        return None
    return _focal_on_film(on_film, image.size)


def _focal_on_film(on_film: float, size: tuple[int, int]) -> float:
    """The focal length, px, of a picture of this size with that on 35 mm film."""
    return on_film / _DIAGONAL_OF_35_MM * math.hypot(*size)
