"""Parse SVG path data into the runs of a skeleton.

All commands of SVG 1.1, chapter 8.3, absolute and relative. Arcs of circles stay arcs;
quadratics and arcs of ellipses become cubics. A strict reader of its own, because the
one at hand passes over what it does not understand, and is slow to import.
"""

from __future__ import annotations

import math
import re

from legend.lettering.outlines.outline import mapped
from legend.lettering.strokes.skeleton import Arc, Bend, Run, Segment, Skeleton, Straight, as_bends
from legend.vector import Vector

_COMMAND = re.compile(r"[\s,]*([MmLlHhVvCcSsQqTtAaZz])")
_NUMBER = re.compile(r"[\s,]*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)")
_FLAG = re.compile(r"[\s,]*([01])")
_BEGINNING = re.compile(r"\s*(\S{1,20})")
_END = re.compile(r"\s*$")
_NO_LENGTH = 1e-9
#: No font is drawn so large, in its own units.
_LARGEST = 1e6


class TooManyPointsError(ValueError):
    """A path of more points than may be; it is read no further."""


def read_path(d: str, most: float = math.inf) -> Skeleton:
    """The runs of an SVG path of at most so many points, a subpath each, in the path's own units.

    >>> [len(run.segments) for run in read_path("M 0 0 L 10 0 A 5 5 0 0 1 10 10 M 3 3 Z")]
    [2, 0]

    Errors: TooManyPointsError; ValueError where the path is damaged, which says how, and after
    how many characters.
    """
    return _Reader(d, most).runs()


