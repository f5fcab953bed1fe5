"""Choose the text style and line strokes of each role."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from legend.description.paint_colours import luminance
from legend.description.tables.description import (
    LETTERED_ROLES,
    Description,
    RoleLettering,
    Stencil,
    Text,
)
from legend.description.tables.stock import limits, limits_for
from legend.layout.carried_heights import carried_figure, carried_heights
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.outlines.outline import Box
from legend.standards import (
    ISO_HEIGHTS,
    LEAST_HEIGHT_PER_DISTANCE,
    LEAST_MARK_GAP,
    LEGENDS_APART,
    LEVEL_STEP,
    MARK_GAP,
    MOST_BRIDGE_PER_HEIGHT,
    PREFERRED_HEIGHT_PER_DISTANCE,
    STROKE_DARK_ON_LIGHT,
    STROKE_LIGHT_ON_DARK,
)


@dataclass(frozen=True, slots=True)
class Styles:
    """How each role is set, and the least capital height that can be read from where one stands."""

    of: Mapping[str, TextStyle]
    least_height: float

    def __getitem__(self, role: str) -> TextStyle:
        return self.of[role]


@dataclass(frozen=True, slots=True)
class Stroke:
    """How lines are drawn: what a stock can carry, mm, is the floor of widths and distances.

    `least` is the width of the finest line, and `apart` the least space between two.
    """

    least: float
    apart: float

    def width(self, wanted: float) -> float:
        """The width to draw a line in that is to be so wide, mm."""
        return max(wanted, self.least)


def stroke_on(stencil: Stencil) -> Stroke:
    """How lines are drawn on the stock of a stencil."""
    carries = limits(stencil)
    return Stroke(carries.stroke, carries.gap)


def gap(height: float) -> float:
    """The clear space that a legend of this capital height keeps round it, mm."""
    return max(MARK_GAP * height, LEAST_MARK_GAP)


#: Space between a name and the other legends of its control, in capital heights: more than
#: the least, so that a name is not read together with a scale. Common practice, no source.
_NAME_SPACE = 0.7


def name_space(height: float) -> float:
    """The space between a name of this capital height and the rest of its control, mm."""
    return max(_NAME_SPACE * height, gap(height))


#: Baselines no further apart than this, in capital heights, are one to whoever reads.
#: Common practice, no source.
_ONE_BASELINE = 0.25


def on_one_baseline(ours: Iterable[float], theirs: Sequence[float], height: float) -> bool:
    """Whether a line of one legend stands on the baseline of one of another.

    `height` is the capital height of the smaller.
    """
    return any(abs(a - b) <= _ONE_BASELINE * height for a in ours for b in theirs)


def apart_across(one: Box, other: Box) -> float:
    """How far apart two boxes stand from left to right, mm; negative where they overlap."""
    return max(other[0] - one[2], one[0] - other[2])


def apart_on_a_baseline(height: float, other: float) -> float:
    """The space that legends of these capital heights keep on one baseline, mm."""
    return max(LEGENDS_APART * max(height, other), gap(height), gap(other))


def choose_styles(description: Description) -> Styles:
    """Heights, strokes and faces for every role, what is left out chosen by the standards.

    No height is chosen that could not be read, or whose strokes and counters the stock could not
    carry.

    Error: FaceError where a face cannot be found or read.
    """
    of = _styles(description)
    chosen = ("name", *_free(description))
    carried = carried_heights(description, {role: of[role] for role in chosen})
    if max(carried.values()) > of["name"].height:
        of = _styles(description, max(carried.values()))
    _grow_small_letters(of, carried, description)
    return Styles(of, least_readable(description))


def _styles(description: Description, least_name: float = 0.0) -> dict[str, TextStyle]:
    """How each role is set, names no smaller than so many mm where they may be chosen."""
    lettering = description.lettering
    stroke = stroke_for(description)
    least_gap = limits(description.stencil).gap
    heights = _heights(description, least_name)
    folder = Path(description.source.file).parent
    of = {}
    for role in LETTERED_ROLES:
        own = getattr(lettering, role)

        def pick(key: str, default: Any, own: Any = own) -> Any:
            given = (getattr(table, key) for table in (own, lettering))
            return next((value for value in given if value is not None), default)

        of[role] = TextStyle(
            face=load_face(pick("face", "plain"), folder, pick("axes", None), pick("index", 0)),
            height=heights[role],
            stroke=pick("stroke", stroke),
            width=pick("width", 1.0),
            slope=pick("slope", 0.0),
            tracking=pick("tracking", 0.0),
            word_space=pick("word_space", 0.0),
            case=pick("case", "as written"),
            ends=pick("ends", "round"),
            least_gap=least_gap if pick("tracking", None) is None else 0.0,
            decimal=lettering.decimal,
        )
    return of


def least_readable(description: Description) -> float:
    """The least capital height that can be read from where one stands, mm."""
    return LEAST_HEIGHT_PER_DISTANCE * description.panel.viewing_distance


def least_chosen(description: Description) -> float:
    """The least capital height that is chosen, mm: it can be read, and its strokes can be cut."""
    stroke = description.lettering.stroke or stroke_for(description)
    return max(least_readable(description), limits(description.stencil).stroke / stroke)


#: Roles that are a step smaller than names.
_SMALL = ("position", "numeral", "note")


def _free(description: Description) -> list[str]:
    """The roles a step smaller than names whose heights the description leaves out."""
    return [role for role in _SMALL if getattr(description.lettering, role).height is None]


def _grow_small_letters(
    of: dict[str, TextStyle], carried: Mapping[str, float], description: Description
) -> None:
    """Make what is smaller than names tall enough for the stock, and for any figure on film.

    They grow no taller than names, and not at all where the description says how tall they are.
    """
    stencil = description.stencil
    free = _free(description)
    wanted = max((carried[role] for role in free), default=0.0)
    if stencil.stock == "film":  # on sheet, that asks for far more
        least = limits(stencil).counter
        wanted = max([wanted, *(carried_figure(of[role], least) for role in free)])
    for role in free:
        tall = max(of[role].height, min(wanted, of["name"].height))
        of[role] = replace(of[role], height=tall)


def _least_bridged(description: Description, role: str) -> float:
    """The least capital height that the bridges of rigid sheet do not eat; 0 on film."""
    is_bridged = description.stencil.stock == "sheet"
    return limits_for(description, role).bridge / MOST_BRIDGE_PER_HEIGHT if is_bridged else 0.0


def _heights(description: Description, least_name: float) -> dict[str, float]:
    """The capital height of each role.

    Names take the height of ISO 3098 nearest to the preferred one for the viewing distance, or
    `least_name`;
    numerals, positions and notes are a step smaller where that can still be read, where bridges
    do not eat them, and on film where it carries the counters of their figures; a title is twice
    as tall as names usually are, and a group stands between where there is room for two steps.
    """
    lettering = description.lettering
    least = least_chosen(description)
    preferred = PREFERRED_HEIGHT_PER_DISTANCE * description.panel.viewing_distance
    name = given(lettering.name) or given(lettering)
    usual = name or iso_height(preferred, least)
    name = name or max(usual, _in_tenths(least_name))
    title = given(lettering.title) or max(usual * 2, name * LEVEL_STEP)
    middle = math.sqrt(name * title)
    small = {
        role: max(name / math.sqrt(2), least, min(name, _least_bridged(description, role)))
        for role in _SMALL
    }
    heights = {
        "title": title,
        "group": middle if middle / name >= LEVEL_STEP else name,
        "name": name,
        **small,
    }
    return {role: given(getattr(lettering, role)) or height for role, height in heights.items()}


def _in_tenths(height: float) -> float:
    """A height rounded up to tenths of a millimetre."""
    return math.ceil(height * 10 - 1e-6) / 10


def given(table: RoleLettering | Text) -> float | None:
    """The height that a table gives, mm; None where it is left out, or is to be found."""
    return table.height if isinstance(table.height, float) else None


def iso_height(preferred: float, least: float) -> float:
    """The nominal height of ISO 3098-0 nearest to `preferred` by ratio, never under `least`.

    Beyond the ends of the series the preferred height itself is taken.
    """
    able = [h for h in ISO_HEIGHTS if h >= least]
    if not able or preferred > ISO_HEIGHTS[-1]:
        return preferred
    return min(able, key=lambda h: abs(math.log(h / preferred)))


def stroke_for(description: Description) -> float:
    """Stroke over height for the finish: broader for dark letters on light than the reverse."""
    if luminance(description.letter_colour) >= luminance(description.panel_colour):
        return STROKE_LIGHT_ON_DARK[1]
    return STROKE_DARK_ON_LIGHT
