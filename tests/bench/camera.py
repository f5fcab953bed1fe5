"""How well holes and laid letters are measured in pictures: run it, and read the tables.

    .venv/bin/python tests/bench/camera.py                       # a few pictures of each sort
    .venv/bin/python tests/bench/camera.py --pictures 100 --only any
    .venv/bin/python tests/bench/camera.py --only letters --seed 7 --keep /tmp/pictures

It is no test: nothing here passes or fails. The pictures are those of the synthetic camera, whose
truth is known, of full size and taken as is advised, or as it may happen; the same seed gives the
same ones. Each is measured in a process of its own, whose time and memory are told.
The rows of the first table are those of the goals:

    scan     300 dpi, paper of a colour or black over the panel    0.04 | 0.03  0.10 | 0.07  0.25
    page     12 MP on the target page, 7.5 px/mm and more          0.05         0.12         0.25
    edges    12 MP on black paper, or white under a dark panel     0.07         0.18         0.35

Others are asked for by name: panels that are round, scanned at any angle or on their page; pages of
several sheets, taped together; panels whose edges were sawn bowed, by a tenth of a millimetre.

Errors are of the middles of holes, mm: raw, from the true datum, and after the shift and the turn
that all holes of a picture have in common are taken out.
"""

from __future__ import annotations

import argparse
import json
import math
import os
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np
import shapely

# As the program does: threads for matrices that are all small wait for each other.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

sys.path.pop(0)  # this folder, where `camera` is this file
sys.path.insert(0, str(Path(__file__).parents[1]))

from camera.synthetic.cases import (
    Case,
    as_it_happens,
    by_edges,
    on_page,
    scanned,
)
from camera.synthetic.letter_cases import with_letters
from camera.synthetic.letters import CLEAR, LaidPiece
from camera.synthetic.plates import ORDINARY
from camera.synthetic.shots import TrueHole

import legend
from legend.description.tables.as_drilled import best_fit

SAMPLES = Path(__file__).parents[2] / "samples"
PANELS = Path(__file__).parents[1] / "panels"
#: What lies further from a hole than this is none, mm.
NO_HOLE = 1.0
#: Two shapes look the same whose edges are no further apart than this, mm.
LOOKS_THE_SAME = 0.05
#: Panels whose letters are lifted off film.
LETTERED = (
    SAMPLES / "enlarger-timer" / "panel.toml",
    SAMPLES / "kiln-controller" / "panel.toml",
    PANELS / "crossing-gate.toml",
    PANELS / "weather-station.toml",
)

SORTS: dict[str, Callable[[int], Case]] = {
    "scan": scanned,
    "page": on_page,
    "edges": by_edges,
    "any": as_it_happens,
}
#: One who saws well but for edges that bow, mm as a standard deviation.
BOWED = replace(ORDINARY, sides=0.1)
ASKED_FOR: dict[str, Callable[[int], Case]] = {
    "round-scan": lambda seed: scanned(seed, turn=float(37 * seed % 360), is_round=True),
    "round-page": lambda seed: on_page(seed, is_round=True),
    "sheets": lambda seed: on_page(seed, paper="A4", size=(290.0, 160.0)),
    "bowed-scan": lambda seed: scanned(seed, hand=BOWED),
    "bowed-page": lambda seed: on_page(seed, hand=BOWED),
}


# --- One picture ---


@dataclass(frozen=True, slots=True)
class Ran:
    """What came of one picture, and what it took: seconds by the clock and of the processor, MB;
    the start of Python is among it."""

    came: dict[str, Any]
    seconds: float
    processor: float
    memory: float


def run(picture: Path, panel: Path, design: bool) -> Ran:
    """Measure in a process of its own."""
    begin = time.perf_counter()
    command = [sys.executable, __file__, "--one", str(picture), str(panel)]
    process = subprocess.Popen(
        [*command, *([] if design else ["--no-design"])], stdout=subprocess.PIPE, text=True
    )
    assert process.stdout is not None
    said = process.stdout.read()
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    seconds = time.perf_counter() - begin
    came = json.loads(said) if process.returncode == 0 else {"refused": "BROKE DOWN"}
    processor = usage.ru_utime + usage.ru_stime
    return Ran(came, seconds, processor, came.get("memory", 0.0))


