"""A font packed for the web in; the plain font inside it out, if it is of a sound size.

WOFF (W3C, WOFF File Format 1.0) packs each table by itself with zlib; WOFF 2 (W3C, WOFF File
Format 2.0) packs all of them together with Brotli. A few bytes of either can stand for
thousands of millions, so how much comes out is counted before it is kept.
"""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Iterator

from legend.lettering.faces import LONGEST_FONT

#: So much is unpacked at once in counting: what a few bytes stand for still has room.
_AT_ONCE = 64
_KEPT = 1_000_000

#: In WOFF 2, the flag that a table's tag is written out, and the numbers of those two tables
#: that are packed in a form of their own unless their version is 3.
_WRITTEN_OUT, _GLYF_LOCA, _PLAIN = 63, (10, 11), 3


class TooLongError(ValueError):
    """A font that is longer than any, once it is unpacked."""


def is_web_font(data: bytes) -> bool:
    """Whether a font file is packed for the web, by how it begins."""
    return data[:4] in (b"wOFF", b"wOF2")


def unpacked(data: bytes) -> bytes:
    """The plain font. Errors: TooLongError; errors of every kind where it is damaged."""
    from fontTools.ttLib import TTFont

    sizes = _sizes_of_woff(data) if data[:4] == b"wOFF" else _sizes_of_woff2(data)
    length = 0
    for size in sizes:
        length += size
        if length > LONGEST_FONT:
            raise TooLongError
    font = TTFont(io.BytesIO(data), lazy=False)
    font.flavor = None
    plain = io.BytesIO()
    font.save(plain, reorderTables=None)
    return plain.getvalue()


def _sizes_of_woff(data: bytes) -> Iterator[int]:
    """How many bytes come out of each table, bit by bit."""
    (tables,) = struct.unpack_from(">H", data, 12)
    for number in range(tables):
        start, packed, plain = struct.unpack_from(">4xLLL", data, 44 + 20 * number)
        if packed == plain:
            yield plain
            continue
        unpacker, rest = zlib.decompressobj(), data[start : start + packed]
        while rest and not unpacker.eof:
            yield len(unpacker.decompress(rest, _KEPT))
            rest = unpacker.unconsumed_tail


def _sizes_of_woff2(data: bytes) -> Iterator[int]:
    """How many bytes come out of all tables, bit by bit."""
    import brotli  # type: ignore[import-untyped]

    (tables,) = struct.unpack_from(">H", data, 12)
    (packed,) = struct.unpack_from(">L", data, 20)
    at = 48
    for _ in range(tables):
        tag, version = data[at] & _WRITTEN_OUT, data[at] >> 6
        at = _after_number(data, at + (5 if tag == _WRITTEN_OUT else 1))
        if (version != _PLAIN) if tag in _GLYF_LOCA else version:
            at = _after_number(data, at)
    unpacker = brotli.Decompressor()
    for first in range(at, min(at + packed, len(data)), _AT_ONCE):
        if unpacker.is_finished():
            return
        yield len(unpacker.process(data[first : min(first + _AT_ONCE, at + packed)]))


def _after_number(data: bytes, at: int) -> int:
    """Where a number of seven bits a byte ends."""
    while data[at] & 0x80:
        at += 1
    return at + 1
