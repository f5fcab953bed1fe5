"""Ready tables put into a description: each parses, lays out, and takes holes that suit it."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from small_panel import IN, MM, changed, line_of, selected

from legend.page.content.bench import Bench
from legend.page.content.ready_tables import READY
from legend.page.messages import Change, Drawing, Refused

SAMPLES = Path(__file__).parents[3] / "samples"
#: What a panel is warned of on which such a table is not filled in yet.
UNFILLED = {"hole": {"hole-unused"}, "toggle": {"same-name"}}


def put(bench: Bench, text: str, ready: str, line: int = 1) -> Change:
    bench.draw(1, text)
    change = bench.put_in(8, 1, text, ready, line)
    assert isinstance(change, Change), change
    assert (change.ask, change.revision) == (8, 1)
    return change


def amiss(bench: Bench, text: str) -> set[str]:
    """The codes of what would spoil the panel, or is to be looked at."""
    drawing = bench.draw(2, text)
    assert isinstance(drawing, Drawing), drawing
    found = bench.find(2, text)
    assert found
    return {each.code for each in found.findings if each.heap != "granted"}


def is_kept(before: Any, now: Any) -> bool:
    """Whether all that was said is said still, whatever else is."""
    if isinstance(before, dict):
        return all(key in now and is_kept(value, now[key]) for key, value in before.items())
    if isinstance(before, list) and before and isinstance(before[0], dict):
        return [each for each in now if each in before] == before
    return bool(before == now)


@pytest.mark.parametrize("text", [MM, IN], ids=["mm", "in"])
@pytest.mark.parametrize("ready", READY)
def test_each_parses_and_lays_out_in_a_good_panel(bench: Bench, text: str, ready: str) -> None:
    text = text.replace('[[group]]\nholes = ["A", "B"]\nstyle = "frame"\n', "")
    assert amiss(bench, text) == set()
    after = changed(text, put(bench, text, ready, line_of(text, "[[control]]", 2)))
    assert amiss(bench, after) <= UNFILLED.get(ready, set())
    before, now = tomllib.loads(text), tomllib.loads(after)
    assert now != before and is_kept(before, now)


@pytest.mark.parametrize("ready", READY)
def test_each_lays_out_on_a_panel_with_nothing_on_it(bench: Bench, ready: str) -> None:
    text = "[panel]\nsize = [120, 80]\n"
    bench.draw(1, text)
    change = bench.put_in(8, 1, text, ready, 2)
    if READY[ready].fitted:
        assert isinstance(change, Refused) and "put in such first" in change.words
    else:
        assert amiss(bench, changed(text, change)) <= UNFILLED.get(ready, set())


def test_every_table_says_what_it_is() -> None:
    titles = [table.title for table in READY.values()]
    assert len(set(titles)) == len(titles) and all(titles)


def test_a_hole_that_is_drilled_and_empty_is_taken(bench: Bench) -> None:
    text = MM.replace(
        "[[control]]",
        "S = { at = [20, 20], drill = 3.2 }\nL = { at = [60, 20], drill = 8 }\n\n[[control]]",
        1,
    )
    change = put(bench, text, "lamp")
    assert 'hole = "L"\nkind = "lamp"' in changed(text, change)
    assert "placeholder" not in change.text
    assert selected(text, change) == "READY"
    assert 'hole = "S"\nkind = "screw"' in changed(text, put(bench, text, "screw"))
    # A fuse holder wants a larger hole than either.
    assert "placeholder" in put(bench, text, "fuse").text


def test_the_empty_hole_of_the_line_is_taken_first(bench: Bench) -> None:
    holes = "".join(
        f"L{number} = {{ at = [{50 - 10 * number}, 20], drill = 5 }}\n" for number in range(4)
    )
    text = MM.replace(
        "[[control]]", f"DC = {{ at = [70, 20], drill = 8 }}\n{holes}\n[[control]]", 1
    )
    after = changed(text, put(bench, text, "lamp", line_of(text, "L1 = ")))
    assert 'hole = "L1"\nkind = "lamp"' in after
    # The next one beside it goes into a hole like it.
    after = changed(after, put(bench, after, "lamp", line_of(after, 'hole = "L1"')))
    assert 'hole = "L0"\nkind = "lamp"' in after
    # A row is of those beside it, from the left.
    put_in = put(bench, text, "bank", line_of(text, "L3 = ")).text
    assert 'holes = ["L3", "L2", "L1"]' in put_in
    # A large hole is meant, too, where the line says so.
    text = text.replace("at = [70, 20], drill = 8", "at = [70, 20], drill = 30")
    assert 'hole = "DC"' in put(bench, text, "lamp", line_of(text, "DC = ")).text
    assert 'hole = "DC"' not in put(bench, text, "lamp").text


def test_what_is_fitted_first_stands_behind_the_holes(bench: Bench) -> None:
    text = "[panel]\nsize = [120, 80]\n\n[holes]\nA = { at = [20, 20], drill = 8 }\n\n# Words.\n"
    text += '[[text]]\nat = [60, 60]\ntext = "POT"\n\n# The end.\n'
    after = changed(text, put(bench, text, "lamp", line_of(text, "A = ")))
    assert [each for each in after.split("\n") if each.startswith("[")] == [
        "[panel]",
        "[holes]",
        "[[control]]",
        "[[text]]",
    ]
    assert after.index("[[control]]") < after.index("# Words.")


def test_holes_of_screws_are_not_taken_for_empty(bench: Bench) -> None:
    text = MM.replace('"C D" = {', 'V = { at = [20, 20], drill = 3.2 }\n"C D" = {')
    text = text.replace('kind = "window"', 'kind = "window"\nfixings = ["V"]')
    assert 'hole = "SCREW"' in put(bench, text, "screw").text


def test_a_placeholder_stands_clear_of_all_and_has_a_name_of_its_own(bench: Bench) -> None:
    text = MM
    for name in ("JACK", "JACK1", "JACK2"):
        text = changed(text, put(bench, text, "jack"))
        text = text.replace('name = "INPUT"', f'name = "{name}"')
        assert f"\n{name} = {{ at = [" in text
    assert amiss(bench, text) == set()


def test_it_stands_after_the_table_of_the_caret(bench: Bench) -> None:
    line = line_of(MM, "name = ")
    after = changed(MM, put(bench, MM, "text", line))
    kinds = [line for line in after.split("\n") if line.startswith("[[")]
    assert kinds == ["[[control]]", "[[text]]", "[[control]]", "[[control]]", "[[group]]"]
    assert "\n\n[[text]]\n" in after and "\n\n\n" not in after
    # The positions of the toggle stay its own.
    after = changed(MM, put(bench, MM, "lamp", line_of(MM, 'name = "POWER"')))
    controls = tomllib.loads(after)["control"]
    assert [each["kind"] for each in controls] == ["knob", "toggle", "lamp", "window"]
    assert controls[1]["positions"] == {"up": "ON", "down": "OFF"}
    # Among the tables that are said but once it stands where the others of its kind do.
    after = changed(MM, put(bench, MM, "lamp", line_of(MM, "[stencil]")))
    assert [each["kind"] for each in tomllib.loads(after)["control"]][-1] == "lamp"


def test_places_are_measured_from_the_datum(bench: Bench) -> None:
    text = '[panel]\nsize = [100, 60]\ndatum = "upper right"\n'
    text += '[[text]]\nat = [25, 30]\ntext = "MUCH HERE"\n'
    after = changed(text, put(bench, text, "hole"))
    (hole,) = tomllib.loads(after)["holes"].values()
    x, y = hole["at"]
    assert 50 < x < 100 and 0 < y < 60  # left of the middle, counted from the right


def test_on_an_inch_panel_lengths_are_fractions(bench: Bench) -> None:
    text = 'units = "in"\n[panel]\nsize = [4, 11]\n'
    after = changed(text, put(bench, text, "knob"))
    assert 'drill = "3/8"' in after and 'covers = "25/32"' in after
    (hole,) = tomllib.loads(after)["holes"].values()
    assert all(
        isinstance(each, int) or re.fullmatch(r"(\d+ )?\d+/\d+", each) for each in hole["at"]
    )
    assert amiss(bench, after) == set()


def test_holes_of_a_list_are_used_and_others_added_beside_it() -> None:
    path = SAMPLES / "kiln-controller" / "panel.toml"
    text, bench = path.read_text(encoding="utf-8"), Bench(path)
    after = changed(text, put(bench, text, "lamp", 12))
    assert "[holes]\nLAMP = {" in after
    assert "error" not in amiss(bench, after)


def test_what_cannot_be_put_in_is_refused_in_words(bench: Bench) -> None:
    assert isinstance(bench.put_in(1, 1, MM, "no such", 1), Refused)
    refused = bench.put_in(1, 1, "[panel", "knob", 1)
    assert isinstance(refused, Refused) and "cannot be read" in refused.words
    holes = MM[MM.index("A = {") : MM.index("[[control]]")]
    drilled = MM.replace("[[control]]", f"[as_drilled.holes]\n{holes}[[control]]", 1)
    refused = bench.put_in(1, 1, drilled, "knob", 1)
    assert isinstance(refused, Refused)
    assert refused.words.startswith(
        'It cannot be put in: Hole "KNOB" is not among those as drilled'
    )


def test_a_group_is_round_neighbours_that_are_in_none(bench: Bench) -> None:
    text = MM.replace('[[group]]\nholes = ["A", "B"]\nstyle = "frame"\n', "")
    assert 'holes = ["A", "B"]' in changed(text, put(bench, text, "group"))
    refused = bench.put_in(1, 1, MM, "group", 1)
    assert isinstance(refused, Refused)  # only the window is in no group yet
