"""Check the positions of turned controls: how many, how close, and whether two are mistaken."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from legend.description.laws import DomainError
from legend.description.tables.description import Control
from legend.layout.artwork import Finding, Severity
from legend.layout.inspection.scene import Scene, check
from legend.layout.remedies.offers import Offer, offer
from legend.layout.remedies.place_offers import scale_keys
from legend.layout.scales.scale_marks import travel
from legend.standards import (
    LEAST_SELECTOR_STEP,
    MOST_POSITIONS,
    MOST_POSITIONS_UNSEEN,
    SELECTOR_STEP,
    ZERO_STANDS_AT,
)

#: Angles that differ by less are one, degrees: nobody sets a knob on its shaft any better.
_SAME = 2.0
#: Scales whose zero is but one value among others, by their unit or their law.
_NOT_BALANCED = ("db", "°c", "°f", "c", "f", "k")


@check
def number_of_positions(scene: Scene) -> Iterator[Finding]:
    """There are not too many positions, nor too close together, nor only two."""
    for control in _with_positions(scene):
        count, step = len(control.positions), _step(control)
        where = control.source_of("positions")
        of = f"The {control.kind} on {control.hole} has"
        if count > MOST_POSITIONS:
            yield Finding(
                Severity.WARNING, "many-positions",
                f"{of} {count} positions, more than the {MOST_POSITIONS} that are told apart.",
                where, "Part them between two switches.",
            )  # fmt: skip
        elif count > MOST_POSITIONS_UNSEEN and not all(map(str.strip, control.positions)):
            yield Finding(
                Severity.NOTE, "many-positions",
                f"{of} {count} positions, some of them without a name; more than "
                f"{MOST_POSITIONS_UNSEEN} are only found where all are marked.",
                where, "Name them all.",
            )  # fmt: skip
        if step < LEAST_SELECTOR_STEP:
            yield Finding(
                Severity.WARNING, "close-positions",
                f"{of} positions {step:g} degrees apart; they want {LEAST_SELECTOR_STEP:g}.",
                control.source_of("detent"),
                "See that `detent` is the degrees from one position to the next; a switch that "
                "steps so finely wants a scale instead.",
            )  # fmt: skip
        if count == 2 and control.kind == "selector":
            yield Finding(
                Severity.NOTE, "two-positions",
                f"{of} two positions.",
                where, "A toggle is read, and thrown, sooner.",
            )  # fmt: skip


@check
def opposite_positions(scene: Scene) -> Iterator[Finding]:
    """No two positions are mistaken for each other by the wrong end of the knob."""
    for control in _with_positions(scene):
        named = [(i, text.strip()) for i, text in enumerate(control.positions) if text.strip()]
        pairs = [
            (one, other)
            for (i, one), (j, other) in combinations(named, 2)
            if abs((j - i) * _step(control) % 360 - 180) < _SAME
        ]
        if pairs:
            (one, other), more = pairs[0], len(pairs) - 1
            others = f", as {more} pairs more do" if more > 1 else ", as one pair more does"
            yield Finding(
                Severity.NOTE,
                "opposite-positions",
                f"On the {control.kind} on {control.hole} {one!r} and {other!r} stand opposite "
                f"each other{others if more else ''}.",
                control.source_of("positions"),
                "Fit a pointer knob, whose two ends nobody mistakes for each other.",
            )


def _with_positions(scene: Scene) -> Iterator[Control]:
    for control in scene.artwork.description.control:
        if control.of_kind.lays == "round" and len(control.positions) > 1:
            yield control


def _step(control: Control) -> float:
    return control.detent or SELECTOR_STEP


@check
def zero_at_twelve(scene: Scene) -> Iterator[Finding]:
    """The zero of a round scale to both sides of it stands at twelve or at nine o'clock."""
    for control in scene.artwork.description.control:
        scale = control.scale
        if scale is None or control.of_kind.lays != "round":
            continue
        begin, end = scale.ends
        if not begin * end < 0:
            continue
        if scale.law == "decibel" or scale.unit.strip().casefold() in _NOT_BALANCED:
            continue
        begins, sweep = travel(scale)
        try:
            angle = (begins + sweep * scale.as_law().fraction(0.0)) % 360
        except DomainError:  # told where it was not drawn
            continue
        if all(abs((angle - at + 180) % 360 - 180) > _SAME for at in ZERO_STANDS_AT):
            yield Finding(
                Severity.NOTE,
                "zero-aside",
                f"The zero of the scale of {control.hole} stands at {angle:.0f} degrees; that of a "
                "scale to both sides of it is looked for at twelve o'clock, or at nine.",
                control.source_of("scale"),
                "",
                offers=_turned(scene, control, _start(begins, angle)),
            )


def _turned(scene: Scene, control: Control, start: float) -> tuple[Offer, ...]:
    """The scale turned so that its zero stands at twelve."""
    if not (keys := scale_keys(scene.artwork, control, control)):
        return ()
    how = "if the knob can be set so on its shaft, let the scale begin there"
    return (offer(how, (*keys, "start"), [start], "to turn its scale does not help"),)


def _start(begins: float, angle: float) -> float:
    """Where the scale begins if its zero is turned to twelve o'clock."""
    return round((begins - angle + 180) % 360 - 180, 1)
