"""Check where legends stand: on the panel, clear of holes, of parts and of each other."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from legend.layout.artwork import Finding, Mark, Opening, Role, Severity
from legend.layout.inspection.scene import (
    LINES,
    TOLERANCE,
    Scene,
    check,
    finding,
    what,
)
from legend.layout.remedies.lettering_offers import lower
from legend.layout.remedies.offers import Offer
from legend.layout.remedies.place_offers import elsewhere, out_of_row
from legend.layout.styles import apart_across, apart_on_a_baseline, on_one_baseline
from legend.lettering.outlines.outline import Box

#: What is the truth where a part is smaller than it was taken to be.
_COVERS = "If the part is smaller than that, say so with `covers`."
#: What helps a legend that stands too far out with its part.
_INWARDS = "Move its hole inwards, or shorten it."

#: Roles that name a control, or one of its positions.
_NAMES = frozenset({Role.NAME, Role.SYMBOL, Role.POSITION, Role.NOTE})


@check
def off_the_panel(scene: Scene) -> Iterator[Finding]:
    """Every mark lies on the panel, and keeps its gap from the edge."""
    panel = scene.artwork.panel.shape
    inside = shapely.covers(panel, scene.shapes)
    room = shapely.distance(panel.exterior, scene.shapes)
    for i, mark in enumerate(scene.marks):
        if not inside[i]:
            over = scene.lengths.said(_beyond(panel, scene.shapes[i]))
            yield finding(
                Severity.ERROR,
                "off-panel",
                f"{what(mark)} runs {over} off the panel.",
                mark,
                _INWARDS if mark.owner else "Move it inwards, or shorten it.",
                offers=elsewhere(scene.artwork, mark),
            )
        elif room[i] < scene.gaps[i] - TOLERANCE:
            apart, wanted = scene.lengths.compared(room[i], scene.gaps[i])
            yield finding(
                Severity.WARNING,
                "near-edge",
                f"{what(mark)} stands {apart} from the panel's edge; it wants {wanted}.",
                mark,
                _INWARDS if mark.owner else "Move it inwards.",
                offers=elsewhere(scene.artwork, mark),
            )


def _beyond(panel: BaseGeometry, shape: BaseGeometry) -> float:
    """How far a shape reaches outside the panel, mm: at least 0.1."""
    outside = shapely.get_coordinates(shapely.difference(shape, panel))
    return float(shapely.distance(panel, shapely.points(outside)).max(initial=0.1))


@check
def over_a_hole(scene: Scene) -> Iterator[Finding]:
    """Paint does not stand on air."""
    for i, j in scene.tree.query(scene.holes, predicate="intersects").T:
        mark, opening = scene.marks[j], scene.artwork.openings[i]
        yield finding(
            Severity.ERROR,
            "over-hole",
            f"{what(mark)} lies over hole {opening.id}.",
            mark,
            "Move it off the hole.",
            offers=elsewhere(scene.artwork, mark, _taken(scene, opening)),
        )


def _taken(scene: Scene, opening: Opening) -> Box:
    """The box round a hole and what is fitted in it."""
    covers = (cover.shape for cover in scene.artwork.keep_outs if cover.over == opening.id)
    left, bottom, right, top = shapely.total_bounds([opening.outline.shape, *covers]).tolist()
    return left, bottom, right, top


@check
def hidden(scene: Scene) -> Iterator[Finding]:
    """No legend lies under a fitted part, or too near one that is not its own."""
    covers = scene.artwork.keep_outs
    reach = float(scene.gaps.max(initial=0.0))
    pairs = scene.tree.query(scene.covers, predicate="dwithin", distance=reach)
    apart = shapely.distance(scene.covers[pairs[0]], scene.shapes[pairs[1]])
    for (i, j), distance in zip(pairs.T, apart, strict=True):
        mark, cover = scene.marks[j], covers[i]
        if distance <= 0:
            hidden = shapely.intersection(scene.covers[i], scene.shapes[j]).area
            part = 100 * hidden / scene.shapes[j].area
            yield finding(
                Severity.ERROR,
                "hidden",
                f"{what(mark)} is hidden for {max(part, 1):.0f} % by {cover.what}.",
                mark,
                "Move it, or correct `covers` if the part is smaller than that.",
                offers=elsewhere(scene.artwork, mark, cover.shape.bounds),
                besides=_COVERS if cover.assumed else "",
            )
        elif distance < scene.gaps[j] - TOLERANCE and cover.owner != mark.owner:
            stands, wanted = scene.lengths.compared(distance, scene.gaps[j])
            yield finding(
                Severity.WARNING,
                "near-part",
                f"{what(mark)} stands {stands} from {cover.what}; it wants {wanted}.",
                mark,
                "Move it away.",
                offers=elsewhere(scene.artwork, mark, cover.shape.bounds),
            )


@check
def touching(scene: Scene) -> Iterator[Finding]:
    """Legends do not touch, and strangers keep the gap between them."""
    reach = float(scene.gaps.max(initial=0.0))
    pairs = scene.tree.query(scene.shapes, predicate="dwithin", distance=reach)
    pairs = pairs[:, pairs[0] < pairs[1]]
    apart = shapely.distance(scene.shapes[pairs[0]], scene.shapes[pairs[1]])
    for (i, j), distance in zip(pairs.T, apart, strict=True):
        a, b = scene.marks[i], scene.marks[j]
        if _belong_together(a, b) and (distance > 0 or {a.role, b.role} <= LINES):
            continue
        wanted = min(scene.gaps[i], scene.gaps[j])
        if distance <= 0:
            yield finding(
                Severity.ERROR,
                "touching",
                f"{what(a)} touches {what(b)}.",
                b,
                "Move one of them, or make them smaller.",
                a,
                offers=_parted(scene, a, b),
            )
        elif distance < wanted - TOLERANCE and not _on_one_baseline(a, b):
            stands, want = scene.lengths.compared(distance, wanted)
            yield finding(
                Severity.WARNING,
                "crowded",
                f"{what(a)} stands {stands} from {what(b)}; they want {want}.",
                b,
                "Move one of them, or make them smaller.",
                a,
                offers=_parted(scene, a, b),
            )


def _parted(scene: Scene, a: Mark, b: Mark) -> Iterator[Offer]:
    """Other places, or a lesser height, for two legends that stand in each other's way.

    What is offered is written at the line of the finding, and so is about the second.
    """
    yield from elsewhere(scene.artwork, b, a.outline.bounds)
    if b.owner:
        yield from out_of_row(scene.artwork.description.control, b.owner)
    yield from lower(scene.artwork, b)


def _belong_together(a: Mark, b: Mark) -> bool:
    """Legends of one control, or a group's name and its line: laid out against each other."""
    if a.owner or b.owner:
        return a.owner == b.owner
    return {a.role, b.role} == {Role.FRAME, Role.GROUP} and a.group == b.group


