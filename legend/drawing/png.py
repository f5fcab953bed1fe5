"""Bands of pixels in, the bytes of a PNG file out (ISO/IEC 15948).

Made band by band, so that a large picture is never in memory at once.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from legend.standards import INCH

#: The filter that stores each row as its difference from the one above.
_UP = 2
_TRUE_COLOUR, _PALETTE = 2, 3
#: Enough for flat colours; more takes much longer and gains little.
_LEVEL = 1


class PngWriter:
    """A PNG that grows by bands of rows from the top.

    With a `palette` of up to 256 colours, shape (n, 3), its pixels are numbers in it;
    without, they are the colours themselves.
    """

    def __init__(
        self,
        width: int,
        height: int,
        dpi: float,
        text: Mapping[str, str],
        palette: NDArray[np.uint8] | None = None,
    ) -> None:
        self._row = width * (3 if palette is None else 1)
        self._above = np.zeros((1, self._row), dtype=np.uint8)
        self._deflate = zlib.compressobj(_LEVEL)
        self._data: list[bytes] = []
        kind = _TRUE_COLOUR if palette is None else _PALETTE
        per_metre = round(dpi / INCH * 1000)
        self._head = [
            b"\x89PNG\r\n\x1a\n",
            _chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, kind, 0, 0, 0)),
            _chunk(b"pHYs", struct.pack(">IIB", per_metre, per_metre, 1)),
            *(_text(key, value) for key, value in text.items()),
        ]
        if palette is not None:
            self._head.append(_chunk(b"PLTE", palette.tobytes()))

    def add(self, band: NDArray[np.uint8]) -> None:
        """Add rows of pixels, shape (rows, width), or (rows, width, 3) without a palette."""
        rows = band.reshape(len(band), self._row)
        filtered = np.empty((len(rows), 1 + self._row), dtype=np.uint8)
        filtered[:, 0] = _UP
        np.subtract(rows[:1], self._above, out=filtered[:1, 1:])
        np.subtract(rows[1:], rows[:-1], out=filtered[1:, 1:])
        self._above = rows[-1:].copy()
        self._data.append(self._deflate.compress(filtered.data))

    def finish(self) -> bytes:
        """The whole file."""
        self._data.append(self._deflate.flush())
        return b"".join([*self._head, _chunk(b"IDAT", b"".join(self._data)), _chunk(b"IEND", b"")])


def _text(key: str, value: str) -> bytes:
    """A key and its words: as Latin-1 where that has all of them, or else as UTF-8."""
    head = key.encode("latin-1") + b"\0"
    try:
        return _chunk(b"tEXt", head + value.encode("latin-1"))
    except UnicodeEncodeError:  # not compressed, of no language, under no other key
        return _chunk(b"iTXt", head + b"\0\0\0\0" + value.encode())


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