def one(picture: Path, panel: Path, design: bool) -> None:
    """Measure one picture, and print what came of it as JSON."""
    from legend.camera.measuring import measured_from
    from legend.camera.picture import read_picture
    from legend.failures import PlainError

    description = legend.read(panel)
    count = len(description.holes)
    given = (description, None) if design else (None, count)
    try:
        measured = measured_from([read_picture(picture)], description.panel, "mm", *given)
    except PlainError as refusal:
        why = str(refusal).replace(str(picture), "it")
        print(json.dumps({"refused": why, "memory": _memory()}))
        return
    holes = [
        {
            "id": hole.id,
            "at": hole.found.at,
            "width": hole.found.width,
            "u": hole.found.uncertainty,
            "sure": hole.is_sure,
        }
        for hole in measured.holes
    ]
    told = {"missing": [hole.id for hole in measured.missing], "extra": len(measured.extra)}
    print(json.dumps({"holes": holes, **told, "memory": _memory()}))


def _memory() -> float:
    """The most memory that this process had since it was begun, MB.

    What `wait4` tells is at least what the process had that began it.
    """
    (line,) = (k for k in Path("/proc/self/status").read_text().splitlines() if "VmHWM" in k)
    return int(line.split()[1]) / 1024


# --- Holes ---


@dataclass(slots=True)
class Tally:
    """What came out over the pictures of one sort; errors in mm."""

    raw: list[float] = field(default_factory=list)
    fitted: list[float] = field(default_factory=list)
    claimed: list[float] = field(default_factory=list)
    drills: list[float] = field(default_factory=list)
    chamfered: list[float] = field(default_factory=list)
    datum: list[float] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)
    processor: list[float] = field(default_factory=list)
    memory: list[float] = field(default_factory=list)
    refused: Counter[str] = field(default_factory=Counter)
    refusals: list[str] = field(default_factory=list)
    false: int = 0
    false_sure: int = 0
    missed: int = 0
    untold: int = 0
    extra: int = 0
    holes: int = 0
    worst: list[str] = field(default_factory=list)


def judged(case: Case, came: dict[str, Any], design: bool, tally: Tally) -> None:
    """Compare what was measured with the truth; without a design, by what lies nearest."""
    truth = {hole.id: hole for hole in _upright(case)}
    found: dict[str, dict[str, Any]] = {}
    for hole in came["holes"]:
        id = hole["id"] if design else min(truth, key=lambda k: math.dist(truth[k].at, hole["at"]))
        if math.dist(truth[id].at, hole["at"]) > NO_HOLE or id in found:
            tally.false += 1
            tally.false_sure += hole["sure"]
        else:
            found[id] = hole
    tally.holes += len(truth)
    tally.missed += len(truth) - len(found)
    tally.untold += design and len(truth.keys() - found.keys() - set(came["missing"]))
    tally.extra += came["extra"]
    if not found:
        return
    seen = np.array([hole["at"] for hole in found.values()])
    true = np.array([truth[id].at for id in found])
    fit = best_fit(seen, true)
    moved = np.array([fit.moved(x, y) for x, y in seen])
    raw, fitted = (np.hypot(*(each - true).T) for each in (seen, moved))
    tally.raw += raw.tolist()
    tally.fitted += fitted.tolist()
    tally.claimed += [hole["u"] for hole in found.values()]
    middle = tuple(side / 2 for side in case.size)
    tally.datum.append(math.dist(fit.moved(*middle), middle))
    for id, hole in found.items():
        real = truth[id]
        if real.key == "drill" and len(real.size) == 1:
            error = abs(hole["width"] - real.size[0])
            (tally.chamfered if real.chamfer else tally.drills).append(error)
    k = int(raw.argmax())
    tally.worst.append(f"{raw[k]:.3f} mm at {list(found)[k]} of {case.name}")


