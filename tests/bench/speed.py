"""How long the main job takes, and how that grows with the panel: run it, and read the tables.

    .venv/bin/python tests/bench/speed.py            # the sample, against its imports
    .venv/bin/python tests/bench/speed.py --growth   # panels of 3 to 1,000 controls

It is no test: nothing here passes or fails, since times depend on the machine.
"""

from __future__ import annotations

import argparse
import math
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

SAMPLE = Path(__file__).parents[2] / "samples" / "enlarger-timer" / "panel.toml"

#: What `legend make` needs from outside, imported as a program would.
IMPORTS_OF_MAKE = """
import click, jinja2, numpy, pathops, rectpack, shapely, svgwrite, tomllib
import PIL.Image, PIL.ImageDraw, PIL.PngImagePlugin
import reportlab.pdfgen.canvas
import tree_sitter, tree_sitter_toml
import fontTools.ttLib, uharfbuzz
from pydantic import BaseModel, Field, BeforeValidator, ConfigDict, model_validator
"""

#: What `legend check` needs from outside.
IMPORTS_OF_CHECK = """
import click, numpy, pathops, shapely, tomllib
import tree_sitter, tree_sitter_toml
from pydantic import BaseModel, Field, BeforeValidator, ConfigDict, model_validator
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


def process(*words: str) -> None:
    # A description whose artwork has errors ends with status 1, and is as good a measure.
    # An installed program has its byte code; so has this one, after the first run.
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    ended = subprocess.run(
        [sys.executable, *words], capture_output=True, text=True, check=False, env=env
    )
    if ended.returncode > 1:
        raise SystemExit(ended.stderr)


def against_imports(folder: Path, times: int) -> None:
    """Whole processes, side by side with the import of what they need."""
    print(f"{'whole process, s':24s}{'command':>10s}{'imports':>10s}{'ratio':>8s}")
    for name, imports, words in (
        ("legend make", IMPORTS_OF_MAKE, ["make", str(SAMPLE), "--out", str(folder)]),
        ("legend check", IMPORTS_OF_CHECK, ["check", str(SAMPLE)]),
    ):
        command = best(lambda words=words: process("-m", "legend", *words), times)  # type: ignore[misc]
        baseline = best(lambda imports=imports: process("-c", imports), times)  # type: ignore[misc]
        print(f"{name:24s}{command:10.3f}{baseline:10.3f}{command / baseline:8.2f}")


def stages(file: Path, folder: Path) -> dict[str, float]:
    """Seconds that each stage takes in this process, by name."""
    from legend.description.reading import read
    from legend.drawing.findings_json import write_findings
    from legend.drawing.job_card import write_card
    from legend.drawing.overlay import write_overlay
    from legend.drawing.proof import write_proof
    from legend.drawing.proof_svg import write_proof_svg
    from legend.drawing.stencil_svg import write_stencils
    from legend.layout import inspect, lay_out
    from legend.stencil import cut

    taken: dict[str, float] = {}

    def timed(name: str, run: Callable[[], Any]) -> Any:
        start = time.perf_counter()
        result = run()
        taken[name] = time.perf_counter() - start
        return result

    description = timed("read", lambda: read(file))
    artwork = timed("lay out", lambda: lay_out(description))
    findings = timed("inspect", lambda: inspect(artwork))
    sheets = timed("cut", lambda: cut(artwork))
    timed("stencils", lambda: write_stencils(sheets, artwork, folder))
    timed("overlay", lambda: write_overlay(artwork, sheets, folder / "overlay.pdf"))
    timed("proof", lambda: write_proof(artwork, sheets, folder / "proof.png"))
    timed("proof svg", lambda: write_proof_svg(artwork, folder / "proof.svg"))
    timed("card", lambda: write_card(artwork, sheets, findings, folder / "job-card.html"))
    timed("findings", lambda: write_findings(findings, folder / "findings.json"))
    return taken


def growth(folder: Path, sizes: list[int]) -> None:
    """Time by stage, the peak of memory, and the exponent of growth, for larger panels."""
    totals = []
    for size in sizes:
        file = folder / f"panel-{size}.toml"
        file.write_text(panel(size), encoding="utf-8")
        command = [sys.executable, __file__, "--stages", str(file)]
        ended = subprocess.run(command, capture_output=True, text=True, check=False)
        if ended.returncode:
            raise SystemExit(ended.stderr)
        if not totals:
            print(f"{'controls':>8s}  " + ended.stdout.splitlines()[0])
        row = ended.stdout.splitlines()[1]
        totals.append(float(row.split()[-2]))
        print(f"{size:8d}  {row}")
    for (a, b), (s, t) in zip(pairwise(sizes), pairwise(totals), strict=True):
        print(f"from {a} to {b}: time grows as n^{math.log(t / s) / math.log(b / a):.2f}")


def print_stages(file: Path) -> None:
    with tempfile.TemporaryDirectory() as folder:
        taken = stages(file, Path(folder))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print("".join(f"{name:>10s}" for name in (*taken, "total, s", "peak, MB")))
    total = sum(taken.values())
    print("".join(f"{t:10.3f}" for t in (*taken.values(), total)) + f"{peak:10.0f}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--growth", action="store_true", help="panels of 3 to 1,000 controls")
    parser.add_argument("--stages", type=Path, help="the stages of one description")
    parser.add_argument("--times", type=int, default=7, help="how often each process is run")
    words = parser.parse_args()
    if words.stages:
        print_stages(words.stages)
        return
    with tempfile.TemporaryDirectory() as folder:
        if words.growth:
            growth(Path(folder), [3, 10, 30, 100, 300, 1000])
        else:
            against_imports(Path(folder), words.times)


if __name__ == "__main__":
    main()
