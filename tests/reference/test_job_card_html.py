"""The job card as HTML, read by a strict parser.

Source: WHATWG HTML, 13.2 (parsing, where html5lib tells of every parse error) and 3.2.6 (an `id`
is unique). html5lib reads the vocabulary of SVG within HTML too.
"""

from __future__ import annotations

from collections import Counter
from datetime import datetime
from pathlib import Path

import html5lib
import pytest

from legend.description.reading.description_file import parse, read
from legend.drawing.job_card.job_card import write_card
from legend.layout import inspect, lay_out
from legend.stencil import cut

SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*/panel.toml"))

#: Words that would break out of a card that does not escape them, in every place for words.
_HOSTILE = """\
title = '</title><script>alert(1)</script> & "Ü" <!-- -->'
as_drilled.holes."a<b>&\\"'" = { at = [40.2, 30] }
[panel]
size = [80, 60]
[holes]
"a<b>&\\"'" = { at = [40, 30], drill = 9.5, note = '</td></table><b>' }
[stencil]
stock_size = [60, 40]
copies = 3
[[bare]]
hole = "a<b>&\\"'"
diameter = 14
[[control]]
hole = "a<b>&\\"'"
kind = "fuse"
name = "<P>&"
note = "\\"'<i>"
"""


def elements(text: str) -> list[tuple[str, dict[str, str]]]:
    """Every element with its attributes. Error: html5lib's, at the first parse error."""
    tree = html5lib.HTMLParser(
        strict=True, tree=html5lib.getTreeBuilder("etree"), namespaceHTMLElements=False
    ).parse(text)
    return [(str(e.tag), e.attrib) for e in tree.iter() if isinstance(e.tag, str)]


@pytest.mark.parametrize("panel", SAMPLES, ids=lambda path: path.parent.name)
def test_the_cards_of_the_samples_are_valid(panel: Path, tmp_path: Path) -> None:
    artwork = lay_out(read(panel))
    sheets = cut(artwork).sheets
    write_card(
        artwork, sheets, inspect(artwork), tmp_path / "card.html", datetime(2031, 5, 1, 9, 0)
    )
    _check((tmp_path / "card.html").read_text(encoding="utf-8"))


def test_a_card_with_hostile_words_is_valid_and_has_no_more_elements(tmp_path: Path) -> None:
    counts = []
    for text in (_HOSTILE, _HOSTILE.translate(str.maketrans({"<": "(", ">": ")", "&": "+"}))):
        artwork = lay_out(parse(text))
        write_card(artwork, cut(artwork).sheets, inspect(artwork), tmp_path / "card.html")
        counts.append(_check((tmp_path / "card.html").read_text(encoding="utf-8")))
    assert counts[0] == counts[1]
    assert counts[0]["script"] == 0 and counts[0]["i"] == 0


def test_the_parser_tells_of_what_is_not_valid(tmp_path: Path) -> None:
    """So that the tests above can fail."""
    for wrong in ("<table><p></table>", "<b><p></b></p>", "<td>", "&nosuch;", "<svg><p></svg>"):
        with pytest.raises(html5lib.html5parser.ParseError):
            elements(
                f"<!DOCTYPE html><html><head><title>x</title></head><body>{wrong}</body></html>"
            )


def _check(text: str) -> Counter[str]:
    found = elements(text)
    ids = Counter(attributes["id"] for _, attributes in found if "id" in attributes)
    assert [id for id, count in ids.items() if count > 1] == []
    assert dict(found)["html"] == {"lang": "en"}
    return Counter(tag for tag, _ in found)
