"""What lies nearest to a point: by its ink, in words, with its neighbour."""

from __future__ import annotations

import random
import time

import numpy as np
import pytest
import shapely
from bench.speed import panel
from small_panel import IN, MM, line_of

from legend.description.reading.description_file import parse
from legend.layout import lay_out
from legend.page.content.bench import Bench
from legend.page.content.picking import Picking
from legend.page.messages import Picked, Refused


def pick(bench: Bench, text: str, at: tuple[float, float]) -> Picked:
    bench.draw(1, text)
    picked = bench.pick(3, at)
    assert isinstance(picked, Picked), picked
    assert picked.ask == 3
    return picked


def test_a_legend_is_told_with_its_height_and_its_neighbour(bench: Bench) -> None:
    picked = pick(bench, MM, (40, 40))
    assert picked.words == "GAIN, name of A, 3.5 mm capitals, 3.1 mm to the scale of A"
    assert picked.line == line_of(MM, 'name = "GAIN"')
    assert picked.hole == "A"
    assert picked.gap == pytest.approx(3.1, abs=0.05)
    assert picked.gap_from and picked.gap_to
    assert np.hypot(*np.subtract(picked.gap_from, picked.gap_to)) == pytest.approx(picked.gap)
    assert picked.gap_from[1] < picked.gap_to[1]


def test_lengths_are_said_in_the_units_of_the_panel(bench: Bench) -> None:
    words = pick(bench, IN, (1.5625 * 25.4, 40)).words
    assert words.startswith("GAIN, name of A, ") and " in capitals, " in words
    assert "mm" not in words


def test_within_a_part_the_part_is_told_and_elsewhere_the_nearest_ink(bench: Bench) -> None:
    part = pick(bench, MM, (45, 62))
    assert part.words.startswith("GAIN (A), knob, covers 20 mm across, in a hole of Ø 9.5 mm")
    assert part.line == line_of(MM, "[[control]]")
    taken = pick(bench, MM, (140, 60))
    assert "window, is taken to cover 30 × 16 mm, in a hole of 30 × 16 mm" in taken.words
    corner = pick(bench, MM, (199, 1))
    assert corner.words.startswith("TIME, name of C D")
    assert corner.hole == "C D"


def test_what_has_no_words_and_an_empty_hole_are_told(bench: Bench) -> None:
    group = pick(bench, MM, (66, 35))
    assert "group" in group.words and group.line == line_of(MM, "[[group]]")
    control = '[[control]]\nhole = "C D"\nkind = "window"\nname = "TIME"\n'
    assert control in MM
    empty = MM.replace(control, "")
    hole = pick(bench, empty, (140, 60))
    assert hole.words.startswith("C D, hole, 30 × 16 mm")
    assert hole.line == line_of(MM, '"C D" =')


def test_the_outline_is_drawn_where_the_drawing_has_it(bench: Bench) -> None:
    part = pick(bench, MM, (45, 62))
    numbers = np.array(
        [
            float(n)
            for n in part.outline.replace("Z", "")
            .replace("M", " ")
            .replace("L", " ")
            .replace("C", " ")
            .split()
        ]
    )
    x, y = numbers.reshape(-1, 2).T
    assert (x.min(), x.max()) == pytest.approx((30, 50), abs=0.01)
    assert (y.min(), y.max()) == pytest.approx((50, 70), abs=0.01)  # 120 high, turned over


def test_nothing_is_picked_where_there_is_nothing(bench: Bench) -> None:
    assert isinstance(bench.pick(1, (0, 0)), Refused)
    bench.draw(1, "[panel]\nsize = [50, 50]\n")
    assert isinstance(bench.pick(1, (10, 10)), Refused)


def test_the_neighbour_is_the_nearest_of_all_that_is_no_part_of_the_same() -> None:
    """Against every distance measured, one by one."""
    artwork = lay_out(parse(MM))
    picking = Picking(artwork)
    chosen = random.Random(4)
    for _ in range(25):
        picked = picking.picked(0, (chosen.uniform(0, 200), chosen.uniform(0, 120)))
        if picked is None or picked.gap is None or ", name" not in picked.words:
            continue
        (mark,) = [m for m in artwork.marks if m.text == picked.words.partition(",")[0]]
        others = [m.outline.shape for m in artwork.marks if m is not mark]
        others += [keep_out.shape for keep_out in artwork.keep_outs]
        assert picked.gap == pytest.approx(
            float(shapely.distance(mark.outline.shape, others).min())
        )


def test_it_is_quick_on_a_hundred_controls(bench: Bench) -> None:
    bench.draw(1, panel(100))
    bench.pick(1, (1.0, 1.0))
    chosen = random.Random(1)
    taken = []
    for _ in range(20):
        at = (chosen.uniform(0, 560), chosen.uniform(0, 560))
        begun = time.process_time()
        bench.pick(1, at)
        taken.append(time.process_time() - begun)
    assert sorted(taken)[len(taken) // 2] < 0.015
