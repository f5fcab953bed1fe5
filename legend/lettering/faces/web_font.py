"""Unpack a WOFF or WOFF 2 web font, if its plain font is of a sound size.

WOFF (W3C, WOFF File Format 1.0) and WOFF 2 (W3C, WOFF File Format 2.0) begin alike: the
length of the plain font, `totalSfntSize`, stands in the same place of both headers. A few
bytes can stand for thousands of millions, so a header that lies is found out with care.
"""

from __future__ import annotations

import io
import struct
import zlib

from legend.limits import LONGEST_TRANSFORMED, LONGEST_WEB_FONT

#: In both headers, the number of tables and the length of the plain font; in that of WOFF 2,
#: also the length of all tables packed together, which follow the list of them.
_HEADER = struct.Struct(">12xH2xLL")
_LIST_IN_WOFF, _LIST_IN_WOFF2 = 44, 48
#: In the list of WOFF, where a table lies, and its length, packed and plain.
_ENTRY = struct.Struct(">4xLLL4x")
#: How many of the last bytes of both headers tell of what is said about the font, which can
#: unpack to any length as well, and is of no use.
_ABOUT = 20


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
    tables, claimed, packed = _HEADER.unpack_from(data)
    is_woff2 = data[:4] == b"wOF2"
    is_longer = _woff2_is_longer if is_woff2 else _woff_is_longer
    if claimed > LONGEST_WEB_FONT or is_longer(data, tables, packed):
        raise TooLongError
    head = _LIST_IN_WOFF2 if is_woff2 else _LIST_IN_WOFF
    bare = data[: head - _ABOUT] + bytes(_ABOUT) + data[head:]
    font = TTFont(io.BytesIO(bare), lazy=False)
    font.flavor = None
    plain = io.BytesIO()
    font.save(plain, reorderTables=None)
    return plain.getvalue()


def _woff_is_longer(data: bytes, tables: int, _packed: int) -> bool:
    """Whether more comes out of tables packed one by one than a font holds."""
    room, left = LONGEST_WEB_FONT, len(data)
    for number in range(tables):
        start, packed, plain = _ENTRY.unpack_from(data, _LIST_IN_WOFF + _ENTRY.size * number)
        left -= packed
        if left < 0:
            raise ValueError("tables lie over each other")
        table = data[start : start + packed]
        if packed != plain:
            table = zlib.decompressobj().decompress(table, room + 1)
        room -= len(table)
        if room < 0:
            return True
    return False


def _woff2_is_longer(data: bytes, tables: int, packed: int) -> bool:
    """Whether more comes out of tables packed together than a font holds."""
    import brotli  # type: ignore[import-untyped]
    from fontTools.ttLib.woff2 import WOFF2DirectoryEntry

    file = io.BytesIO(data)
    file.seek(_LIST_IN_WOFF2)
    for _ in range(tables):
        table = WOFF2DirectoryEntry()
        table.fromFile(file)
        if table.transformed and table.length > LONGEST_TRANSFORMED:
            return True
    most = LONGEST_WEB_FONT + 1
    plain = brotli.Decompressor().process(file.read(packed), output_buffer_limit=most)
    return len(plain) >= most
