"""Measure the holes of a panel in scans and photographs: the way from pictures to `Measured`."""

from __future__ import annotations

import logging
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from legend.camera.holes.finding import hole_like, hole_near, holes_in, is_as_large
from legend.camera.holes.found_hole import Doubt, FoundHole
from legend.camera.holes.light import Light, light_of
from legend.camera.holes.matching import (
    Matching,
    Wanted,
    matched,
    seen_otherwise,
    turned_about,
)
from legend.camera.measured.averaging import mean_of
from legend.camera.measured.measured import Measured, MeasuredHole, MissingHole, SeenIn
from legend.camera.measured.sayings import assumptions, counted_against, lying_words
from legend.camera.panel.edges.sharpness import blur_within
from legend.camera.panel.seen import SeenPanel
from legend.camera.panel.turning import turned
from legend.camera.picture import Picture
from legend.camera.seeing import seen_in
from legend.camera.view import View
from legend.description.shapes.hole_shapes import Drilled
from legend.description.shapes.shape import Shape
from legend.description.tables.description import Description, Hole
from legend.description.tables.panel import Panel
from legend.failures import PlainError
from legend.length_words import Lengths

_LOG = logging.getLogger(__name__)

#: Without a design, holes that two pictures show no further apart than this are one, mm.
_SAME = 1.5
#: No dot of a pen is larger, mm, and as large as a hole that is wanted, within this, mm.
_LARGER_THAN_DOTS, _AS_LARGE = 3.0, 0.4
#: A mark so near to where a hole is missing stands in its place, mm.
_IN_PLACE = 2.5
#: Less than this part of the holes found is no panel of the design.
_LEAST_FOUND = 0.5
#: With more than this part of the holes in doubt because of shadows, none is measured.
_MOST_SHADED = 0.5
#: How many parts each arc of the panel's edge is taken in.
_PARTS = 24


class NotMeasuredError(PlainError):
    """Nothing could be measured; the message says what to do instead."""


@dataclass(frozen=True, slots=True, eq=False)
class _Look:
    """What one picture shows: the holes by their names, and what else looks like one."""

    seen: SeenIn
    holes: dict[str, FoundHole]
    others: tuple[FoundHole, ...]
    open_: bool
    assumed: tuple[str, ...]


def measured_from(
    pictures: Sequence[Picture],
    panel: Panel,
    units: str = "mm",
    description: Description | None = None,
    count: int | None = None,
) -> Measured:
    """Measure the holes of a panel in one or more pictures of it.

    With a `description`, whose panel it is, they are matched to its holes as designed; without,
    they are named by rows, and `count` may say how many there are. Errors: NotMeasuredError, and
    what the pictures are refused with: each says what to do.
    """
    if not pictures:
        raise NotMeasuredError("Give at least one picture of the panel.")
    wanted = _wanted(description)
    lengths = Lengths(units)
    looks: list[_Look] = []
    for picture in pictures:
        _LOG.info("Measuring in %s.", picture.name)
        looks.append(_looked(picture, panel, wanted, looks[0] if looks else None, lengths))
    if wanted:
        holes, missing, extra = _by_design(looks, wanted)
    else:
        holes, extra = _by_rows(looks, count)
        missing = ()
    if not holes and not extra:
        raise NotMeasuredError(
            f"No hole is found in {pictures[0].name}. Lay black or coloured paper behind bare "
            "metal and light paint, white paper behind black; light it evenly; and take it again."
        )
    if sum(Doubt.SHADED in hole.found.doubts for hole in holes) > _MOST_SHADED * len(holes):
        raise NotMeasuredError(
            f"What lies behind the panel in {pictures[0].name} is lighter than it, and in its "
            "shadow about as light, so that rims and shadows cannot be told apart. Lay black paper "
            "behind, or of a dark colour, and take it again; white only behind black."
        )
    if wanted and len(holes) < _LEAST_FOUND * len(wanted):
        raise NotMeasuredError(
            f"Of {len(wanted)} holes of the design only {len(holes)} are found in "
            f"{pictures[0].name}: it shows another panel or its back, or its holes do not stand "
            "out. Show the front, lay paper of another tone behind it, and take it again."
        )
    seen = tuple(look.seen for look in looks)
    return Measured(
        panel,
        units,
        holes,
        missing,
        extra,
        seen,
        (
            *assumptions(seen, panel, lengths),
            *dict.fromkeys(s for look in looks for s in look.assumed),
        ),
        (*_open(looks), *counted_against(holes, count)),
        description,
    )