class _Reader:
    """Reads one path from left to right."""

    def __init__(self, d: str, most: float) -> None:
        self._d = d
        self._more = most
        self._read = 0
        self._runs: list[Run] = []
        self._segments: list[Segment] = []
        self._start: Vector | None = None
        self._drawn = False
        self._at = Vector(0.0, 0.0)
        self._control: Vector | None = None
        self._control_of = ""

    def runs(self) -> Skeleton:
        while not _END.match(self._d, self._read):
            match = _COMMAND.match(self._d, self._read)
            if match is None:
                raise self._fault("a command was expected")
            self._read = match.end()
            self._command(match[1])
        self._lift()
        return tuple(self._runs)

    def _command(self, letter: str) -> None:
        kind = letter.upper()
        if kind == "Z":
            self._count()
            self._close()
            return
        if self._start is None:
            if kind != "M" and not self._runs:
                raise self._fault("a path begins with M")
            self._start = self._at
        origin = letter.islower()
        first = True
        while first or _NUMBER.match(self._d, self._read):
            base = self._at if origin else Vector(0.0, 0.0)
            if kind == "M" and first:
                self._lift()
                self._start = self._at = self._point(base)
            else:
                self._count()
                self._draw("L" if kind == "M" else kind, base, origin)
            first = False

    def _count(self) -> None:
        """Count a point to be drawn to. Error: TooManyPointsError."""
        self._more -= 1
        if self._more < 0:
            raise TooManyPointsError

    def _draw(self, kind: str, base: Vector, relative: bool) -> None:
        at = self._at
        control: Vector | None = None
        if kind == "L":
            self._line(self._point(base))
        elif kind == "H":
            self._line(Vector(base.x + self._number(), at.y))
        elif kind == "V":
            self._line(Vector(at.x, base.y + self._number()))
        elif kind in "CS":
            first = self._reflected("CS") if kind == "S" else self._point(base)
            control = self._point(base)
            self._bend(first, control, self._point(base))
        elif kind in "QT":
            control = self._reflected("QT") if kind == "T" else self._point(base)
            end = self._point(base)
            self._bend(_between(at, control), _between(end, control), end)
        else:
            rx, ry, turned = self._number(), self._number(), self._number()
            large, sweep = self._flag(), self._flag()
            self._arc(abs(rx), abs(ry), math.radians(turned), large, sweep, self._point(base))
        self._control, self._control_of = control, kind

    # --- Tokens ---

    def _number(self) -> float:
        match = _NUMBER.match(self._d, self._read)
        if match is None:
            raise self._fault("a number was expected")
        number = float(match[1])
        if abs(number) > _LARGEST:
            raise self._fault(f"a number of at most {_LARGEST:g} was expected")
        self._read = match.end()
        return number

    def _flag(self) -> bool:
        match = _FLAG.match(self._d, self._read)
        if match is None:
            raise self._fault("a flag of an arc is 0 or 1")
        self._read = match.end()
        return match[1] == "1"

    def _point(self, base: Vector) -> Vector:
        return base + Vector(self._number(), self._number())

    def _reflected(self, kinds: str) -> Vector:
        """The first control point of a smooth curve: the last one, through the pen."""
        if self._control is None or self._control_of not in kinds:
            return self._at
        return 2 * self._at - self._control

    def _fault(self, what: str) -> ValueError:
        rest = _BEGINNING.match(self._d, self._read)
        found = f"found {rest[1]!r}" if rest else "it ends"
        return ValueError(f"{what} after {self._read} characters, but {found}")

    # --- Pieces ---

    def _lift(self) -> None:
        """End an open run; one that went nowhere is a dot, one not drawn at all is nothing."""
        if self._start is not None and self._drawn:
            self._runs.append(Run(self._start, tuple(self._segments)))
        self._segments = []
        self._drawn = False

    def _close(self) -> None:
        if self._start is None:
            raise self._fault("nothing is there to close")
        self._line(self._start)
        self._runs.append(Run(self._start, tuple(self._segments), bool(self._segments)))
        self._segments = []
        self._drawn = False
        self._at, self._start = self._start, None
        self._control = None

    def _line(self, end: Vector) -> None:
        if math.dist(self._at, end) > _NO_LENGTH:
            self._segments.append(Straight(self._at, end))
        self._drawn = True
        self._at = end

    def _bend(self, control1: Vector, control2: Vector, end: Vector) -> None:
        bend = Bend(self._at, control1, control2, end)
        if max(math.dist(self._at, point) for point in bend[1:]) > _NO_LENGTH:
            self._segments.append(bend)
        self._drawn = True
        self._at = end

    def _arc(
        self, rx: float, ry: float, turned: float, large: bool, sweep: bool, end: Vector
    ) -> None:
        """An arc from its end points, SVG 1.1, appendix F.6.5."""
        half = math.dist(self._at, end) / 2
        if half <= _NO_LENGTH / 2:
            self._drawn = True
            return
        if min(rx, ry) <= _NO_LENGTH:
            self._line(end)
            return
        # In the frame in which the ellipse is a circle of radius 1, seen from the start.
        cos, sin = math.cos(turned), math.sin(turned)
        dx, dy = end - self._at
        ux, uy = (dx * cos + dy * sin) / rx, (dy * cos - dx * sin) / ry
        half = math.hypot(ux, uy) / 2
        grown = max(1.0, half)
        ux, uy, half = ux / grown, uy / grown, half / grown
        across = math.sqrt(max(0.0, 1 - half * half)) / (2 * half)
        if large == sweep:
            across = -across
        cx, cy = ux / 2 - across * uy, uy / 2 + across * ux
        begin = math.atan2(-cy, -cx)
        swept = (math.atan2(uy - cy, ux - cx) - begin) % math.tau
        if not sweep:
            swept -= math.tau
        rx, ry = rx * grown, ry * grown
        x = self._at.x + cx * rx * cos - cy * ry * sin
        y = self._at.y + cx * rx * sin + cy * ry * cos
        if abs(rx - ry) <= 1e-9 * rx:
            self._segments.append(Arc(self._at, end, Vector(x, y), rx, begin + turned, swept))
        else:
            frame = (rx * cos, rx * sin, -ry * sin, ry * cos, x, y)
            for bend in as_bends(Arc.about(Vector(0.0, 0.0), 1.0, begin, swept), 2):
                self._segments.append(Bend(*(Vector(*mapped(frame, point)) for point in bend)))
        self._drawn = True
        self._at = end


def _between(end: Vector, control: Vector) -> Vector:
    """The control point of the cubic that equals a quadratic."""
    return end + (control - end) * 2 / 3
