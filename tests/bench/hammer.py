"""Throw bad input at the program for as long as one likes, and report what was seen.

    .venv/bin/python tests/bench/hammer.py --times 20              # twenty cases of every sort
    .venv/bin/python tests/bench/hammer.py --times 5000 fonts      # many of one sort
    .venv/bin/python tests/bench/hammer.py --keep /tmp/c fonts:321 # one case again, its files kept

Each case is a folder of bad input (`bad_input/`), and a `legend` command that is run in it,
in a process of its own with everything imported already. Whatever goes in, the command must
end within ten seconds and 500 MB (300 for a font), with a status of 0, 1 or 2 and no traceback;
either with files that are whole, that are known again as its own and that other readers can
read, or with plain sentences that name the file. A case is known by its sort and number, and
is always the same. The exit status is 1 where any case failed. Linux only.
"""

from __future__ import annotations

import argparse
import logging
import multiprocessing
import os
import random
import re
import resource
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from bad_input import (  # noqa: F401
    calls,
    descriptions,
    files,
    fonts,
    heaps,
    places,
    readers,
    words,
)
from bad_input.cases import SORTS, Case

#: What no case may exceed.
MOST_SECONDS = 10.0
#: A process that takes this long, or this much address space, is stopped.
STOP_SECONDS = 30
STOP_MEMORY = 3 * 2**30


@dataclass(frozen=True)
class Outcome:
    """How a case went: `wrong` is empty where all is well."""

    sort: str
    number: int
    status: int
    seconds: float
    memory: int
    wrong: str
    said: str


