"""Count what is wrong with ordinary scales: their graduations and numerals as they are drawn.

python tests/bench/scales.py            # the counts
python tests/bench/scales.py --each     # and every scale that has a fault

Usual ranges and steps are tried by every law, on small and large knobs and meters, in three
heights of numerals. All is measured on the marks of the artwork. A step that was refused, and
told so, is not held against the graduations that took its place.
"""

from __future__ import annotations

import math
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any

import shapely

from legend.description.laws import DomainError, Law
from legend.description.tables.description import Control, Description
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Mark, Role, Severity
from legend.layout.scales.numerals import numeral
from legend.layout.scales.scale_marks import travel
from legend.standards import FILM_LIMITS, GRADUATION_STEPS, METER_SWEEP, MOST_BETWEEN_NUMBERED

#: Diameters of what covers the hole, and heights of the numerals, mm.
COVERS = (12, 18, 24, 36)
HEIGHTS = (2.0, 2.5, 3.5)

#: Ranges, and the steps that are asked for on them.
_LINEAR: dict[tuple[float, float], tuple[float, ...]] = {
    (0, 1): (0.1, 0.05),
    (0, 5): (0.25, 0.5, 1),
    (0, 6): (0.5, 1, 2),
    (0, 10): (0.5, 1, 2, 2.5, 3),
    (1, 10): (0.5, 1, 2),
    (0, 12): (1, 2, 3),
    (0, 20): (1, 4, 5),
    (0, 30): (1, 5, 10),
    (0, 50): (2, 4, 5, 20),
    (0, 60): (5, 10, 15),
    (0, 100): (0.5, 1, 2, 4, 5, 10, 25),
    (0, 250): (10, 25, 50),
    (0, 1000): (50, 100, 200),
    (15, 35): (1, 5),
    (-5, 5): (0.5, 1, 2),
    (-10, 10): (1, 2, 4),
    (-50, 50): (5, 10, 20),
    (-30, 50): (5, 10),
}
_CURVED: dict[str, dict[tuple[float, float], tuple[float, ...]]] = {
    "log": {
        (1, 10): (0.5, 1),
        (1, 1000): (),
        (0.5, 60): (),
        (20, 20000): (),
        (10, 100): (5, 10),
    },
    "inverse-square": {
        (530, 1700): (10, 50, 100),
        (530, 1600): (20,),
        (3.5, 8): (0.1, 0.5),
        (150, 285): (5, 10),
    },
    "decibel": {(-20, 3): (1, 5), (-20, 0): (1,), (-40, 6): (), (-10, 5): (1,)},
    "taper linear": {(-40, 0): (5, 10), (-30, 0): (2,)},
    "taper audio 10": {(-60, 0): (5, 10), (-40, 0): (2,)},
    "taper audio 15": {(-60, 0): (5, 10), (-40, 0): (2,)},
    "taper reverse 10": {(-40, 0): (2,)},
    "taper reverse 15": {(-40, 0): (2,), (-60, 0): (10,)},
    "inverse": {(530, 1700): (20, 100), (3.5, 8): (0.1,)},
    "table": {(0, 400): (20, 50), (0, 250): (25,)},
}
_TABLE = [[0, -150], [50, -131], [100, -90], [200, 20], [300, 95], [400, 150]]


#: What is counted besides the faults.
REFUSED = "told as an error"


@dataclass(frozen=True)
class Case:
    """A scale on a control, and how tall its numerals are."""

    kind: str
    covers: float
    height: float
    scale: dict[str, Any]

    def __str__(self) -> str:
        said = " ".join(f"{key}={value}" for key, value in self.scale.items() if key != "table")
        return f"{self.kind} of {self.covers:g} mm, numerals of {self.height:g} mm: {said}"


def cases() -> Iterator[Case]:
    """Every scale on every control in every height."""
    for covers in COVERS:
        for height in HEIGHTS:
            for kind, scale in _scales():
                yield Case(kind, 2 * covers if kind == "meter" else covers, height, scale)


def _scales() -> Iterator[tuple[str, dict[str, Any]]]:
    for (begin, end), steps in _LINEAR.items():
        for step in (None, *steps):
            yield "knob", _scale(begin, end, step)
    for name, ranges in _CURVED.items():
        law, _, taper = name.partition(" ")
        more: dict[str, Any] = {"law": law}
        more |= {"taper": taper} if taper else {}
        more |= {"table": _TABLE} if law == "table" else {}
        more |= {"sweep": 180} if law.startswith("inverse") else {}
        for (begin, end), steps in ranges.items():
            for step in (None, *steps):
                yield (
                    "meter" if law == "decibel" else "knob",
                    _scale(begin, end, step) | more,
                )
    for step in (None, 5, 10, 15, 30):
        yield "knob", _scale(0, 360, step) | {"sweep": 360}
    for step in (None, 0.5, 1):
        yield "knob", _scale(0, 10, step) | {"track": 240}
        yield "knob", _scale(-5, 5, step) | {"track": 225, "sweep": 305}


