"""Inspect artwork before paint is spent on it: Artwork in, Findings out.

Each check is one function in `CHECKS`, which takes a `Scene`, the artwork with its shapes
at hand, and yields what it finds. A check names its code, and the source of its rule in its
docstring.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from legend.layout.artwork import Artwork, Finding, Mark, Role, Severity
from legend.layout.controls import gap
from legend.standards import LEAST_HEIGHT_PER_DISTANCE, LEAST_MARK_GAP

#: Clearances are held to this, mm: a tenth of what a hand can place.
_TOLERANCE = 0.02

#: Roles that are lines, not words.
_LINES = frozenset({Role.GRADUATION, Role.FRAME, Role.RULE})

_ORDER = {Severity.ERROR: 0, Severity.WARNING: 1, Severity.NOTE: 2}


@dataclass(frozen=True)
class Scene:
    """An artwork with the shapes of its marks and keep-outs as arrays, made once."""

    artwork: Artwork

    @property
    def marks(self) -> tuple[Mark, ...]:
        return self.artwork.marks

    @cached_property
    def shapes(self) -> NDArray[np.object_]:
        return _array([mark.outline.shape for mark in self.marks])

    @cached_property
    def tree(self) -> shapely.STRtree:
        return shapely.STRtree(self.shapes)

    @cached_property
    def gaps(self) -> NDArray[np.float64]:
        """The clear space round each mark, mm."""
        return np.array([gap(mark.height) for mark in self.marks])

    @cached_property
    def covers(self) -> NDArray[np.object_]:
        return _array([cover.shape for cover in self.artwork.keep_outs])

    @cached_property
    def holes(self) -> NDArray[np.object_]:
        return _array([opening.outline.shape for opening in self.artwork.openings])


Check = Callable[[Scene], Iterator[Finding]]


def inspect(artwork: Artwork) -> tuple[Finding, ...]:
    """Everything found about an artwork, what its layout reported included, worst first."""
    scene = Scene(artwork)
    found = [*artwork.findings, *(finding for check in CHECKS for finding in check(scene))]
    found.sort(key=lambda f: (_ORDER[f.severity], f.source, f.code, f.message))
    return tuple(found)


# --- On the metal ---


def _off_the_panel(scene: Scene) -> Iterator[Finding]:
    """MIL-STD-1472E, 5.5.2: labels are on what they name."""
    panel = scene.artwork.panel.shape
    inside = shapely.covers(panel, scene.shapes)
    room = shapely.distance(panel.exterior, scene.shapes)
    for i, mark in enumerate(scene.marks):
        if not inside[i]:
            over = _beyond(panel, scene.shapes[i])
            yield _finding(
                Severity.ERROR,
                "off-panel",
                f"{_what(mark)} runs {over:.1f} mm off the panel.",
                mark,
                "Move its hole or its text inwards, or put it on another side.",
            )
        elif room[i] < scene.gaps[i] - _TOLERANCE:
            yield _finding(
                Severity.WARNING,
                "near-edge",
                f"{_what(mark)} stands {room[i]:.1f} mm from the panel's edge; "
                f"it wants {scene.gaps[i]:.1f} mm.",
                mark,
                "Move it inwards.",
            )


def _beyond(panel: BaseGeometry, shape: BaseGeometry) -> float:
    """How far a shape reaches outside the panel, mm."""
    x0, y0, x1, y1 = panel.bounds
    left, bottom, right, top = shape.bounds
    return float(max(x0 - left, y0 - bottom, right - x1, top - y1, 0.1))


def _over_a_hole(scene: Scene) -> Iterator[Finding]:
    """Common practice, no source: paint does not stand on air."""
    for i, j in scene.tree.query(scene.holes, predicate="intersects").T:
        mark, opening = scene.marks[j], scene.artwork.openings[i]
        yield _finding(
            Severity.ERROR,
            "over-hole",
            f"{_what(mark)} lies over hole {opening.id}.",
            mark,
            "Move it off the hole.",
        )


def _hidden(scene: Scene) -> Iterator[Finding]:
    """MIL-STD-1472E, 5.5.2: labels are not hidden by the control."""
    covers = scene.artwork.keep_outs
    reach = float(scene.gaps.max(initial=0.0))
    pairs = scene.tree.query(scene.covers, predicate="dwithin", distance=reach)
    apart = shapely.distance(scene.covers[pairs[0]], scene.shapes[pairs[1]])
    for (i, j), distance in zip(pairs.T, apart, strict=True):
        mark, cover = scene.marks[j], covers[i]
        if distance <= 0:
            hidden = shapely.intersection(scene.covers[i], scene.shapes[j]).area
            part = 100 * hidden / scene.shapes[j].area
            yield _finding(
                Severity.ERROR,
                "hidden",
                f"{_what(mark)} is hidden for {max(part, 1):.0f} % by {cover.what}.",
                mark,
                "Move it, or correct `covers` if the part is smaller than that.",
            )
        elif distance < scene.gaps[j] - _TOLERANCE and cover.owner != mark.owner:
            yield _finding(
                Severity.WARNING,
                "near-part",
                f"{_what(mark)} stands {distance:.1f} mm from {cover.what}; "
                f"it wants {scene.gaps[j]:.1f} mm.",
                mark,
                "Move it away.",
            )


def _touching(scene: Scene) -> Iterator[Finding]:
    """NUREG-0700 rev. 3, 11.4.1.5-7, for the least space; the gap itself is common practice."""
    reach = float(scene.gaps.max(initial=0.0))
    pairs = scene.tree.query(scene.shapes, predicate="dwithin", distance=reach)
    pairs = pairs[:, pairs[0] < pairs[1]]
    apart = shapely.distance(scene.shapes[pairs[0]], scene.shapes[pairs[1]])
    for (i, j), distance in zip(pairs.T, apart, strict=True):
        a, b = scene.marks[i], scene.marks[j]
        if _belong_together(a, b) and (distance > 0 or {a.role, b.role} <= _LINES):
            continue
        wanted = min(scene.gaps[i], scene.gaps[j])
        if distance <= 0:
            yield _finding(
                Severity.ERROR,
                "touching",
                f"{_what(a)} touches {_what(b, middle=True)}.",
                b,
                "Move one of them, or make them smaller.",
            )
        elif distance < wanted - _TOLERANCE:
            yield _finding(
                Severity.WARNING,
                "crowded",
                f"{_what(a)} stands {distance:.1f} mm from {_what(b, middle=True)}; "
                f"they want {wanted:.1f} mm.",
                b,
                "Move one of them, or make them smaller.",
            )


def _belong_together(a: Mark, b: Mark) -> bool:
    """Legends of one control, or a group's name and its line: laid out against each other."""
    if a.owner or b.owner:
        return a.owner == b.owner
    return {a.role, b.role} == {Role.FRAME, Role.GROUP} and a.source == b.source


