"""A drawing told by the one before it is the same drawing when it is put together."""

from __future__ import annotations

import dataclasses

from hypothesis import example, given
from hypothesis import strategies as st
from page_in_chromium import SAMPLE
from page_in_use import TEXT

from legend.page.content.bench import Bench
from legend.page.messages import Between, Drawing, Redrawing, to_json
from legend.page.redrawing import between, redrawing

_TEXT = st.text(st.sampled_from("ab<é𝄞"), max_size=12)


def put_together(told: Between, last: str) -> str:
    """The text that is told, counted in units of UTF-16 as the browser does."""
    units = last.encode("utf-16-le")
    new = told.text.encode("utf-16-le")
    return (units[: 2 * told.begin] + new + units[len(units) - 2 * told.end :]).decode("utf-16-le")


@given(_TEXT, _TEXT, _TEXT, _TEXT)
@example("", "", "", "")
@example("a", "", "a", "a")
@example("", "𝄞", "a𝄞", "")
def test_what_is_new_is_told_and_no_more(begin: str, one: str, other: str, end: str) -> None:
    text, last = begin + one + end, begin + other + end
    told = between(text, last)
    assert put_together(told, last) == text
    assert len(told.text) <= len(one)


def drawing(text: str) -> Drawing:
    shown = Bench(SAMPLE / "panel.toml").draw(2, text)
    assert isinstance(shown, Drawing), shown
    return shown


def test_a_letter_in_a_name_is_told_shortly_and_a_small_drawing_whole() -> None:
    last, now = drawing(TEXT), drawing(TEXT.replace('name = "', 'name = "X', 1))
    told = redrawing(now, last)
    assert isinstance(told, Redrawing)
    assert len(to_json(told)) < len(to_json(now)) / 4
    stages = {
        stage: put_together(told.stages[stage], before) if stage in told.stages else before
        for stage, before in last.stages.items()
    }
    shapes = put_together(told.shapes, last.shapes)
    assert dataclasses.replace(told.drawing, shapes=shapes, stages=stages) == now
    small = drawing('[panel]\nsize = [100, 50]\n[[text]]\nat = [50, 20]\ntext = "A"')
    assert redrawing(small, small) is small