@check
def run_together(scene: Scene) -> Iterator[Finding]:
    """Legends on one baseline keep a capital height, so that they are not read as one."""
    texts = [i for i, mark in enumerate(scene.marks) if mark.baselines]
    reach = max((scene.marks[i].height for i in texts), default=0.0)
    shapes = scene.shapes[texts]
    pairs = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=reach)
    for i, j in pairs[:, pairs[0] < pairs[1]].T:
        a, b = scene.marks[texts[i]], scene.marks[texts[j]]
        if {a.role, b.role} == {Role.NUMERAL} and a.owner == b.owner:
            continue  # a scale's own, whose marks tell them apart
        apart = apart_across(a.outline.bounds, b.outline.bounds)
        wanted = apart_on_a_baseline(a.height, b.height)
        if apart >= wanted - TOLERANCE or not _on_one_baseline(a, b):
            continue
        if not shapely.intersects(shapes[i], shapes[j]):
            stands, want = scene.lengths.compared(max(apart, 0.0), wanted)
            yield finding(
                Severity.WARNING,
                "run-together",
                f"{what(a)} stands {stands} from {what(b)} on one baseline, and may be read "
                f"with it; they want {want}.",
                b,
                "Shorten one of them."
                if a.owner and a.owner == b.owner
                else "Shorten one of them, or move the holes apart."
                if a.owner and b.owner
                else "Move one of them, or make them smaller.",
                a,
                offers=_parted(scene, a, b),
            )


def _on_one_baseline(a: Mark, b: Mark) -> bool:
    return on_one_baseline(a.baselines, b.baselines, min(a.height, b.height))


#: Names may stand this much nearer to a stranger than to their own part, mm, before it is said.
_NEARER = 0.5

#: A legend within so many capital heights of another may be read with it. By trial on panels.
_READ_WITH = 1.5

#: How far the shapes by which that is judged may be from the true ones, mm.
_COARSE = 0.05

#: A part further than this from a name is not taken for the one it names, mm.
_NEAR = 10.0


