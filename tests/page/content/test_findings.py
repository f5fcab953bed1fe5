"""What was found, in three heaps; and what was taken for granted, answered on the spot."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from small_panel import IN, MM, changed, line_of, selected

from legend.page.content.bench import Bench
from legend.page.messages import Change, FindingShown, Found, Refused


def found(bench: Bench, text: str) -> list[FindingShown]:
    """All that is found of a text without cutting it."""
    findings = bench.find(1, text)
    assert findings, bench.draw(1, text)
    return list(findings.findings)


def about(findings: list[FindingShown], code: str, words: str = "") -> FindingShown:
    return next(each for each in findings if each.code == code and words in each.message)


def answer(bench: Bench, text: str, code: str, value: str, words: str = "") -> Change | Refused:
    """What comes of an answer to a finding; it is gone from the text after it."""
    finding = about(found(bench, text), code, words)
    change = bench.answer(5, 1, text, finding.number, value)
    if isinstance(change, Change):
        after = found(bench, changed(text, change))
        assert not [each for each in after if (each.code, each.message) == (code, finding.message)]
    return change


# --- What was found ---


def test_findings_are_in_three_heaps_the_worst_first(bench: Bench) -> None:
    text = MM.replace("covers = 20", "covers = 30").replace("[90, 60]", "[60, 60]")
    findings = bench.find(1, text)
    assert isinstance(findings, Found)
    heaps = [each.heap for each in findings.findings]
    assert heaps == sorted(heaps, key=["spoils", "look", "granted"].index)
    worst = findings.findings[0]
    assert (worst.heap, worst.place is not None) == ("spoils", True)
    assert (worst.code, worst.line) == ("hidden", line_of(text, "scale"))


def test_each_keeps_its_number_when_more_is_found_in_cutting(bench: Bench) -> None:
    text = MM.replace("[300, 200]", "[60, 200]")
    before = bench.find(1, text)
    cutting = bench.cut(1, text)
    assert before and cutting and cutting.found
    after = {each.number: each for each in cutting.found.findings}
    assert len(after) == len(cutting.found.findings) > len(before.findings)
    for each in before.findings:
        assert replace(after[each.number], remedy=each.remedy) == each


def test_what_cannot_be_read_has_no_findings(bench: Bench) -> None:
    assert bench.find(1, "[panel") is None
    assert bench.cut(1, "[panel") is None


def test_a_finding_about_a_style_names_its_file(tmp_path: Path) -> None:
    (tmp_path / "house.toml").write_text('[finish]\nbase = "white"\ntop = "RAL 7035"\n')
    own = '[finish]\nbase = "white"\ntop = "#304050"'
    text = 'style = "house.toml"\n' + MM.replace(own, "")
    colour = about(found(Bench(tmp_path / "panel.toml"), text), "colour-about")
    assert colour.line == 0
    assert "house.toml:3" in colour.message


def test_what_is_left_out_is_taken_for_granted_until_it_is_said(bench: Bench) -> None:
    text = "[panel]\nsize = [80, 50]\n"
    codes = {each.code for each in found(bench, text)}
    left_out = {
        "panel.viewing_distance",
        "stencil.method",
        "stencil.stock_size",
        "finish.base",
        "finish.top",
    }
    assert left_out <= codes
    for code, value in (
        ("panel.viewing_distance", "450"),
        ("stencil.method", "paint-through"),
        ("stencil.stock_size", "450 x 300"),
        ("finish.base", "RAL 9010"),
        ("finish.top", "#223344"),
    ):
        text = changed(text, answer(bench, text, code, value))
    assert not left_out & {each.code for each in found(bench, text)}
    assert "[panel]\nviewing_distance = 450\nsize" in text or "size = [80, 50]" in text
    assert 'method = "paint-through"' in text
    assert "stock_size = [450, 300]" in text
    assert text.count("[stencil]") == text.count("[finish]") == 1


# --- Answers ---


def test_the_size_of_a_part_is_written_into_its_control(bench: Bench) -> None:
    toggle = about(found(bench, MM), "covers-assumed", "toggle")
    assert toggle.question
    assert (toggle.question.value, toggle.question.unit) == ("18", "mm")
    change = answer(bench, MM, "covers-assumed", "21.5", "toggle")
    after = changed(MM, change)
    assert 'name = "POWER"    # its name\ncovers = 21.5\n[control.positions]' in after
    assert selected(MM, change) == "21.5"


@pytest.mark.parametrize(
    ("value", "written"),
    [
        ("21.5", "21.5"),
        ("21,5", "21.5"),
        (" 7/8 in ", '"7/8 in"'),
        ("2.2 cm", '"2.2 cm"'),
        ("30 x 20", "[30, 20]"),
        ("30 × 20 mm", '["30 mm", "20 mm"]'),
        ("[30, 20]", "[30, 20]"),
    ],
)
def test_a_length_may_be_said_in_any_way(bench: Bench, value: str, written: str) -> None:
    assert selected(MM, answer(bench, MM, "covers-assumed", value, "window")) == written


def test_in_inches_a_bare_number_is_in_inches(bench: Bench) -> None:
    window = about(found(bench, IN), "covers-assumed", "window")
    assert window.question
    assert (window.question.value, window.question.unit) == ("1 1/4 × 5/8", "in")
    change = answer(bench, IN, "covers-assumed", "1 3/8 x 0.75", "window")
    assert selected(IN, change) == '["1 3/8", 0.75]'


def test_in_cm_a_bare_number_is_in_the_unit_that_is_shown(bench: Bench) -> None:
    text = "[panel]\nsize = [20, 10]\n[holes]\nA = { at = [10, 5], drill = 0.9 }\n"
    text = 'units = "cm"\n' + text + '[[control]]\nhole = "A"\nkind = "jack"\n'
    lamp = about(found(bench, text), "covers-assumed")
    assert lamp.question and lamp.question.unit == "mm"
    assert selected(text, answer(bench, text, "covers-assumed", "15")) == '"15 mm"'


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("", "Write an answer"),
        ("large", "is not a length"),
        ("3/0", "divides by nothing"),
        ("1 x 2 x 3", "neither a diameter nor"),
        ("5000", "of 0.01 to 2000 mm"),
        ("-4", "of 0.01 to 2000 mm"),
        ('4"]\n[x]', "is not a length"),
    ],
)
def test_what_is_no_length_is_refused_in_words(bench: Bench, value: str, words: str) -> None:
    refused = answer(bench, MM, "covers-assumed", value, "window")
    assert isinstance(refused, Refused)
    assert words in refused.words
    assert refused.ask == 5


def test_several_alike_and_banks_are_answered_once_for_all(bench: Bench) -> None:
    text = """\
