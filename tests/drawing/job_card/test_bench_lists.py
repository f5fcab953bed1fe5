"""The lists of the job card: what is cut, weeded and lifted, and what is filled in by hand."""

from __future__ import annotations

import html
import re
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from legend.description.tables.description import Description
from legend.drawing.job_card.job_card import card_html
from legend.drawing.job_card.weeding import with_care
from legend.layout import lay_out
from legend.length_words import Lengths
from legend.standards import WANTS_CARE
from legend.stencil import cut
from legend.stencil.weeding_list import Island, Kind

KNOB = {"hole": "A", "kind": "knob", "name": "HEAT", "scale": {"from": 0, "to": 10}}
TOGGLE = {
    "hole": "B",
    "kind": "toggle",
    "name": "FAN",
    "positions": {"up": "ON", "down": "OFF"},
}
PANEL: dict[str, Any] = {
    "panel": {"size": [160, 100]},
    "holes": {"A": {"at": [40, 40], "drill": 9}, "B": {"at": [110, 40], "drill": 6}},
    "control": [KNOB, TOGGLE],
    "text": [{"at": [80, 90], "text": "OVEN", "role": "title"}],
}
SHEET = {"method": "paint-through", "stock": "sheet"}
THROUGH = {"method": "paint-through"}


def sections(units: str = "mm", **tables: Any) -> dict[str, str]:
    """What each section of the card says, by its heading, in plain text."""
    raw = PANEL | {"units": units} | tables
    artwork = lay_out(Description.model_validate(raw, context={"units": {"": units}}))
    page = card_html(artwork, cut(artwork).sheets, (), None).decode()
    page = re.sub(r"<(style|svg).*?</\1>", "", page, flags=re.DOTALL)
    _, *rest = re.split(r"<h2>", page)
    found = {}
    for section in rest:
        heading, _, text = section.partition("</h2>")
        said = html.unescape(re.sub(r"<[^>]+>", " ", text.replace("<td", " | <td")))
        found[heading] = " ".join(said.split())
    return found


def rows(section: str) -> list[str]:
    return [each.strip() for each in section.split("|")]


# --- Lifting ---


def test_lifting_is_listed_from_the_top_and_from_the_left_with_what_has_a_box() -> None:
    told = sections()["Lifting"]
    assert "16 letters" not in told
    at = [told.index(place) for place in ("| Title", "| HEAT (A)", "| FAN (B)")]
    assert at == sorted(at)
    assert "| OVEN 4 |" in told
    assert "| FAN 3 ON 2 OFF 3 |" in told
    assert re.search(r"\| graduations \d+ numerals 12 HEAT 4 \|", told)


def test_controls_of_a_row_are_lifted_in_turn_however_far_their_legends_reach() -> None:
    holes = {f"J{k}": {"at": [20 + 20 * k, 40], "drill": 6} for k in range(4)}
    sides = ("above", "below", "above", "below")
    control = [
        {"hole": hole, "kind": "jack", "name": f"N{k}", "side": side}
        for k, (hole, side) in enumerate(zip(holes, sides, strict=True))
    ]
    told = sections(holes=holes, control=control)["Lifting"]
    at = [told.index(f"| N{k} (J{k}) |") for k in range(4)]
    assert at == sorted(at) and told.index("| Title") < at[0]


def test_lines_of_groups_and_what_kept_metal_bare_are_called_what_they_are() -> None:
    """A bracket that its name parts is two loose pieces; a plug is no disc."""
    groups = [{"holes": ["A", "B"], "name": "DRY", "style": "bracket"}]
    bare = [{"hole": "A", "margin": 2}]
    told = sections(group=groups, bare=bare)["Lifting"]
    assert re.search(r"\| Group DRY \|( DRY 3| bracket 2){2} \|", told)
    assert re.search(r" 2 lines and 1 plug\.", told)
    assert "bare-metal plug" in told and "disc" not in told
    through = sections(group=groups, bare=bare, stencil=THROUGH)["Lifting"]
    assert "bare-metal plug" in through and "disc" not in through


