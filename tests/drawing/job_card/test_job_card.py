"""The job card: what it says, in which order, and that nothing breaks out of it."""

from __future__ import annotations

import html.parser
import re
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from legend.description.source import Source
from legend.description.tables.description import Description
from legend.drawing.job_card.job_card import write_card
from legend.layout import lay_out
from legend.layout.artwork import Artwork, Finding, Severity
from legend.lettering.outlines.outline import Outline
from legend.stencil import cut
from legend.stencil.sheet import Cut, Piece, Placed, Sheet
from legend.stencil.sheet import Path as CutPath
from legend.writing import is_ours

SOURCE = Source("panel.toml", 7)

_VOID = {"meta", "br", "img", "link", "input", "hr"}


class Reader(html.parser.HTMLParser):
    """Reads text and tags, and complains where tags do not close in order."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.rows: list[list[str]] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        if tag not in _VOID:
            self.open.append(tag)
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" in self.open or "svg" in self.open:
            return
        data = data.replace("\u00a0", " ")
        self.text += data
        if "td" in self.open or "th" in self.open:
            self.rows[-1][-1] += data


def read(path: Path) -> Reader:
    reader = Reader()
    reader.feed(path.read_text(encoding="utf-8"))
    assert reader.open == []
    return reader


#: A warning, an error, and notes for the bench and for the desk.
FOUND = (
    Finding(Severity.WARNING, "near-part", "The toggle covers <11> mm.", SOURCE, "See `covers`."),
    Finding(Severity.ERROR, "over-hole", "O & I meet.", SOURCE, "Move <b>one</b>."),
    Finding(Severity.NOTE, "piece-split", "Lay them edge to edge.", SOURCE),
    Finding(Severity.NOTE, "fuse-form", "No volts stand there.", SOURCE, "Write them."),
)


@pytest.fixture
def card(artwork: Artwork, sheets: tuple[Sheet, ...], tmp_path: Path) -> Reader:
    findings = FOUND
    write_card(artwork, sheets, findings, tmp_path / "job-card.html")
    return read(tmp_path / "job-card.html")


def test_it_stands_alone(artwork: Artwork, tmp_path: Path) -> None:
    path = tmp_path / "job-card.html"
    write_card(artwork, None, (), path)
    text = path.read_text(encoding="utf-8")
    assert is_ours(path)
    assert text.startswith("<!DOCTYPE html>")
    assert not re.search(r"<script|<link|<img|@import|url\(|\bsrc=|\bhref=", text)
    assert read(path).tags.count("svg") == 1


def test_what_the_user_wrote_is_escaped(card: Reader) -> None:
    assert "DOME <1> & CO" in card.text
    assert "The toggle covers <11> mm." in card.text
    assert "Move <b>one</b>." in card.text
    assert "b" not in card.tags


def test_findings_come_first_and_the_worst_of_them_at_the_top(card: Reader) -> None:
    assert card.text.index("Before you begin") < card.text.index("Sequence of work")
    assert card.text.index("O & I meet.") < card.text.index("The toggle covers")
    assert "panel.toml:7" in card.text
    assert ["Warning", "The toggle covers <11> mm. panel.toml:7", "See covers."] in card.rows
    assert "code" in card.tags


def test_notes_that_nobody_at_the_bench_can_act_on_are_left_out(card: Reader) -> None:
    assert "Lay them edge to edge." in card.text
    assert "No volts" not in card.text


def test_each_piece_is_set_off_from_the_edges_at_the_datum(
    make_artwork: Callable[..., Artwork],
    make_sheets: Callable[..., tuple[Sheet, ...]],
    tmp_path: Path,
) -> None:
    path = tmp_path / "job-card.html"
    artwork = make_artwork()
    write_card(artwork, make_sheets(artwork, copies=2), (), path)
    rows = read(path).rows
    # The bar is 1.2 × 8 at (20, 40), the margin 2 mm, on a panel of 100 × 60 mm.
    assert ["1", "I", "18.0", "38.0", "5.2 × 12.0", "1 (1 spare)"] in rows
    panel = {"size": (100.0, 60.0), "datum": "upper right"}
    artwork = make_artwork(panel=panel)
    write_card(artwork, make_sheets(artwork), (), path)
    reader = read(path)
    assert ["1", "I", "76.8", "10.0", "5.2 × 12.0", "1"] in reader.rows
    assert "from the right edge and the top edge" in reader.text


def test_inches_where_the_description_is_in_inches(
    make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    path = tmp_path / "job-card.html"
    artwork = make_artwork(units="in", panel={"size": ("100 mm", "60 mm")}, holes={}, control=[])
    write_card(artwork, None, (), path)
    assert "panel 3 15/16 × 2.362 in" in read(path).text


def test_counters_are_counted(card: Reader) -> None:
    weeding = card.rows[[row[-1][:9] for row in card.rows].index("With care") :]
    assert ["", "2", "O", "1", "O", ""] in weeding
    assert ["", "1", "I", "", "", ""] in weeding  # it is weeded, though it has no counter
    assert "bare disc" not in [row[2] for row in weeding if len(row) == 6]


def test_symbols_are_named_as_one_would_say_them(artwork: Artwork, tmp_path: Path) -> None:
    path = tmp_path / "job-card.html"
    outline = artwork.marks[0].outline
    box = (18.0, 38.0, 24.0, 50.0)
    cut = (CutPath(Cut.MARK, outline),)
    piece = Piece(1, "symbol:protective-earth (E)", ("E",), Outline.rectangle(*box), cut)
    sheet = Sheet(1, (100.0, 50.0), (Placed(piece, (1, 0, 0, 1, 0, 0), 1, False),))
    write_card(artwork, (sheet,), (), path)
    assert "protective earth symbol (E)" in [row[1] for row in read(path).rows if len(row) > 1]


def test_assumed_covers_are_listed_to_be_measured(card: Reader) -> None:
    measure = card.text[card.text.index("Measure these parts") : card.text.index("Sequence")]
    assert "toggle, 10.9 mm across: B" in measure
    assert "knob" not in measure  # its size is given
    assert "window" not in measure  # it covers nothing but its cut-out


def steps(card: Reader) -> list[list[str]]:
    return [
        [*row[1:3], row[3].split("\n")[0]]
        for row in card.rows
        if len(row) == 4 and re.match(r"\d+\. ", row[3])
    ]


def times(card: Reader) -> dict[str, tuple[str, str]]:
    """When each step begins and ends, by its title."""
    return {title.partition(". ")[2]: (begin, end) for begin, end, title in steps(card)}


def minutes(told: str) -> int:
    hours, rest = told.split(" h ")
    return 60 * int(hours) + int(rest)


def test_the_letters_are_lifted_one_to_two_hours_after_spraying(
    artwork: Artwork, sheets: tuple[Sheet, ...], tmp_path: Path
) -> None:
    path = tmp_path / "job-card.html"
    write_card(artwork, sheets, (), path, start=datetime(2031, 5, 3, 22, 0))
    by_title = times(read(path))
    # Printing takes 15 minutes, the coupon 30, the sheet 5 and less than one for the cutting.
    assert by_title["Clean the metal"] == ("Sat 3 May, 22:51", "Sat 3 May, 23:21")
    # The base coat takes 45 minutes and a day, the trial 10, three pieces 15, sealing 15.
    assert by_title["Spray the top coat"] == ("Mon 5 May, 00:46", "Mon 5 May, 01:16")
    assert by_title["Lift the letters"] == ("Mon 5 May, 02:16", "Mon 5 May, 03:16")


def test_times_are_settings_and_run_from_nought_without_a_start(
    make_artwork: Callable[..., Artwork], sheets: tuple[Sheet, ...], tmp_path: Path
) -> None:
    path = tmp_path / "job-card.html"
    bench = {"cleaning": "10 min", "base_coat": "20 min", "base_drying": 1, "per_piece": "1 min"}
    bench |= {"top_coat": "5 min", "lifting": [0.5, 2], "printing": "2 min", "coupon": "3 min"}
    bench |= {"per_sheet": "4 min", "cutting_speed": 1, "sealing": "6 min"}
    bench |= {"per_contour": "1 min", "per_counter": "2 min"}
    write_card(make_artwork(bench=bench), sheets, (), path)
    by_title = times(read(path))
    assert "Times that the description does not give" in read(path).text
    # The bar and its box are 18.4 and 34.4 mm, the ring 2π(4.5 + 3.5) and 52, the rule 161.6 and
    # 177.6 mm, and the disc 12π: 532 mm, or 9 minutes at a millimetre a second.
    assert by_title["Cut the sheet"] == ("0 h 05", "0 h 18")
    assert by_title["Let the base coat dry"] == ("0 h 48", "1 h 48")
    # Three marks with their boxes, the disc, and one counter.
    assert by_title["Weed the pieces"] == ("0 h 48", "0 h 57")
    assert by_title["Put the letters on"] == ("1 h 48", "1 h 51")
    assert by_title["Seal the edges of the film"] == ("1 h 51", "1 h 57")
    assert by_title["Spray the top coat"] == ("1 h 57", "2 h 02")
    assert by_title["Lift the letters"] == ("2 h 32", "4 h 02")


def test_work_and_waiting_add_up(card: Reader) -> None:
    said = re.search(
        r"(\d+ h \d\d) of work and (\d+ h \d\d) of waiting, (\d+ h \d\d) from", card.text
    )
    assert said
    work, waiting, in_all = map(minutes, said.groups())
    assert work + waiting == in_all == minutes(times(card)["Fit the parts"][0])
    # What is done step by step, but for the waits, and for lifting, whose window is longer.
    busy = [
        minutes(end) - minutes(begin)
        for title, (begin, end) in times(card).items()
        if end and title not in ("Let the base coat dry", "Leave it alone", "Lift the letters")
    ]
    assert work == sum(busy) + 1  # four loose pieces at 15 seconds each


def test_each_step_follows_the_one_before_but_for_what_is_done_in_the_drying(card: Reader) -> None:
    told = times(card)
    dry = told["Let the base coat dry"]
    assert told.pop("Weed the pieces")[0] == dry[0]
    ends = [minutes(end or begin) for begin, end in told.values()]
    begins = [minutes(begin) for begin, _ in told.values()]
    assert begins[1:] == sorted(begins[1:])
    gaps = [b - e for e, b in zip(ends, begins[1:], strict=False)]
    assert [gap for gap in gaps if gap] == [60]  # the paint sets before the letters are lifted


@pytest.mark.parametrize(
    ("method", "stock", "said", "unsaid"),
    [
        ("lift-off", "film", "Lift the letters", "Take the stencil off"),
        ("paint-through", "film", "Take the stencil off", "Lift the letters"),
        ("paint-through", "sheet", "Bolt each piece to the panel", "Weed the letters"),
    ],
)
def test_the_sequence_is_that_of_the_method(
    method: str, stock: str, said: str, unsaid: str, make_artwork: Callable[..., Artwork],
    tmp_path: Path,
) -> None:  # fmt: skip
    path = tmp_path / "job-card.html"
    write_card(make_artwork(stencil={"method": method, "stock": stock}), None, (), path)
    text = read(path).text
    assert said in text and unsaid not in text


@pytest.mark.parametrize(
    ("control", "cautioned"),
    [
        ({"hole": "A", "kind": "toggle", "mains": True}, True),
        ({"hole": "A", "kind": "fuse"}, True),
        ({"hole": "A", "kind": "toggle"}, False),
    ],
)
def test_the_mains_caution_stands_where_there_is_mains(
    control: dict[str, object], cautioned: bool, make_artwork: Callable[..., Artwork],
    tmp_path: Path,
) -> None:  # fmt: skip
    path = tmp_path / "job-card.html"
    write_card(make_artwork(control=[control]), None, (), path)
    text = read(path).text
    assert ("licensed" in text) is cautioned
    assert "respirator" in text and "Blades cut" in text and "no safety certification" in text


_CAME_OUT = {"A": (20.3, 24.9), "B": (60.0, 26.2)}


def _as_drilled(make_artwork: Callable[..., Artwork], tmp_path: Path, **more: object) -> Reader:
    holes = {"A": {"at": (20, 25), "drill": 9.5}, "B": {"at": (60, 25), "drill": 6.35}}
    measured = {"holes": {id: {"at": at} for id, at in _CAME_OUT.items()}} | more
    write_card(
        make_artwork(holes=holes, control=[], bare=[], as_drilled=measured),
        None,
        (),
        tmp_path / "job-card.html",
    )
    return read(tmp_path / "job-card.html")


def test_how_far_off_holes_are_stands_beside_them(
    make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    reader = _as_drilled(make_artwork, tmp_path)
    assert ["A", "Ø 9.5", "20.3", "24.9", "+0.30", "−0.10", "", ""] in reader.rows
    assert ["B", "Ø 6.35", "60.0", "26.2", "0.00", "+1.20", "", ""] in reader.rows
    # The root of the mean of 0.10 and 1.44 mm².
    assert "off by 0.88 mm (root mean square), B the furthest, by 1.20 mm." in reader.text
    assert "best fit" not in reader.text


def test_a_fit_is_told(make_artwork: Callable[..., Artwork], tmp_path: Path) -> None:
    reader = _as_drilled(make_artwork, tmp_path, datum="best fit")
    # The second hole lies 1.3 mm higher than the first over 39.7 mm, and that is taken out.
    assert "laid upon the design by the best fit, turned by 1.88° clockwise." in reader.text


def test_nothing_is_said_of_what_was_not_given(card: Reader) -> None:
    assert "Times are common practice" in card.text
    assert "Off upwards" not in card.text and "root mean square" not in card.text


def test_distances_are_told_as_given_and_their_points_stand_below_each_other(
    make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    path = tmp_path / "job-card.html"
    holes = {"A": {"at": (20, 25.5), "drill": 9.5}, "B": {"at": (60.25, 25), "drill": 6.35}}
    write_card(make_artwork(holes=holes, control=[], bare=[]), None, (), path)
    text = path.read_text(encoding="utf-8")
    cells = re.findall(r'<td class="number">(.*?)</td>', text)
    unseen = '<span class="unseen">{}</span>'.format
    assert cells == [f"20{unseen('.00')}", "25.5", "60.25", f"25{unseen('.0')}"]
    assert ".unseen { visibility: hidden; }" in text


def test_discs_and_plugs_are_told_in_the_units_of_the_description(
    make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    path = tmp_path / "job-card.html"
    holes = {"E": {"at": (20, 20), "drill": 6}, "F": {"at": (60, 20), "drill": 6}}
    for diameters, said in (
        ({"E": "3/4 in"}, "bare-metal disc on: E (3/4 in)"),
        ({"E": "3/4 in", "F": "1/2 in"}, "bare-metal discs on: E (3/4 in), F (1/2 in)"),
    ):
        bare = [{"hole": hole, "diameter": diameter} for hole, diameter in diameters.items()]
        artwork = make_artwork(units="in", holes=holes, control=[], bare=bare)
        write_card(artwork, None, (), path)
        assert said in read(path).text


@pytest.mark.parametrize(
    ("handling", "said"),
    [("1 min", "1 minute"), ("90 min", "90 minutes"), (36, "36 hours"), ("2 days", "2 days")],
)
def test_how_long_it_takes_is_told_in_words(
    handling: object, said: str, make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    path = tmp_path / "job-card.html"
    bench = {"handling": handling, "lifting": [0, 0], "unmasking": [0, 0], "hard": "9 days"}
    write_card(make_artwork(bench=bench), None, (), path)
    assert f"handled after {said}; it is hard after 9 days." in read(path).text


@pytest.mark.parametrize(
    ("recoat", "said", "dry", "sealed"),
    [
        (None, "Look on the can when the base coat can be painted over", 24, True),
        ([1, 24], "begins 24 h 25 after the base coat: rightly not before 24 hours,", 24, True),
        ([1, 48], "begins 48 h 25 after the base coat: rightly not before 2 days,", 48, True),
        ([0, 25], "begins 25 h 25 after the base coat: rightly not before 25 hours,", 25, False),
        ([0.1, 30], "begins 30 h 25 after the base coat: rightly not before 30 hours,", 30, False),
        (
            [36, 72],
            "begins 24 h 25 after the base coat, within the 36 hours that it takes;",
            24,
            True,
        ),
    ],
)
def test_no_plan_has_a_coat_in_the_time_in_which_the_base_coat_wrinkles(
    recoat: object, said: str, dry: int, sealed: bool, make_artwork: Callable[..., Artwork],
    sheets: tuple[Sheet, ...], tmp_path: Path,
) -> None:  # fmt: skip
    """The trial and three pieces take 25 minutes once the base coat is dry."""
    path = tmp_path / "job-card.html"
    bench = {} if recoat is None else {"recoat": recoat}
    write_card(make_artwork(bench=bench), sheets, (), path)
    card = read(path)
    text = " ".join(card.text.split())
    assert said in text
    begin, end = map(minutes, times(card)["Let the base coat dry"])
    assert end - begin == 60 * dry
    assert ("it takes no coat until" in text) is (dry > 24)
    assert ("Seal the edges of the film" in times(card)) is sealed
    assert ("are not sealed" in text) is not sealed


def test_what_stands_over_a_letter_is_an_accent_or_a_dot(tmp_path: Path) -> None:
    description = Description.model_validate(
        {
            "panel": {"size": (100, 40)},
            "lettering": {"height": 2.5},
            "text": [{"at": (50, 20), "text": "Réglé Öl i"}],
        }
    )
    artwork = lay_out(description)
    path = tmp_path / "card.html"
    write_card(artwork, cut(artwork).sheets, (), path)
    said = path.read_text("utf-8")
    assert "accent of é" in said and "dot of Ö" in said and "dot of i" in said
    assert "dot of é" not in said


def test_a_hole_under_its_plug_is_said_to_be_found_by_the_plug(tmp_path: Path) -> None:
    """The hole cannot be seen there."""
    path = tmp_path / "job-card.html"
    window = {"hole": "W", "kind": "window", "name": "°C", "covers": {"margin": 3}}
    raw: dict[str, Any] = {
        "panel": {"size": (120, 60)},
        "holes": {"W": {"at": (60, 30), "cutout": (40, 20)}},
        "control": [window],
    }
    for bare, said in (([{"hole": "W", "margin": 2}], True), ([], False)):
        artwork = lay_out(Description.model_validate(raw | {"bare": bare}, context={"units": "mm"}))
        write_card(artwork, cut(artwork).sheets, (), path)
        assert ("The hole W is under its plug: bring piece " in read(path).text) is said
