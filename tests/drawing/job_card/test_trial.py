"""The paint trial on the job card: boxes from 1 to 8, a quarter hour apart."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from legend.description.tables.description import Stencil
from legend.drawing.job_card.job_card import card_html
from legend.drawing.job_card.trial import trial_section
from legend.layout.artwork import Artwork


def test_eight_boxes_a_quarter_hour_apart(artwork: Artwork) -> None:
    page = card_html(artwork, (), (), None).decode()
    section = page[page.index("<h2>Paint trial</h2>") :]
    section = section[: section.index("</section>")]
    heads = re.findall(r"<th>(\d)\. ([A-H])(, frame)?</th>", section)
    assert [int(number) for number, _, _ in heads] == list(range(1, 9))
    assert "".join(letter for _, letter, _ in heads) == "ABCDEFGH"
    assert [letter for _, letter, frame in heads if frame] == ["D", "H"]
    times = [int(h) * 60 + int(m) for h, m in re.findall(r"<td>(\d):(\d\d) h</td>", section)]
    assert times == list(range(15, 121, 15))
    assert section.count('class="box"') == 8


@pytest.mark.parametrize("stock", ["film", "sheet"])
def test_a_stencil_that_comes_off_whole_has_none(
    stock: str, make_artwork: Callable[..., Artwork]
) -> None:
    stencil = {"method": "paint-through", "stock": stock}
    assert trial_section(Stencil.model_validate(stencil)) is None
    page = card_html(make_artwork(stencil=stencil), (), (), None).decode()
    assert "Paint trial" not in page
