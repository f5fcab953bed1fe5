"""Curves that the engine cannot join are straight lines in the cut, and are told of."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import pathops
import pytest

from legend.description.tables.description import Description
from legend.layout import inspect, lay_out
from legend.layout.artwork import Artwork, Finding, Mark, Role, Severity
from legend.lettering.outlines import boolean as curves
from legend.lettering.outlines.outline import FLATNESS, Outline
from legend.stencil import cut

TWO_DISCS = Outline.disc((60, 10), 3), Outline.disc((63, 10), 3)
RING = Outline(
    (
        *Outline.disc((60, 10), 5).contours,
        *(contour.reversed() for contour in Outline.disc((60, 10), 3).contours),
    )
)


def told(findings: Iterable[Finding]) -> list[Finding]:
    return [finding for finding in findings if finding.code == "curves-flattened"]


def told_of_the_cut(artwork: Artwork) -> list[Finding]:
    return told(cut(artwork).findings)


def without_engine(artwork: Artwork) -> list[Finding]:
    """What is told of the cut when the engine gives up on every shape."""

    def drawn(_: object) -> pathops.Path:
        raise pathops.PathOpsError("no result")

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(curves, "_drawn", drawn)
        return told_of_the_cut(artwork)


def ruled(artwork: Artwork, *outlines: Outline) -> Artwork:
    """The panel with these marks alone, all of one rule."""
    source = artwork.marks[0].source
    marks = tuple(Mark(outline, Role.RULE, "", source) for outline in outlines)
    return replace(artwork, marks=marks, openings=(), bare_discs=())


def test_nothing_is_told_of_curves_that_are_joined_as_curves(panel: Any) -> None:
    artwork = panel(method="paint-through", stock="sheet")
    assert told_of_the_cut(artwork) == []
    assert told_of_the_cut(ruled(artwork, *TWO_DISCS)) == []


def test_marks_that_touch_are_told_once_with_their_place(panel: Any) -> None:
    artwork = ruled(panel(), *TWO_DISCS)
    (found,) = without_engine(artwork)
    assert found.severity is Severity.NOTE
    assert found.message == (
        "Some curves of the cut of the rule could not be joined as curves; short straight lines "
        f"within {FLATNESS} mm of them stand in."
    )
    assert found.source == artwork.marks[0].source
    assert found.place == pytest.approx((60, 10))


def test_marks_that_are_cut_as_they_were_laid_are_not_told(panel: Any) -> None:
    assert without_engine(ruled(panel(), TWO_DISCS[0])) == []


def test_bridges_taken_away_from_curves_are_told(panel: Any) -> None:
    (found,) = without_engine(ruled(panel(method="paint-through", stock="sheet"), RING))
    assert "the cut of the rule" in found.message


def test_registration_marks_are_told_by_their_piece(panel: Any) -> None:
    holes = {"A": {"at": [60, 40], "drill": 9}, "B": {"at": [66, 40], "drill": 9}}
    controls = [{"hole": hole, "kind": "lamp", "name": hole} for hole in holes]
    sheet = {"method": "paint-through", "stock": "sheet"}
    artwork = panel(holes=holes, control=controls, bare=[], text=[], **sheet)
    messages = [found.message for found in without_engine(artwork)]
    assert any("of the registration marks of piece 1 " in message for message in messages)


def test_a_frame_that_is_split_is_told_for_each_part() -> None:
    holes = {f"H{i}": {"at": [40 + 80 * i, 35], "drill": 9.5} for i in range(4)}
    raw = {
        "panel": {"size": [320, 90]},
        "holes": holes,
        "control": [{"hole": hole, "kind": "lamp"} for hole in holes],
        "group": [{"name": "", "holes": list(holes)}],
        "stencil": {"stock_size": [180, 200]},
    }
    artwork = lay_out(Description.model_validate(raw))
    found = [each for each in without_engine(artwork) if "the frame" in each.message]
    assert len(found) == 2
    assert told(inspect(artwork)) == []
