"""Check for counters filled by heavy strokes or bridges, and find lighter strokes."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from legend.description.tables.lettering import LETTERED_ROLES
from legend.description.tables.stock import bridged_roles, limits, limits_for
from legend.layout.artwork import Finding, Mark, Role, Severity
from legend.layout.inspection.scene import Scene, check, finding, middle, what
from legend.layout.remedies.lettering_offers import lighter, taller
from legend.layout.remedies.offers import Keys, Offer, offer
from legend.lettering.faces.face import Letter, TextStyle
from legend.lettering.outlines.counters import heaviest_stroke, is_filled
from legend.lettering.outlines.measuring import LET_PASS, counters
from legend.lettering.outlines.outline import Outline
from legend.sentences import counted, listed
from legend.standards import (
    INCH,
    MOST_BRIDGE_PER_HEIGHT,
    STROKE_DARK_ON_LIGHT,
    STROKE_LIGHT_ON_DARK,
    STROKE_MARGIN,
)

#: So many letters are told by name; and how many times taller letters may be to be cured.
_FEW, _TALLER = 6, (1, 1.25, 1.5, 2, 3, 4)


@check
def filled_counters(scene: Scene) -> Iterator[Finding]:
    """No strokes are so heavy that they fill the counter of a letter."""
    for letters_in in marks_with_filled_counters(scene).values():
        for marks in scene.parted("filled-counter", letters_in):
            yield _filled(scene, marks, letters_in)


def _filled(scene: Scene, marks: Sequence[Mark], letters_in: Mapping[Mark, list[str]]) -> Finding:
    """That these marks, of one role, have filled counters, and in which letters."""
    first, *others = marks
    letters = list(dict.fromkeys(repr(text) for mark in marks for text in letters_in[mark]))
    letters[_FEW:] = [f"{len(letters) - _FEW} more"] * (len(letters) > _FEW)
    more = f"; so it is with {len(others)} more of the {first.role} legends" if others else ""
    return finding(
        Severity.WARNING,
        "filled-counter",
        f"{what(first)} has strokes so heavy that they fill the counters of {listed(letters)}"
        f"{more}.",
        first,
        "Choose a lighter cut of the face, or another face.",
        offers=_opened(scene, first),
    )


@check
def heavy_bridges(scene: Scene) -> Iterator[Finding]:
    """No bridge is so wide that it eats the letter that it crosses."""
    description = scene.artwork.description
    roles = bridged_roles(description)
    eaten: dict[float, list[Mark]] = {}
    for mark in scene.marks:
        bridge = limits_for(description, mark.role).bridge
        least = bridge / MOST_BRIDGE_PER_HEIGHT
        is_low = mark.role in roles and 0 < mark.height < least * LET_PASS
        if is_low and counters(mark.outline.shape):
            eaten.setdefault(bridge, []).append(mark)
    for bridge, marks_with_it in eaten.items():
        for marks in scene.parted("heavy-bridge", marks_with_it):
            yield _eaten(scene, marks, bridge)


def _eaten(scene: Scene, eaten: Sequence[Mark], bridge: float) -> Finding:
    """That bridges of this width eat these marks."""
    least = bridge / MOST_BRIDGE_PER_HEIGHT
    worst = min(eaten, key=lambda mark: mark.height)
    more = f"; so it is with {counted(len(eaten) - 1, 'more legend')}" if len(eaten) > 1 else ""
    wide, tall = scene.lengths.said(bridge, 2), scene.lengths.said(worst.height, 2)
    step = INCH / 1000 if scene.lengths.unit == "in" else 0.01
    narrower = math.floor(MOST_BRIDGE_PER_HEIGHT * worst.height / step + 1e-6) * step
    told = finding(
        Severity.WARNING,
        "heavy-bridge",
        f"Bridges of {wide} eat the letters of {what(worst)}, which is {tall} tall; a bridge "
        f"ought to be no wider than {MOST_BRIDGE_PER_HEIGHT:g} of that{more}.",
        worst,
        "",
        offers=[
            *taller(scene.artwork, worst, least / worst.height),
            *_narrower(worst, round(narrower, 6)),
        ],
    )
    return replace(told, places=tuple(map(middle, eaten)) if len(eaten) > 1 else ())


def _narrower(mark: Mark, bridge: float) -> Iterator[Offer]:
    """Narrower bridges, for letters of this role alone where they have a width of their own."""
    ways: list[tuple[str, Keys]] = [
        ("where the stock carries bridges of {}, say so", ("stencil", "least_bridge"))
    ]
    if mark.role in LETTERED_ROLES:
        ways.append(("ask for bridges of {} there alone", ("lettering", mark.role.value, "bridge")))
    for how, key in ways:
        yield offer(how, key, [bridge], "narrower bridges do not cure it alone")


def letters_of(scene: Scene, role: Role) -> dict[str, Outline]:
    """The different letters of all legends of a role, by what they stand for."""
    return {
        letter.text: letter.outline
        for mark in scene.marks
        if mark.role == role
        for letter in _drawn(mark)
    }


def _drawn(mark: Mark) -> Iterator[Letter]:
    """The letters of a text of which there is something to be seen, wherever they stand."""
    return (letter for letter in (mark.setting.letters if mark.setting else ()) if letter.outline)


def marks_with_filled_counters(scene: Scene) -> dict[Role, dict[Mark, list[str]]]:
    """Of each role the marks that have filled counters, and in which letters."""
    filled: dict[Role, dict[Mark, list[str]]] = {}
    for mark in scene.marks:
        style = scene.style_of(mark)
        if found := [letter.text for letter in _drawn(mark) if is_filled(letter, style)]:
            filled.setdefault(mark.role, {})[mark] = found
    return filled


def _opened(scene: Scene, mark: Mark) -> Iterator[Offer]:
    """What gives all legends of a role counters that the stock carries."""
    style = scene.style_of(mark)
    for times in _TALLER:
        larger = replace(style, height=style.height * times)
        stroke = lighter_stroke(scene, letters_of(scene, mark.role), larger)
        tall = larger.height if times > 1 else 0.0
        if found := lighter(scene.artwork, mark, stroke, tall):
            yield found
            return


def lighter_stroke(scene: Scene, letters: Iterable[str], style: TextStyle) -> float | None:
    """The stroke, over height, that cures small counters, and that the stock and eyes can bear."""
    least = limits(scene.artwork.description.stencil)
    broadest = STROKE_DARK_ON_LIGHT * STROKE_MARGIN
    style = replace(style, stroke=min(style.stroke, broadest))
    finest = max(least.stroke / style.height, STROKE_LIGHT_ON_DARK[0] / STROKE_MARGIN)
    bearable = min(style.stroke, STROKE_DARK_ON_LIGHT * STROKE_MARGIN)
    return heaviest_stroke(letters, replace(style, stroke=bearable), least.counter, finest)