def test_so_many_pieces_at_a_rate_are_held_against_the_time_that_the_paint_allows() -> None:
    # OVEN, FAN, ON, OFF, HEAT and eleven numerals of twelve digits are 28 letters.
    enough = sections(bench={"per_mark": "6 s", "lifting": [1, 2]})["Lifting"]
    said = re.match(r"(\d+) loose pieces of film: 28 letters and (\d+) graduations\.", enough)
    assert said and int(said[1]) == 28 + int(said[2])
    takes = -(-int(said[1]) * 6 // 60)
    assert f"At 6 seconds each they take {takes} minutes; the paint allows 60 minutes" in enough
    assert "That suffices." in enough and "What helps" not in enough
    assert enough.split("|")[-1].split()[-3:] == ["0", "h", f"{takes:02}"]


@pytest.mark.parametrize(
    ("lifting", "hands"),
    [
        (["60 min", "63 min"], "A second pair of hands: each is done in 3 minutes."),
        (["60 min", "61 min"], "5 pairs of hands: each is done in 1 minute."),
    ],
)
def test_where_the_time_does_not_suffice_it_says_what_helps(lifting: Any, hands: str) -> None:
    card = sections(bench={"per_mark": "6 s", "lifting": lifting})
    told = card["Lifting"]
    assert "That does not suffice." in told and hands in told
    assert "A slower paint" in told and "The fine ones first" in told
    assert re.search(r"Fewer graduations: the \d+ alone take", told)
    assert "Never spray the coat in two halves" in told
    assert "First read under “Lifting” what helps" in card["Sequence of work"]


def test_of_film_that_is_painted_through_the_pieces_and_their_islands_are_lifted() -> None:
    told = sections(stencil=THROUGH)["Lifting"]
    # O; A, A; the rest of the counters are digits: 0, 4, 6, 8 twice, 9 and 10.
    assert told.startswith("3 pieces of film and ")
    assert "| 1. “OVEN” | film island |" in told
    assert "graduations" not in told


def test_what_helps_with_islands_is_to_leave_them_for_last() -> None:
    told = sections(stencil=THROUGH, bench={"unmasking": ["10 min", "11 min"]})["Lifting"]
    assert "That does not suffice." in told and "then the islands" in told
    assert "Fewer graduations" not in told and "fine ones first" not in told


def test_pieces_without_counters_are_ticked_too() -> None:
    text = [{"at": [80, 50], "text": "LIFT", "role": "note"}]
    told = sections(text=text, control=[])["Weeding"]
    assert "No letter has a counter. 1 “LIFT”" in told


def test_a_sheet_has_no_lifting_and_no_weeding_but_a_count_of_panels() -> None:
    card = sections(stencil=SHEET)
    assert not {"Lifting", "Weeding", "Paint trial"} & card.keys()
    assert card["Panels painted with this stencil"].endswith(" 18 19 20")
    assert "Panels painted with this stencil" not in sections()
    steps = card["Sequence of work"]
    assert "Bolt the stencil on, and hold it flat" in steps and "and clean it" in steps
    assert "Seal the edges" not in steps and "Weed the pieces" not in steps


# --- The paint trial ---


def test_the_trial_has_a_box_for_each_quarter_hour_until_it_is_known_when_to_lift() -> None:
    card = sections()
    assert "| 15 | 30 | 45 | 60 | 75 | 90 | 105 | 120 |" in card["Paint trial"]
    assert "Begin the paint trial" in card["Sequence of work"]
    known = sections(bench={"lifting": ["45 min", "90 min"]})
    assert "Paint trial" not in known and "paint trial" not in known["Sequence of work"]
    assert "from 0 h 45 to 1 h 30 after the top coat" in known["Lifting"]
    assert "Paint trial" not in sections(stencil=THROUGH)


def test_the_trial_is_ahead_by_what_is_done_until_the_top_coat_is_on() -> None:
    told = sections(bench={"per_piece": "10 min", "sealing": "20 min", "top_coat": "15 min"})
    assert "The scrap is 1 h 05 ahead of the panel" in told["Sequence of work"]


# --- Files and settings ---


def test_every_file_is_named_in_its_step() -> None:
    told = sections(stencil={"stock_size": [60, 30]})["Sequence of work"]
    for name in ("overlay.pdf", "coupon.svg", "stencil-1.svg", "placement-card-1.svg"):
        assert name in told
    assert "legend coupon panel.toml" in told


@pytest.mark.parametrize(
    ("tables", "said"),
    [
        ({}, "Speed: slow. Overrun: none in the files;"),
        ({"lettering": {"height": 8}}, "Speed: medium."),
        ({"lettering": {"height": 8}, "stencil": SHEET}, "Speed: slow."),
        ({"stencil": {"overrun": 0.3}}, "Overrun: 0.3 mm, drawn in the files; set none"),
        ({"stencil": {"lead_in": 0.5}}, "Lead-in: 0.5 mm, drawn in the files; set none"),
        (
            {"stencil": {"lead_in": 0.5, "overrun": 0.3}},
            "Lead-in: 0.5 mm and overrun: 0.3 mm, drawn in the files; set none",
        ),
        ({"stencil": {"mirror": True}}, "mirrored already"),
        ({"stencil": {"test_square": True}}, "Measure the test square on each sheet"),
        ({"stencil": {"least_stroke": 0.25}}, "counts on strokes of 0.25 mm, gaps of 0.3 mm"),
        ({"stencil": SHEET}, "bridges of 0.5 mm"),
    ],
)
def test_what_is_set_for_the_cutter(tables: dict[str, Any], said: str) -> None:
    assert said in sections(**tables)["Sequence of work"]


@pytest.mark.parametrize(
    ("stencil", "said"),
    [
        ({}, "A disc in its hole shows that the piece is centred"),
        ({"registration": "cross"}, "so do its cross lines on the scribed ones"),
        ({"registration": "none"}, "trim the tape exactly to the weeding box"),
        ({"method": "paint-through"}, "A circle on its hole shows that the piece is centred"),
        ({"piece": "panel", "stock_size": [400, 300]}, "lay it flush with the edges of the panel"),
        (
            {"piece": "panel", "method": "paint-through", "stock_size": [400, 300]},
            "mask what it does not cover",
        ),
    ],
)
def test_how_pieces_are_laid_is_that_of_their_marks(stencil: dict[str, Any], said: str) -> None:
    told = sections(stencil=stencil)["Sequence of work"]
    assert said in told
    assert ("cross lines" in told) == (stencil.get("registration") == "cross")
    assert ("disc in its hole" in told) == (
        "registration" not in stencil or stencil["registration"] == "cross"
    ) * ("method" not in stencil)


def test_the_knife_s_way_and_time_stand_with_each_sheet() -> None:
    told = sections(stencil={"stock_size": [60, 30]})["Stock and paint"]
    sheets = re.findall(r"Sheet \d+: .*?; ([\d.]+) m to cut, (\d+) minutes?", told)
    assert len(sheets) > 1 and all(float(length) > 0 for length, _ in sheets)


# --- The clear coat ---


@pytest.mark.parametrize(
    ("clear_coat", "begins", "after"),
    [(None, 48 * 60, "Let the top coat dry"), ([1, 36], 36 * 60, "dry"), ([2, 36], 120, "Lift")],
)
def test_a_clear_coat_goes_on_in_its_own_window(clear_coat: Any, begins: int, after: str) -> None:
    bench = {} if clear_coat is None else {"clear_coat": clear_coat}
    card = sections(finish={"clear": "matt lacquer"}, bench=bench)
    told = card["Sequence of work"]
    clock = r"\| (\d+) h (\d+) \| (\d+) h (\d+) \| \d+\. "
    top = re.search(clock + "Spray the top coat", told)
    clear = re.search(clock + "Spray the clear coat", told)
    handled = re.search(clock + "Leave it alone", told)
    assert top and clear and handled
    hours = [[int(each) for each in found.groups()] for found in (top, clear, handled)]
    painted, cleared = 60 * hours[0][2] + hours[0][3], 60 * hours[1][0] + hours[1][1]
    assert cleared - painted == begins
    assert 60 * hours[2][2] + hours[2][3] == cleared + 30 + 24 * 60
    assert "Clear coat, matt lacquer: about" in card["Stock and paint"]
    assert ("Let the top coat dry" in told) is (begins > 120)
    assert "clear_coat in [bench]" in card["Filled in by hand"]


def test_no_clear_coat_is_said_too() -> None:
    for finish in ({}, {"clear": "none"}, {"clear": "None"}):
        card = sections(finish=finish)
        assert "No clear coat" in card["Stock and paint"]
        assert "clear coat" not in card["Sequence of work"]


def test_paint_is_told_in_the_units_of_the_panel() -> None:
    """A tenth of a square metre takes 20 ml a coat: three of the base and one of the seal."""
    plain: dict[str, Any] = {"holes": {}, "control": [], "text": []}
    told = sections(panel={"size": [500, 200]}, **plain)["Stock and paint"]
    assert "about 80 ml for 1000 cm²" in told and "about 40 ml" in told
    told = sections("in", panel={"size": ["500 mm", "200 mm"]}, **plain)["Stock and paint"]
    assert "about 2.8 fl oz for 155 sq in" in told and "about 1.4 fl oz" in told
    assert " ml" not in told


# --- By hand, and what went wrong ---


def test_what_is_filled_in_is_in_the_units_of_the_panel() -> None:
    assert "Bars of the overlay, 100 mm" in sections()["Filled in by hand"]
    inches = sections("in", panel={"size": [6, 4]}, holes={}, control=[], text=[])
    assert "Bars of the overlay, 4 in" in inches["Filled in by hand"]


@pytest.mark.parametrize("stencil", [{}, THROUGH, SHEET, {"copies": 2}])
def test_there_is_help_for_what_goes_wrong(stencil: dict[str, Any]) -> None:
    told = sections(stencil=stencil)["When it goes wrong"]
    assert "Common practice, without a source." in told and "wrinkles" in told
    assert ("A bridge is torn" in told) is (stencil == SHEET)
    assert ("legend cut panel.toml --piece" in told) is (stencil != SHEET)
    assert ("Take its spare" in told) is ("copies" in stencil)
    assert ("A letter was lost" in told) is (stencil.get("method") is None)


# --- Weeding ---


def test_commas_accents_and_dots_are_called_what_they_are() -> None:
    text = [{"at": [80, 40], "text": "0,5 à 1.5 kHz: i’é", "role": "note"}]
    told = sections(text=text, lettering={"height": 2.5}, control=[])["Weeding"]
    for said in ("comma", "point", "colon (2)", "dot of i", "accent of é"):
        assert said in told


def test_pieces_are_weeded_in_the_order_of_the_panel() -> None:
    told = rows(sections()["Weeding"])
    assert [each for each in told if each in ("“OVEN”", "HEAT (A)", "FAN (B)")] == [
        "“OVEN”",
        "HEAT (A)",
        "FAN (B)",
    ]


def test_what_the_coupon_must_carry_is_written_as_on_the_coupon() -> None:
    """A step of it that says 0.016 is not looked for as 1/64."""
    tables: dict[str, Any] = {"holes": {}, "control": [], "panel": {"size": [6, 4]}}
    title = {"at": [3, 2], "text": "OVEN", "role": "title"}
    told = sections("in", stencil=SHEET, text=[title], **tables)["Sequence of work"]
    assert "strokes of 0.016 in, gaps of 0.020 in and bridges of 0.020 in" in told


# --- How pieces are laid ---

SMALL = {"stock_size": [90, 200], "piece": "panel"}


@pytest.mark.parametrize(
    ("stencil", "after"),
    [
        (SMALL, "peel the marks off again"),
        (SMALL | THROUGH, "leave the film in the marks"),
        (SMALL | SHEET, "cover the join and its marks with tape"),
    ],
)
def test_the_step_tells_what_becomes_of_join_marks(stencil: dict[str, Any], after: str) -> None:
    """What is only among the notes is forgotten by the time that paint goes on."""
    told = sections(stencil=stencil)["Sequence of work"]
    assert "Pieces 1 and 2 meet at join marks: lay them edge to edge" in told and after in told
    assert "join marks" not in sections(stencil=stencil | {"stock_size": [200, 200]})["Pieces"]
    assert (
        "join marks"
        not in sections(stencil=stencil | {"stock_size": [200, 200]})["Sequence of work"]
    )


def test_centre_lines_are_scribed_before_the_base_coat() -> None:
    """Under it the metal is out of reach."""
    panel = {"outline": {"diameter": 160}}
    told = sections(panel=panel, text=[])["Sequence of work"]
    at = told.index("First scribe the centre lines, one upright and one level, that the distances")
    assert at < told.index("Rub it down") < told.index("Spray the base coat")
    assert "scribe" not in sections()["Sequence of work"]


@pytest.mark.parametrize("stencil", [{}, THROUGH])
def test_every_way_to_lay_film_is_told_for_either_method(stencil: dict[str, Any]) -> None:
    told = sections(stencil=stencil)["Sequence of work"]
    assert "by its distances, under “Pieces”, through its window in a placement card, or by" in told
    told = sections(stencil=stencil | {"card_size": [20, 20]})["Sequence of work"]
    assert "lay it down by its distances, under “Pieces”, or by the overlay." in told


@pytest.mark.parametrize("stencil", [{}, SHEET])
def test_one_piece_is_not_spoken_of_as_several(stencil: dict[str, Any]) -> None:
    told = sections(stencil=stencil | {"piece": "panel"})["Sequence of work"]
    assert " each, in the order" not in told and "each piece" not in told
    assert "One piece, 5 minutes." in told or "Bolt the stencil to the panel" in told


# --- Weeding ---


@pytest.mark.parametrize("units", ["mm", "in"])
@given(across=st.floats(0.01, WANTS_CARE - 1e-4))
def test_what_wants_care_is_said_to_be_narrower_than_its_heading_says(
    units: str, across: float
) -> None:
    island = Island(Kind.COUNTER, "LAMP", "A", across, (0, 0))
    limit = Fraction(1, 32) if units == "in" else Fraction("0.8")
    (told,) = with_care([island], Lengths(units))
    assert Fraction(told[told.index("(") + 1 : -1]) < limit


def test_a_sheet_that_hangs_on_one_round_hole_is_laid_by_its_distances() -> None:
    told = sections(stencil=SHEET | {"piece": "control"}, bare=[])["Sequence of work"]
    assert "not held true by that: turn or push" in told
    assert "not held true" not in sections(stencil=SHEET, bare=[])["Sequence of work"]