def _wanted(description: Description | None) -> list[Wanted]:
    """The holes as they were designed."""
    if description is None:
        return []
    design = description.drilling.design if description.drilling else description.holes
    measuring = description.panel.measuring
    return [Wanted(id, measuring.on_panel(hole.at), hole) for id, hole in design.items()]


# --- One picture ---


def _looked(
    picture: Picture,
    panel: Panel,
    wanted: Sequence[Wanted],
    before: _Look | None,
    lengths: Lengths,
) -> _Look:
    """What a picture shows; `before` is what another showed of the same panel."""
    sight = seen_in(picture, panel, lengths)
    edge = np.array([(p.x, p.y) for p in panel.edge.points(_PARTS)])
    view = sight.panel.view
    light = replace(light_of(picture, view, edge), blur=blur_within(picture, view, panel))
    found = holes_in(light, view, edge)
    assumed = sight.panel.assumed
    if not wanted:
        if before:
            _, way = _lying(sight.panel, panel, _as_before(before), found, measured=True)
            found, view = [_seen_by(hole, view, way) for hole in found], way
        named = {str(k): hole for k, hole in enumerate(found)}
        return _Look(SeenIn(picture, view, sight.kind), named, (), False, assumed)
    matching, way = _lying(sight.panel, panel, wanted, found)
    if matching.open_ and before:
        # Which way it lies, the holes tell as they were drilled, if not as they were designed.
        _, way = _lying(sight.panel, panel, _as_before(before), found, measured=True)
        places = np.array([seen_otherwise(hole.at, view, way) for hole in found])
        matching = matched(wanted, found, [places])
    found = [_seen_by(hole, view, way) for hole in found]
    holes, others = _named(light, way, wanted, found, matching)
    return _Look(SeenIn(picture, way, sight.kind), holes, others, matching.open_, assumed)


def _as_before(before: _Look) -> list[Wanted]:
    """The holes of a picture, as they are looked for in the next."""
    return [
        Wanted(id, hole.at, Hole.model_validate({"at": hole.at, "drill": hole.width}))
        for id, hole in before.holes.items()
    ]


def _seen_by(hole: FoundHole, by: View, now: View) -> FoundHole:
    """A hole that one view shows, as another shows it: of a panel that lies turned."""
    at = seen_otherwise(hole.at, by, now)
    up = seen_otherwise((hole.at[0], hole.at[1] + 1), by, now)
    turn = math.degrees(math.atan2(up[0] - at[0], up[1] - at[1]))
    return replace(hole, at=at, angle=(hole.angle + turn + 180) % 360 - 180)


def _lying(
    seen: SeenPanel,
    panel: Panel,
    wanted: Sequence[Wanted],
    found: Sequence[FoundHole],
    measured: bool = False,
) -> tuple[Matching, View]:
    """How the holes match, and the view of the panel as it lies by them.

    The wanted places may be `measured`: those of the same panel in another picture.
    """
    view = seen.view
    if seen.turn_open:
        middle = panel.size[0] / 2, panel.size[1] / 2
        places = np.array([hole.at for hole in found])
        turn, matching = turned_about(wanted, found, places, middle, measured)
        return matching, turned(view, middle, turn)
    ways = [np.array([seen_otherwise(hole.at, view, way) for hole in found]) for way in seen.views]
    matching = matched(wanted, found, ways, measured)
    return matching, seen.views[matching.way]


def _named(
    light: Light,
    view: View,
    wanted: Sequence[Wanted],
    found: Sequence[FoundHole],
    matching: Matching,
) -> tuple[dict[str, FoundHole], tuple[FoundHole, ...]]:
    """The found holes by the names of the wanted, and those that are none of them.

    What has another shape than a drilled hole is fitted again as what it is to be. A hole that was
    not found is looked for once more where it is wanted.
    """
    holes: dict[str, FoundHole] = {}
    for each in wanted:
        shape, angle = each.hole.shape, each.hole.angle - matching.fit.turn
        at = _back(matching, each.at)
        if each.id in matching.pairs:
            hole = found[matching.pairs[each.id]]
            if not (isinstance(shape, Drilled) and isinstance(hole.shape, Drilled)):
                hole = _shaped(light, view, hole, shape, at, angle)
            holes[each.id] = _as_wanted(hole, each)
        else:
            hole_ = hole_near(light, view, at, shape, angle)
            if hole_ and all(math.dist(hole_.at, one.at) > hole_.width / 2 for one in found):
                holes[each.id] = hole_
    taken = {*matching.pairs.values()}
    return holes, tuple(hole for k, hole in enumerate(found) if k not in taken)


