"""Check how far drilled holes lie from the design, and whether it matters."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from legend.description.tables.as_drilled import Drilling
from legend.layout.artwork import Finding, KeepOut, Opening, Severity
from legend.layout.inspection.scene import Scene, check
from legend.length_words import Lengths
from legend.standards import DRILLED_LAND, DRILLED_MOST, DRILLED_ROUGHLY, DRILLED_SLIP

#: All holes are taken to be measured from the wrong place where they lie so many times better
#: without what they have in common.
_COMMON_BY = 3.0


@check
def measured_from_elsewhere(scene: Scene) -> Iterator[Finding]:
    """Holes are not all off by the same, which tells of the measuring and not of the drill."""
    drilling = scene.artwork.description.drilling
    if not drilling:
        return
    source = scene.artwork.description.source_of("as_drilled")
    if drilling.mirrored:
        yield Finding(
            Severity.ERROR,
            "drilled-mirrored",
            "The holes as drilled lie like a mirror image of the design.",
            source,
            "If they were measured from behind, or one axis the other way, count it the right "
            "way round, or say so with the datum of [as_drilled].",
        )
    elif _off_as_a_whole(drilling):
        alone = scene.lengths.said(max(map(_length, drilling.alone.values())))
        yield Finding(
            Severity.ERROR if drilling.spread > DRILLED_SLIP else Severity.WARNING,
            "drilled-as-a-whole",
            f"The holes as drilled are all off alike: "
            f"{shift_in_words(drilling, scene.lengths)}. By themselves they lie within {alone}.",
            source,
            "If they were measured from another edge, give it as the datum of [as_drilled]; if "
            'from somewhere else, say as_drilled.datum = "best fit".',
        )


@check
def drilled_too_far_off(scene: Scene) -> Iterator[Finding]:
    """A hole is no further off than what is fitted in it can hide, and no drill slips far."""
    drilling = scene.artwork.description.drilling
    if not drilling or drilling.mirrored:
        return
    off = drilling.alone if _off_as_a_whole(drilling) else drilling.off
    covers: dict[str, KeepOut] = {}
    for cover in scene.artwork.keep_outs:
        if cover.fitted:
            covers.setdefault(cover.over, cover)
    for opening in scene.artwork.openings:
        if opening.id not in off:  # the screws of a pattern are drilled by their part
            continue
        distance = _length(off[opening.id])
        ring = _ring(opening, covers.get(opening.id))
        if distance > DRILLED_SLIP:
            yield _slip(opening, off, scene)
        elif distance > min(max(DRILLED_ROUGHLY, ring - DRILLED_LAND), DRILLED_MOST):
            away, covered = scene.lengths.compared(distance, ring)
            yield Finding(
                Severity.WARNING,
                "drilled-off",
                f"Hole {opening.id} was drilled {away} from its place, "
                f"{direction(off[opening.id], scene.lengths)}; what is fitted covers {covered} "
                "round it.",
                opening.hole.source,
                "Its legends follow it. If the part is to stand in its place all the same, "
                "something larger must cover the hole.",
                opening.centre,
            )


def _slip(opening: Opening, off: Mapping[str, tuple[float, float]], scene: Scene) -> Finding:
    """A hole so far off that a slip of the pen is likelier than one of the drill."""
    others = {
        other.id: math.dist(opening.centre, other.nominal)
        for other in scene.artwork.openings
        if other is not opening
    }
    near = min(others, key=others.__getitem__, default=None)
    exchanged = near is not None and others[near] <= DRILLED_MOST
    return Finding(
        Severity.ERROR,
        "drilled-slip",
        f"Hole {opening.id} was drilled {scene.lengths.said(_length(off[opening.id]))} from its "
        f"place, {direction(off[opening.id], scene.lengths)}"
        + (f": where hole {near} was to be." if exchanged else ", further than any drill wanders."),
        opening.hole.source,
        "See whether holes are exchanged in one of the lists."
        if exchanged
        else "Measure it again, and see that the two lists mean the same hole.",
        opening.centre,
    )


def _ring(opening: Opening, cover: KeepOut | None) -> float:
    """The least width of what is covered round a hole, mm; 0 where nothing covers it all."""
    hole = opening.outline.shape
    if cover is None or not cover.shape.covers(hole):
        return 0.0
    return float(cover.shape.exterior.distance(hole.exterior))


def _off_as_a_whole(drilling: Drilling) -> bool:
    return (
        len(drilling.off) > 2
        and drilling.spread > DRILLED_ROUGHLY
        and drilling.spread > _COMMON_BY * drilling.spread_alone
    )


def shift_in_words(drilling: Drilling, lengths: Lengths) -> str:
    """What the holes have in common: how far they are shifted on the mean, and turned."""
    count = len(drilling.off)
    mean = (
        sum(x for x, _ in drilling.off.values()) / count,
        sum(y for _, y in drilling.off.values()) / count,
    )
    way = "clockwise" if drilling.common.turn > 0 else "anticlockwise"
    return f"{direction(mean, lengths)} and turned by {abs(drilling.common.turn):.2f}° {way}"


def direction(off: tuple[float, float], lengths: Lengths) -> str:
    """A way across the panel in words: 0.3 mm to the right and 1.2 mm up; what is nothing, not.

    >>> mm = Lengths("mm")
    >>> direction((0.31, -1.2), mm), direction((0.01, 1.6), mm)
    ('0.3 mm to the right and 1.2 mm down', '1.6 mm up')
    """
    x, y = off
    ways = (
        (x, f"{lengths.said(abs(x))} to the {'left' if x < 0 else 'right'}"),
        (y, f"{lengths.said(abs(y))} {'down' if y < 0 else 'up'}"),
    )
    return (
        " and ".join(said for by, said in ways if round(abs(by), 1))
        or f"less than {lengths.said(0.1)}"
    )


def _length(off: tuple[float, float]) -> float:
    return math.hypot(*off)
