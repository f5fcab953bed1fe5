"""The page for a phone: it stands alone, shows every piece in order, and does without a script."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path
from typing import Any

import html5lib
import pytest

from legend.description.reading.description_file import parse, read
from legend.description.tables.description import Description
from legend.drawing.placing.piece_places import in_laying_order, piece_places
from legend.drawing.placing.placing_page import placing_html, write_placing_page
from legend.layout import lay_out
from legend.layout.artwork import Artwork
from legend.length_words import Lengths
from legend.stencil import cut
from legend.stencil.sheet import Sheet, pieces_of
from legend.writing import is_ours

SAMPLES = sorted((Path(__file__).parents[3] / "samples").glob("*/panel.toml"))


def elements(page: bytes) -> list[Any]:
    """Every element of a valid page. Error: html5lib's, at the first parse error."""
    parser = html5lib.HTMLParser(
        strict=True, tree=html5lib.getTreeBuilder("etree"), namespaceHTMLElements=False
    )
    return [e for e in parser.parse(page.decode()).iter() if isinstance(e.tag, str)]


def said(element: Any) -> str:
    return " ".join("".join(element.itertext()).split())


def made(**tables: Any) -> tuple[Artwork, tuple[Sheet, ...]]:
    raw: dict[str, Any] = {
        "panel": {"size": [200, 100]},
        "holes": {
            "A": {"at": [50, 30], "drill": 8.0},
            "B": {"at": [150, 30], "drill": 8.0},
            "E": {"at": [180, 15], "drill": 4.0},
        },
        "control": [
            {"hole": "A", "kind": "jack", "name": "IN"},
            {"hole": "B", "kind": "jack", "name": "OUT"},
        ],
        "bare": [{"hole": "E", "diameter": 12.0}],
        "text": [{"at": [100, 85], "text": "MIXER"}],
    }
    artwork = lay_out(Description.model_validate(raw | tables))
    return artwork, cut(artwork).sheets


@pytest.mark.parametrize("panel", SAMPLES, ids=lambda path: path.parent.name)
def test_that_of_each_sample_is_valid_and_shows_every_piece_in_order(panel: Path) -> None:
    description = read(panel)
    artwork = lay_out(description)
    sheets = cut(artwork).sheets
    found = elements(placing_html(artwork, sheets))
    ids = Counter(e.attrib["id"] for e in found if "id" in e.attrib)
    assert set(ids.values()) == {1}
    places = piece_places(description.panel, pieces_of(sheets), Lengths(description.units))
    shown = [e for e in found if e.get("class") == "piece"]
    for section, place in zip(shown, in_laying_order(places), strict=True):
        assert section.get("id") == f"piece-{place.piece.number}"
        figures = [said(e) for e in section.iter("p") if len(e) and e[0].tag == "b"]
        assert figures == [
            f"{d.figure} {Lengths(description.units).unit} {d.whence}" for d in place.distances
        ]
        assert [e.get("type") for e in section.iter("input")] == ["checkbox"]
        assert len([e for e in section.iter() if e.tag.endswith("svg")]) == 2  # sight and chart


def test_it_stands_alone(tmp_path: Path) -> None:
    path = tmp_path / "placing.html"
    write_placing_page(*made(), path)
    assert is_ours(path)
    text = path.read_text(encoding="utf-8")
    assert not re.search(r"<link|<img|@import|url\(|\bsrc=|https?://(?!www\.w3\.org/)", text)
    found = elements(text.encode())
    ids = {e.attrib["id"] for e in found if "id" in e.attrib}
    links = {value for e in found for key, value in e.attrib.items() if key.endswith("href")}
    assert links and {link.removeprefix("#") for link in links} <= ids


def test_without_its_script_nothing_is_hidden_but_what_the_script_works() -> None:
    found = elements(placing_html(*made()))
    assert {e.tag for e in found if "hidden" in e.attrib} == {"nav", "footer"}
    style = next(said(e) for e in found if e.tag == "style")
    hiding = re.findall(r"([^{}]+)\{[^{}]*display: none", style)
    assert all(".stepping" in rule or "hidden" in rule for rule in hiding)
    assert "stepping" not in {e.get("class", "") for e in found}


def test_how_it_is_laid_is_that_of_the_method_and_of_the_piece() -> None:
    def how(**tables: Any) -> list[str]:
        found = elements(placing_html(*made(**tables)))
        return [said(e) for e in found if e.get("class") == "how"]

    bare, title, *held = how()
    assert "before the base coat" in bare
    assert "no hole, but corner marks" in title
    assert all("disc sits in its hole" in each for each in held)
    *_, last = how(stencil={"method": "paint-through"})
    assert "circle lies on its hole" in last
    *_, last = how(stencil={"method": "paint-through", "registration": "cross"})
    assert "its cross lines on the scribed ones" in last
    for told in how(stencil={"registration": "none"}, bare=[]):
        assert "its two distances alone" in told
    title, *_ = how(stencil={"stock_size": [300, 200], "margin": 1}, bare=[])
    assert "its two distances alone" in title
    *_, last = how(stencil={"method": "paint-through", "stock": "sheet"}, bare=[])
    assert "Bolt it to the panel through its holes" in last
    sheet = {"method": "paint-through", "stock": "sheet", "piece": "control"}
    assert any("it can turn" in each for each in how(stencil=sheet, bare=[]))


def test_ticks_are_kept_apart_where_anything_lies_elsewhere() -> None:
    def key(**tables: Any) -> str:
        (body,) = [e for e in elements(placing_html(*made(**tables))) if e.tag == "body"]
        return str(body.get("data-key"))

    assert key() == key()
    moved = {"text": [{"at": [100, 80], "text": "MIXER"}]}
    assert len({key(), key(**moved), key(title="OTHER")}) == 3


def test_a_centre_line_is_told_with_the_side_that_is_measured_to() -> None:
    panel = {"outline": {"diameter": 220}, "datum": "centre"}
    holes = {"A": {"at": [-40, 30], "drill": 8.0}}
    control = [{"hole": "A", "kind": "jack", "name": "IN"}]
    artwork = made(panel=panel, holes=holes, control=control, bare=[], text=[])
    (figures,) = [e for e in elements(placing_html(*artwork)) if e.get("class") == "figures"]
    assert "left of the upright centre line, to its right side" in said(figures)
    assert "above the level centre line, to its bottom side" in said(figures)


def test_hostile_words_break_nothing() -> None:
    text = (
        "title = '</title></script><script>alert(1)</script> & \"Ü\" <!-- -->'\n"
        "[panel]\nsize = [80, 60]\n[holes]\n'a<b>&\\'' = { at = [40, 30], drill = 9.5 }\n"
        "[[control]]\nhole = 'a<b>&\\''\nkind = 'fuse'\nname = '<P>&'\n"
    ).replace("\\'", '"')
    artwork = lay_out(parse(text))
    found = elements(placing_html(artwork, cut(artwork).sheets))
    assert [e.tag for e in found].count("script") == 1


def test_a_panel_without_pieces_has_a_page_too() -> None:
    artwork, _ = made(text=[], control=[], bare=[])
    found = elements(placing_html(artwork, ()))
    assert "Nothing is cut" in said(next(e for e in found if e.tag == "header"))
    assert "script" not in {e.tag for e in found}
