"""What lanes between sheets keep off: legends, and the letters of those that must be cut."""

from __future__ import annotations

from legend.description.reading.description_file import parse
from legend.drawing.pdf.ground import in_the_way
from legend.drawing.pdf.panel_drawing import extents_of
from legend.drawing.pdf.paper import of_fewest_sheets
from legend.layout import lay_out

_LONG = """\
[panel]
size = [600, 100]
[lettering.title]
height = 25
[[text]]
at = [300, 40]
text = "WORKING SECTION OF A TUNNEL"
role = "title"
"""


def test_a_title_longer_than_a_sheet_is_cut_between_its_letters() -> None:
    artwork = lay_out(parse(_LONG))
    (title,) = artwork.marks
    assert title.outline.bounds[2] - title.outline.bounds[0] > 350
    tiling = of_fewest_sheets(extents_of(artwork), "A4", things=lambda: in_the_way(artwork))
    assert tiling.legends_cut == 1
    assert tiling.lanes[0]
    for lane in tiling.lanes[0]:
        for letter in title.letters:
            x0, _, x1, _ = letter.outline.bounds
            assert not x0 < lane < x1, letter.text
