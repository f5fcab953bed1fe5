"""Places that take nothing, or not all, and runs that are ended at some moment."""

from __future__ import annotations

import os
import random
import resource
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import chdir
from dataclasses import replace
from pathlib import Path

from bad_input.cases import MAKE, Case, sample, sort
from bad_input.values import NUMBERS, hostile
from click.testing import CliRunner, Result

_Judge = Callable[[Path, int, str], Iterator[str]]


_MADE = [
    *("overlay.pdf", "proof.png", "proof.svg", "job-card.html", "findings.json"),
    *("placing.html", "stencil-1.svg", "placement-card-1.svg"),
]


@sort
def outputs(chance: random.Random, folder: Path) -> Case:
    """Places that take nothing, or not all, or hold something of the user's."""
    text = sample(chance, folder)
    (folder / "panel.toml").write_text(text)
    out = folder / "out"
    command = chance.choice(["make", "make", "cut", "proof", "overlay", "card"])
    file = {"proof": "proof.png", "overlay": "overlay.pdf", "card": "job-card.html"}
    words = [command, "panel.toml", "--out", f"out/{file[command]}" if command in file else "out"]
    case = replace(MAKE, words=words, names_file=False)
    match chance.randrange(11):
        case 0 | 1:
            most = chance.choice([400, 1_000, 5_000, 20_000, 60_000])
            before = _earlier(chance, folder)
            return replace(case, confine=lambda: _limit(most), judge=_all_or_nothing(before))
        case 2 | 3:
            out.mkdir()
            size = chance.choice([4096, 16384, 65536, 262144])
            options = chance.choice([f"size={size}", "ro"])
            mount = ["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(out)]
            if subprocess.run(mount, capture_output=True, check=False).returncode:
                return case
            return replace(
                case,
                judge=_all_or_nothing({}),
                tidy=lambda: subprocess.run(["umount", "-l", str(out)], check=False),
            )
        case 4:
            out.write_text("a file of mine")
            return replace(case, judge=_kept(out, "a file of mine"))
        case 5:
            before = _earlier(chance, folder)
            out.mkdir(exist_ok=True)
            mine = out / chance.choice(_MADE)
            quoted = mine.read_bytes() if mine.is_file() and chance.random() < 0.7 else b"mine"
            mine.write_bytes(quoted + b" and mine")
            before |= {mine.name: mine.read_bytes()}
            return replace(case, planted=mine.name, judge=_all_or_nothing(before, mine.name))
        case 6:
            out.mkdir()
            link = out / chance.choice(_MADE)
            link.symlink_to(
                chance.choice(
                    [folder / "panel.toml", folder / "nowhere", link, "/dev/null", "/etc/passwd"]
                )
            )
            return replace(case, planted=link.name, judge=_kept(folder / "panel.toml", text))
        case 7:
            device = chance.choice(
                ["/dev/full", "/dev/null", "/dev/null/x", "/proc/x", "/sys/x", "/dev/zero"]
            )
            return replace(case, words=[*words[:3], device])
        case 8:
            name = chance.choice(
                ["x" * 300, "a/" * 2100, "\udcff\udcfe", "😀", "-", " ", "out/../out", "ä\n"]
            )
            return replace(case, words=[*words[:3], name])
        case 9:
            return replace(case, confine=_go_away, statuses=(2,), is_heard=False)
        case _:
            out.mkdir()
            (out / chance.choice(_MADE)).mkdir()
            return case


#: A panel whose sheets are more than those of any sample.
_OTHER = """\
[panel]
size = [80, 60]
[stencil]
stock_size = [60, 40]
copies = 9
[holes]
A = { at = [40, 30], drill = 9.5 }
[[control]]
hole = "A"
kind = "toggle"
name = "PUMP"
"""


def _made(panel: Path, out: Path, *words: str) -> Result:
    from legend.commands.cli import legend

    return CliRunner().invoke(legend, ["make", str(panel), "--out", str(out), *words])


def _earlier(chance: random.Random, folder: Path) -> dict[str, bytes]:
    """What another panel left in `out`, if it was made there."""
    if chance.random() < 0.3:
        return {}
    (folder / "other.toml").write_text(_OTHER)
    _made(folder / "other.toml", folder / "out")
    return _content(folder / "out")


def _content(out: Path) -> dict[str, bytes]:
    """What can be seen in a folder."""
    if not out.is_dir():
        return {}
    return {p.name: p.read_bytes() for p in out.iterdir() if "~" not in p.name and p.is_file()}


def _all_or_nothing(before: dict[str, bytes], mine: str = "") -> _Judge:
    """What is left of a run that fails is what was there before it; `mine` in any case."""

    def judge(folder: Path, status: int, _told: str) -> Iterator[str]:
        after = _content(folder / "out")
        if status == 2 and after != before:
            yield f"of {sorted(before)} left {sorted(after)}"
        if mine and after.get(mine) != before[mine]:
            yield f"{mine}, the user's own, was changed"

    return judge


def _go_away() -> None:
    """Nobody reads any more what is told."""
    read, write = os.pipe()
    os.close(read)
    os.dup2(write, 1)


def _limit(most: int) -> None:
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))


