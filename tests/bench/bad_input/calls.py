"""Calls whose options nobody should give, and hole lists that say something else than is meant."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

from bad_input.cases import MAKE, SAMPLES, Case, sample, sort
from bad_input.values import NUMBERS, hostile


def _number(chance: random.Random) -> str:
    """A number as somebody may type it, or something else."""
    if chance.random() < 0.3:
        return chance.choice(["nan", "-nan", "inf", "-inf", "1e999", "0x10", "1_0", "٣", "½", ""])
    if chance.random() < 0.1:
        return "".join(c for c in hostile(chance) if c.isprintable())[:20]
    return str(chance.choice(NUMBERS))[:400]


@sort
def options(chance: random.Random, folder: Path) -> Case:
    """Every option that takes a number or a word, with any other."""
    (folder / "panel.toml").write_text(sample(chance, folder))
    correction = ["--correction", _number(chance), _number(chance)]
    start = ["--start", chance.choice([hostile(chance), "2031-02-30", "9999-12-31 23:59", "now"])]
    paper = ["--paper", chance.choice([hostile(chance), f"{_number(chance)}x{_number(chance)}"])]
    words = chance.choice(
        [
            ["proof", "panel.toml", "--dpi", _number(chance), "--out", "out/proof.png"],
            ["faces", "plain", "--dpi", _number(chance), "--out", "out/specimen.png"],
            ["overlay", "panel.toml", *correction, "--out", "out/overlay.pdf"],
            ["overlay", "panel.toml", *paper, "--out", "out/overlay.pdf"],
            ["card", "panel.toml", *start, "--out", "out/job-card.html"],
            ["make", "panel.toml", *chance.choice([correction, paper, start]), "--out", "out"],
        ]
    )
    words = [word.replace("\0", "") for word in words]  # no call can hold it
    return replace(MAKE, words=words, names_file=False)


@sort
def new_from(chance: random.Random, folder: Path) -> Case:
    """A description made from a hole list in other units, turned about, or far too large."""
    rows = SAMPLES[chance.choice((2, 3))].with_name("holes.csv").read_text().splitlines()
    times = chance.choice([1, 25.4, 1 / 25.4, 10, 0.1, 1000, -1, 0, 1e-6, 1e12])
    swapped = chance.random() < 0.2
    made = [rows[0]]
    for row in rows[1:]:
        cells = row.split(",")
        for column in (1, 2):
            try:
                cells[column] = f"{float(cells[column]) * times:.9g}"
            except ValueError:
                continue
        if swapped:
            cells[1:3] = cells[2:0:-1]
        made.append(",".join(cells))
    if chance.random() < 0.2:
        made.insert(chance.randrange(1, len(made) + 1), chance.choice(made))
    (folder / "holes.csv").write_text("\n".join(made) + "\n")
    (folder / "out").mkdir()
    units = chance.choice([["--units", "in"], ["--units", "mm"], []])
    words = ["new", "--from", "holes.csv", *units, "--out", "out/panel.toml"]
    return Case(words, names_file=False)
