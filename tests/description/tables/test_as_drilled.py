"""Holes as measured after drilling: where they end up, and what is said where lists disagree."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.description.faults import DescriptionError
from legend.description.reading.description_file import parse, read
from legend.description.tables.as_drilled import RigidFit, best_fit, misfit
from legend.description.tables.description import Description

_PANEL = """\
[panel]
size = [140, 80]
{panel}
[holes]
A = {{ at = [20, 30], drill = 7 }}
B = {{ at = [70, 30], drill = 9.5 }}
C = {{ at = [120, 60], cutout = [20, 10], corner_radius = 1 }}
{drilled}
"""


def _described(drilled: str, panel: str = "") -> Description:
    return parse(_PANEL.format(drilled=drilled, panel=panel))


def _faults(drilled: str) -> list[str]:
    with pytest.raises(DescriptionError) as told:
        _described(drilled)
    return [str(fault) for fault in told.value.faults]


def _inline(datum: str = "", **places: tuple[float, float]) -> str:
    rows = [f"{id} = {{ at = [{x!r}, {y!r}] }}" for id, (x, y) in places.items()]
    said = f'datum = "{datum}"' if datum else ""
    return "\n".join(["[as_drilled]", said, "[as_drilled.holes]", *rows])


def test_measured_from_the_datum_places_are_taken_as_they_are() -> None:
    description = _described(_inline(A=(20.3, 29.8), B=(70, 31), C=(119.9, 60)))
    assert {id: hole.at for id, hole in description.holes.items()} == {
        "A": pytest.approx((20.3, 29.8)),
        "B": pytest.approx((70, 31)),
        "C": pytest.approx((119.9, 60)),
    }
    assert description.holes["C"].cutout == (20, 10)
    drilling = description.drilling
    assert drilling and drilling.off["A"] == pytest.approx((0.3, -0.2))
    assert drilling.off["B"] == pytest.approx((0, 1))
    assert drilling.design["B"].at == (70, 30)
    assert drilling.measured is None


def test_measured_from_another_edge() -> None:
    """The same holes, from the upper right corner of a panel whose datum is its lower left."""
    measured = _inline("upper right", A=(119.7, 50.2), B=(70, 49), C=(20.1, 20))
    description = _described(measured)
    assert description.holes["A"].at == pytest.approx((20.3, 29.8))
    assert description.holes["C"].at == pytest.approx((119.9, 60))
    # And where the panel is measured from its centre, its places are told from there.
    central = parse(
        _PANEL.format(panel='datum = "centre"', drilled=measured).replace("[20, 30]", "[-50, -10]")
    )
    assert central.holes["A"].at == pytest.approx((-49.7, -10.2))


@given(st.floats(-180, 180), st.floats(-300, 300), st.floats(-300, 300))
def test_measured_from_elsewhere_they_are_laid_upon_the_design(
    turn: float, x: float, y: float
) -> None:
    """However the measuring frame lay, what is left is how the holes lie to each other."""
    came_out = {"A": (20.2, 30.1), "B": (69.9, 29.8), "C": (119.9, 60.1)}
    frame = RigidFit(turn, (x, y))
    measured = {id: frame.moved(*at) for id, at in came_out.items()}
    description = _described(_inline("best fit", **measured))
    still = _described(_inline("best fit", **came_out))
    for id, at in came_out.items():
        assert description.holes[id].at == pytest.approx(still.holes[id].at, abs=1e-6)
        assert math.dist(description.holes[id].at, at) < 0.15
    drilling = description.drilling
    assert drilling and drilling.measured
    assert drilling.spread == pytest.approx(drilling.spread_alone, abs=1e-6)
    assert np.array(list(drilling.off.values())).sum(axis=0) == pytest.approx((0, 0), abs=1e-6)


def test_two_lists_of_the_same_holes(tmp_path: Path) -> None:
    (tmp_path / "holes.csv").write_text("id,x,y,drill\nA,20,30,7\nB,70,30,9.5\n")
    (tmp_path / "measured.csv").write_text("id;x (cm);y (cm);drill\nB;7,02;3,0;10\nA;2,01;2,99;\n")
    (tmp_path / "panel.toml").write_text(
        'hole_list = "holes.csv"\nas_drilled = "measured.csv"\n[panel]\nsize = [140, 80]\n'
    )
    description = read(tmp_path / "panel.toml")
    assert list(description.holes) == ["A", "B"]
    assert description.holes["A"].at == pytest.approx((20.1, 29.9))
    assert description.holes["A"].drill == 7
    assert description.holes["B"].drill == 10  # reamed out
    assert description.holes["B"].source.file.endswith("measured.csv")
    assert description.holes["B"].source.line == 2


def test_a_hole_that_came_out_in_another_shape() -> None:
    description = _described(
        "[as_drilled.holes]\nA = { at = [20, 30], slot = [12, 7], angle = 90 }\n"
        "B = { at = [70, 30] }\nC = { at = [120, 60], drill = 24 }"
    )
    holes = description.holes
    assert (holes["A"].drill, holes["A"].slot, holes["A"].angle) == (None, (12, 7), 90)
    assert (holes["C"].cutout, holes["C"].drill, holes["C"].corner_radius) == (None, 24, 0)


def test_holes_that_only_one_list_has_are_faults() -> None:
    told = _faults(_inline(A=(20, 30), BB=(70, 30), Z=(1, 1)))
    assert told == [
        'panel.toml:6: Hole "B" is not among those as drilled; is it "BB" there?',
        'panel.toml:7: Hole "C" is not among those as drilled; measure it, or leave it out of '
        "both.",
        'panel.toml:12: Hole "BB" was drilled, but never designed; is it "B" there?',
        'panel.toml:13: Hole "Z" was drilled, but never designed; design it, or leave it out of '
        "both.",
    ]


@pytest.mark.parametrize(
    ("drilled", "says"),
    [
        ('[as_drilled]\nhole_list = "nowhere.csv"', "There is no file nowhere.csv."),
        ("[as_drilled]", "The holes as drilled are none"),
        ('[as_drilled]\ndatum = "bestfit"', 'did you mean "best fit"?'),
        ("[as_drilled.holes]\nA = { x = 3 }", '"x" is not a key of hole "A" as drilled'),
        ("[as_drilled.holes]\nA = { at = [1, 2], corner_radius = 1 }", "without its cutout"),
        ("[as_drilled]\nhole_list = 3", 'it must be the name of a hole list, such as "holes.csv"'),
        ("[as_drilled.holes]\nA = { drill = 3 }", 'Hole "A" as drilled lacks at'),
        ("[as_drilled.holes]\nA = { at = [1, 2], drill = 3, slot = [3, 1] }", "takes one of drill"),
    ],
)
def test_faults_of_what_was_measured(drilled: str, says: str) -> None:
    assert any(says in each for each in _faults(drilled))


def test_the_name_of_a_list_alone_will_do() -> None:
    with pytest.raises(DescriptionError) as told:
        parse("as_drilled = 3\n[panel]\nsize = [9, 9]\n")
    assert "panel.toml:1: " in str(told.value)
    assert 'it must be the name of a hole list, such as "measured.csv"' in str(told.value)


def test_a_mirror_image_is_known_for_one() -> None:
    came_out = {"A": (120.0, 30.0), "B": (70.0, 30.0), "C": (20.0, 60.0)}
    drilling = _described(_inline("best fit", **came_out)).drilling
    assert drilling and drilling.mirrored
    drilling = _described(_inline("lower right", **came_out)).drilling
    assert drilling and not drilling.mirrored and drilling.spread == pytest.approx(0)


def test_fits_of_few_holes() -> None:
    none = np.zeros((0, 2))
    assert best_fit(none, none) == RigidFit()
    assert misfit(RigidFit(), none, none) == 0
    one = best_fit(np.array([[3.0, 4.0]]), np.array([[10.0, 2.0]]))
    assert one.moved(3, 4) == pytest.approx((10, 2))
    assert one.turn == pytest.approx(0)
    two = best_fit(np.array([[0.0, 0], [10, 0]]), np.array([[5.0, 5], [5, -5]]))
    assert two.turn == pytest.approx(90)
    assert two.moved(10, 0) == pytest.approx((5, -5))