def main() -> int:
    """Run what was asked for, and report."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("sorts", nargs="*", help=f"of {', '.join(SORTS)}; or sort:number")
    asked.add_argument("--times", type=int, default=20, help="cases of each sort")
    asked.add_argument("--first", type=int, default=0, help="number of the first case")
    asked.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    asked.add_argument("--keep", type=Path, help="a folder in which failed cases are left")
    options = asked.parse_args()
    work = []
    for name in options.sorts or SORTS:
        sort, _, number = name.partition(":")
        if sort not in SORTS:
            asked.error(f"{sort} is none of {', '.join(SORTS)}")
        first = int(number) if number else options.first
        work += [(sort, n) for n in range(first, first + (1 if number else options.times))]
    readers.load()
    outcomes = []
    with multiprocessing.get_context("fork").Pool(options.jobs, _begin, [options.keep]) as pool:
        for outcome in pool.imap_unordered(_run, work):
            outcomes.append(outcome)
            if outcome.wrong:
                print(f"{outcome.sort}:{outcome.number}  {outcome.wrong}", flush=True)
                print(*(f"    {line[:300]}" for line in outcome.said.splitlines()[-4:]), sep="\n")
    return _report(outcomes)


def _report(outcomes: list[Outcome]) -> int:
    print(f"{'sort':<20}{'cases':>7}{'made':>7}{'refused':>9}{'wrong':>7}{'s':>8}{'MB':>6}")
    for sort in dict.fromkeys(outcome.sort for outcome in sorted(outcomes, key=lambda o: o.sort)):
        of = [outcome for outcome in outcomes if outcome.sort == sort]
        made = sum(outcome.status in (0, 1) for outcome in of)
        refused = sum(outcome.status == 2 for outcome in of)
        slow, large = max(o.seconds for o in of), max(o.memory for o in of) / 2**20
        wrong = sum(bool(outcome.wrong) for outcome in of)
        print(f"{sort:<20}{len(of):>7}{made:>7}{refused:>9}{wrong:>7}{slow:>8.2f}{large:>6.0f}")
    slowest = sorted(outcomes, key=lambda o: -o.seconds)[:3]
    print("slowest:", ", ".join(f"{o.sort}:{o.number} {o.seconds:.2f} s" for o in slowest))
    return int(any(outcome.wrong for outcome in outcomes))


#: Larger files of a failed case are not kept: they would be as large as they seem.
_LARGE = 50_000_000

_kept: Path | None = None


def _begin(keep: Path | None) -> None:
    global _kept
    _kept = keep
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _run(work: tuple[str, int]) -> Outcome:
    """One case from its making to its judgement."""
    sort, number = work
    with tempfile.TemporaryDirectory(prefix=f"hammer-{sort}-{number}-") as name:
        folder = Path(name)
        logging.disable()  # libraries comment on what is made here, and shall on what is read
        case = SORTS[sort](random.Random(f"{sort}:{number}"), folder)
        logging.disable(logging.NOTSET)
        try:
            status, seconds, memory = _process(case, folder)
            said = (folder / "said.err").read_text(errors="replace")
            wrong = "; ".join(_judged(case, folder, status, seconds, memory, said))
        finally:
            case.tidy()
        if wrong and _kept:
            kept = _kept / f"{sort}-{number}"
            shutil.rmtree(kept, ignore_errors=True)
            kept.mkdir(parents=True)
            for path in folder.iterdir():
                if path.is_file() and path.stat().st_size < _LARGE:
                    shutil.copy(path, kept, follow_symlinks=False)
            (kept / "command").write_text(f"{case.words}\n")
    return Outcome(sort, number, status, seconds, memory, wrong, said)


def _process(case: Case, folder: Path) -> tuple[int, float, int]:
    """Run the command in a process of its own; its status, seconds and bytes."""
    for name in ("said.out", "said.err"):
        (folder / name).touch()
    begun = time.monotonic()
    child = os.fork()
    if not child:
        _command(case, folder)
    deadline = begun + STOP_SECONDS
    if case.signal_after is not None:
        number, after = case.signal_after
        time.sleep(after)
        with suppress(ProcessLookupError):
            os.kill(child, number)
    while True:
        ended, status, used = os.wait4(child, os.WNOHANG)
        if ended:
            break
        if time.monotonic() > deadline:
            os.kill(child, signal.SIGKILL)
            deadline = float("inf")
        time.sleep(0.002)
    # On a busy machine others take time too; what hangs is stopped all the same.
    seconds = min(used.ru_utime + used.ru_stime, time.monotonic() - begun)
    return os.waitstatus_to_exitcode(status), seconds, used.ru_maxrss * 1024


def _command(case: Case, folder: Path) -> None:
    """The child: the command line, as `python -m legend` runs it. Never comes back."""
    status = 70
    try:
        os.chdir(folder)
        for number, name in ((1, "said.out"), (2, "said.err")):
            os.dup2(os.open(name, os.O_WRONLY), number)
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        resource.setrlimit(resource.RLIMIT_AS, (STOP_MEMORY, STOP_MEMORY))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        case.confine()
        from legend.__main__ import main as legend

        sys.argv = ["legend", *case.words]
        legend()
        status = 0
    except SystemExit as left:
        status = left.code if isinstance(left.code, int) else 71
    except BaseException:
        traceback.print_exc()
    finally:
        with suppress(Exception):
            sys.stdout.flush()
        with suppress(Exception):
            sys.stderr.flush()
        os._exit(status)


# --- Judging ---


def _judged(
    case: Case, folder: Path, status: int, seconds: float, memory: int, said: str
) -> Iterator[str]:
    """All that is wrong with how a case went."""
    told = (folder / "said.out").read_text(errors="replace") + said
    if status not in case.statuses:
        yield f"status {status}"
    if seconds > MOST_SECONDS:
        yield f"took {seconds:.1f} s"
    if memory > case.megabytes * 2**20:
        yield f"took {memory / 2**20:.0f} MB"
    if "Traceback" in told or "did not foresee" in told:
        yield "a failure nobody foresaw"
    if status in (0, 1) and case.words[0] in ("check", "make") and said:
        yield f"said on the way: {said[:200]!r}"
    if status == 2 and case.is_heard:
        yield from _faults(case, said)
    out = folder / case.out
    for path in sorted(out.rglob("*")) if out.is_dir() else ():
        if "~" in str(path.relative_to(out)):
            if status != -signal.SIGKILL:
                yield f"left {path.name} behind"
        elif path.is_file() and path.name not in ("", case.planted):
            yield from readers.read(path)
    made = folder / case.words[-1] / "findings.json"
    if status in (0, 1) and case.words[0] == "make" and not made.exists():
        yield "wrote nothing"
    yield from case.judge(folder, status, told)


_SENTENCE = re.compile(r".+[.?!]")


def _faults(case: Case, said: str) -> Iterator[str]:
    """What is wrong with the words in which a description was refused."""
    if said.startswith("Usage: "):
        said = said.partition("\n\n")[2]
    lines = said.splitlines()
    if not lines:
        yield "refused without a word"
    for line in lines:
        if not _SENTENCE.fullmatch(line):
            yield f"no sentence: {line[:200]!r}"
            return
    if case.names_file and not all(re.match(r"[^ ]+(:\d+)?: .", line) for line in lines):
        yield "a fault without its file"


if __name__ == "__main__":
    sys.exit(main())
