"""Lay out a description: Description in, Artwork out; and inspect it: Artwork in, Findings out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from legend.description.laws import DomainError
from legend.description.schema import Description, Group, Text
from legend.description.stock import limits
from legend.layout.artwork import (
    Artwork,
    BareDisc,
    Finding,
    KeepOut,
    Mark,
    Opening,
    Role,
)
from legend.layout.controls import Fitted, lay_control
from legend.layout.groups import lay_groups
from legend.layout.ink import Ink, refuse_heaps
from legend.layout.inspection import inspect
from legend.layout.names import Surroundings, not_drawn, place_names, wanted_names
from legend.layout.openings import cover_of, grown, hole_size, lay_openings, outline_of
from legend.layout.rows import shared_axes
from legend.layout.styles import Stroke, Styles, choose_styles
from legend.lettering.face import LetteringError
from legend.lettering.on_arc import set_on_arc
from legend.lettering.outline import Outline
from legend.lettering.typesetting import set_text

__all__ = ["inspect", "lay_out"]


def lay_out(description: Description) -> Artwork:
    """Place everything that the description asks for on its panel.

    What could not be done as asked is among the artwork's findings. Errors: FaceError where
    a face cannot be found or read; DescriptionError where there is more than can be worked out.
    """
    styles = choose_styles(description)
    stroke = Stroke(limits(description.stencil).stroke)
    openings = lay_openings(description)
    fitted = _fit_controls(description, openings)
    findings: list[Finding] = []
    ink = Ink()
    marks = ink.marks
    for each in fitted:
        try:
            ink.add(lay_control(each, styles, stroke))
        except (DomainError, LetteringError) as error:
            findings.append(not_drawn(error, each.control.source))
    bare_discs = tuple(_bare_discs(description, openings))
    covers = _covers(openings, fitted, bare_discs)
    named, reports = place_names(
        list(wanted_names(fitted, marks, styles)),
        _surroundings(description, openings, covers, marks),
        styles.least_height,
    )
    ink.add(named)
    findings += reports
    groups, reports = _with_settable_names(description.group, styles)
    findings += reports
    ink.add(lay_groups(groups, openings, covers, marks, styles, stroke))
    centres = {opening.id: opening.centre for opening in openings}
    for text in description.text:
        try:
            ink.add(_text(text, description, centres, styles))
        except LetteringError as error:
            findings.append(not_drawn(error, text.source))
    ink.add(_rules(description, styles, stroke))
    refuse_heaps(marks)
    return Artwork(
        description,
        Outline.rectangle(0, 0, *description.panel.size, description.panel.corner_radius),
        openings,
        tuple(marks),
        covers,
        bare_discs,
        tuple(findings),
    )


def _fit_controls(description: Description, openings: Sequence[Opening]) -> list[Fitted]:
    """Every control in its hole, with the axis of its row and the reach of its row's switches."""
    by_id = {opening.id: opening for opening in openings}
    controls = [control for control in description.control if control.hole in by_id]
    rows = shared_axes(
        {c.hole: by_id[c.hole].centre[1] for c in controls},
        {c.hole: by_id[c.hole].nominal[1] for c in controls},
    )
    covers = [cover_of(control, by_id[control.hole]) for control in controls]
    reach: dict[tuple[str, float], tuple[float, float]] = {}
    for control, cover in zip(controls, covers, strict=True):
        y = rows[control.hole]
        _, bottom, _, top = cover.shape.bounds
        up, down = reach.get((control.kind, y), (0.0, 0.0))
        reach[control.kind, y] = (max(up, top - y), max(down, y - bottom))
    return [
        Fitted(
            control,
            by_id[control.hole],
            cover,
            (by_id[control.hole].centre[0], rows[control.hole]),
            reach[control.kind, rows[control.hole]],
        )
        for control, cover in zip(controls, covers, strict=True)
    ]


def _covers(
    openings: Sequence[Opening], fitted: Sequence[Fitted], bare_discs: Sequence[BareDisc]
) -> tuple[KeepOut, ...]:
    """What no legend may stand on: fitted parts, bare metal, and holes that carry nothing."""
    held = {each.opening.id for each in fitted}
    empty = (
        KeepOut(opening.outline.shape, opening.id, f"hole {opening.id}")
        for opening in openings
        if opening.id not in held
    )
    bare = (
        KeepOut(disc.outline.shape, disc.bare.hole, f"the bare metal round {disc.bare.hole}")
        for disc in bare_discs
    )
    return (*(each.cover for each in fitted), *empty, *bare)


def _surroundings(
    description: Description,
    openings: Sequence[Opening],
    covers: Sequence[KeepOut],
    marks: Sequence[Mark],
) -> Surroundings:
    shapes = [(cover.shape, cover.owner) for cover in covers]
    shapes += [(opening.outline.shape, opening.id) for opening in openings]
    shapes += [(mark.outline.shape, mark.owner) for mark in marks]
    return Surroundings([s for s, _ in shapes], [o for _, o in shapes], description.panel.size)


def _with_settable_names(
    groups: Sequence[Group], styles: Styles
) -> tuple[list[Group], list[Finding]]:
    """The groups, those whose name cannot be set without it, and a finding for each of these."""
    able, findings = [], []
    for group in groups:
        try:
            set_text(group.name, styles["group"])
            able.append(group)
        except LetteringError as error:
            able.append(group.model_copy(update={"name": ""}))
            findings.append(not_drawn(error, group.source_of("name")))
    return able, findings


def _text(
    text: Text, description: Description, centres: Mapping[str, tuple[float, float]], styles: Styles
) -> Iterator[Mark]:
    """Words anywhere: on a line by their inked middle or end, or round a hole."""
    style = styles[text.role]
    if text.at is not None:
        setting = set_text(text.text, style, text.align)
        x, y = description.panel.from_datum(text.at)
    else:
        assert text.around is not None and text.radius is not None  # the schema sees to it
        setting = set_on_arc(text.text, style, text.radius, text.angle, text.inside)
        x, y = centres[text.around]
    ink = setting.outline
    if not ink:
        return
    if text.at is not None:
        x0, _, x1, _ = ink.bounds
        x -= {"left": x0, "centre": (x0 + x1) / 2, "right": x1}[text.align]
    placed = ink.moved(x, y)
    yield Mark(placed, Role(text.role), "", text.source, text.text, style.height, setting)


def _rules(description: Description, styles: Styles, stroke: Stroke) -> Iterator[Mark]:
    style = styles["name"]
    for rule in description.rule:
        begin, end = (description.panel.from_datum(p) for p in (rule.from_, rule.to))
        width = stroke.width(rule.width or style.stroke * style.height)
        yield Mark(Outline.line_stroke(begin, end, width), Role.RULE, "", rule.source)


def _bare_discs(description: Description, openings: Sequence[Opening]) -> Iterator[BareDisc]:
    by_id = {opening.id: opening for opening in openings}
    for bare in description.bare:
        opening = by_id.get(bare.hole)
        if opening is None:
            continue
        if bare.diameter is not None:
            disc = Outline.disc(opening.centre, bare.diameter / 2)
            yield BareDisc(bare, disc, (bare.diameter, bare.diameter))
        else:
            covered = grown(opening.hole, bare.margin or 0.0)
            yield BareDisc(bare, outline_of(covered, opening.centre), hole_size(covered))
