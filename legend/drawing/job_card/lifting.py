"""Tell what is lifted from the paint, in the order of the panel, and whether the time suffices."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from legend.description.tables.description import Group
from legend.drawing.job_card.plan.time_words import about, elapsed, span, whole
from legend.drawing.job_card.plan.work import Work
from legend.drawing.placing.piece_places import goes_on_first
from legend.drawing.spoken import called_by_hole, spoken
from legend.layout.artwork import Artwork, Role
from legend.lettering.outlines.outline import Box
from legend.sentences import counted, listed
from legend.stencil.loose_film import Lifted, Loose
from legend.stencil.pieces.reading_order import reading_order

#: Lines stand where they reach highest, this high, mm: what they enclose comes after them.
_LINE = 1.0
#: Of so many and more numerals of a scale there is one box for all.
_MANY = 3


@dataclass(frozen=True, slots=True)
class Item:
    """What has a box to tick: what it is called, and how many loose pieces that is."""

    called: str
    count: int


@dataclass(frozen=True, slots=True)
class Row:
    """What is lifted at one place of the panel, and how long after the first it is done."""

    place: str
    items: tuple[Item, ...]
    done_after: str


# --- Does the time suffice? ---


def allowed(work: Work, lift_off: bool) -> float:
    """Minutes in which the paint lets the film be taken off."""
    opens, closes = work.bench.lifting if lift_off else work.bench.unmasking
    return closes - opens


def suffices(work: Work, lift_off: bool) -> bool:
    """Whether one pair of hands takes all film off in the time that the paint allows."""
    return work.lifting <= allowed(work, lift_off)


def in_all(work: Work, lift_off: bool) -> str:
    """What there is to be lifted, how long it takes, and when; in sentences."""
    opens, closes = work.bench.lifting if lift_off else work.bench.unmasking
    if lift_off:
        sorts = [_so_many(count, sort) for sort, count in work.loose.items()]
        what = f"{counted(work.to_lift, 'loose piece')} of film: {listed(sorts)}."
    else:
        islands = f" and {counted(work.counters, 'island')}" if work.counters else ""
        what = f"{counted(len(work.pieces), 'piece')} of film{islands}."
    enough = "That suffices." if suffices(work, lift_off) else "That does not suffice."
    return (
        f"{what} At {span(work.bench.per_mark)} each they take {about(work.lifting)}; the paint "
        f"allows {span(allowed(work, lift_off))}, from {elapsed(opens)} to {elapsed(closes)} after "
        f"the top coat. {enough}"
    )


def _so_many(count: int, sort: Loose) -> str:
    if sort is Loose.DOT:
        return counted(count, "dot") + " and accents" if count > 1 else "1 dot or accent"
    if sort is Loose.SIGN:
        return f"{count} part{'s' if count > 1 else ''} of signs"
    return counted(count, str(sort))


def what_helps(work: Work, lift_off: bool) -> Iterator[str]:
    """What helps where the time does not suffice."""
    if suffices(work, lift_off):
        return
    least = allowed(work, lift_off)
    hands = math.ceil(work.lifting / least) if least else 2
    many = "A second pair of hands" if hands <= 2 else f"{hands} pairs of hands"
    halves = about(work.lifting / max(hands, 2))
    yield f"{many}: each is done in {halves}. Begin at opposite ends of the panel."
    yield (
        f"A slower paint, or a cooler room: it must stay soft for {about(work.lifting)}. Try it on "
        "scrap first."
    )
    ticks = work.loose.get(Loose.GRADUATION, 0)
    if ticks * work.bench.per_mark > work.lifting / 10:
        yield (
            f"Fewer graduations: the {ticks} alone take {about(ticks * work.bench.per_mark)}. A "
            "wider step in the description leaves some out."
        )
    if lift_off:
        yield (
            "The fine ones first: dots, accents, graduations and the smallest letters tear soonest "
            "as the paint hardens. Frames, rules and large letters can wait."
        )
    else:
        yield "The film first, all of it; then the islands, the smallest first."
    yield (
        "Never spray the coat in two halves to gain time, unless a frame or an edge hides the seam."
    )


# --- The list ---


def lifting_rows(artwork: Artwork, work: Work) -> Iterator[Row]:
    """What is lifted, from the left and from the top, with the time by which it is done."""
    lift_off = artwork.description.stencil.method == "lift-off"
    done = 0
    for place, items in (
        _lift_off_places(artwork, work) if lift_off else _film_places(artwork, work)
    ):
        done += sum(item.count for item in items)
        yield Row(place, tuple(items), elapsed(whole(done * work.bench.per_mark)))


def _film_places(artwork: Artwork, work: Work) -> Iterator[tuple[str, list[Item]]]:
    """Each piece of a stencil of film, and its islands."""
    bare = {disc.bare.hole: disc.what for disc in artwork.bare_discs}
    for piece in work.pieces:
        small = len(work.small.get(piece.number, ()))
        first = goes_on_first(piece)
        items = [Item(f"bare-metal {bare[piece.owners[0]]}" if first else "film", 1)]
        items += [Item("island" if small == 1 else "islands", small)] if small else []
        yield f"{piece.number}. {spoken(piece.name)}", items


def _lift_off_places(artwork: Artwork, work: Work) -> Iterator[tuple[str, list[Item]]]:
    """Each control, and what belongs to none, with the marks of it."""
    called = called_by_hole(artwork.description)
    groups = artwork.description.group
    places: dict[object, list[Lifted]] = {}
    for index, each in enumerate(work.lifted):
        group = each.mark.group if each.mark else None
        alone = index if group is None else ("group", group)
        places.setdefault(each.owner or alone, []).append(each)
    whole = list(places.values())
    holes = {opening.id: opening.outline.bounds for opening in artwork.openings}
    # Controls stand where their holes are: legends reach further from some than from others.
    boxes = [holes.get(each[0].owner) or _round([_box(one) for one in each]) for each in whole]
    named: list[tuple[str, list[Item]]] = []
    for index in reading_order(boxes):
        members = whole[index]
        owner, mark = members[0].owner, members[0].mark
        place = called.get(owner, owner) if owner else _sort(members[0])
        if not owner and mark and mark.group is not None:
            place = f"Group {spoken(groups[mark.group].name)}".strip()
        if named and not owner and named[-1][0] == place:
            named[-1][1].extend(_items(members, groups))
        else:
            named.append((place, list(_items(members, groups))))
    yield from named


def _sort(each: Lifted) -> str:
    """What is on the panel and belongs to no control is called by its sort."""
    if each.mark is None:
        return "Disc"
    sorts = {Role.FRAME: "Line", Role.RULE: "Line", Role.GROUP: "Heading", Role.TITLE: "Title"}
    return sorts.get(each.mark.role, "Words")


def _items(members: Sequence[Lifted], groups: Sequence[Group]) -> Iterator[Item]:
    """The marks of one place: of a scale each sort as one, then the words as one reads.

    Positions stand in their own order, clockwise or from above.
    """
    sorts: dict[Role | None, list[Lifted]] = {}
    for each in members:
        sorts.setdefault(each.mark.role if each.mark else None, []).append(each)
    for role in (Role.GRADUATION, Role.NUMERAL):
        if role is Role.GRADUATION or len(sorts.get(role, ())) >= _MANY:
            together = sorts.pop(role, [])
            count = sum(each.count for each in together)
            if count:
                yield Item(f"{role}s" if count > 1 else str(role), count)
    kinds = list(sorts.values())
    for kind in reading_order([_round([_box(each) for each in alike]) for alike in kinds]):
        alike = kinds[kind]
        in_turn = alike[0].mark is not None and alike[0].mark.role is Role.POSITION
        order = range(len(alike)) if in_turn else reading_order([_box(each) for each in alike])
        for index in order:
            yield Item(_called(alike[index], groups), alike[index].count)


def _called(each: Lifted, groups: Sequence[Group]) -> str:
    if each.mark is None:
        return f"bare-metal {next(iter(each.pieces))}"
    if each.mark.text:
        return spoken(each.mark.text.replace("\n", " "))
    return str(each.mark.role) if each.mark.group is None else groups[each.mark.group].style


def _box(each: Lifted) -> Box:
    left, bottom, right, top = each.box
    if each.mark and each.mark.role in (Role.FRAME, Role.RULE):
        return left, max(top - _LINE, bottom), right, top
    return each.box


def _round(boxes: Sequence[Box]) -> Box:
    lefts, bottoms, rights, tops = zip(*boxes, strict=True)
    return min(lefts), min(bottoms), max(rights), max(tops)