def _too_small(scene: Scene) -> Iterator[Finding]:
    """NUREG-0700 rev. 3, 11.4.1.5-1: at least 15 minutes of arc."""
    distance = scene.artwork.description.panel.viewing_distance
    least = LEAST_HEIGHT_PER_DISTANCE * distance
    for mark in scene.marks:
        if mark.text and 0 < mark.height < least - 1e-6:
            yield _finding(
                Severity.WARNING,
                "too-small",
                f"{_what(mark)} is {mark.height:.2f} mm tall; read from {distance:.0f} mm "
                f"it wants at least {least:.2f} mm.",
                mark,
                "Give it a greater height, or a shorter viewing distance if that is the truth.",
            )


# --- The holes and the parts ---


def _unused_holes(scene: Scene) -> Iterator[Finding]:
    """Common practice, no source."""
    description = scene.artwork.description
    used = Counter(control.hole for control in description.control)
    bare = {bare.hole for bare in description.bare}
    for opening in scene.artwork.openings:
        count = used[opening.id]
        if not count and opening.id not in bare:
            yield Finding(
                Severity.WARNING,
                "hole-unused",
                f"Hole {opening.id} has no control on it.",
                opening.hole.source,
                'Give it a control; a plugged hole is kind = "blank".',
                opening.centre,
            )
        if count > 1:
            last = list(description.controls_at(opening.id))[-1]
            yield Finding(
                Severity.ERROR,
                "hole-shared",
                f"Hole {opening.id} has {count} controls on it.",
                last.source_of("hole"),
                "Give each control a hole of its own.",
                opening.centre,
            )


def _holes_on_the_panel(scene: Scene) -> Iterator[Finding]:
    """Common practice, no source: at least the least gap of metal is left at an edge."""
    panel = scene.artwork.panel.shape
    for opening in scene.artwork.openings:
        shape = opening.outline.shape
        if not panel.contains(shape):
            yield Finding(
                Severity.ERROR,
                "hole-off-panel",
                f"Hole {opening.id} does not lie wholly on the panel.",
                opening.hole.source,
                "Check its place, and the datum that it is measured from.",
                opening.centre,
            )
        elif (left := panel.exterior.distance(shape)) < LEAST_MARK_GAP:
            yield Finding(
                Severity.WARNING,
                "hole-near-edge",
                f"Hole {opening.id} leaves {left:.1f} mm of metal at the panel's edge.",
                opening.hole.source,
                "Check its place.",
                opening.centre,
            )


