"""How long the main job takes, and how that grows with the panel: run it, and read the tables.

    .venv/bin/python tests/bench/speed.py            # the sample, against its imports
    .venv/bin/python tests/bench/speed.py --growth   # panels of 3 to 1,000 controls

It is no test: nothing here passes or fails, since times depend on the machine. Growth is
measured for the whole of `legend make`, each time in a process of its own, and for its stages,
run one after another in one process.
"""

from __future__ import annotations

import argparse
import gc
import importlib.util
import json
import math
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any, NamedTuple

SAMPLE = Path(__file__).parents[2] / "samples" / "enlarger-timer" / "panel.toml"

#: A command run with every module that it loads, in whichever process, added to a file at its end.
LISTING = """
import os, sys
leave, names = os._exit, sys.argv[1]
def end(status):
    with open(names, "a", encoding="utf-8") as file:
        file.writelines(f"{name}\\n" for name in sys.modules)
    leave(status)
os._exit = end
sys.argv = ["legend", *sys.argv[2:]]
from legend.__main__ import main
main()
"""

#: The modules named in a file, imported.
IMPORTING = """
import importlib, sys
for name in open(sys.argv[1], encoding="utf-8").read().split():
    importlib.import_module(name)
"""


def panel(controls: int) -> str:
    """A description with so many controls in rows of twelve, every fourth a knob with a scale."""
    columns = 12
    rows = math.ceil(controls / columns)
    lines = [f"[panel]\nsize = [{columns * 45 + 20}, {rows * 60 + 20}]\n[holes]"]
    for i in range(controls):
        x, y = 32 + 45 * (i % columns), 40 + 60 * (i // columns)
        lines.append(f"H{i} = {{ at = [{x}, {y}], drill = 9.5 }}")
    for i in range(controls):
        kind = [
            'kind = "knob"\ncovers = 16\nside = "below"\nscale = { from = 0, to = 10 }',
            'kind = "toggle"\npositions = { up = "ON", down = "OFF" }',
            'kind = "selector"\ncovers = 16\npositions = ["1", "2", "3", "4"]',
            'kind = "jack"',
        ][i % 4]
        lines.append(f'[[control]]\nhole = "H{i}"\nname = "PART {i}"\n{kind}')
    return "\n".join(lines) + "\n"


def best(run: Callable[[], Any], times: int) -> float:
    """The shortest of several runs, in seconds: what the machine can do when left alone."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        taken.append(time.perf_counter() - start)
    return min(taken)


def environment() -> dict[str, str]:
    # An installed program has its byte code; so has this one, after the first run.
    return {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}


def process(*words: str) -> None:
    # A description whose artwork has errors ends with status 1, and is as good a measure.
    ended = subprocess.run(
        [sys.executable, *words], capture_output=True, text=True, check=False, env=environment()
    )
    if ended.returncode > 1:
        raise SystemExit(ended.stderr)


def modules_of(words: Sequence[str], folder: Path) -> list[str]:
    """The modules that a command loads, in the order in which it does."""
    names = folder / "modules"
    process("-c", LISTING, str(names), *words)
    loaded = dict.fromkeys(names.read_text(encoding="utf-8").split())
    names.unlink()
    return [name for name in loaded if name != "__main__" and importable(name)]


def importable(name: str) -> bool:
    try:
        return importlib.util.find_spec(name) is not None
    except (ImportError, ValueError):  # made by another module, which is in the list itself
        return False


def against_imports(folder: Path, times: int) -> None:
    """Whole processes, side by side with the import of what they load.

    What they load is told by themselves: all modules from outside, and these with their own.
    """
    print(f"{'whole process, s':16s}{'command':>10s}{'imports':>10s}{'ratio':>8s}", end="")
    print(f"{'with own':>12s}{'ratio':>8s}")
    for words in (["make", str(SAMPLE), "--out", str(folder / "made")], ["check", str(SAMPLE)]):
        loaded = modules_of(words, folder)
        outside = [name for name in loaded if name.partition(".")[0] != "legend"]
        command = best(lambda words=words: process("-m", "legend", *words), times)  # type: ignore[misc]
        print(f"legend {words[0]:9s}{command:10.3f}", end="")
        for names, width in ((outside, 10), (loaded, 12)):
            (folder / "modules").write_text("\n".join(names), encoding="utf-8")
            imports = best(lambda: process("-c", IMPORTING, str(folder / "modules")), times)
            print(f"{imports:{width}.3f}{command / imports:8.2f}", end="")
        (folder / "modules").unlink()
        print()


def stages(file: Path, folder: Path) -> dict[str, float]:
    """Processor seconds that each stage of `legend make` takes in this process, by name."""
    from legend.description.reading.description_file import read
    from legend.drawing.findings_json import write_findings
    from legend.drawing.job_card.job_card import write_card
    from legend.drawing.pdf.overlay_pdf import write_overlay
    from legend.drawing.placement_card import write_placement_cards
    from legend.drawing.proofs.proof_png import write_proof
    from legend.drawing.proofs.proof_svg import write_proof_svg
    from legend.drawing.stencil_files import write_stencils
    from legend.layout import inspect, lay_out
    from legend.stencil import cut

    taken: dict[str, float] = {}

    def timed(name: str, run: Callable[[], Any]) -> Any:
        start = time.process_time()
        result = run()
        taken[name] = time.process_time() - start
        return result

    description = timed("read", lambda: read(file))
    artwork = timed("lay out", lambda: lay_out(description))
    findings = timed("inspect", lambda: inspect(artwork))
    sheets = timed("cut", lambda: cut(artwork).sheets)
    timed("stencils", lambda: write_stencils(sheets, artwork, folder))
    timed("cards", lambda: write_placement_cards(artwork, sheets, folder))
    timed("overlay", lambda: write_overlay(artwork, sheets, folder / "overlay.pdf"))
    timed("proof", lambda: write_proof(artwork, sheets, folder / "proof.png"))
    timed("drawing", lambda: write_proof_svg(artwork, folder / "proof.svg"))
    timed("card", lambda: write_card(artwork, sheets, findings, folder / "job-card.html"))
    timed("findings", lambda: write_findings(findings, folder / "findings.json"))
    return taken


def print_stages(file: Path) -> None:
    """The stages of one description, as JSON; collecting as seldom as the command does."""
    gc.set_threshold(100_000, 20, 20)
    with tempfile.TemporaryDirectory() as folder:
        print(json.dumps(stages(file, Path(folder))))


class Usage(NamedTuple):
    """What a process took: processor seconds, seconds by the clock, and memory at most, MB."""

    processor: float
    clock: float
    peak: float


def used(*words: str) -> Usage:
    """What a process takes from its start to its end, all by itself."""
    start = time.perf_counter()
    run = subprocess.Popen([sys.executable, *words], stdout=subprocess.DEVNULL, env=environment())
    _, status, usage = os.wait4(run.pid, 0)
    clock = time.perf_counter() - start
    run.returncode = os.waitstatus_to_exitcode(status)
    if run.returncode > 1:
        raise SystemExit(f"{' '.join(words)} ended with status {run.returncode}")
    return Usage(usage.ru_utime + usage.ru_stime, clock, usage.ru_maxrss * 1024 / 1e6)


def exponent(sizes: Sequence[int], taken: Sequence[float]) -> float:
    """The k of n^k that suits best, by least squares of the logarithms."""
    x, y = [math.log(n) for n in sizes], [math.log(t) for t in taken]
    middle_x, middle_y = sum(x) / len(x), sum(y) / len(y)
    rise = sum((a - middle_x) * (b - middle_y) for a, b in zip(x, y, strict=True))
    return rise / sum((a - middle_x) ** 2 for a in x)


def growth(folder: Path, sizes: Sequence[int], times: int) -> None:
    """How time and memory grow with the panel, for the whole command and for its stages.

    Times are seconds of the processor, the least of several runs, so that a busy machine
    disturbs them as little as may be.
    """
    whole: list[Usage] = []
    taken: list[dict[str, float]] = []
    for size in sizes:
        file = folder / f"panel-{size}.toml"
        file.write_text(panel(size), encoding="utf-8")
        make = ("-m", "legend", "make", str(file), "--out", str(folder / str(size)))
        runs = [used(*make) for _ in range(times)]
        processor, clock, peak = zip(*runs, strict=True)
        whole.append(Usage(min(processor), min(clock), max(peak)))
        apart = [_stages_apart(file) for _ in range(times)]
        taken.append({name: min(each[name] for each in apart) for name in apart[0]})
        if size == sizes[0]:
            heads = ("make", "clock", "peak, MB", *taken[0], "stages")
            print(f"{'controls':8s}" + "".join(f"{head:>10s}" for head in heads))
        numbers = [*taken[-1].values(), sum(taken[-1].values())]
        print(
            f"{size:8d}{whole[-1].processor:10.3f}{whole[-1].clock:10.3f}{whole[-1].peak:10.0f}"
            + "".join(f"{number:10.3f}" for number in numbers),
            flush=True,
        )
    sums = [sum(each.values()) for each in taken]
    makes = [each.processor for each in whole]
    print("\nTime grows as n^k, where k is")
    for (a, b), s, t in zip(pairwise(sizes), pairwise(makes), pairwise(sums), strict=True):
        _say_exponents(f"from {a} to {b}", exponent((a, b), s), exponent((a, b), t))
    for count in range(3, len(sizes)):
        last = sizes[-count:]
        what = f"over {last[0]} to {last[-1]}, by least squares"
        _say_exponents(what, exponent(last, makes[-count:]), exponent(last, sums[-count:]))
    last = sizes[-3:]
    by_stage = {name: exponent(last, [each[name] for each in taken[-3:]]) for name in taken[0]}
    print(f"\nOver {last[0]} to {last[-1]}, by stage: " + _ranked(by_stage, "n^{:.2f}"))
    print()
    for size, each, total in zip(sizes, taken, sums, strict=True):
        shares = {name: 100 * t / total for name, t in each.items()}
        print(f"Of the stages at {size} controls: " + _ranked(shares, "{:.0f} %", 3))


def _stages_apart(file: Path) -> dict[str, float]:
    """The stages of one description, in a process of their own."""
    command = [sys.executable, __file__, "--stages", str(file)]
    ended = subprocess.run(command, capture_output=True, text=True, check=False, env=environment())
    if ended.returncode:
        raise SystemExit(ended.stderr)
    taken: dict[str, float] = json.loads(ended.stdout)
    return taken


def _say_exponents(what: str, make: float, stages: float) -> None:
    print(f"{what:>40s}: {make:5.2f} for the whole of make, {stages:5.2f} for its stages")


def _ranked(values: dict[str, float], form: str, count: int | None = None) -> str:
    """The greatest of the values first, with their names."""
    first = sorted(values.items(), key=lambda each: -each[1])[:count]
    return ", ".join(f"{name} {form.format(value)}" for name, value in first)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--growth", action="store_true", help="panels of 3 to 1,000 controls")
    parser.add_argument("--stages", type=Path, help="the stages of one description")
    parser.add_argument(
        "--times", type=int, help="how often each process is run; else 7 times, or 3 for --growth"
    )
    words = parser.parse_args()
    if words.stages:
        print_stages(words.stages)
        return
    with tempfile.TemporaryDirectory() as folder:
        if words.growth:
            growth(Path(folder), [3, 10, 30, 100, 300, 1000], words.times or 3)
        else:
            against_imports(Path(folder), words.times or 7)


if __name__ == "__main__":
    main()
