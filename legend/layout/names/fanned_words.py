"""Place the words round a selector so that they fan out clear of each other."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise, product

from legend.layout.scales.tracks import RoundTrack
from legend.layout.styles import apart_across, apart_on_a_baseline, gap, on_one_baseline
from legend.lettering.faces.face import TextStyle
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import is_symbol, set_text

#: How strongly the words of a selector lean outward: the first that leaves them room is taken.
#: Common practice, no source.
_LEANS = (1.0, 1.5, 2.0, 3.0, 5.0, 10.0)
#: How much further out they stand, in capital heights, where no lean leaves them room.
_OUTWARDS = (0.0, 0.3, 0.6, 0.9, 1.2, 1.5, 1.8, 2.1)


def fanned_out(
    named: Sequence[tuple[float, str]], track: RoundTrack, style: TextStyle, out: float
) -> list[Outline]:
    """The words of a selector round it, each leaning outward as far as its neighbours ask.

    Where none of that gives them room, all stand further out; where that does not either, they
    stand as near as they may.
    """
    inks = [_about_its_middle(name, style) for _, name in named]
    fractions = [f for f, _ in named]
    crowded: list[Outline] = []
    for further, lean in product(_OUTWARDS, _LEANS):
        leaning = [
            ink.moved(_slide(ink, style, track.degrees(f), lean), 0.0)
            for ink, f in zip(inks, fractions, strict=True)
        ]
        placed = track.pushed_anchored(leaning, fractions, out + further * style.height)
        feet = [o.bounds[1] - ink.bounds[1] for o, ink in zip(placed, inks, strict=True)]
        words = [*zip(placed, feet, strict=True)]
        if all(_told_apart(*pair, style.height) for pair in pairwise([*words, *words[:1]])):
            return placed
        crowded = placed if not further else crowded
    return crowded


def _told_apart(one: tuple[Outline, float], other: tuple[Outline, float], height: float) -> bool:
    """Whether two words, each with its level, keep the space between legends."""
    (a, foot), (b, other_foot) = one, other
    if a is b:
        return True
    if on_one_baseline([foot], [other_foot], height):
        return apart_across(a.bounds, b.bounds) >= apart_on_a_baseline(height, height)
    return bool(a.shape.distance(b.shape) >= gap(height))


def _about_its_middle(name: str, style: TextStyle) -> Outline:
    """A word with the middle of its capitals at the origin, or a symbol with that of its ink."""
    ink = set_text(name, style).outline
    x0, y0, x1, y1 = ink.bounds
    return ink.moved(-(x0 + x1) / 2, -((y0 + y1) if is_symbol(name) else style.height) / 2)


def _slide(ink: Outline, style: TextStyle, degrees: float, lean: float) -> float:
    """How far a word is moved from its ray: its middle stands on that above and below, its near
    end beside.

    The anchor slides along the word with the sine of the angle, so that words fan out from a
    selector as a letterer would set them, and single figures stay centred on their ray.
    """
    x0, _, x1, _ = ink.bounds
    beside = max(-1.0, min(1.0, lean * math.sin(math.radians(degrees))))
    return max(0.0, (x1 - x0 - 1.5 * style.height) / 2) * beside
