"""How well holes and laid letters are measured in pictures: run it, and read the tables.

    .venv/bin/python tests/bench/camera.py                       # a few pictures of each sort
    .venv/bin/python tests/bench/camera.py --pictures 100 --only any
    .venv/bin/python tests/bench/camera.py --only letters --seed 7 --keep /tmp/pictures

It is no test: nothing here passes or fails. The pictures are those of the synthetic camera, whose
truth is known, of full size and taken as is advised, or as it may happen; the same seed gives the
same ones. Each is measured by the command, in a process of its own, whose time and memory are told.
The rows of the first table are those of the goals:

    scan     300 dpi, paper of a colour or black over the panel    0.04 | 0.03  0.10 | 0.07  0.25
    page     12 MP on the target page, 7.5 px/mm and more          0.05         0.12         0.25
    edges    12 MP on black paper, or white under a dark panel     0.07         0.18         0.35

Errors are of the middles of holes, mm: raw, from the true datum, and after the shift and the turn
that all holes of a picture have in common are taken out.
"""

from __future__ import annotations

import argparse
import csv
import math
import os
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

sys.path[0] = str(Path(__file__).parents[1])  # in stead of this folder, where `camera` is this file

from camera.synthetic.cases import (
    Case,
    as_it_happens,
    by_edges,
    on_page,
    scanned,
    with_letters,
)
from camera.synthetic.letters import CLEAR, LaidPiece

import legend
from legend.description.tables.as_drilled import best_fit

SAMPLES = Path(__file__).parents[2] / "samples"
#: Panels whose letters are lifted off film.
LETTERED = (
    SAMPLES / "enlarger-timer" / "panel.toml",
    Path(__file__).parents[1] / "panels" / "bench-supply.toml",
    Path(__file__).parents[1] / "panels" / "incubator.toml",
)

SORTS: dict[str, Callable[[int], Case]] = {
    "scan": scanned,
    "page": on_page,
    "edges": by_edges,
    "any": as_it_happens,
}


# --- One command ---


@dataclass(frozen=True, slots=True)
class Ran:
    """How a command ended, what it said, and what it took: seconds and MB."""

    status: int
    said: str
    seconds: float
    memory: float


def run(arguments: Sequence[str], folder: Path) -> Ran:
    """Run `legend` in a process of its own."""
    begin = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, "-m", "legend", *arguments],
        cwd=folder,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    assert process.stdout is not None
    said = process.stdout.read()
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    seconds = time.perf_counter() - begin
    return Ran(process.returncode, said, seconds, usage.ru_maxrss / 1024)


# --- Holes ---


@dataclass(slots=True)
class Tally:
    """What came out over the pictures of one sort; errors in mm."""

    raw: list[float] = field(default_factory=list)
    fitted: list[float] = field(default_factory=list)
    claimed: list[float] = field(default_factory=list)
    drills: list[float] = field(default_factory=list)
    datum: list[float] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)
    memory: list[float] = field(default_factory=list)
    refused: Counter[str] = field(default_factory=Counter)
    false: int = 0
    missed: int = 0
    holes: int = 0
    worst: list[str] = field(default_factory=list)


def judged(case: Case, table: Path, tally: Tally) -> None:
    """Compare a table of measured holes with the truth."""
    truth = {hole.id: hole for hole in case.shot.truth.holes}
    with table.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    found = {row["id"]: row for row in rows if row["id"] in truth}
    tally.false += len(rows) - len(found)
    tally.missed += len(truth) - len(found)
    tally.holes += len(truth)
    if not found:
        return
    seen = np.array([(float(row["x"]), float(row["y"])) for row in found.values()])
    true = np.array([truth[id].at for id in found])
    fit = best_fit(seen, true)
    moved = np.array([fit.moved(x, y) for x, y in seen])
    raw, fitted = (np.hypot(*(each - true).T) for each in (seen, moved))
    tally.raw += raw.tolist()
    tally.fitted += fitted.tolist()
    tally.claimed += [float(row["u"]) for row in found.values()]
    middle = np.array(case.size) / 2  # off in the middle of the panel: what the datum is off by
    tally.datum.append(math.dist(fit.moved(*middle), middle))
    for id, row in found.items():
        hole = truth[id]
        if row.get("drill") and hole.key == "drill" and len(hole.size) == 1 and not hole.chamfer:
            tally.drills.append(abs(float(row["drill"]) - hole.size[0]))
    k = int(raw.argmax())
    tally.worst.append(f"{raw[k]:.3f} mm at {list(found)[k]} of {case.name}")


