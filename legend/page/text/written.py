"""Read the text of a file as an editor shows it, and write another in the file's own manner.

That is its line ends, and the byte-order mark, if it begins with one.
"""

from __future__ import annotations

import codecs
import re
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from legend.description.reading.files import content_of, longest_of
from legend.failures import PlainError
from legend.limits import LONGEST_FILE
from legend.page.text.merging import changes, lines_of

_LINE = re.compile(rb"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
_MARK = codecs.BOM_UTF8


@dataclass(frozen=True, slots=True)
class Written:
    """What a file holds: its bytes, and the text in them, its lines ended by line feeds alone."""

    content: bytes
    text: str

    def rewritten(self, text: str) -> bytes:
        """Another text in the manner of this file: lines that stay keep their ends.

        Error: PlainError for a text that no file can hold.
        """
        own = [_end(line) for line in _LINE.findall(self.content.removeprefix(_MARK))]
        counts = Counter(end for end in own if end in (b"\n", b"\r\n"))
        usual = counts.most_common(1)[0][0] if counts else b"\n"
        ends = _ends_after(self.text, text, own, usual) if len(set(own) - {b""}) > 1 else None
        lines = lines_of(text)
        content = b"".join(
            encoded(line.removesuffix("\n")) + (end if line.endswith("\n") else b"")
            for line, end in zip(lines, ends or [usual] * len(lines), strict=True)
        )
        return _short_enough(_MARK + content if self.content.startswith(_MARK) else content)


#: What is not written yet.
NOTHING = Written(b"", "")


def read_written(path: Path) -> Written:
    """What a file holds. Errors: OSError; PlainError where it is no text of ours."""
    content = content_of(path)
    if len(content) > longest_of(path):
        raise PlainError(f"{path.name} is longer than {longest_of(path) // 10**6} MB.")
    try:
        text = content.removeprefix(_MARK).decode()
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise PlainError(
            f"From line {line} on, {path.name} is not UTF-8 text; save it as UTF-8 and plain text."
        ) from None
    return Written(content, re.sub("\r\n?", "\n", text))


def encoded(text: str) -> bytes:
    """The bytes of a text.

    Error: PlainError where it holds half a character, or is longer than what is read again.
    """
    try:
        return _short_enough(text.encode())
    except UnicodeEncodeError as error:
        line = text.count("\n", 0, error.start) + 1
        raise PlainError(
            f"Line {line} holds half a character, which no file takes; write it anew."
        ) from None


def _short_enough(content: bytes) -> bytes:
    if len(content) > LONGEST_FILE:
        raise PlainError(
            f"It is longer than {LONGEST_FILE // 10**6} MB, which no panel needs; make it shorter."
        )
    return content


def _end(line: bytes) -> bytes:
    return line[len(line.rstrip(b"\r\n")) :]


def _ends_after(before: str, after: str, own: list[bytes], usual: bytes) -> list[bytes]:
    """The ends of the lines of a text: of those that were there before, their own."""
    lines = lines_of(after)
    ends: list[bytes] = []
    done = 0
    for change in changes(lines_of(before), lines):
        ends += [*own[done : change.begin], *([usual] * len(change.units))]
        done = change.end
    ends += own[done:]
    return [end if end in (b"\n", b"\r\n") else usual for end in ends]
