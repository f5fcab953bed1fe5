"""Places that take nothing, or not all, and runs that are ended at some moment."""

from __future__ import annotations

import random
import resource
import signal
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from bad_input.cases import MAKE, Case, sample, sort


@sort
def outputs(chance: random.Random, folder: Path) -> Case:
    """Places that take nothing, or not all, or hold something of the user's."""
    text = sample(chance, folder)
    (folder / "panel.toml").write_text(text)
    out = folder / "out"
    command = chance.choice(["make", "cut", "proof", "overlay", "card"])
    words = [command, "panel.toml", "--out", "out/proof.png" if command == "proof" else "out"]
    case = replace(MAKE, words=words, names_file=False)
    made = [
        "overlay.pdf",
        "proof.png",
        "proof.svg",
        "job-card.html",
        "findings.json",
        "stencil-1.svg",
    ]
    match chance.randrange(9):
        case 0:
            most = chance.choice([400, 1_000, 5_000, 20_000, 60_000])
            return replace(case, confine=lambda: _limit(most))
        case 1 | 2:
            out.mkdir()
            size = chance.choice([4096, 16384, 65536, 262144])
            options = chance.choice([f"size={size}", "ro"])
            mount = ["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(out)]
            if subprocess.run(mount, capture_output=True, check=False).returncode:
                return case
            return replace(
                case, tidy=lambda: subprocess.run(["umount", "-l", str(out)], check=False)
            )
        case 3:
            out.write_text("a file of mine")
            return replace(case, judge=_kept(out, "a file of mine"))
        case 4:
            out.mkdir()
            mine = out / chance.choice(made)
            mine.write_text("mine")
            return replace(case, planted=mine.name, judge=_kept(mine, "mine"))
        case 5:
            out.mkdir()
            link = out / chance.choice(made)
            link.symlink_to(
                chance.choice(
                    [folder / "panel.toml", folder / "nowhere", link, "/dev/null", "/etc/passwd"]
                )
            )
            return replace(case, planted=link.name, judge=_kept(folder / "panel.toml", text))
        case 6:
            device = chance.choice(
                ["/dev/full", "/dev/null", "/dev/null/x", "/proc/x", "/sys/x", "/dev/zero"]
            )
            return replace(case, words=[*words[:3], device])
        case 7:
            name = chance.choice(
                ["x" * 300, "a/" * 2100, "\udcff\udcfe", "😀", "-", " ", "out/../out", "ä\n"]
            )
            return replace(case, words=[*words[:3], name])
        case _:
            out.mkdir()
            (out / chance.choice(made)).mkdir()
            return case


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
    """A run that is ended at some moment, and the next one, which must find nothing in its way."""
    (folder / "panel.toml").write_text(sample(chance, folder))
    number = chance.choice([signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
    after = chance.uniform(0, 0.8)
    ends = {signal.SIGKILL: -9}.get(number, 128 + number)

    def judge(folder: Path, status: int, told: str) -> Iterator[str]:
        if status == 128 + number and "Interrupted; no file is left half-written." not in told:
            yield "ended without a word"
        from click.testing import CliRunner

        from legend.cli import legend

        again = CliRunner().invoke(
            legend, ["make", str(folder / "panel.toml"), "--out", str(folder / "out")]
        )
        if again.exit_code not in (0, 1):
            yield f"the next run ended with {again.exit_code}: {again.output[-200:]}"

    return replace(MAKE, statuses=(0, 1, ends, -number), judge=judge, signal_after=(number, after))