def _shaped(
    light: Light,
    view: View,
    hole: FoundHole,
    shape: Shape,
    at: tuple[float, float],
    angle: float,
) -> FoundHole:
    """A hole fitted as the shape that it is to have.

    Of another size, it may be what a shadow leaves light of it: its rim is then looked for where it
    should be.
    """
    hole = hole_like(light, view, hole, shape, angle)
    if type(hole.shape) is type(shape) and is_as_large(hole, shape):
        return hole
    whole = hole_near(light, view, at, shape, angle)
    if whole is None:
        return hole
    return replace(whole, doubts=tuple(each for each in whole.doubts if each is not Doubt.FAINT))


def _as_wanted(hole: FoundHole, wanted: Wanted) -> FoundHole:
    """A found hole without the doubts that are settled by its place, and by its size where that is
    as wanted: a dot of the pen may be as small as a small hole, but hardly as large as another."""
    settled = {Doubt.SMALL}
    if wanted.width > _LARGER_THAN_DOTS and abs(hole.width - wanted.width) < _AS_LARGE:
        settled.add(Doubt.PALE)
    return replace(hole, doubts=tuple(each for each in hole.doubts if each not in settled))


def _back(matching: Matching, at: tuple[float, float]) -> tuple[float, float]:
    """Where a wanted place should be found."""
    x, y = at[0] - matching.fit.shift[0], at[1] - matching.fit.shift[1]
    return replace(matching.fit, turn=-matching.fit.turn, shift=(0.0, 0.0)).moved(x, y)


# --- All pictures ---


def _by_design(
    looks: Sequence[_Look], wanted: Sequence[Wanted]
) -> tuple[tuple[MeasuredHole, ...], tuple[MissingHole, ...], tuple[FoundHole, ...]]:
    holes, missing = [], []
    extra = [group[0] for group in _together(look.others for look in looks)]
    for each in wanted:
        found = [look.holes[each.id] for look in looks if each.id in look.holes]
        if found:
            holes.append(MeasuredHole(each.id, mean_of(found), each.hole))
            continue
        near = [hole for hole in extra if math.dist(hole.at, each.at) < _IN_PLACE]
        mark = min(near, key=lambda hole: math.dist(hole.at, each.at), default=None)
        missing.append(MissingHole(each.id, each.at, each.hole, mark))
    marks = [hole.mark for hole in missing]
    return tuple(holes), tuple(missing), tuple(hole for hole in extra if hole not in marks)


def _by_rows(
    looks: Sequence[_Look], count: int | None
) -> tuple[tuple[MeasuredHole, ...], tuple[FoundHole, ...]]:
    """The holes named by rows, and what surely is none; what is doubtful is among the holes.

    Where it is said how many there are, the surest are taken.
    """
    groups = _together(look.holes.values() for look in looks)
    found = [mean_of(group) for group in groups]
    if count is not None and len(found) > count:
        surest = sorted(found, key=lambda hole: (len(hole.doubts), -hole.support, -hole.width))
        kept = surest[:count]
    else:
        kept = found
    holes = tuple(MeasuredHole(f"H{k}", hole) for k, hole in enumerate(_in_rows(kept), 1))
    return holes, tuple(hole for hole in found if hole not in kept)


def _together(looks: Iterable[Iterable[FoundHole]]) -> list[list[FoundHole]]:
    """What several pictures show of each hole."""
    groups: list[list[FoundHole]] = []
    for holes in looks:
        for hole in holes:
            near = [group for group in groups if math.dist(group[0].at, hole.at) < _SAME]
            if near:
                min(near, key=lambda group: math.dist(group[0].at, hole.at)).append(hole)
            else:
                groups.append([hole])
    return groups


def _in_rows(holes: Sequence[FoundHole]) -> list[FoundHole]:
    """Holes from the top, those that are about as high from the left."""
    out: list[FoundHole] = []
    left = sorted(holes, key=lambda hole: -hole.at[1])
    while left:
        first = left[0]
        row = [hole for hole in left if first.at[1] - hole.at[1] < first.shape.size[1] / 2 + 1]
        out += sorted(row, key=lambda hole: hole.at[0])
        left = [hole for hole in left if hole not in row]
    return out


def _open(looks: Sequence[_Look]) -> list[str]:
    return [
        f"In {look.seen.picture.name} the holes would lie about as well with the panel turned: it "
        f"is taken to lie {lying_words(look.seen.view)} there. See in the picture drawn that each "
        "hole has its own name."
        for look in looks
        if look.open_
    ]
