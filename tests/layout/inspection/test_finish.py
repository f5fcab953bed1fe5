"""What is said of the finish."""

from legend.description.reading.description_file import parse
from legend.layout import inspect, lay_out
from legend.layout.artwork import Finding

_PANEL = """\
[panel]
size = [80, 60]
[[text]]
at = [40, 30]
text = "KILN"
"""


def _found(finish: str) -> dict[str, Finding]:
    description = parse(_PANEL + finish)
    return {each.code: each for each in inspect(lay_out(description))}


def test_letters_that_cannot_be_told_from_the_panel() -> None:
    found = _found('[finish]\nbase = "white"\ntop = "ivory"\n')
    assert "contrast of 1.0 to 1" in found["low-contrast"].message
    assert found["low-contrast"].source.line == 6
    assert "low-contrast" not in _found('[finish]\nbase = "white"\ntop = "#5b6160"\n')
    assert "low-contrast" not in _found('[finish]\nbase = "black"\ntop = "white"\n')


def test_letters_that_are_only_just_told_from_the_panel_are_a_note() -> None:
    for grey, severity, words in (
        ("RAL 7001", "note", "3.0 to 1; letters want at least 4.5 to 1, large ones 3 to 1."),
        ("RAL 7000", "note", "3.6 to 1; letters want at least 4.5 to 1, large ones 3 to 1."),
        ("#777777", "note", "4.4 to 1; letters want at least 4.5 to 1, large ones 3 to 1."),
        ("#959595", "warning", "2.9 to 1; letters want at least 4.5 to 1."),
    ):
        found = _found(f'[finish]\nbase = "white"\ntop = "{grey}"\n')["low-contrast"]
        assert found.severity == severity
        assert found.message.endswith(f"have a contrast of {words}")


def test_paints_are_said_to_be_known_only_about() -> None:
    found = _found('[finish]\nbase = "RAL 9010"\ntop = "navy"\n')
    note = found["colour-about"]
    assert note.severity == "note" and note.source.line == 7
    assert "RAL 9010 is shown as #f1ece1" in note.message
    assert "colour-about" not in _found('[finish]\nbase = "white"\ntop = "navy"\n')


def test_a_fluorescent_paint_is_said_to_look_otherwise() -> None:
    found = _found('[finish]\nbase = "white"\ntop = "RAL 2005"\n')
    assert found["colour-about"].message == (
        "RAL 2005 is shown as #ff4d06, but is a fluorescent paint, brighter than any screen can "
        "show."
    )
    assert "fluorescent" not in _found('[finish]\nbase = "RAL 9010"\n')["colour-about"].message
