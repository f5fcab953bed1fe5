"""Encode bands of pixels as a PNG picture at true size: the one module that writes by Pillow.

A picture that would not fit into memory is refused before it is drawn.
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterable
from typing import TYPE_CHECKING, Literal

import numpy as np
from numpy.typing import NDArray

from legend.failures import PlainError
from legend.limits import MOST_PIXELS
from legend.standards import INCH
from legend.writing import MARK

if TYPE_CHECKING:
    from PIL.Image import Image

#: The usual resolution, dots to the inch.
USUAL_DPI = 300.0
#: How hard the pixels are packed: flat colours gain little by more.
_LEVEL = 1


class PictureError(PlainError):
    """More pixels were asked for than a picture may have."""


def usual_dpi(width: float, height: float) -> float:
    """`USUAL_DPI`, or the whole number of dots to the inch that so many mm can have at most."""
    return min(USUAL_DPI, _most_dpi(width, height))


def check_size(width: float, height: float, dpi: float) -> None:
    """Say no to a picture of so many mm that would be too large. Error: PictureError."""
    most = _most_dpi(width, height)
    if dpi > most:
        millions = width * height * (dpi / INCH) ** 2 / 1e6
        raise PictureError(
            f"At {dpi:g} dots to the inch the picture would have {millions:.0f} million dots, more "
            f"than there is memory for; ask for {most:g} to the inch at the most."
        )


def _most_dpi(width: float, height: float) -> float:
    return float(math.floor(math.sqrt(MOST_PIXELS / (width * height)) * INCH))


def drawn(
    mode: Literal["L", "P", "RGB"], size: tuple[int, int], bands: Iterable[NDArray[np.uint8]]
) -> Image:
    """A picture out of bands of rows, from the top: `size` is its width and height.

    By its `mode`, pixels are shades, numbers in a palette that is to be put to it, or red,
    green and blue along a third axis.
    """
    from PIL import Image

    picture = Image.new(mode, size)
    top = 0
    for band in bands:
        picture.paste(Image.frombytes(mode, (size[0], len(band)), band.tobytes()), (0, top))
        top += len(band)
    return picture


def png_file(picture: Image, dpi: float, title: str) -> bytes:
    """The picture as a PNG file of ours, with its resolution and its title."""
    from PIL.PngImagePlugin import PngInfo

    texts = PngInfo()
    texts.add_text("Software", MARK)
    texts.add_text("Title", title)
    file = io.BytesIO()
    picture.save(file, "PNG", pnginfo=texts, dpi=(dpi, dpi), compress_level=_LEVEL)
    return file.getvalue()
