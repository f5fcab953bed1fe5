"""What a description says to be meant is not told; what is not so, or spoils the panel, is."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from legend.commands.cli import legend
from legend.description.faults import DescriptionError
from legend.description.reading.description_file import parse
from legend.layout import inspect, lay_out
from legend.rules import CAN_BE_MEANT, RULES

_PANEL = """
[panel]
size = [200, 100]
{panel}
[holes]
A = {{ at = [60, 50], drill = 6 }}
B = {{ at = [120, 50], drill = 6 }}
[[control]]
hole = "A"
kind = "toggle"
name = "FAN"
positions = {{ up = "OFF", down = "ON" }}
{a}
[[control]]
hole = "B"
kind = "toggle"
name = "FAN"
positions = {{ up = "OFF", down = "ON" }}
{b}
[[text]]
at = [50, 20]
text = "OVEN"
{text}
[[text]]
at = [50, 17.3]
text = "HOOD"
{other}
[lettering.note]
height = 2.2
"""


def panel(panel: str = "", a: str = "", b: str = "", text: str = "", other: str = "") -> str:
    return _PANEL.format(panel=panel, a=a, b=b, text=text, other=other)


def codes(toml: str) -> list[str]:
    found = inspect(lay_out(parse(toml)))
    return [each.code for each in found if each.code != "covers-assumed"]


def meant(*names: str) -> str:
    return f"meant = [{', '.join(map(repr, names))}]"


def test_as_it_stands_all_is_told() -> None:
    assert sorted(codes(panel())) == [
        "crowded",
        "fine-stroke",
        "off-up",
        "off-up",
        "same-name",
        "too-small",
    ]


def test_a_control_means_what_is_found_of_it_and_no_other() -> None:
    found = inspect(lay_out(parse(panel(a=meant("off-up")))))
    (told,) = [each for each in found if each.code == "off-up"]
    assert "on B" in told.message


@pytest.mark.parametrize("whose", ["a", "b"])
def test_what_is_found_of_two_is_meant_by_either(whose: str) -> None:
    assert "same-name" not in codes(panel(**{whose: meant("same-name")}))


@pytest.mark.parametrize("whose", ["text", "other"])
def test_so_it_is_with_texts(whose: str) -> None:
    assert "crowded" not in codes(panel(**{whose: meant("crowded")}))


def test_of_many_told_as_one_those_that_are_not_meant_are_told() -> None:
    found = inspect(lay_out(parse(panel(text=meant("too-small")))))
    (told,) = [each for each in found if each.code == "too-small"]
    assert "'HOOD'" in told.message
    assert "more" not in told.message
    both = panel(text=meant("too-small"), other=meant("too-small"))
    assert "too-small" not in codes(both)


def test_the_panel_means_what_is_found_anywhere() -> None:
    whole = meant("off-up", "same-name", "crowded", "too-small", "fine-stroke")
    assert codes(panel(panel=whole)) == []


def test_groups_and_rules_mean_what_is_found_of_their_lines() -> None:
    line = "[[rule]]\nfrom = [42, 22.9]\nto = [58, 22.9]\n{0}\n"
    group = '[[group]]\nholes = ["A"]\nname = "AIR AIR."\n{0}\n'
    for table, code in ((line, "crowded"), (group, "full-stop")):
        table = table.replace("AIR.", "DRIVE.")
        plain = codes(panel(other=meant("crowded")) + table.format(""))
        assert code in plain
        assert code not in codes(panel(other=meant("crowded")) + table.format(meant(code)))


def test_errors_are_told_all_the_same() -> None:
    far = '[[text]]\nat = [199, 50]\ntext = "FAR AWAY"\n' + meant("near-edge")
    assert "off-panel" in codes(panel() + far)


def test_what_is_meant_in_vain_is_told_with_its_place() -> None:
    found = inspect(lay_out(parse(panel(a=meant("off-up", "fuse-form", "scale-backwards")))))
    (told,) = [each for each in found if each.code == "meant-in-vain"]
    assert told.severity == "note"
    assert told.message == (
        'The toggle on A says that "fuse-form" and "scale-backwards" are meant, and nothing of the '
        "kind was found."
    )
    assert told.source.line == 13


def test_what_cutting_finds_is_in_vain_only_where_something_was_cut(tmp_path: Path) -> None:
    path = tmp_path / "panel.toml"
    path.write_text(panel(panel=meant("piece-split")))
    checked = CliRunner().invoke(legend, ["check", "-v", str(path)])
    assert "piece-split" not in checked.output
    made = CliRunner().invoke(legend, ["make", "-v", str(path), "--out", str(tmp_path / "made")])
    assert '"piece-split" is meant, and nothing' in made.output
    path.write_text(panel() + "[stencil]\nstock_size = [25, 200]\npiece = 'panel'\n")
    made = CliRunner().invoke(legend, ["make", "-v", str(path), "--out", str(tmp_path / "made")])
    assert "is split" in made.output
    path.write_text(
        panel(panel=meant("piece-split")) + "[stencil]\nstock_size = [25, 200]\npiece = 'panel'\n"
    )
    made = CliRunner().invoke(legend, ["make", "-v", str(path), "--out", str(tmp_path / "made")])
    assert "split" not in made.output
    for file in ("findings.json", "job-card.html"):
        assert "piece-split" not in (tmp_path / "made" / file).read_text(encoding="utf-8")


def test_an_unknown_code_is_a_fault_that_names_the_nearest() -> None:
    with pytest.raises(DescriptionError) as caught:
        parse(panel(a=meant("of-up", "hidden", "xyzzy"), panel=meant("zero-asied")))
    messages = [fault.message for fault in caught.value.faults]
    assert any(
        '"of-up" as item 1 of meant' in m and 'the nearest is "off-up"' in m for m in messages
    )
    assert any('"hidden"' in m and "cannot be meant" in m for m in messages)
    assert any('"xyzzy"' in m and "is no code of a check" in m for m in messages)
    assert any('the nearest is "zero-aside"' in m for m in messages)


def test_all_but_errors_can_be_meant() -> None:
    assert {code for code in RULES if code not in CAN_BE_MEANT} == {
        code for code, rule in RULES.items() if rule.severities == ("error",)
    } | {"meant-in-vain"}