def _scale(begin: float, end: float, step: float | None) -> dict[str, Any]:
    return {"from": begin, "to": end} | ({} if step is None else {"step": step})


# --- What is wrong with one ---


def faults(case: Case) -> set[str]:
    """The sorts of fault that a scale has as it is drawn."""
    control = {"hole": "A", "kind": case.kind, "covers": case.covers, "scale": case.scale}
    hole: dict[str, Any] = {"at": [100, 100], "drill": 6}
    if case.kind == "meter":
        control["covers"] = [case.covers, case.covers * 0.6]
        hole = {"at": [100, 100], "cutout": [case.covers - 4, case.covers * 0.6 - 4]}
    raw = {
        "panel": {"size": [200, 200]},
        "lettering": {"numeral": {"height": case.height}},
        "holes": {"A": hole},
        "control": [control],
    }
    artwork = lay_out(Description.model_validate(raw, context={"units": "mm"}))
    if any(f.severity is Severity.ERROR for f in inspect(artwork)):
        unstepped = replace(case, scale={k: v for k, v in case.scale.items() if k != "step"})
        return {REFUSED, *_faults(artwork, unstepped)} - {"wrong spacing", "more than nine between"}
    return set(_faults(artwork, case))


class _Drawn:
    """A scale as it is drawn: its graduations and numerals, each by the travel where it stands."""

    def __init__(self, artwork: Artwork) -> None:
        self.control: Control = artwork.description.control[0]
        assert self.control.scale
        self.law: Law = self.control.scale.as_law()
        usual = {"usual": METER_SWEEP} if self.control.kind == "meter" else {}
        self.start, self.sweep = travel(self.control.scale, **usual)
        opening = artwork.opening("A")
        self.x, self.y = opening.centre
        if self.control.kind == "meter":
            self.y = artwork.keep_outs[0].shape.bounds[1]
        self.graduations = sorted(
            (self._fraction(mark), mark) for mark in artwork.marks if mark.role is Role.GRADUATION
        )
        self.numerals = [mark for mark in artwork.marks if mark.role is Role.NUMERAL]
        self.closed = abs(self.sweep) >= 360 - 1e-9

    def _fraction(self, mark: Mark) -> float:
        middle = mark.outline.shape.centroid
        angle = math.degrees(math.atan2(middle.x - self.x, middle.y - self.y))
        part = (angle - self.start) % 360 / self.sweep
        return part - 360 / self.sweep if part > (1 + 360 / self.sweep) / 2 else part

    def length(self, mark: Mark) -> float:
        """How far a graduation reaches along its ray."""
        at = shapely.Point(self.x, self.y)
        return float(shapely.hausdorff_distance(mark.outline.shape, at)) - float(
            shapely.distance(mark.outline.shape, at)
        )

    def stands_at(self, value: float) -> int | None:
        """The number of the graduation that stands at a value."""
        try:
            there = self.law.fraction(value)
        except DomainError:
            return None
        for i, (fraction, _) in enumerate(self.graduations):
            near = abs(fraction - there)
            if min(near, abs(near - 1) if self.closed else 1) < 2e-5:
                return i
        return None


def _faults(artwork: Artwork, case: Case) -> Iterator[str]:
    drawn = _Drawn(artwork)
    begin, end, step = (case.scale.get(key) for key in ("from", "to", "step"))
    values = {numeral(v): v for v in _thinkable(begin, end)}
    numbered = sorted(values[mark.text] for mark in drawn.numerals)
    ends = {begin, end}
    # 1. Both ends are marked and numbered.
    for value in ends:
        shown = value in numbered or (drawn.closed and value == end)
        if drawn.stands_at(value) is None or not shown:
            yield "end not marked"
    # 2. What is numbered, and marked, are multiples of the step, or as the rule has them.
    marked = [_value(drawn.law, fraction) for fraction, _ in drawn.graduations]
    if step is not None:
        if any(not _is_multiple(v, step) for v in numbered if v not in ends):
            yield "wrong spacing"
        inner = [v for v in marked if not any(_near(v, e, begin, end) for e in ends)]
        if any(abs(v / step - round(v / step)) > 2e-3 for v in inner):
            yield "wrong spacing"
    else:
        if not all(_is_multiple(v, 1) for v in numbered) and "dB" in _unit(case):
            yield "wrong spacing"
        if any(not _evenly_divided(run, ends) for run in _runs(drawn, numbered, marked)):
            yield "wrong spacing"
    # 3. Neighbours keep apart what the stock carries.
    shapes = [mark.outline.shape for _, mark in drawn.graduations]
    neighbours = [*pairwise(shapes), *([(shapes[-1], shapes[0])] if drawn.closed else [])]
    if any(a.distance(b) < FILM_LIMITS["gap"] - 0.005 for a, b in neighbours):
        yield "graduations too near"
    words = [mark.outline.shape for mark in drawn.numerals]
    for i, one in enumerate(words):
        if any(one.distance(other) < FILM_LIMITS["gap"] for other in words[:i]):
            yield "numerals too near"
        if any(one.distance(other) < FILM_LIMITS["gap"] for other in shapes):
            yield "numeral on a graduation"
    # 4. Few between numbers, few lengths, and a scale about zero alike on both sides.
    run = 0
    at = {drawn.stands_at(v) for v in numbered}
    for i in range(len(drawn.graduations)):
        run = 0 if i in at else run + 1
        if run > MOST_BETWEEN_NUMBERED:
            yield "more than nine between"
    if len({round(drawn.length(mark), 2) for _, mark in drawn.graduations}) > 3:
        yield "more than three lengths"
    if begin == -end and case.scale.get("law", "linear") == "linear":
        yield from _one_sided(drawn, numbered)


