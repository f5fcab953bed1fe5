"""Lay out a description: Description in, Artwork out; and inspect it: Artwork in, Findings out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from legend.description.laws import DomainError
from legend.description.tables.description import Description, Text
from legend.layout.amounts import Ink, refuse_heaps, refuse_piles
from legend.layout.artwork import Artwork, Finding, Mark, Role
from legend.layout.controls import lay_control
from legend.layout.edges import outline_of
from legend.layout.fitted_controls import fit_controls
from legend.layout.groups import lay_groups, with_settable_names
from legend.layout.inspection import inspect
from legend.layout.names.baselines import levels_of
from legend.layout.names.names import not_drawn, place_names
from legend.layout.names.obstacles import Surroundings
from legend.layout.names.wanted_names import wanted_names
from legend.layout.openings import beyond_the_edge, keep_outs, lay_bare_discs, lay_openings
from legend.layout.styles import Stroke, Styles, choose_styles, stroke_on
from legend.lettering.faces.face import LetteringError
from legend.lettering.on_arc import set_on_arc
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import set_text

__all__ = ["inspect", "lay_out"]


def lay_out(description: Description) -> Artwork:
    """Place everything that the description asks for on its panel.

    What could not be done as asked is among the artwork's findings. Errors: FaceError where
    a face cannot be found or read; DescriptionError where there is more than can be worked out.
    """
    styles = choose_styles(description)
    stroke = stroke_on(description.stencil)
    openings = lay_openings(description)
    fitted = fit_controls(description, openings)
    findings: list[Finding] = []
    ink = Ink()
    marks = ink.marks
    for each in fitted:
        try:
            ink.add(lay_control(each, styles, stroke))
        except (DomainError, LetteringError) as error:
            findings.append(not_drawn(error, each.control.source))
    bare_discs = lay_bare_discs(description, openings)
    covers = keep_outs(openings, [each.cover for each in fitted], bare_discs)
    refuse_piles(openings, covers)
    panel = outline_of(description.panel.edge)
    off_it = beyond_the_edge(panel) if description.panel.outline else ()
    named, reports = place_names(
        wanted_names(fitted, marks, styles),
        Surroundings.of(openings, (*covers, *off_it), marks, description.panel.size),
        levels_of(fitted, marks),
    )
    ink.add(named)
    findings += reports
    groups, reports = with_settable_names(description.group, styles)
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
        panel,
        openings,
        tuple(marks),
        covers,
        bare_discs,
        tuple(findings),
    )


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
