"""A small panel made by hand: every place on it is known, so that pictures can be measured."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from legend.description.source import Source
from legend.description.tables.description import Description
from legend.layout.artwork import (
    Artwork,
    BareDisc,
    Finding,
    Mark,
    Opening,
    Role,
    Severity,
)
from legend.layout.edges import outline_of
from legend.layout.openings import cover_of, lay_openings
from legend.layout.styles import choose_styles
from legend.lettering.outlines.outline import Outline
from legend.stencil.sheet import Cut, Path, Piece, Placed, Sheet

SOURCE = Source("panel.toml", 7)

#: An upright bar of known place, standing for the letter I of hole A.
BAR = (20.0, 40.0, 21.2, 48.0)
#: A ring, standing for the letter O of hole B: centre, radius, stroke.
RING = ((60.0, 45.0), 4.0, 1.0)
#: A rule that belongs to no control.
RULE = (10.0, 6.0, 90.0, 6.8)

HOLES: dict[str, Any] = {
    "A": {"at": (20.0, 25.0), "drill": 9.5},
    "B": {"at": (60.0, 25.0), "drill": 6.35},
    "W 1": {"at": (85.0, 40.0), "cutout": (16.0, 8.0), "corner_radius": 1.0, "angle": 30.0},
    "S": {"at": (40.0, 25.0), "slot": (12.0, 3.0), "angle": 90.0},
    "E": {"at": (85.0, 18.0), "drill": 4.0},
}
CONTROLS: list[dict[str, Any]] = [
    {"hole": "A", "kind": "knob", "name": "I", "covers": 20.0},
    {"hole": "B", "kind": "toggle", "name": "O", "mains": True},
    {"hole": "W 1", "kind": "window"},
    {"hole": "S", "kind": "slide"},
    {"hole": "E", "kind": "stud"},
]


def hand_made(size: tuple[float, float] = (100.0, 60.0), **tables: Any) -> Artwork:
    """The panel, with tables of the description as given."""
    described: dict[str, Any] = {
        "title": "DOME <1> & CO",
        "panel": {"size": size, "corner_radius": 4.0},
        "finish": {"base": "#f0e8d0", "top": "#305050"},
        "holes": HOLES,
        "control": CONTROLS,
        "bare": [{"hole": "E", "diameter": 12.0}],
    }
    description = Description.model_validate(described | tables).after_drilling()
    openings = lay_openings(description)
    by_id = {opening.id: opening for opening in openings}
    controls = [control for control in description.control if control.hole in by_id]
    centre, radius, stroke = RING
    marks = (
        Mark(Outline.rectangle(*BAR), Role.NAME, "A", SOURCE, "I", 8.0),
        Mark(Outline.arc_stroke(centre, radius, 0, 360, stroke), Role.NAME, "B", SOURCE, "O", 9.0),
        Mark(Outline.rectangle(*RULE), Role.RULE, "", SOURCE),
    )
    return Artwork(
        description,
        choose_styles(description),
        outline_of(description.panel.edge),
        openings,
        marks,
        tuple(cover_of(control, by_id[control.hole]) for control in controls),
        tuple(_bare(description, by_id)),
    )


def _bare(description: Description, openings: dict[str, Opening]) -> list[BareDisc]:
    return [
        BareDisc(
            bare,
            Outline.disc(openings[bare.hole].centre, bare.diameter / 2),
            (bare.diameter, bare.diameter),
        )
        for bare in description.bare
        if bare.hole in openings
    ]


def pieces_for(artwork: Artwork) -> tuple[Piece, ...]:
    """A piece for each mark, with a margin of 2 mm, and one for each bare disc."""
    pieces = []
    for number, mark in enumerate(artwork.marks, 1):
        x0, y0, x1, y1 = mark.outline.bounds
        box = x0 - 2, y0 - 2, x1 + 2, y1 + 2
        owners = (mark.owner,) if mark.owner else ()
        paths = Path(Cut.MARK, mark.outline), Path(Cut.WEEDING, Outline.rectangle(*box))
        pieces.append(Piece(number, mark.text or "rule", owners, Outline.rectangle(*box), paths))
    for number, disc in enumerate(artwork.bare_discs, len(pieces) + 1):
        path = Path(Cut.BARE, disc.outline)
        pieces.append(
            Piece(
                number,
                "bare disc",
                (disc.bare.hole,),
                Outline.rectangle(*disc.outline.bounds),
                (path,),
            )
        )
    return tuple(pieces)


def sheet_of(pieces: tuple[Piece, ...], copies: int = 1) -> tuple[Sheet, ...]:
    """All pieces on one sheet, each as often as there are copies."""
    placed = [
        Placed(piece, (1, 0, 0, 1, 0, 0), copy, False)
        for piece in pieces
        for copy in range(1, copies + 1)
    ]
    return (Sheet(1, (300.0, 120.0), tuple(placed)),)


@pytest.fixture
def make_artwork() -> Callable[..., Artwork]:
    """Makes the panel, with tables of the description as given."""
    return hand_made


@pytest.fixture
def make_sheets() -> Callable[..., tuple[Sheet, ...]]:
    """Makes the sheets of an artwork, with as many copies of each piece as asked for."""
    return lambda artwork, copies=1: sheet_of(pieces_for(artwork), copies)


@pytest.fixture
def artwork() -> Artwork:
    """The panel as it is."""
    return hand_made()


@pytest.fixture
def sheets(artwork: Artwork) -> tuple[Sheet, ...]:
    """The sheets of the panel as it is."""
    return sheet_of(pieces_for(artwork))


@pytest.fixture
def findings() -> tuple[Finding, ...]:
    return (
        Finding(Severity.NOTE, "fitted", "The toggle covers <11> mm.", SOURCE, "See."),
        Finding(
            Severity.ERROR, "over-hole", "O & I meet.", SOURCE, "Move <b>one</b>.", (60.0, 45.00049)
        ),
    )
