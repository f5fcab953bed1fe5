"""How long what Python does for the page takes, from a key to what is sent: run it, and read.

    .venv/bin/python tests/bench/page_speed.py             # the sample, and 12 to 300 controls
    .venv/bin/python tests/bench/page_speed.py --apart     # how the drawing is made up as well

It is no test: nothing here passes or fails, since times depend on the machine. Between one drawing
and the next a letter of a name changes, a letter of another is put before it, or a line comes in
at the head, as when somebody types; what the first drawing takes, which loads much, is left out.
Times are milliseconds of the processor: the median of several, and the least.
"""

from __future__ import annotations

import argparse
import gc
import statistics
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from speed import SAMPLE, panel

from legend.page.content.bench import Bench
from legend.page.messages import Drawing, to_json
from legend.page.redrawing import redrawing


def typed(text: str, times: int) -> Iterator[str]:
    """The text as it becomes while somebody types: each time one thing is other than before."""
    first = text.index('name = "') + len('name = "')
    for number in range(times):
        letter = chr(ord("A") + number % 26)
        if number % 3 == 0:
            yield text[:first] + letter + text[first + 1 :]
        elif number % 3 == 1:
            yield text[:first] + letter + text[first:]
        else:
            yield f"# {number}\n" + text


def timed(run: Callable[[], Any]) -> tuple[float, Any]:
    """What a call takes, ms, and what it gives."""
    begun = time.process_time()
    given = run()
    return 1000 * (time.process_time() - begun), given


def measured(path: Path, text: str, times: int) -> dict[str, list[float]]:
    """What each of the things takes that the page asks for, time after time, ms."""
    bench = Bench(path)
    taken: dict[str, list[float]] = {}
    last: Drawing | None = None
    for revision, now in enumerate(typed(text, times + 3)):
        at = now.index("[[control]]")
        done = {
            "draw": timed(lambda now=now, n=revision: bench.draw(n, now)),
            "find": timed(lambda now=now, n=revision: bench.find(n, now)),
            "pick": timed(lambda n=revision: bench.pick(n, (60.0, 40.0))),
            "pick again": timed(lambda n=revision: bench.pick(n, (61.0, 41.0))),
            "complete": timed(lambda now=now, n=revision, at=at: bench.complete(n, now, at)),
            "put in": timed(lambda now=now, n=revision: bench.put_in(n, n, now, "knob", 1)),
        }
        drawing = done["draw"][1]
        assert isinstance(drawing, Drawing), drawing
        upon = last or drawing
        done["as JSON"] = timed(lambda now=drawing, upon=upon: to_json(redrawing(now, upon)))
        last = drawing
        if revision % 3 == 0:
            done["cut"] = timed(lambda now=now, n=revision: bench.cut(n, now))
        if revision >= 3:
            for name, (ms, _) in done.items():
                taken.setdefault(name, []).append(ms)
            taken.setdefault("kB sent", []).append(len(done["as JSON"][1]) / 1000)
    return taken


def apart(path: Path, text: str, times: int) -> dict[str, list[float]]:
    """What the parts of a drawing take, ms."""
    from legend.description.reading.description_file import parse
    from legend.layout import lay_out
    from legend.page.content.panel_shown import panel_shown

    taken: dict[str, list[float]] = {"read": [], "lay out": [], "show": []}
    for revision, now in enumerate(typed(text, times + 3)):
        read, description = timed(lambda now=now: parse(now, str(path)))
        laid, artwork = timed(lambda description=description: lay_out(description))
        shown, _ = timed(lambda now=now, a=artwork, n=revision: panel_shown(n, now, a))
        if revision >= 3:
            for name, ms in zip(taken, (read, laid, shown), strict=True):
                taken[name].append(ms)
    return taken


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--apart", action="store_true", help="how the drawing is made up")
    parser.add_argument("--times", type=int, default=12, help="how often each is done")
    parser.add_argument("--controls", type=int, nargs="*", default=[12, 50, 100, 300])
    words = parser.parse_args()
    gc.set_threshold(100_000, 20, 20)  # as the page's processes have it
    panels = [("sample", SAMPLE, SAMPLE.read_text(encoding="utf-8"))]
    panels += [(str(n), Path("panel.toml"), panel(n)) for n in words.controls]
    heads: list[str] = []
    for called, path, text in panels:
        taken = apart(path, text, words.times) if words.apart else measured(path, text, words.times)
        if not heads:
            heads = [*taken]
            print(f"{'controls':9s}" + "".join(f"{head:>16s}" for head in heads))
        cells = (
            f"{statistics.median(taken[head]):8.1f}{f'({min(taken[head]):.1f})':>8s}"
            for head in heads
        )
        print(f"{called:9s}" + "".join(cells), flush=True)


if __name__ == "__main__":
    main()