[panel]
size = [200, 100]
[holes]
A = { at = [30, 50], drill = 9 }
B = { at = [70, 50], drill = 9 }
J1 = { at = [120, 50], drill = 6 }
J2 = { at = [150, 50], drill = 6 }
[[control]]
holes = ["A", "B"]
kind = "lamp"
[[bank]]
holes = ["J1", "J2"]
kind = "jack"
names = ["IN", "OUT"]
"""
    lamp = about(found(bench, text), "covers-assumed", "on A")
    assert lamp.message.endswith(" across; so it is with 1 more.") and len(lamp.places) == 2
    assert not [each for each in found(bench, text) if "on B is" in each.message]
    assert lamp.question and lamp.question.words == "Measured across on A and B:"
    after = changed(text, answer(bench, text, "covers-assumed", "12", "on A"))
    assert 'kind = "lamp"\ncovers = 12\n' in after
    after = changed(after, answer(bench, after, "covers-assumed", "11", "on J1"))
    assert 'names = ["IN", "OUT"]\ncovers = 11\n' in after
    assert "covers-assumed" not in {each.code for each in found(bench, after)}
    many = text.replace('names = ["IN", "OUT"]', 'names = ["1", "2", "3", "4", "5"]')
    holes = "".join(f"J{n} = {{ at = [{90 + 15 * n}, 20], drill = 6 }}\n" for n in range(3, 6))
    many = many.replace('"J2"]', '"J2", "J3", "J4", "J5"]').replace(
        "[[control]]", f"{holes}[[control]]"
    )
    jacks = about(found(bench, many), "covers-assumed", "on J1")
    assert jacks.question and jacks.question.words == "Measured across on all 5 from J1 to J5:"


def test_inline_and_dotted_tables_are_written_as_they_are(bench: Bench) -> None:
    text = (
        "panel.size = [90, 50]\nholes.A = { at = [30, 25], drill = 9 }\n"
        "holes.B = { at = [60, 25], drill = 9 }\n"
        'control = [ { hole = "A", kind = "lamp" }, { hole = "B", kind = "jack" } ]\n'
    )
    after = changed(text, answer(bench, text, "covers-assumed", "14", "on B"))
    assert '{ hole = "A", kind = "lamp" }, { hole = "B", kind = "jack", covers = 14 } ]' in after
    after = changed(after, answer(bench, after, "panel.viewing_distance", "300"))
    assert "panel.size = [90, 50]\npanel.viewing_distance = 300\n" in after


def test_line_ends_stay_as_they_are(bench: Bench) -> None:
    text = MM.replace("\n", "\r\n")
    after = changed(text, answer(bench, text, "covers-assumed", "21", "toggle"))
    assert after.count("\n") == after.count("\r\n") == text.count("\n") + 1


@pytest.mark.parametrize(
    ("scale", "after"),
    [
        ('scale = { law = "taper", taper = "audio 10", from = 0, to = -20 }', ", track = 270 }"),
        (
            '[control.scale]\nlaw = "taper"\ntaper = "audio 10"\nfrom = 0\nto = -20',
            "[control.scale]\ntrack = 270\n",
        ),
    ],
)
def test_a_track_that_is_taken_by_its_taper_is_measured(
    bench: Bench, scale: str, after: str
) -> None:
    text = MM.replace("scale = { from = 0, to = 10 }", scale)
    track = about(found(bench, text), "track-assumed")
    assert track.question and track.question.unit == "degrees"
    assert after in changed(text, answer(bench, text, "track-assumed", "270°"))
    refused = answer(bench, text, "track-assumed", "all of it")
    assert isinstance(refused, Refused) and "degrees" in refused.words


def test_the_rating_of_a_fuse_replaces_what_stands_there(bench: Bench) -> None:
    text = MM.replace('kind = "toggle"', 'kind = "fuse"').replace(
        '[control.positions]\nup = "ON"\ndown = "OFF"\n', ""
    )
    after = changed(text, answer(bench, text, "fuse-unrated", "T 2 A"))
    assert 'note = "T 2 A"' in after
    form = about(found(bench, after), "fuse-form")
    assert form.question and form.question.value == "T 2 A"
    same = bench.answer(5, 1, after, form.number, "T 2 A")
    assert isinstance(same, Refused) and "already" in same.words
    done = changed(after, answer(bench, after, "fuse-form", 'T 2 A 250 V "quick"'))
    assert 'note = "T 2 A 250 V \\"quick\\""' in done


def test_a_colour_known_about_is_said_beside_the_paint(bench: Bench) -> None:
    text = MM.replace('top = "#304050"', 'top = "RAL 5014"')
    after = changed(text, answer(bench, text, "colour-about", "#60708a"))
    assert 'top = { colour = "#60708a", called = "RAL 5014" }' in after
    refused = answer(bench, text, "colour-about", "bluish")
    assert isinstance(refused, Refused) and "bluish" in refused.words


def test_turning_that_saves_is_answered_with_yes() -> None:
    path = Path(__file__).parents[2] / "panels" / "incubator.toml"
    bench, text = Bench(path), path.read_text(encoding="utf-8")
    cutting = bench.cut(1, text)
    assert cutting and cutting.found
    number = about(list(cutting.found.findings), "turning-saves").number
    assert isinstance(bench.answer(5, 1, text, number, "no"), Refused)
    after = changed(text, bench.answer(5, 1, text, number, "yes"))
    assert "turn = true" in after
    cutting = bench.cut(2, after)
    assert cutting and cutting.found
    assert "turning-saves" not in {each.code for each in cutting.found.findings}


def test_what_a_style_says_is_answered_in_the_panel(tmp_path: Path) -> None:
    (tmp_path / "house.toml").write_text(
        '[finish]\ntop = "RAL 7035"\n[[control]]\nhole = "A"\nkind = "lamp"\n'
    )
    text = 'style = "house.toml"\n[panel]\nsize = [80, 50]\n[holes.A]\nat = [40, 25]\ndrill = 8\n'
    bench = Bench(tmp_path / "panel.toml")
    colour = changed(text, answer(bench, text, "colour-about", "#d0d0d0"))
    assert '[finish]\ntop = { colour = "#d0d0d0", called = "RAL 7035" }' in colour
    lamp = about(found(bench, text), "covers-assumed")
    assert lamp.question is None  # a list of controls is taken from the style as a whole
    refused = bench.answer(5, 1, text, lamp.number, "12")
    assert isinstance(refused, Refused)


def test_an_answer_to_what_is_not_there_is_refused(bench: Bench) -> None:
    assert isinstance(bench.answer(9, 1, MM, 999, "3"), Refused)
    assert isinstance(bench.answer(9, 1, "[panel", 0, "3"), Refused)


def test_another_bench_knows_the_same_numbers(bench: Bench) -> None:
    finding = about(found(bench, MM), "covers-assumed", "window")
    assert selected(MM, Bench(Path("/nowhere/panel.toml")).answer(1, 1, MM, finding.number, "9"))