def _one_sided(drawn: _Drawn, numbered: Sequence[float]) -> Iterator[str]:
    lengths = [(f, round(drawn.length(mark), 2)) for f, mark in drawn.graduations]
    for (f, length), (g, other) in zip(lengths, reversed(lengths), strict=True):
        if abs(f + g - 1) > 2e-5 or length != other:
            yield "not symmetrical"
    if [-v for v in reversed(numbered)] != list(numbered):
        yield "not symmetrical"
    places = {mark.text: mark.outline.bounds for mark in drawn.numerals}
    for text, (left, _, _, top) in places.items():
        if negative := places.get(f"−{text}"):
            # A sign stands to the left of its digits, which end where the others begin.
            aside = (left - drawn.x) + (negative[2] - drawn.x)
            if abs(aside) > 0.02 or abs(top - negative[3]) > 0.02:
                yield "signs move numerals"


def _unit(case: Case) -> str:
    return "dB" if case.scale.get("law", "linear") in ("decibel", "taper") else ""


def _thinkable(begin: float, end: float) -> Iterator[float]:
    """Every value that may be numbered between the ends."""
    yield from (begin, end)
    power = math.floor(math.log10(abs(end - begin)))
    for exponent in range(min(-2, power - 3), 5):
        for digit in (1, 2.5, 3, 4):
            step = digit * 10.0**exponent
            if abs(end - begin) / step <= 2000:
                for i in range(math.ceil(begin / step), math.floor(end / step) + 1):
                    yield round(i * step, 6)


def _is_multiple(value: float, step: float) -> bool:
    return abs(value / step - round(value / step)) < 1e-6


def _near(value: float, other: float, begin: float, end: float) -> bool:
    return abs(value - other) < 1e-4 * abs(end - begin)


def _value(law: Law, fraction: float) -> float:
    """The value that stands where a graduation was measured, within the law's reach."""
    return law.value(min(max(fraction, 1e-12), 1.0))


def _runs(
    drawn: _Drawn, numbered: Sequence[float], marked: Sequence[float]
) -> Iterator[list[float]]:
    """The values of the graduations from each numbered one to the next, both included."""
    at = sorted(i for i in map(drawn.stands_at, numbered) if i is not None)
    for i, j in pairwise(at):
        yield list(marked[i : j + 1])


def _evenly_divided(run: Sequence[float], ends: set[float]) -> bool:
    """Whether a run goes in one step of 1, 2 or 5, but for an end that is no multiple."""
    steps = [b - a for a, b in pairwise(run)]
    tolerance = 0.02 * min(steps)
    inner = [
        step
        for step, pair in zip(steps, pairwise(run), strict=True)
        if not any(abs(v - e) < tolerance for v in pair for e in ends)
    ] or [max(steps)]
    digit = max(inner) / 10 ** math.floor(math.log10(max(inner)) + 1e-3)
    even = max(inner) - min(inner) < tolerance
    return even and (len(run) == 2 or any(abs(digit - d) < 0.05 for d in (*GRADUATION_STEPS, 10)))


def main() -> None:
    """Print how many scales have each fault."""
    counts: Counter[str] = Counter()
    every = list(cases())
    for case in every:
        found = faults(case)
        counts.update(found)
        if "--each" in sys.argv and found - {REFUSED}:
            print(f"{case}: {', '.join(sorted(found))}")
    print(f"{len(every)} scales")
    for fault, count in sorted(counts.items()):
        print(f"{count:6} {fault}")


if __name__ == "__main__":
    main()
