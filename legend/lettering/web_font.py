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

#: More bytes than any font for the web unpacks to: those of all characters of Chinese, as CFF,
#: take some 20 million. Unpacking takes five times as much memory.
LONGEST_WEB_FONT = 30_000_000
#: The most bytes of outlines that WOFF 2 has in a form of their own, which takes far more memory
#: and time: those of all of the Latin, Greek and Cyrillic characters take less than one million.
LONGEST_TRANSFORMED = 4_000_000
#: So much is read, and unpacked, at once in counting.
_READ, _KEPT = 65_536, 1_000_000

#: In WOFF 2, the flag that a table's tag is written out, and the numbers of those two tables
#: that are packed in a form of their own unless their version is 3.
_WRITTEN_OUT, _GLYF_LOCA, _PLAIN = 63, (10, 11), 3
#: Where the header tells of data that are about the font, and can unpack to any length; by the
#: first bytes of the file.
_ABOUT = {b"wOFF": slice(24, 44), b"wOF2": slice(28, 48)}


class TooLongError(ValueError):
    """A font that is longer than any for the web, once it is unpacked."""


def is_web_font(data: bytes) -> bool:
    """Whether a font file is packed for the web, by how it begins."""
    return data[:4] in (b"wOFF", b"wOF2")


def unpacked(data: bytes) -> bytes:
    """The plain font. Errors: TooLongError; errors of every kind where it is damaged."""
    from fontTools.ttLib import TTFont

    if len(data) > LONGEST_WEB_FONT:
        raise TooLongError
    length = 0
    for size in _sizes_of_woff(data) if data[:4] == b"wOFF" else _sizes_of_woff2(data):
        length += size
        if length > LONGEST_WEB_FONT:
            raise TooLongError
    about = _ABOUT[data[:4]]
    bare = data[: about.start] + bytes(about.stop - about.start) + data[about.stop :]
    font = TTFont(io.BytesIO(bare), lazy=False)
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
        unpacker = zlib.decompressobj()
        for some in _in_parts(data, start, packed):
            rest = some
            while rest and not unpacker.eof:
                yield len(unpacker.decompress(rest, _KEPT))
                rest = unpacker.unconsumed_tail
            if unpacker.eof:
                break


def _sizes_of_woff2(data: bytes) -> Iterator[int]:
    """How many bytes come out of all tables, bit by bit. Error: TooLongError."""
    import brotli  # type: ignore[import-untyped]

    (tables,) = struct.unpack_from(">H", data, 12)
    (packed,) = struct.unpack_from(">L", data, 20)
    at = 48
    for _ in range(tables):
        tag, version = data[at] & _WRITTEN_OUT, data[at] >> 6
        _, at = _number(data, at + (5 if tag == _WRITTEN_OUT else 1))
        if (version != _PLAIN) if tag in _GLYF_LOCA else version:
            transformed, at = _number(data, at)
            if transformed > LONGEST_TRANSFORMED:
                raise TooLongError
    unpacker = brotli.Decompressor()
    for some in _in_parts(data, at, packed):
        if unpacker.is_finished():
            return
        yield len(unpacker.process(some, output_buffer_limit=_KEPT))
        while not (unpacker.is_finished() or unpacker.can_accept_more_data()):
            yield len(unpacker.process(b"", output_buffer_limit=_KEPT))


def _in_parts(data: bytes, start: int, length: int) -> Iterator[bytes]:
    """So much of the data from there on, as far as there is any."""
    end = min(start + length, len(data))
    for first in range(start, end, _READ):
        yield data[first : min(first + _READ, end)]


def _number(data: bytes, at: int) -> tuple[int, int]:
    """A number of seven bits a byte, of five bytes at most, and where it ends."""
    number = 0
    for end, byte in enumerate(data[at : at + 5], at + 1):
        number = number << 7 | byte & 0x7F
        if byte < 0x80:
            return number, end
    raise ValueError("a number without an end")