@check
def nearer_to_other(scene: Scene) -> Iterator[Finding]:
    """A name is nearest to the control that it names, or to the rest of its legends."""
    covers = scene.artwork.keep_outs
    fitted = [i for i, cover in enumerate(covers) if cover.fitted]
    names = [i for i, mark in enumerate(scene.marks) if mark.owner and mark.role in _NAMES]
    if not fitted or not names:
        return
    shapes = shapely.convex_hull(scene.shapes[names])
    coarse = shapely.simplify(scene.covers[fitted], _COARSE)
    away = _from_family(scene, names, shapes, dict(zip(fitted, coarse, strict=True)))
    reach = np.clip(away - _NEARER, 0, _NEAR)
    pairs = shapely.STRtree(coarse).query(shapes, predicate="dwithin", distance=reach)
    apart = shapely.distance(shapes[pairs[0]], coarse[pairs[1]])
    # A name for several controls may be nearest to any of them.
    shared = {each.hole: each.name_for for each in scene.artwork.description.control}
    for (n, c), distance in zip(pairs.T, apart, strict=True):
        mark, cover = scene.marks[names[n]], covers[fitted[c]]
        own_parts = (mark.owner, *shared.get(mark.owner, ()))
        if cover.owner not in own_parts and distance > 0:
            near, own = scene.lengths.compared(distance, away[n])
            yield finding(
                Severity.WARNING,
                "nearer-to-other",
                f"{what(mark)} stands {near} from {cover.what}, nearer than to its own control, "
                f"{own} away.",
                mark,
                "Move the holes apart.",
                offers=elsewhere(scene.artwork, mark, cover.shape.bounds),
            )


@check
def nearer_to_a_stranger(scene: Scene) -> Iterator[Finding]:
    """A name is nearer to its own control, or the rest of its legends, than to another's legend."""
    covers = scene.artwork.keep_outs
    fitted = {i: scene.covers[i] for i, cover in enumerate(covers) if cover.fitted}
    of_several = {each.hole for each in scene.artwork.description.control if each.name_for}
    owned = {covers[i].owner for i in fitted} - of_several
    marks = scene.marks
    names = [i for i, mark in enumerate(marks) if mark.owner in owned and mark.role in _NAMES]
    others = [i for i, mark in enumerate(marks) if mark.owner and mark.text]
    if not names or not others:
        return
    shapes = scene.shapes[names]
    away = _from_family(scene, names, shapes, fitted)
    beside = np.array([_READ_WITH * marks[i].height for i in names])
    reach = np.clip(away - _NEARER, 0, beside)
    pairs = shapely.STRtree(scene.shapes[others]).query(shapes, predicate="dwithin", distance=reach)
    nearest: dict[int, tuple[float, int]] = {}
    for n, j in pairs.T.tolist():
        if marks[others[j]].owner != marks[names[n]].owner:
            apart = float(shapes[n].distance(scene.shapes[others[j]]))
            nearest[n] = min(nearest.get(n, (np.inf, 0)), (apart, others[j]))
    for n, (apart, other) in nearest.items():
        if apart <= 0:  # an error, which `touching` tells
            continue
        near, own = scene.lengths.compared(apart, away[n])
        yield finding(
            Severity.NOTE,
            "nearer-to-legend",
            f"{what(marks[names[n]])} stands {near} from {what(marks[other])}, nearer than to its "
            f"own control, {own} away.",
            marks[names[n]],
            "Make it smaller, or move the holes apart.",
            marks[other],
            offers=elsewhere(scene.artwork, marks[names[n]]),
        )


def _from_family(
    scene: Scene, names: list[int], shapes: NDArray[np.object_], covers: dict[int, BaseGeometry]
) -> NDArray[np.float64]:
    """How far each name stands from its own part, or the nearest of its own legends, mm."""
    family: dict[str, list[tuple[int, BaseGeometry]]] = {}
    for i, cover in covers.items():
        family.setdefault(scene.artwork.keep_outs[i].owner, []).append((-1, cover))
    for i, mark in enumerate(scene.marks):
        family.setdefault(mark.owner, []).append((i, scene.shapes[i]))
    own = [[s for j, s in family[scene.marks[i].owner] if j != i] for i in names]
    which = np.repeat(np.arange(len(names)), [len(shapes) for shapes in own])
    apart = shapely.distance(shapes[which], [shape for shapes in own for shape in shapes])
    away = np.full(len(names), np.inf)
    np.minimum.at(away, which, apart)
    return away
