"""A panel drawn again, with what is kept of the last one, is drawn as if it were the first."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from small_panel import IN, MM

from legend.kept import Kept
from legend.page.content.bench import Bench
from legend.page.messages import to_json

_ROOT = Path(__file__).parents[3]
SAMPLE = _ROOT / "samples" / "enlarger-timer" / "panel.toml"

#: What somebody changes in the small panel, one after the other; each time in the text before.
CHANGES = (
    ("GAIN", "GAINS"),
    ("POWER", "POWER SUPPLY ON"),
    ("GAINS", "GAIN"),
    ("covers = 20", "covers = 24"),
    ("at = [90, 60]", "at = [78, 60]"),
    ("drill = 12", "drill = 10"),
    ("[30, 16]", "[34, 16], angle = 15"),
    ('units = "mm"\n', 'units = "mm"\n\n'),
    ("to = 10", "to = 5"),
    ('kind = "window"', 'kind = "meter"'),
    ('up = "ON"\ndown = "OFF"', 'left = "ON"\nright = "OFF"\ncentre = "0"'),
    ('side = "below"\n', ""),
    ("[200, 120]", "[200, 130]"),
    ('"upper left"', '"lower left"'),
    ("lift-off", "paint-through"),
    ("#304050", "black"),
    ('style = "frame"', 'style = "bracket"\nname = "IN"'),
    ("[[group]]", '[lettering]\nheight = 4\n\n[[bare]]\nhole = "A"\ndiameter = 30\n\n[[group]]'),
    ('hole = "C D"', 'hole = "A"'),
    ('hole = "A"\nkind = "meter"', 'hole = "C D"\nkind = "meter"'),
    ('"paint-through"', '"lift-off"'),
    ('name = "TIME"', 'name = "TIME"\nnote = "seconds"\nframe = 0.5'),
)


def edited() -> Iterator[str]:
    text = MM
    yield text
    for before, after in CHANGES:
        assert before in text, before
        text = text.replace(before, after)
        yield text
    yield IN
    yield MM


def with_a_line_less(text: str, every: int) -> Iterator[str]:
    """The text without one of its lines, now and then whole again."""
    lines = text.splitlines(keepends=True)
    for number in range(0, len(lines), every):
        yield "".join(lines[:number] + lines[number + 1 :])
    yield text


def as_if_first(path: Path, text: str) -> str:
    """What a bench that never drew anything says of a text, with nothing kept from before."""

    def made(_self: Kept[Any], _name: object, make: Callable[..., Any], *of: Any) -> Any:
        return make(*of)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Kept, "made", made)
        return to_json(Bench(path).draw(1, text))


@pytest.mark.parametrize(
    ("path", "texts"),
    [
        (Path("/nowhere/panel.toml"), [*edited()]),
        (SAMPLE, [*with_a_line_less(SAMPLE.read_text(encoding="utf-8"), 9)]),
    ],
    ids=["changes", "lines of the sample"],
)
def test_it_is_drawn_as_if_it_were_the_first(path: Path, texts: list[str]) -> None:
    bench, drawn = Bench(path), 0
    for text in texts:
        shown = bench.draw(1, text)
        assert to_json(shown) == as_if_first(path, text)
        drawn += hasattr(shown, "stages")
    assert drawn >= 8


def test_what_is_found_and_cut_is_that_of_the_panel_as_it_is_now() -> None:
    path = Path("/nowhere/panel.toml")
    bench = Bench(path)
    for text in [*edited()][::6]:
        found, cutting = bench.find(1, text), bench.cut(1, text)
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(Kept, "made", lambda _self, _name, make, *of: make(*of))
            fresh = Bench(path)
            assert found == fresh.find(1, text)
            assert cutting == fresh.cut(1, text)
