"""Findings that are alike are one, and no check tells more than anyone reads."""

from dataclasses import replace

from legend.description.reading.description_file import parse
from legend.description.source import Source
from legend.layout import inspect, lay_out
from legend.layout.artwork import Finding, Severity
from legend.layout.inspection.alike import gathered, some
from legend.limits import MOST_OF_A_CHECK

_AT_THE_EDGE = """\
[panel]
size = [100, 60]
[holes]
A = { at = [10, 30], drill = 9 }
[[control]]
hole = "A"
kind = "knob"
name = "LEVEL"
covers = 22
scale = { from = 0, to = 10 }
"""


def _finding(message: str, place: tuple[float, float] | None = None) -> Finding:
    return Finding(Severity.ERROR, "off-panel", message, Source("p.toml", 3), "Move it.", place)


def test_a_scale_off_the_panel_is_one_thing_to_put_right() -> None:
    found = inspect(lay_out(parse(_AT_THE_EDGE)))
    off = [finding for finding in found if finding.code == "off-panel"]
    graduations, numerals = off
    assert graduations.message.startswith("The graduation of A runs ")
    assert graduations.message.endswith(f" mm off the panel; so it is with {5 - 1} more.")
    assert len(graduations.places) == len(set(graduations.places)) == 5
    assert graduations.place == graduations.places[0]
    assert all(x < 0.5 for x, _ in graduations.places)
    assert numerals.message.endswith("; so it is with '2' and '3'.")


def test_words_are_told_and_measures_are_not() -> None:
    words = ["ON", "OFF", "A", "B", "C", "D", "E"]
    many = [
        _finding(f"The position '{word}' of S runs {i}.5 mm off.") for i, word in enumerate(words)
    ]
    (one,) = gathered(many)
    assert one.message == (
        "The position 'ON' of S runs 0.5 mm off; so it is with 'OFF', 'A', 'B', 'C' and 2 more."
    )
    assert gathered(many[:2])[0].message.endswith("; so it is with 'OFF'.")
    assert one.places == ()  # they have none


def test_what_is_not_alike_is_told_by_itself() -> None:
    one = _finding("The rule runs 1.0 mm off.", (1.0, 2.0))
    others = [
        replace(one, severity=Severity.WARNING),
        replace(one, code="near-edge"),
        replace(one, message="The frame runs 1.0 mm off."),
        replace(one, remedy="Leave it out."),
        replace(one, source=Source("p.toml", 4)),
    ]
    assert gathered([one, *others]) == [one, *others]


def test_no_check_tells_without_end() -> None:
    endless = (_finding(f"Hole {number} is off.") for number in range(10**9))
    told = some(endless)
    assert len(told) == MOST_OF_A_CHECK
    assert told[-1].message == (
        f"Hole {MOST_OF_A_CHECK - 1} is off. There are more of the kind, which are not told."
    )
    assert some(iter(told)) == told
