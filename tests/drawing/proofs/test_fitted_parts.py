"""Fitted parts are drawn as they were when somebody last looked at them.

`fitted_parts.csv` holds every tone of every kind: how much of the part it takes up, and how far it
reaches from the middle of the hole. After a part is drawn otherwise, look at it, and

    .venv/bin/python tests/drawing/proofs/test_fitted_parts.py

writes the table anew.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path

import pytest

from legend.description.kinds import KINDS
from legend.description.reading.description_file import parse
from legend.drawing.proofs.fitted_parts import fitted_parts
from legend.layout import lay_out

_TABLE = Path(__file__).with_name("fitted_parts.csv")
_HEAD = ("part", "colour", "shapes", "percent", "left", "bottom", "right", "top")
_MIDDLE = (100.0, 80.0)
_HOLES = {
    "round": "drill = 12",
    "wide": "cutout = [60, 18]",
    "tall": "cutout = [18, 60]",
    "turned": "slot = [40, 8], angle = 30",
}
#: What is drawn by where a lever or a pointer stands.
_STANDS = {
    "toggle to the left": ("toggle", "round", 'positions = { left = "A", right = "B" }'),
    "rocker down": ("rocker", "wide", 'positions = { down = "A", up = "B" }'),
    "rocker to the right": ("rocker", "wide", 'positions = { right = "A", left = "B" }'),
    "selector of four": ("selector", "round", 'positions = ["A", "B", "C", "D"]\ndetent = 40'),
    "selector from a start": (
        "selector",
        "round",
        'positions = ["A", "B", "C"]\ndetent = 30\nstart = 20',
    ),
    "keyswitch of two": ("keyswitch", "round", 'positions = ["A", "B"]\ndetent = 90'),
    "keyswitch whose first is not used": (
        "keyswitch",
        "round",
        'positions = ["", "B", "C"]\ndetent = 45',
    ),
    "knob in a knob": ("knob", "round", "covers = 30\ninner = {}"),
    "knob in a knob, of a size": ("knob", "round", "covers = 30\ninner = { covers = 12 }"),
}


def _cases() -> Iterator[tuple[str, str, str, str]]:
    """The name of each part that is drawn, its kind, its hole, and what else is said of it."""
    for kind in KINDS:
        yield from ((f"{kind}, {hole}", kind, hole, "") for hole in _HOLES)
    yield from ((name, *rest) for name, rest in _STANDS.items())


def _drawn(kind: str, hole: str, said: str, panel: str = "") -> list[tuple[str, ...]]:
    text = (
        f"[panel]\nsize = [200, 160]\n{panel}\n[holes]\nA = {{ at = {list(_MIDDLE)}, "
        f'{_HOLES[hole]} }}\n[[control]]\nhole = "A"\nkind = "{kind}"\n{said}\n'
    )
    artwork = lay_out(parse(text))
    cover = artwork.keep_outs[0].shape.area
    rows = []
    for tone in fitted_parts(artwork):
        shapes = [outline.shape for outline in tone.outlines]
        boxes = list(zip(*(shape.bounds for shape in shapes), strict=True))
        edges = (min(boxes[0]), min(boxes[1]), max(boxes[2]), max(boxes[3]))
        from_middle = (edge - _MIDDLE[k % 2] for k, edge in enumerate(edges))
        percent = 100 * sum(shape.area for shape in shapes) / cover
        colour = "#{:02x}{:02x}{:02x}".format(*tone.colour)
        sizes = (percent, *from_middle)
        rows.append((colour, str(len(shapes)), *(f"{size + 0.0:.2f}" for size in sizes)))
    return rows


def _looked_at() -> dict[str, list[tuple[str, ...]]]:
    by_part: dict[str, list[tuple[str, ...]]] = {}
    with _TABLE.open(encoding="utf-8", newline="") as file:
        for part, *row in list(csv.reader(file))[1:]:
            by_part.setdefault(part, []).append(tuple(row))
    return by_part


_LOOKED_AT = _looked_at() if _TABLE.exists() else {}


@pytest.mark.parametrize(("part", "kind", "hole", "said"), list(_cases()))
def test_a_part_is_drawn_as_it_was_looked_at(part: str, kind: str, hole: str, said: str) -> None:
    drawn, looked_at = _drawn(kind, hole, said), _LOOKED_AT[part]
    assert [row[:2] for row in drawn] == [row[:2] for row in looked_at]
    for one, other in zip(drawn, looked_at, strict=True):
        assert [float(size) for size in one[2:]] == pytest.approx(
            [float(size) for size in other[2:]], abs=0.02
        )


def test_the_edge_of_parts_is_lighter_on_a_dark_panel() -> None:
    edges = {
        colour: _drawn("lamp", "round", "", f'[finish]\nbase = "#ffffff"\ntop = "{colour}"')[0][0]
        for colour in ("#000000", "#444444", "#666666", "#ffffff")
    }
    assert edges["#000000"] == edges["#444444"] != edges["#666666"] == edges["#ffffff"]


if __name__ == "__main__":
    with _TABLE.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(_HEAD)
        for part, *case in _cases():
            writer.writerows((part, *row) for row in _drawn(*case))
