"""What the job card tells of placement cards: each card, how it is used, what none serves."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

from legend.drawing.job_card.card_picture import card_picture
from legend.drawing.job_card.cards import cards_section
from legend.drawing.job_card.job_card import card_html
from legend.layout.artwork import Artwork
from legend.making.stages import cut_from, laid_out
from legend.stencil.cards.sharing import cards_for
from legend.stencil.sheet import Sheet

SAMPLES = Path(__file__).parents[3] / "samples"

MakeArtwork = Callable[..., Artwork]
MakeSheets = Callable[..., tuple[Sheet, ...]]


def test_each_card_is_told_with_its_pieces_and_the_pins_that_hold_it() -> None:
    _, artwork = laid_out(SAMPLES / "enlarger-timer" / "panel.toml")
    section = cards_section(artwork, cut_from(artwork)[0])
    assert [row.number for row in section.rows] == [1, 2]
    told = {number for row in section.rows for number in row.pieces.replace("and", ",").split(", ")}
    assert {"1", "3", "12"} <= {number.strip() for number in told}
    assert all(row.held.startswith("pins in M") and "Ø 3.6 mm" in row.held for row in section.rows)
    use = " ".join(section.use)
    assert "drill shank" in use and "glue" not in use
    assert not section.unserved


def test_stops_are_told_with_their_lengths(
    make_artwork: MakeArtwork, make_sheets: MakeSheets
) -> None:
    artwork = make_artwork(holes={}, control=[], bare=[])
    section = cards_section(artwork, make_sheets(artwork))
    (row,) = section.rows
    assert row.held.startswith("stops of ") and " along the left edge and " in row.held
    use = " ".join(section.use)
    assert "On the back of every card glue" in use and "drill shank" not in use
    assert section.says == "Card 1 on the panel, with the strips glued under its tabs as stops."


def test_lengths_are_said_in_the_units_of_the_panel() -> None:
    _, artwork = laid_out(SAMPLES.parent / "tests" / "panels" / "greenhouse.toml")
    section = cards_section(artwork, cut_from(artwork)[0])
    (row,) = section.rows
    assert row.size.endswith(" in") and " in)" in row.held
    assert "1/64 to 3/64 in" in section.use[0]


def test_what_no_card_places_is_told_with_the_reason(
    make_artwork: MakeArtwork, make_sheets: MakeSheets
) -> None:
    artwork = make_artwork(holes={}, control=[], bare=[], stencil={"card_size": (40.0, 40.0)})
    sheets = make_sheets(artwork)
    section = cards_section(artwork, sheets)
    numbers = [pieces.split(",")[0] for pieces, _ in section.unserved]
    assert "3" in numbers  # the rule, 80 mm long
    html = card_html(artwork, sheets, (), None).decode()
    assert "No card places these" in html
    assert "larger than 39 × 39 mm" in html


def test_a_panel_whose_sheet_is_bolted_has_no_such_section() -> None:
    _, artwork = laid_out(SAMPLES / "crystal-set" / "panel.toml")
    sheets, findings = cut_from(artwork)
    assert not cards_section(artwork, sheets).rows
    assert "<h2>Placement cards</h2>" not in card_html(artwork, sheets, findings, None).decode()


def test_a_piece_of_sheet_in_a_window_has_no_tape_to_peel(
    make_artwork: MakeArtwork, make_sheets: MakeSheets
) -> None:
    stencil = {"method": "paint-through", "stock": "sheet"}
    artwork = make_artwork(holes={}, control=[], bare=[], stencil=stencil)
    use = " ".join(cards_section(artwork, make_sheets(artwork)).use)
    assert "Lay each piece into the window" in use and "bolt it on where it has a hole" in use
    assert "rub it down" not in use and "peel" not in use


def test_the_picture_is_of_the_card_itself() -> None:
    _, artwork = laid_out(SAMPLES / "kiln-controller" / "panel.toml")
    sheets = cut_from(artwork)[0]
    (card, *_) = cards_for(artwork, sheets).cards
    root = ElementTree.fromstring(card_picture(artwork, card))
    x0, _, x1, _ = card.edge.bounds
    width = float(str(root.get("width")).removesuffix("mm"))
    assert width >= x1 - x0
    assert "placement card 1 on the panel" in str(
        root.findtext("{http://www.w3.org/2000/svg}title")
    )