def _holes_apart(scene: Scene) -> Iterator[Finding]:
    """Common practice, no source."""
    pairs = shapely.STRtree(scene.holes).query(
        scene.holes, predicate="dwithin", distance=LEAST_MARK_GAP
    )
    for i, j in pairs[:, pairs[0] < pairs[1]].T:
        a, b = scene.artwork.openings[i], scene.artwork.openings[j]
        left = float(a.outline.shape.distance(b.outline.shape))
        said = f"leave {left:.1f} mm of metal between them" if left > 0 else "run into each other"
        yield Finding(
            Severity.WARNING if left > 0 else Severity.ERROR,
            "holes-close",
            f"Holes {a.id} and {b.id} {said}.",
            b.hole.source,
            "Check their places and sizes.",
            b.centre,
        )


def _parts_collide(scene: Scene) -> Iterator[Finding]:
    """Common practice, no source: two parts cannot be fitted in one place."""
    covers = scene.artwork.keep_outs
    pairs = shapely.STRtree(scene.covers).query(scene.covers, predicate="intersects")
    for i, j in pairs[:, pairs[0] < pairs[1]].T:
        a, b = covers[i], covers[j]
        if a.owner == b.owner or not (a.fitted and b.fitted):
            continue
        control = next(scene.artwork.description.controls_at(b.owner), None)
        source = control.source if control else scene.artwork.opening(b.owner).hole.source
        yield Finding(
            Severity.ERROR,
            "parts-collide",
            f"{a.what[0].upper()}{a.what[1:]} and {b.what} would cover each other.",
            source,
            "Fit smaller parts, or correct `covers`.",
            scene.artwork.opening(b.owner).centre,
        )


def _assumed_covers(scene: Scene) -> Iterator[Finding]:
    """Common practice, no source: the sizes of usual parts by their drilled diameter."""
    for cover in scene.artwork.keep_outs:
        if not cover.assumed:
            continue
        x0, y0, x1, y1 = cover.shape.bounds
        control = next(scene.artwork.description.controls_at(cover.owner))
        yield Finding(
            Severity.NOTE,
            "covers-assumed",
            f"{cover.what[0].upper()}{cover.what[1:]} is taken to cover "
            f"{x1 - x0:.1f} x {y1 - y0:.1f} mm.",
            control.source,
            "Measure the part, and say so with `covers`.",
            scene.artwork.opening(cover.owner).centre,
        )


def _same_names(scene: Scene) -> Iterator[Finding]:
    """Common practice, no source: a name tells one control from all others."""
    description = scene.artwork.description
    group_of = {hole: i for i, group in enumerate(description.group) for hole in group.holes}
    first: dict[tuple[str, int | None], str] = {}
    for control in description.control:
        name = control.name.strip().casefold()
        if not name:
            continue
        key = (name, group_of.get(control.hole))
        if key in first:
            yield Finding(
                Severity.WARNING,
                "same-name",
                f"The controls on {first[key]} and {control.hole} are both named {control.name!r}.",
                control.source_of("name"),
                "Name them apart, or put them in groups of their own.",
            )
        first.setdefault(key, control.hole)


#: Every check, in the order in which they are made.
CHECKS: tuple[Check, ...] = (
    _off_the_panel,
    _over_a_hole,
    _hidden,
    _touching,
    _too_small,
    _unused_holes,
    _holes_on_the_panel,
    _holes_apart,
    _parts_collide,
    _assumed_covers,
    _same_names,
)


# --- Words ---


def _what(mark: Mark, *, middle: bool = False) -> str:
    """What a mark is, in words, to begin a sentence or to stand in the `middle` of one."""
    of = f" of {mark.owner}" if mark.owner else ""
    said = mark.text.replace("\n", " ")
    noun = "legend" if mark.role in (Role.NAME, Role.SYMBOL) else str(mark.role)
    article = "the" if middle else "The"
    return f"{article} {noun} {said!r}{of}" if said else f"{article} {noun}{of}"


def _finding(severity: Severity, code: str, message: str, mark: Mark, remedy: str) -> Finding:
    x0, y0, x1, y1 = mark.outline.bounds
    place = (round((x0 + x1) / 2, 3), round((y0 + y1) / 2, 3))
    return Finding(severity, code, message, mark.source, remedy, place)


def _array(shapes: list[BaseGeometry]) -> NDArray[np.object_]:
    array = np.empty(len(shapes), dtype=object)
    array[:] = shapes
    return array
