"""Lay the rules that a description asks for: joined where they meet, parted at what is fitted.

1. Rules of one width that end at one point are one line, with a mitred corner there.
2. A line that runs into a fitted part, a hole or bare metal stops before it, squarely, and goes
   on beyond it.
3. What touches is one mark, which is cut in one go and travels on one piece.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from legend.description.tables.description import Rule
from legend.layout.artwork import Finding, KeepOut, Mark, Role, Severity
from legend.layout.ground import Ground
from legend.layout.styles import gap
from legend.lettering.outlines.boolean import from_shape
from legend.sentences import listed

#: A corner so sharp that it would stand out further than this, in half widths, is cut off.
_MITRE = 3.0
#: The least of a line that is drawn beyond a part, in widths.
_LEAST_LEFT = 0.5
#: How much nearer than its gap a line may come to what parts it, mm.
_TOLERANCE = 0.02


def lay_rules(ground: Ground, _before: Sequence[Mark]) -> Iterator[Mark | Finding]:
    """A mark for each rule, and one for all that touch; a note where one is parted."""
    rules = ground.description.rule
    lines = [_line(rule, ground) for rule in rules]
    widths = [_width(rule, ground) for rule in rules]
    for cluster in _touching([_broad(*each) for each in zip(lines, widths, strict=True)]):
        parts: list[BaseGeometry] = []
        met: set[str] = set()
        for width in dict.fromkeys(widths[k] for k in cluster):
            alike = shapely.MultiLineString([lines[k] for k in cluster if widths[k] == width])
            for line in shapely.get_parts(shapely.line_merge(alike)):
                at = [c for c in ground.covers if c.shape.intersects(_broad(line, width))]
                parts.append(_parted(line, width, at))
                met |= {cover.owner for cover in at}
        source = rules[cluster[0]].source
        yield Mark(from_shape(shapely.union_all(parts)), Role.RULE, "", source)
        if met:
            holes = listed([id for id in ground.description.holes if id in met], "and")
            yield Finding(
                Severity.NOTE,
                "rule-parted",
                f"The rule stops at {holes}, to keep clear of what is there.",
                source,
                "Move it, if it should not run there.",
            )


def _line(rule: Rule, ground: Ground) -> shapely.LineString:
    """The middle of a rule, on the panel."""
    corners = (rule.from_, *rule.through, rule.to)
    return shapely.LineString([ground.description.panel.from_datum(point) for point in corners])


def _width(rule: Rule, ground: Ground) -> float:
    style = ground.styles["name"]
    return ground.stroke.width(rule.width or style.stroke * style.height)


def _broad(line: BaseGeometry, width: float) -> BaseGeometry:
    """A line as broad as that, its ends cut square, its corners mitred."""
    return shapely.buffer(line, width / 2, cap_style="flat", join_style="mitre", mitre_limit=_MITRE)


def _touching(strokes: Sequence[BaseGeometry]) -> list[list[int]]:
    """Which of the strokes touch each other, as they follow in the description."""
    whole = shapely.get_parts(shapely.union_all(strokes))
    return sorted([k for k, each in enumerate(strokes) if each.intersects(part)] for part in whole)


def _parted(line: BaseGeometry, width: float, at: Sequence[KeepOut]) -> BaseGeometry:
    """What is left of a line, made broad, that keeps its gap from all of these.

    Nothing but the whole of it, where it is wholly under them: that is then told.
    """
    covers, apart = shapely.union_all([cover.shape for cover in at]), gap(0.0)
    for reach in (apart, apart + width / 2):  # further off where it meets a side at a slant
        left = shapely.get_parts(shapely.difference(line, shapely.buffer(covers, reach)))
        left = _broad(left[shapely.length(left) >= _LEAST_LEFT * width], width)
        if not at or all(shapely.distance(left, covers) >= apart - _TOLERANCE):
            break
    return shapely.union_all(left) if len(left) else _broad(line, width)