def _upright(case: Case) -> tuple[TrueHole, ...]:
    """The holes as they are; of a round panel, with the panel turned as they fit their design."""
    holes = case.shot.truth.holes
    if not case.is_round:
        return holes
    middle = case.size[0] / 2, case.size[1] / 2
    real, wanted = (
        np.array([each[hole.id] for hole in holes]) - middle
        for each in (
            {hole.id: hole.at for hole in holes},
            {id: hole["at"] for id, hole in case.holes.items()},
        )
    )
    turn = math.atan2(
        float((real[:, 0] * wanted[:, 1] - real[:, 1] * wanted[:, 0]).sum()),
        float((real * wanted).sum()),
    )
    c, s = math.cos(turn), math.sin(turn)
    places = real @ np.array([[c, s], [-s, c]]) + middle
    return tuple(
        replace(hole, at=(x, y)) for hole, (x, y) in zip(holes, places.tolist(), strict=True)
    )


def measured(sort: str, seeds: Iterable[int], design: bool, keep: Path | None) -> Tally:
    """Measure pictures of a sort."""
    tally = Tally()
    for seed in seeds:
        case = (SORTS | ASKED_FOR)[sort](seed)
        with tempfile.TemporaryDirectory() as scratch:
            folder = keep / case.name.replace(" ", "-") if keep else Path(scratch)
            folder.mkdir(parents=True, exist_ok=True)
            (folder / "panel.toml").write_text(case.toml, encoding="utf-8")
            ran = run(case.shot.written(folder), folder / "panel.toml", design)
        tally.seconds.append(ran.seconds)
        tally.processor.append(ran.processor)
        tally.memory.append(ran.memory)
        if "refused" in ran.came:
            tally.refused[ran.came["refused"]] += 1
            tally.refusals.append(case.name)
        else:
            judged(case, ran.came, design, tally)
        print(".", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    return tally


def said(sort: str, tally: Tally) -> None:
    """Print the rows of a sort."""
    print(f"\n{sort}: {len(tally.seconds)} pictures, {sum(tally.refused.values())} refused")
    for why, count in tally.refused.most_common():
        print(f"    {count} × {why[:160]}")
    if tally.refusals:
        print(f"    {', '.join(tally.refusals)}")
    print(f"  seconds by the clock {_three(tally.seconds)}")
    print(f"  of the processor     {_three(tally.processor)}; at most {max(tally.memory):.0f} MB")
    if not tally.raw:
        return
    raw, claimed = np.array(tally.raw), np.array(tally.claimed)
    for what, values in (
        ("centres, raw", tally.raw),
        ("centres, fitted", tally.fitted),
        ("common shift", tally.datum),
        ("drills, no chamfer", tally.drills),
        ("drills, chamfered", tally.chamfered),
    ):
        if values:
            print(f"  {what:20} {_three(values)}")
    print(
        f"  {tally.holes} holes, {tally.false} false ({tally.false_sure} of them undoubted), "
        f"{tally.missed} missed ({tally.untold} of them untold), {tally.extra} set aside"
    )
    print(f"  within u {(raw <= claimed).mean():.1%}, u / error {_ratio(claimed, raw)}")
    print("  worst " + "; ".join(sorted(tally.worst, reverse=True)[:3]), flush=True)


def _three(values: Sequence[float]) -> str:
    middle, most, worst = np.percentile(values, [50, 95, 100])
    return f"median {middle:.3f}  95 % {most:.3f}  max {worst:.3f}"


def _ratio(claimed: np.ndarray, errors: np.ndarray) -> str:
    return f"{np.median(claimed) / np.median(errors):.2f} (medians)"


# --- Letters ---


def letters_laid(seeds: Iterable[int]) -> None:
    """Check laid letters, in this process: the command only tells what lies off."""
    from legend.camera.letters.pieces.laid_piece import How
    from legend.camera.letters.placed import placed_in
    from legend.camera.picture import picture_in
    from legend.failures import PlainError

    off: list[float] = []
    turns: list[float] = []
    claimed: list[float] = []
    turns_claimed: list[float] = []
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
            state = _state(lies, artwork, sheets)
            told[f"{state}: told {_told(piece, case.laid)}"] += 1
            far = math.hypot(lies.right, lies.up)
            if judged_piece.is_true and (far > 0.3 or state != "laid"):
                told[f"called true, {'off' if state == 'laid' else state}"] += 1
            if piece.how is How.FOUND and piece.found and lies.state == "laid" and not clear:
                right, up = judged_piece.off
                off.append(math.hypot(right - lies.right, up - lies.up))
                claimed.append(judged_piece.uncertainty)
                if judged_piece.has_turn:
                    turns.append(abs(piece.found.place.clockwise - lies.clockwise))
                    turns_claimed.append(judged_piece.turn_uncertainty)
                    told["turns cannot be told"] += not judged_piece.is_turn_told
                    far_turned = abs(lies.clockwise) > 0.75
                    told["turns told true, more than 0.75° off"] += (
                        judged_piece.is_true and far_turned
                    )
        print(".", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    print(f"\nletters: {len(seconds)} pictures; goals 0.08 mm and 0.15° at 95 %")
    for what, count in sorted(told.items()):
        print(f"    {count} × {what}")
    print(f"  time {_three(seconds)} s")
    if off:
        print(f"  place  {_three(off)} mm\n  turn   {_three(turns)} °")
        for values, u in ((off, claimed), (turns, turns_claimed)):
            within = (np.array(values) <= np.array(u)).mean()
            print(f"  within u {within:.1%}, u / error {_ratio(np.array(u), np.array(values))}")
        short = np.array(turns)[np.array(turns_claimed) < 0.15]
        print(f"  turn, where u is less than 0.15°  {_three(short.tolist())} °")


def _told(piece: Any, laid: Mapping[int, LaidPiece]) -> str:
    """What was told of a piece; of an exchanged one, whether the right one was named."""
    if not piece.instead:
        return str(piece.how)
    right = laid[piece.instead.number].instead_of == piece.wanted.piece.number
    return f"{piece.how}, {'rightly' if right else 'WRONGLY'}"


def _state(lies: LaidPiece, artwork: legend.Artwork, sheets: Sequence[Any]) -> str:
    """How a piece lies; of an exchanged one, whether what lies in its place can be seen there: it
    is not, where most of it hangs over a hole or over the edge. What is upside down and looks the
    same so, as a rule does, lies as it should.
    """
    from legend.camera.letters.pieces.wanted import wanted_of
    from legend.stencil.sheet import pieces_of

    wanted = {each.piece.number: each for each in wanted_of(pieces_of(sheets))}
    if lies.state == "upside down":
        own = wanted[lies.number]
        upright = shapely.union_all([mark.shape for mark in own.marks])
        turned = shapely.union_all([mark.turned(180, own.middle).shape for mark in own.marks])
        return "laid" if upright.hausdorff_distance(turned) < LOOKS_THE_SAME else lies.state
    if lies.state != "exchanged":
        return lies.state
    there, own = wanted[lies.instead_of], wanted[lies.number]
    shift = np.subtract(own.middle, there.middle)
    letters = shapely.union_all([mark.moved(*shift).shape for mark in there.marks])
    holes = shapely.union_all([opening.outline.shape for opening in artwork.openings])
    seen = letters.intersection(artwork.panel.shape).difference(holes).area / letters.area
    return "exchanged" if seen > 0.5 else "exchanged for one over a hole or the edge"


def _wrong(seed: int, artwork: legend.Artwork) -> dict[int, LaidPiece]:
    """Some pieces laid wrongly: one missing, one upside down, two exchanged; none in some."""
    from legend.camera.letters.pieces.wanted import wanted_of
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
    parser.add_argument("--only", choices=[*SORTS, *ASKED_FOR, "letters"], nargs="*")
    parser.add_argument("--no-design", action="store_true", help="tell the size and count alone")
    parser.add_argument("--keep", type=Path, help="a folder for the pictures and their designs")
    parser.add_argument("--one", type=Path, nargs=2, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.one:
        one(*asked.one, not asked.no_design)
        return
    seeds = range(asked.seed, asked.seed + asked.pictures)
    for sort in asked.only or [*SORTS, "letters"]:
        if sort == "letters":
            letters_laid(seeds)
        else:
            said(sort, measured(sort, seeds, not asked.no_design, asked.keep))


if __name__ == "__main__":
    main()
