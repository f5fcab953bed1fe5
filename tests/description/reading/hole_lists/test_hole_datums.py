"""Holes that are measured from a datum of their own."""

from pathlib import Path

import pytest

from legend.description.faults import DescriptionError
from legend.description.reading.description_file import parse, read

_PANEL = '[panel]\nsize = [200, 100]\ndatum = "lower right"\n'


def test_the_holes_of_the_table_have_their_own() -> None:
    said = '[holes]\ndatum = "upper left"\nA = { at = [30, 10], drill = 5 }\n'
    (hole,) = parse(_PANEL + said).holes.values()
    assert hole.at == (170, 90)  # from the lower right


def test_a_hole_may_still_be_called_datum() -> None:
    said = "[holes]\ndatum = { at = [30, 10], drill = 5 }\n"
    assert parse(_PANEL + said).holes["datum"].at == (30, 10)


def test_the_list_has_its_own_beside_those_of_the_table(tmp_path: Path) -> None:
    (tmp_path / "h.csv").write_text("id,x,y,drill\nL,20,15,6\n")
    panel = tmp_path / "panel.toml"
    panel.write_text(
        'hole_list = { file = "h.csv", datum = "centre" }\n'
        + _PANEL
        + "[holes]\nA = { at = [30, 10], drill = 5 }\n"
    )
    holes = read(panel).holes
    assert holes["A"].at == (30, 10)
    assert holes["L"].at == (80, 65)  # 120, 65 from the lower left


def test_design_and_drilling_agree_whatever_they_are_measured_from() -> None:
    said = (
        '[holes]\ndatum = "upper left"\nA = { at = [30, 10], drill = 5 }\n'
        '[as_drilled]\ndatum = "lower left"\n[as_drilled.holes]\nA = { at = [30.5, 90] }\n'
    )
    drilling = parse(_PANEL + said).drilling
    assert drilling is not None
    assert drilling.off["A"] == pytest.approx((0.5, 0))


def test_what_is_no_datum_is_a_fault(tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    (tmp_path / "h.csv").write_text("id,x,y,drill\nL,20,15,6\n")
    panel.write_text(
        'hole_list = { file = "h.csv", datum = "uper left", sheet = 1 }\n'
        + _PANEL
        + '[holes]\ndatum = "top"\n'
    )
    with pytest.raises(DescriptionError) as caught:
        read(panel)
    told = [str(fault.message) for fault in caught.value.faults]
    assert any('did you mean "upper left"' in each for each in told)
    assert any('[holes] has datum = "top"; it must be' in each for each in told)
    assert any('"sheet" is not a key of hole_list' in each for each in told)
