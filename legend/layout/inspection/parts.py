"""Check the metalwork: holes, and the parts that are fitted in them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import shapely

from legend.description.tables.description import Control
from legend.layout.artwork import Finding, Severity
from legend.layout.inspection.handling.mains import is_rating
from legend.layout.inspection.scene import Scene, check
from legend.lettering.symbols.names import sign_meant
from legend.sentences import capitalised
from legend.standards import LEAST_MARK_GAP


@check
def unused_holes(scene: Scene) -> Iterator[Finding]:
    """Every hole carries one control."""
    description = scene.artwork.description
    used = Counter(control.hole for control in description.control)
    taken = {bare.hole for bare in description.bare} | description.fixings.keys()
    for opening in scene.artwork.openings:
        count = used[opening.id]
        if not count and opening.id not in taken:
            yield Finding(
                Severity.WARNING,
                "hole-unused",
                f"Hole {opening.id} has no control on it.",
                opening.hole.source,
                "Give it a control, or name it among the `fixings` of one; a plugged hole is of "
                'the kind "blank".',
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


@check
def holes_on_the_panel(scene: Scene) -> Iterator[Finding]:
    """Holes lie on the panel, and leave metal at its edge."""
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
                f"Hole {opening.id} leaves {scene.lengths.said(left)} of metal at the panel's "
                "edge.",
                opening.hole.source,
                "Check its place.",
                opening.centre,
            )


@check
def holes_apart(scene: Scene) -> Iterator[Finding]:
    """Holes leave metal between them; a part knows how near its own screws stand to it."""
    part_of = scene.artwork.description.fixings
    pairs = shapely.STRtree(scene.holes).query(
        scene.holes, predicate="dwithin", distance=LEAST_MARK_GAP
    )
    for i, j in pairs[:, pairs[0] < pairs[1]].T:
        a, b = scene.artwork.openings[i], scene.artwork.openings[j]
        left = float(a.outline.shape.distance(b.outline.shape))
        of_one_part = part_of.get(a.id, a.id) == part_of.get(b.id, b.id)
        if of_one_part and (left > 0 or not {a.id, b.id} <= part_of.keys()):
            continue  # screws in the hole of their own part are told by themselves
        said = "run into each other"
        if left > 0:
            said = f"leave {scene.lengths.said(left)} of metal between them"
        yield Finding(
            Severity.WARNING if left > 0 else Severity.ERROR,
            "holes-close",
            f"Holes {a.id} and {b.id} {said}.",
            b.hole.source,
            "Check their places and sizes.",
            b.centre,
            also=(a.hole.source,),
        )


@check
def parts_collide(scene: Scene) -> Iterator[Finding]:
    """Two parts cannot be fitted in one place."""
    covers = scene.artwork.keep_outs
    pairs = shapely.STRtree(scene.covers).query(scene.covers, predicate="intersects")
    for i, j in pairs[:, pairs[0] < pairs[1]].T:
        a, b = covers[i], covers[j]
        if a.owner == b.owner or not (a.fitted and b.fitted):
            continue
        control = next(scene.artwork.description.controls_at(b.owner), None)
        holes = [scene.artwork.opening(cover.owner).hole for cover in (a, b)]
        source = control.source if control else holes[1].source
        turned = any(hole.angle % 180 for hole in holes)
        supposed = ", as large as they are taken to be," if a.assumed or b.assumed else ""
        yield Finding(
            Severity.WARNING if supposed else Severity.ERROR,
            "parts-collide",
            f"{capitalised(a.what)} and {b.what}{supposed} would cover each other.",
            source,
            "Measure them, and say so with `covers`."
            if supposed
            else "Fit smaller parts, or correct `covers`"
            + (", which is turned as its hole is." if turned else "."),
            scene.artwork.opening(b.owner).centre,
        )


@check
def assumed_covers(scene: Scene) -> Iterator[Finding]:
    """What was assumed of the size of parts is listed."""
    controls = [*enumerate(scene.artwork.description.control)]
    fitted = {control.hole: (number, control) for number, control in reversed(controls)}
    openings = {opening.id: opening for opening in scene.artwork.openings}
    for cover in scene.artwork.keep_outs:
        if not cover.assumed:
            continue
        number, control = fitted[cover.owner]
        yield Finding(
            Severity.NOTE,
            "covers-assumed",
            f"{capitalised(cover.what)} is taken to cover {cover.size(scene.lengths)}.",
            control.source,
            "Measure the part, and say so with `covers`.",
            openings[cover.owner].centre,
            settled_by=("control", number, "covers"),
        )


@check
def same_names(scene: Scene) -> Iterator[Finding]:
    """A name tells one control from all others."""
    description = scene.artwork.description
    group_of = {hole: i for i, group in enumerate(description.group) for hole in group.holes}
    first: dict[tuple[str, int | None], Control] = {}
    knobs = [(control, knob) for control in description.control for knob in control.knobs]
    for control, knob in knobs:
        name = knob.name.strip().casefold()
        if not name or (control.kind == "fuse" and is_rating(name)):
            continue
        key = (name, group_of.get(control.hole))
        if key in first:
            who = f"controls on {first[key].hole} and {control.hole}"
            yield Finding(
                Severity.WARNING,
                "same-name",
                f"The {who} are both named {knob.name!r}."
                if first[key] is not control
                else f"Both knobs on {control.hole} are named {knob.name!r}.",
                knob.source_of("name"),
                "Name them apart, or put them in groups of their own.",
                also=(first[key].source,),
            )
        first.setdefault(key, control)


@check
def signs_as_symbols(scene: Scene) -> Iterator[Finding]:
    """A name that is a sign alone is the symbol of it, and that is told."""
    for control in scene.artwork.description.control:
        if symbol := sign_meant(control.name):
            yield Finding(
                Severity.NOTE,
                "sign-as-symbol",
                f"The name {control.name.strip()!r} of {control.hole} is set as {symbol}.",
                control.source_of("name"),
                "",
            )