def measured(sort: str, seeds: Iterable[int], keep: Path | None) -> Tally:
    """Measure pictures of a sort."""
    tally = Tally()
    for seed in seeds:
        case = SORTS[sort](seed)
        with tempfile.TemporaryDirectory() as scratch:
            folder = keep / case.name.replace(" ", "-") if keep else Path(scratch)
            folder.mkdir(parents=True, exist_ok=True)
            picture = case.shot.written(folder)
            (folder / "panel.toml").write_text(case.toml, encoding="utf-8")
            table = folder / "measured.csv"
            ran = run(["measure", picture.name, "panel.toml", "--out", table.name], folder)
            tally.seconds.append(ran.seconds)
            tally.memory.append(ran.memory)
            if table.exists():
                judged(case, table, tally)
            else:
                tally.refused[ran.said.strip().splitlines()[-1][:150]] += 1
        print(".", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    return tally


def said(sort: str, tally: Tally) -> None:
    """Print the row of a sort."""
    print(f"\n{sort}: {len(tally.seconds)} pictures, {sum(tally.refused.values())} refused")
    for why, count in tally.refused.most_common():
        print(f"    {count} × {why}")
    print(f"  time {_three(tally.seconds)} s, memory at most {max(tally.memory):.0f} MB")
    if not tally.raw:
        return
    raw, claimed = np.array(tally.raw), np.array(tally.claimed)
    print(f"  centres, raw            {_three(tally.raw)}")
    print(f"  centres, fitted         {_three(tally.fitted)}")
    print(f"  common shift            {_three(tally.datum)}")
    if tally.drills:
        print(f"  drills, no chamfer      {_three(tally.drills)}")
    print(f"  {tally.holes} holes, {tally.false} false, {tally.missed} missed")
    print(f"  within u {(raw <= claimed).mean():.1%}, u / error {_ratio(claimed, raw)}")
    print("  worst " + "; ".join(sorted(tally.worst, reverse=True)[:3]))


def _three(values: Sequence[float]) -> str:
    middle, most, worst = np.percentile(values, [50, 95, 100])
    return f"median {middle:.3f}  95 % {most:.3f}  max {worst:.3f}"


def _ratio(claimed: np.ndarray, errors: np.ndarray) -> str:
    return f"{np.median(claimed) / np.median(errors):.2f} (medians)"


# --- Letters ---


def letters_laid(seeds: Iterable[int]) -> None:
    """Check laid letters, in this process: the command only tells what lies off."""
    from legend.camera.letters.laid_piece import How
    from legend.camera.letters.placed import placed_in
    from legend.camera.picture import picture_in
    from legend.failures import PlainError

    off: list[float] = []
    turns: list[float] = []
    claimed: list[float] = []
    seconds: list[float] = []
    told: Counter[str] = Counter()
    for seed in seeds:
        description = legend.read(LETTERED[seed % len(LETTERED)])
        artwork = legend.lay_out(description)
        sheets = legend.cut(artwork).sheets
        clear = seed % 5 == 4
        changed = {} if clear else _wrong(seed, artwork)
        case = with_letters(
            description, seed, changed=changed, **({"film": CLEAR} if clear else {})
        )
        begin = time.perf_counter()
        try:
            placed = placed_in(picture_in(case.shot.data, case.name), artwork, sheets)
        except PlainError as refusal:
            told[f"{'clear' if clear else 'coloured'} film refused: {str(refusal)[:70]}"] += 1
            continue
        finally:
            seconds.append(time.perf_counter() - begin)
        told["clear film taken" if clear else "coloured film taken"] += 1
        for judged_piece in placed.pieces:
            piece = judged_piece.piece
            lies = case.laid[piece.wanted.piece.number]
            told[f"{lies.state}: told {piece.how}"] += 1
            far = math.hypot(lies.right, lies.up)
            if judged_piece.is_true and (far > 0.3 or lies.state != "laid"):
                told[f"called true, {'off' if lies.state == 'laid' else lies.state}"] += 1
            if piece.how is How.FOUND and piece.found and lies.state == "laid" and not clear:
                right, up = judged_piece.off
                off.append(math.hypot(right - lies.right, up - lies.up))
                turns.append(abs(judged_piece.clockwise - lies.clockwise))
                claimed.append(judged_piece.uncertainty)
        print(".", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    print(f"\nletters: {len(seconds)} pictures; goals 0.08 mm and 0.15° at 95 %")
    for what, count in sorted(told.items()):
        print(f"    {count} × {what}")
    print(f"  time {_three(seconds)} s")
    if off:
        print(f"  place  {_three(off)} mm\n  turn   {_three(turns)} °")
        within = (np.array(off) <= np.array(claimed)).mean()
        print(f"  within u {within:.1%}, u / error {_ratio(np.array(claimed), np.array(off))}")


def _wrong(seed: int, artwork: legend.Artwork) -> dict[int, LaidPiece]:
    """Some pieces laid wrongly: one missing, one upside down, two exchanged; none in some."""
    from legend.camera.letters.wanted import wanted_of
    from legend.stencil.sheet import pieces_of

    rng = np.random.default_rng([seed, 9])
    numbers = [each.piece.number for each in wanted_of(pieces_of(legend.cut(artwork).sheets))]
    if seed % 2 or len(numbers) < 5:
        return {}
    a, b, c, d = (int(n) for n in rng.permutation(numbers)[:4])
    return {
        a: LaidPiece(a, state="missing"),
        b: LaidPiece(b, state="upside down"),
        c: LaidPiece(c, state="exchanged", instead_of=d),
        d: LaidPiece(d, state="exchanged", instead_of=c),
    }


def main() -> None:
    """Print the tables that are asked for."""
    parser = argparse.ArgumentParser(description="How well holes and letters are measured.")
    parser.add_argument("--pictures", type=int, default=10, help="so many of each sort")
    parser.add_argument("--seed", type=int, default=1, help="the first of their seeds")
    parser.add_argument("--only", choices=[*SORTS, "letters"], nargs="*")
    parser.add_argument("--keep", type=Path, help="a folder for pictures and what came out")
    asked = parser.parse_args()
    seeds = range(asked.seed, asked.seed + asked.pictures)
    for sort in asked.only or [*SORTS, "letters"]:
        if sort == "letters":
            letters_laid(seeds)
        else:
            said(sort, measured(sort, seeds, asked.keep))


if __name__ == "__main__":
    main()
