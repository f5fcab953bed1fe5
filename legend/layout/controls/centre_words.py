"""Choose the side on which the word for the centre of a switch stands.

Beside a lever that moves up and down there are two such sides. The switches of a row that have
the choice all take the same one, where their words have most room, or else the first; but for
one that lacks room there and has more on another side.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import shapely

from legend.description.tables.description import Direction
from legend.layout.fitted_controls import Fitted, centre_sides
from legend.layout.styles import Styles, gap
from legend.lettering.faces.face import LetteringError, TextStyle
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import set_text

#: Room that differs by less is the same, mm.
_ALIKE = 0.05


def with_centres(fitted: Sequence[Fitted], panel: Outline, styles: Styles) -> list[Fitted]:
    """The controls, each with the side of the word for its centre."""
    rows: dict[object, list[int]] = {}
    for index, each in enumerate(fitted):
        if sides := centre_sides(each.control):
            alone = None if each.control.in_row else index
            rows.setdefault((sides, round(each.axis[1], 3), alone), []).append(index)
    chosen: dict[int, Direction] = {}
    for (sides, *_), row in rows.items():  # type: ignore[misc]
        lacks = {
            i: {s: _lacking(fitted[i], s, fitted, panel, styles["position"]) for s in sides}
            for i in row
        }
        of_row = _best({side: max(lacks[i][side] for i in row) for side in sides})
        for i in row:
            chosen[i] = of_row if lacks[i][of_row] <= _ALIKE else _best(lacks[i], of_row)
    return [
        replace(each, centre=chosen[i]) if i in chosen else each for i, each in enumerate(fitted)
    ]


def _best(lacks: Mapping[Direction, float], rather: Direction | None = None) -> Direction:
    """The first side on which least room is lacking, or another one where that is as good."""
    able = [side for side in lacks if lacks[side] <= min(lacks.values()) + _ALIKE]
    return rather if rather in able else able[0]


def _lacking(
    each: Fitted, side: Direction, fitted: Sequence[Fitted], panel: Outline, style: TextStyle
) -> float:
    """How much room the word lacks on a side, to other parts and to the panel's edge, mm."""
    positions = each.control.positions
    assert isinstance(positions, Mapping)  # it has a centre
    try:
        x0, _, x1, _ = set_text(positions["centre"], style).outline.bounds
    except (LetteringError, ValueError):  # it is told where the word is laid
        return 0.0
    left, bottom, right, top = each.box
    width, height, space = x1 - x0, style.height, gap(style.height)
    x, y = each.opening.centre
    places = {
        "right": (right + space, y - height / 2, right + space + width, y + height / 2),
        "left": (left - space - width, y - height / 2, left - space, y + height / 2),
        "up": (x - width / 2, top + space, x + width / 2, top + space + height),
        "down": (x - width / 2, bottom - space - height, x + width / 2, bottom - space),
    }
    place = shapely.box(*places[side])
    others = [other.cover.shape for other in fitted if other is not each]
    others += [head.shape for other in fitted if other is not each for head in other.heads]
    near = float(shapely.distance(place, others).min(initial=space)) if others else space
    lacking = space - near
    if not near:
        lacking += float(shapely.area(shapely.intersection(place, others)).max()) / height
    beyond = float(shapely.area(shapely.difference(place, panel.shape))) / height
    inside = float(panel.shape.exterior.distance(place)) if not beyond else 0.0
    return max(lacking, beyond + max(0.0, space - inside))