def _kept(path: Path, content: str) -> Callable[[Path, int, str], Iterator[str]]:
    def judge(_folder: Path, _status: int, _told: str) -> Iterator[str]:
        if not path.is_file() or path.read_text() != content:
            yield f"{path.name}, the user's own, was changed"

    return judge


@sort
def interrupted(chance: random.Random, folder: Path) -> Case:
    """A run that is ended at some moment: all is as before it, or all is made.

    One that is killed may leave some files missing, but none beside one of another run. The
    next run must find nothing in its way.
    """
    panel, out = folder / "panel.toml", folder / "out"
    panel.write_text(sample(chance, folder))
    number = chance.choice([signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
    after = chance.uniform(0, 0.8)
    ends = {signal.SIGKILL: -9}.get(number, 128 + number)
    before = _earlier(chance, folder)

    def judge(folder: Path, status: int, told: str) -> Iterator[str]:
        if status == 128 + number and "Interrupted; no file is left half-written." not in told:
            yield "ended without a word"
        left = _content(out)
        with chdir(folder):  # findings tell the file as it was given
            again = _made(Path("panel.toml"), Path("out"))
        if again.exit_code not in (0, 1):
            yield f"the next run ended with {again.exit_code}: {again.output[-200:]}"
        new = _content(out)
        if list(out.glob(".*")):
            yield "the next run left something hidden"
        if number == signal.SIGKILL:
            whole = left.items() <= before.items() or left.items() <= new.items()
        else:
            whole = left in (before, new)
        if not whole:
            yield f"left {sorted(left)}"

    return replace(MAKE, statuses=(0, 1, ends, -number), judge=judge, signal_after=(number, after))


@sort
def together(chance: random.Random, folder: Path) -> Case:
    """Two panels that are made at once into one folder: one of them is there, and whole."""
    (folder / "panel.toml").write_text(sample(chance, folder))
    (folder / "other.toml").write_text(_OTHER)
    other = subprocess.Popen(
        [sys.executable, "-c", _AFTER, str(chance.uniform(0, 0.4)), "other.toml"],
        cwd=folder,
        stdout=subprocess.DEVNULL,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )

    def judge(folder: Path, status: int, told: str) -> Iterator[str]:
        if other.wait(60):
            yield f"the other run ended with {other.returncode}"
        left = _content(folder / "out")
        with chdir(folder):
            sets = []
            for name in ("panel.toml", "other.toml"):
                _made(Path(name), Path(f"alone-{name}"))
                sets.append(_content(folder / f"alone-{name}"))
        if left not in sets:
            yield f"left {sorted(left)}"

    return replace(MAKE, judge=judge)


#: Makes a panel after so many seconds.
_AFTER = """\
import sys, time
from legend.commands.cli import legend
time.sleep(float(sys.argv[1]))
legend(["make", sys.argv[2], "--out", "out"])
"""


@sort
def calls(chance: random.Random, folder: Path) -> Case:
    """Numbers on the command line, and other words of it, of every sort."""
    (folder / "panel.toml").write_text(sample(chance, folder))

    def number() -> str:
        return str(chance.choice([*NUMBERS, "nan", "1e999", "0x10", "1_0", "٣", "", "9" * 400]))

    words = chance.choice(
        [
            ["proof", "panel.toml", "--dpi", number()],
            ["faces", "plain", "--dpi", number()],
            ["make", "panel.toml", "--correction", number(), chance.choice([number(), "0"])],
            ["overlay", "panel.toml", "--correction", "0", number()],
            ["overlay", "panel.toml", "--paper", f"{number()}x{chance.choice([number(), '300'])}"],
            ["card", "panel.toml", "--start", f"{number()}-01-01 09:00"],
            ["card", "panel.toml", "--start", hostile(chance)],
            ["new", "--units", number()],
            ["coupon", "--stock", hostile(chance)],
        ]
    )
    (folder / "out").mkdir()
    out = "out/face.png" if words[0] == "faces" else "out"
    if words[0] == "new":
        out = "out/new.toml"
    words = [word.replace("\0", "") for word in words]
    return replace(MAKE, words=[*words, "--out", out], names_file=False)
