"""Keep what was last made of each of many things, while it is made of the same.

A panel that is laid out again, with one thing changed, is mostly what it was: what is kept of it
need not be made again, nor be measured and written again.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Generic, TypeVar, TypeVarTuple

_Made = TypeVar("_Made")
_Of = TypeVarTuple("_Of")

#: No panel has more of anything, as a rule; of more than so many the oldest are forgotten.
_MOST = 4096


class Kept(Generic[_Made]):
    """What was last made under each name.

    >>> lengths: Kept[int] = Kept()
    >>> lengths.made("the switch", len, "POWER")
    5
    """

    def __init__(self) -> None:
        self._last: dict[Hashable, tuple[tuple[object, ...], _Made]] = {}

    def made(self, name: Hashable, make: Callable[[*_Of], _Made], *of: *_Of) -> _Made:
        """What `make` makes of these, or made of their equals when last asked under this name.

        It must depend on nothing else, and what it makes must never be changed. Unlike the
        arguments of a cached function, these need no hash: they are compared. What it raises is
        not kept.
        """
        last = self._last.pop(name, None)
        if last is None or last[0] != of:
            last = of, make(*of)
        self._last[name] = last
        if len(self._last) > _MOST:
            self._last.pop(next(iter(self._last)), None)
        return last[1]
