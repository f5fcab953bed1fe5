"""Packing against the best of all the ways that rectpack has, on the same rectangles.

The program packs by the same library, but has time for a few of its ways only; what is held
here is that the best of all of them would have saved nothing.
"""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
import pytest
import rectpack

from legend.description.tables.description import Stencil
from legend.lettering.outlines.outline import Outline
from legend.standards import BOX_SPACE
from legend.stencil.nesting import nest
from legend.stencil.sheet import Cut, Path, Piece

STOCK = (300.0, 200.0)
ALGORITHMS = [
    name
    for name in dir(rectpack)
    if name.startswith(("MaxRects", "Skyline", "Guillotine")) and name[0].isupper()
]
ORDERS = [name for name in dir(rectpack) if name.startswith("SORT_")]


def panel_like(seed: int) -> list[tuple[float, float]]:
    """Rectangles as panels give them: squarish for controls, long for words."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(6, 22))
    squarish = rng.uniform(12, 50, (count, 2))
    long = np.column_stack([rng.uniform(20, 110, count), rng.uniform(6, 14, count)])
    chosen = np.where(rng.random(count)[:, None] < 0.7, squarish, long)
    return [(round(float(w), 1), round(float(h), 1)) for w, h in chosen]


def best_of_rectpack(sizes: list[tuple[float, float]], apart: float) -> tuple[int, float]:
    """Sheets and length of the best of every algorithm with every order, each `apart` mm."""
    best: Any = (len(sizes) + 1, 0)
    for algorithm, order in itertools.product(ALGORITHMS, ORDERS):
        packer = rectpack.newPacker(
            bin_algo=rectpack.PackingBin.BFF,
            pack_algo=getattr(rectpack, algorithm),
            sort_algo=getattr(rectpack, order),
            rotation=False,
        )
        room = [round((side + apart) * 10) for side in STOCK]
        packer.add_bin(*room, count=len(sizes))
        for index, (w, h) in enumerate(sizes):
            packer.add_rect(round((w + apart) * 10), round((h + apart) * 10), index)
        packer.pack()
        ends: dict[int, int] = {}
        for sheet, _, y, _, h, _ in packer.rect_list():
            ends[sheet] = max(ends.get(sheet, 0), y + h)
        best = min(best, (len(ends), sum(ends.values())))
    return best[0], best[1] / 10


@pytest.mark.parametrize("stock", ["film", "sheet"])
@pytest.mark.parametrize("seed", range(8))
def test_no_more_length_than_the_best_of_rectpack(seed: int, stock: Any) -> None:
    sizes = panel_like(seed)
    pieces = [
        Piece(
            i,
            "",
            (),
            Outline.rectangle(0, 0, w, h),
            (Path(Cut.WEEDING, Outline.rectangle(0, 0, w, h)),),
        )
        for i, (w, h) in enumerate(sizes, start=1)
    ]
    stencil = Stencil(method="paint-through", stock=stock, stock_size=STOCK, stock_margin=0)
    sheets = nest(pieces, stencil)
    apart = BOX_SPACE[stock]
    count, length = best_of_rectpack(sizes, apart)
    assert len(sheets) <= count
    assert sum(sheet.size[1] + apart for sheet in sheets) <= length + 0.1
