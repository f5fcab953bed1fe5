"""Choose where the units of scales round knobs stand: alike in a row, and on parts that are alike.

The dead zone of a dial is the part of the circle that its scale leaves free, and its unit stands
there, in the first of four places that it has room in. In a row, and among parts that are alike,
all units stand in the same place; where one of them has room in none, all go with the names.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from enum import IntEnum

import numpy as np
import shapely

from legend.layout.artwork import Finding, Mark, Role
from legend.layout.controls.turned_controls import round_track
from legend.layout.fitted_controls import Fitted
from legend.layout.scales.end_legends import in_line_or_clear
from legend.layout.scales.scale_marks import numeral_distance
from legend.layout.scales.tracks import scale_radius
from legend.layout.styles import Styles, gap
from legend.lettering.faces.face import LetteringError, TextStyle
from legend.lettering.outlines.connected import components
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import set_text

#: A dead zone this near to straight down has its unit on the axis and the numerals' baseline,
#: degrees.
_NEARLY_DOWN = 5.0
#: Lengths that differ by less are the same, mm.
_SAME = 1e-6
#: Parts whose sizes differ by less are alike, mm.
_ALIKE = 0.05


class Place(IntEnum):
    """Where a unit may stand in the dead zone, what suits it best first.

    On the baseline of the lower numeral, as near to the part as it may, just below the numerals,
    or as far out as the numerals do. Where the dead zone is not straight down, only the last is
    tried.
    """

    LEVEL = 0
    TO_PART = 1
    UNDER = 2
    ON_RING = 3


def units_in_dead_zones(
    fitted: Sequence[Fitted], laid: Sequence[Sequence[Mark | Finding]], styles: Styles
) -> dict[str, Mark]:
    """The units that stand in the dead zones of dials, by hole; the others go with the names.

    `laid` is what was laid of each control.
    """
    numbers = [i for i, each in enumerate(fitted) if _has_unit(each) and laid[i]]
    able = {i: _places(fitted[i], laid[i], styles["numeral"]) for i in numbers}
    units = {}
    for together in _alike([fitted[i] for i in numbers]):
        of = {numbers[i]: able[numbers[i]] for i in together}
        if not all(of.values()):
            continue
        common = set.intersection(*({*places} for places in of.values()))
        for i, places in of.items():
            units[fitted[i].control.hole] = places[min(common or places)]
    return units


def _has_unit(fitted: Fitted) -> bool:
    scale = fitted.control.scale
    return fitted.control.of_kind.lays == "round" and bool(scale and scale.unit.strip())


def _alike(fitted: Sequence[Fitted]) -> list[list[int]]:
    """The numbers of those that stand in one row, or are alike, with all that these are with."""
    pairs = [
        (i, j)
        for i, one in enumerate(fitted)
        for j, other in enumerate(fitted[:i])
        if _in_one_row(one, other) or _are_alike(one, other)
    ]
    ends = np.array(pairs, dtype=np.int64).reshape(-1, 2)
    parts: dict[int, list[int]] = {}
    for i, part in enumerate(components(len(fitted), ends[:, 0], ends[:, 1]).tolist()):
        parts.setdefault(part, []).append(i)
    return list(parts.values())


def _in_one_row(one: Fitted, other: Fitted) -> bool:
    in_rows = one.control.in_row and other.control.in_row
    return in_rows and abs(one.axis[1] - other.axis[1]) < _SAME


def _are_alike(one: Fitted, other: Fitted) -> bool:
    if one.control.kind != other.control.kind:
        return False
    sizes = (shapely.bounds(each.cover.shape) for each in (one, other))
    (a, b, c, d), (e, f, g, h) = sizes
    return bool(abs((c - a) - (g - e)) < _ALIKE and abs((d - b) - (h - f)) < _ALIKE)


def _places(
    fitted: Fitted, laid: Sequence[Mark | Finding], style: TextStyle
) -> Mapping[Place, Mark]:
    """The places in the dead zone where the unit of a dial has room, and the unit there.

    None where it has no room, or is a sign so small that it looks lost by itself, as that of a
    degree; none between the rings of two knobs, where nobody could tell whose it is.

    Below a control it stands on its axis, as the name does, and nowhere beside a numeral and out
    of line with it.
    """
    control, scale = fitted.control, fitted.control.scale
    marks = [mark for mark in laid if isinstance(mark, Mark)]
    if not scale or control.inner or not marks:
        return {}
    track = round_track(fitted, scale, scale_radius(fitted.cover, fitted.opening))
    try:
        setting = set_text(scale.unit, replace(style, case="as written"))
    except LetteringError:  # it is told where names are placed
        return {}
    if track.closed or (control.name.strip() and _is_small_sign(setting.outline, style)):
        return {}
    middle = (1 + 360 / abs(track.sweep)) / 2
    on_ring = track.pushed([setting.outline], [middle], numeral_distance(style))[0]
    numerals = [mark for mark in marks if mark.role is Role.NUMERAL]

    def at(placed: Outline) -> Mark:
        source = control.source_of("scale")
        return Mark(placed, Role.NOTE, control.hole, source, scale.unit, style.height, setting)

    places = {Place.ON_RING: at(on_ring)}
    below = abs(track.degrees(middle) % 360 - 180) < _NEARLY_DOWN
    if below:
        left, _, right, top = on_ring.bounds
        on_axis = on_ring.moved(fitted.opening.centre[0] - (left + right) / 2, 0.0)
        on_its_ring = places[Place.ON_RING].baselines[0]
        lowest = min((mark.baselines[0] for mark in numerals), default=on_its_ring)
        to_part = max(0.0, fitted.cover.shape.bounds[1] - gap(style.height) - top)
        level = lowest - on_its_ring
        under = max(0.0, min(level - style.height, to_part))
        places = {
            place: at(on_axis.moved(0.0, up))
            for place, up in zip(Place, (level, to_part, under, 0.0), strict=True)
        }
    clear_of = [fitted.cover.shape, *(mark.outline.shape for mark in marks)]
    return {
        place: unit
        for place, unit in places.items()
        if shapely.distance(unit.outline.shape, clear_of).min() >= gap(style.height) - _SAME
        and (not below or all(in_line_or_clear(unit, numeral) for numeral in numerals))
    }


def _is_small_sign(ink: Outline, style: TextStyle) -> bool:
    _, low, _, high = ink.bounds
    return high - low < style.height / 2
