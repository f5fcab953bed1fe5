"""Take in pictures that the page sends: into files outside the user's folder, removed after use."""

from __future__ import annotations

import asyncio
import shutil
import tempfile
from collections import OrderedDict
from collections.abc import AsyncIterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from legend.failures import PlainError
from legend.limits import LONGEST_PICTURE
from legend.sentences import printable

#: So many pictures wait to be looked at, at the most; an older one makes room for a newer.
_MOST_WAITING = 16
#: All of them together take no more room than so many of the longest.
_MOST_BYTES = 2 * LONGEST_PICTURE
#: Of a name so much is told.
_LONGEST_NAME = 80


class TooLongError(PlainError):
    """A picture of more bytes than are taken."""


@dataclass(frozen=True, slots=True)
class Upload:
    """A picture that was sent: the name that the user knows it by, and its file here."""

    name: str
    path: Path
    size: int


class Uploads:
    """The pictures that wait to be looked at, by their numbers."""

    def __init__(self) -> None:
        self._folder: Path | None = None
        self._waiting: OrderedDict[int, Upload] = OrderedDict()
        self._last = 0

    async def take_in(self, name: str, parts: AsyncIterator[bytes], length: int | None) -> int:
        """Write a picture into a file as it comes, and give its number.

        Errors: TooLongError; OSError. Where it does not come whole, nothing is left of it.
        """
        if length is not None and length > LONGEST_PICTURE:
            raise TooLongError(_too_long(name))
        self._last += 1
        number = self._last
        path = self._place() / str(number)
        try:
            with path.open("xb") as file:
                size = await _written(file, parts, name)
        except BaseException:
            path.unlink(missing_ok=True)
            raise
        self._waiting[number] = Upload(called(name), path, size)
        self._make_room()
        return number

    def taken_out(self, numbers: tuple[int, ...]) -> list[Upload]:
        """Pictures by their numbers, which are its caller's to remove. Error: PlainError."""
        if not numbers or any(number not in self._waiting for number in numbers):
            raise PlainError("These pictures are here no more; drop them once more.")
        return [self._waiting.pop(number) for number in dict.fromkeys(numbers)]

    def end(self) -> None:
        """Remove everything."""
        self._waiting.clear()
        if self._folder is not None:
            shutil.rmtree(self._folder, ignore_errors=True)
            self._folder = None

    def _place(self) -> Path:
        if self._folder is None:
            self._folder = Path(tempfile.mkdtemp(prefix="legend-pictures-"))
        return self._folder

    def _make_room(self) -> None:
        def is_full() -> bool:
            together = sum(each.size for each in self._waiting.values())
            return len(self._waiting) > _MOST_WAITING or together > _MOST_BYTES

        while len(self._waiting) > 1 and is_full():
            _, oldest = self._waiting.popitem(last=False)
            oldest.path.unlink(missing_ok=True)


async def _written(file: BinaryIO, parts: AsyncIterator[bytes], name: str) -> int:
    size = 0
    async for part in parts:
        size += len(part)
        if size > LONGEST_PICTURE:
            raise TooLongError(_too_long(name))
        await asyncio.to_thread(file.write, part)
    return size


def called(name: str) -> str:
    """What the user calls a picture: the last part of its name, as it can be printed."""
    plain = printable(name.replace("\\", "/").rpartition("/")[2].strip())
    return plain[:_LONGEST_NAME] or "the picture"


def _too_long(name: str) -> str:
    return (
        f"{called(name)} is longer than {LONGEST_PICTURE // 1_000_000} million bytes. Scan at 300 "
        "to 600 dots to the inch, and save it as JPEG or PNG."
    )
