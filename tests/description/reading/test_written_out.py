"""Several holes in one control, and the screws of a part, come out as if written one by one."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.description.faults import DescriptionError
from legend.description.reading.description_file import parse

_PANEL = """\
[panel]
size = [200, 100]
[holes]
A = { at = [30, 40], drill = 9 }
B = { at = [80, 40], drill = 9 }
C = { at = [130, 40], drill = 9 }
S = { at = [80, 60], drill = 3 }
"""


def _faults(text: str) -> list[str]:
    with pytest.raises(DescriptionError) as caught:
        parse(_PANEL + text)
    return [f"{fault.source.line}: {fault.message}" for fault in caught.value.faults]


def test_one_control_in_several_holes_is_one_in_each() -> None:
    alike = '[[control]]\nholes = [\n  "A",\n  "C",\n]\nkind = "jack"\nname = "IN"\ncovers = 12\n'
    one_by_one = "".join(
        f'[[control]]\nhole = "{hole}"\nkind = "jack"\nname = "IN"\ncovers = 12\n' for hole in "AC"
    )
    several, single = parse(_PANEL + alike).control, parse(_PANEL + one_by_one).control
    assert [control.model_dump(exclude={"sources"}) for control in several] == [
        control.model_dump(exclude={"sources"}) for control in single
    ]
    assert [control.source.line for control in several] == [10, 11]
    assert [control.source_of("hole").line for control in several] == [10, 11]
    assert [control.source_of("name").line for control in several] == [14, 14]


def test_a_fault_of_several_is_told_once() -> None:
    assert len(_faults('[[control]]\nholes = ["A", "B", "C"]\nkind = "jack"\ndetent = 4\n')) == 1


def test_the_unit_of_bare_numbers_holds_in_patterns_and_margins() -> None:
    text = 'units = "in"\n' + _PANEL.replace("[200, 100]", "[8, 8]").replace(
        "drill = 9", "drill = 1"
    )
    for number in ("30", "40", "80", "130", "60"):
        text = text.replace(number, str(int(number) / 20))
    text += '[[control]]\nhole = "A"\nkind = "meter"\ncovers = { margin = 0.5 }\n'
    text += "fixings = { across = 2, drill = 0.125 }\n"
    description = parse(text)
    assert description.control[0].covers.margin == pytest.approx(12.7)  # type: ignore[union-attr]
    assert description.holes["A.1"].drill == pytest.approx(3.175)
    assert description.holes["A.2"].at == pytest.approx((2.5 * 25.4, 2 * 25.4))


@pytest.mark.parametrize(
    "datum", ["lower left", "upper left", "lower right", "upper right", "centre"]
)
def test_a_pattern_stands_about_its_hole_whatever_the_datum_is(datum: str) -> None:
    text = _PANEL.replace("[200, 100]", f'[200, 100]\ndatum = "{datum}"')
    description = parse(
        text + '[[control]]\nhole = "A"\nkind = "connector"\n'
        "fixings = { across = 20, up = 10, drill = 3 }\n"
    )
    x, y = description.panel.from_datum(description.holes["A"].at)
    places = [description.panel.from_datum(description.holes[f"A.{k}"].at) for k in (1, 2, 3, 4)]
    expected = [(x - 10, y + 5), (x + 10, y + 5), (x + 10, y - 5), (x - 10, y - 5)]
    assert places == [pytest.approx(place) for place in expected]
    assert description.control[0].fixing_holes == ("A.1", "A.2", "A.3", "A.4")
    assert dict(description.fixings) == dict.fromkeys(("A.1", "A.2", "A.3", "A.4"), "A")
    assert list(description.holes)[:6] == ["A", "A.1", "A.2", "A.3", "A.4", "B"]


@given(st.floats(-360, 360), st.floats(1, 200), st.sampled_from(["square", "across", "up"]))
def test_a_pattern_turns_with_its_hole(angle: float, apart: float, way: str) -> None:
    text = _PANEL.replace("[30, 40], drill = 9", f"[30, 40], drill = 9, angle = {angle}")
    text += f'[[control]]\nhole = "A"\nkind = "jack"\nfixings = {{ {way} = {apart}, drill = 3 }}\n'
    holes = parse(text).holes
    screws = [holes[name].at for name in holes if name.startswith("A.")]
    reach = apart / 2 * (math.sqrt(2) if way == "square" else 1)
    assert [math.dist((30, 40), at) for at in screws] == pytest.approx([reach] * len(screws))
    first = {"square": -45.0, "across": -90.0, "up": 0.0}[way] + angle
    x, y = reach * math.sin(math.radians(first)), reach * math.cos(math.radians(first))
    assert screws[0] == pytest.approx((30 + x, 40 + y))


def test_a_pattern_follows_its_hole_as_drilled_and_is_designed_with_it() -> None:
    description = parse(
        _PANEL + '[[control]]\nhole = "A"\nkind = "jack"\nfixings = { up = 20, drill = 3 }\n'
        "[as_drilled.holes]\nA = { at = [30.4, 39.7], angle = 90 }\nB = { at = [80, 40] }\n"
        "C = { at = [130, 40] }\nS = { at = [80, 60] }\n"
    )
    assert description.holes["A.1"].at == pytest.approx((40.4, 39.7))
    assert description.drilling is not None
    assert description.drilling.design["A.1"].at == pytest.approx((30, 50))
    assert "A.1" not in description.drilling.off


def test_what_is_wrong_with_screws() -> None:
    jack = '[[control]]\nhole = "A"\nkind = "jack"\nfixings = '
    other = '[[control]]\nhole = "B"\nkind = "jack"\n'
    assert _faults(jack + '["S", "Z"]\n') == [
        '11: The control in hole "A" is held by a screw in hole "Z", which does not exist; the '
        "holes are A, B, C and S."
    ]
    assert _faults(jack + '["S", "B"]\n' + other) == [
        '11: Hole "B" holds a screw of the part in hole "A", and has a control as well, a jack; '
        "leave one of the two out."
    ]
    assert _faults(jack + '["S", "S"]\n') == [
        '11: Hole "S" is named twice among the screws of the part in hole "A"; leave one out.'
    ]
    assert _faults(jack + '["S"]\n' + other + 'fixings = ["S"]\n') == [
        '15: Hole "S" holds a screw of the part in hole "B", and one of the part in hole "A" as '
        "well; give each screw a hole of its own."
    ]
    assert _faults(jack + '["A"]\n') == [
        '11: Hole "A" is said to hold a part and a screw of that part; leave it out here.'
    ]
    named = _PANEL.splitlines()[3].replace("A =", '"A.2" =').replace("[30,", "[50,")
    assert _faults(f"{named}\n{jack}{{ square = 30, drill = 3 }}\n") == [
        '8: Hole "A.2" has the name of a screw that holds the part in hole "A"; give the hole '
        "another name."
    ]


def test_more_controls_than_a_panel_takes_are_refused_before_they_are_made() -> None:
    names = ", ".join(['"A"'] * 500)
    many = f'[[control]]\nkind = "screw"\nholes = [{names}]\n' * 5
    (fault,) = _faults(many)
    assert "There are 2500 controls; no panel takes more than 2000." in fault
