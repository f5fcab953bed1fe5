"""The same input gives the same bytes, on every run, wherever and whenever it is made."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[1] / "samples"
NAMES = sorted(panel.parent.name for panel in SAMPLES.glob("*/panel.toml"))

#: Run in every process before anything else: the clock stands wrong, and nobody may ask the day.
WITHOUT_A_DAY = """\
import datetime, time

class NoDay(datetime.datetime):
    @classmethod
    def now(cls, tz=None):
        raise AssertionError("the day was asked for")
    today = utcnow = now

class NoDate(datetime.date):
    @classmethod
    def today(cls):
        raise AssertionError("the day was asked for")

datetime.datetime, datetime.date = NoDay, NoDate
time.time, time.time_ns = lambda: 86400.0, lambda: 86400 * 10**9
"""

HERE = {"PYTHONHASHSEED": "0", "TZ": "UTC", "LC_ALL": "C.UTF-8", "LANG": "C.UTF-8"}
ELSEWHERE = {
    "PYTHONHASHSEED": "4294967295",
    "TZ": "Pacific/Kiritimati",
    "LC_ALL": "POSIX",
    "LANG": "tr_TR.UTF-8",
    "LANGUAGE": "ar",
    # As where the locale has no Unicode: nothing is read or written in the locale's encoding.
    "PYTHONUTF8": "0",
    "PYTHONCOERCECLOCALE": "0",
    "PYTHONIOENCODING": "utf-8",
    "SOURCE_DATE_EPOCH": "the year one",
    "COLUMNS": "40",
}


#: Runs several commands, one after the other.
COMMANDS = """\
import json, sys
from legend.commands.cli import legend
for arguments in json.loads(sys.argv[1]):
    if legend(arguments, standalone_mode=False):
        sys.exit(f"{arguments} failed")
"""


def run(folder: Path, settings: dict[str, str], *arguments: str) -> None:
    """Run Python in a folder. A way to another place of the library is kept."""
    way = os.pathsep.join(
        part for part in (settings.get("PYTHONPATH"), os.environ.get("PYTHONPATH")) if part
    )
    done = subprocess.run(
        [sys.executable, *arguments],
        cwd=folder,
        env=os.environ | settings | {"PYTHONPATH": way},
        capture_output=True,
        encoding="utf-8",
        timeout=60,
    )
    assert done.returncode == 0, done.stderr


def files(folder: Path) -> dict[str, bytes]:
    """Every file in a folder and in its folders, by its name."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture(scope="module")
def here(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the samples."""
    return Path(shutil.copytree(SAMPLES, tmp_path_factory.mktemp("here") / "samples"))


@pytest.fixture(scope="module")
def one_by_one(here: Path) -> Path:
    """The samples, made by one process one after the other, and then the first of them again."""
    makes = [["make", f"{name}/panel.toml", "--out", f"made/{name}"] for name in NAMES]
    again = ["make", f"{NAMES[0]}/panel.toml", "--out", "again"]
    run(here, HERE, "-c", COMMANDS, json.dumps([*makes, again]))
    return here


@pytest.fixture(scope="module")
def elsewhere(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, str]]:
    """Another copy, in another place and much older; and what is otherwise there."""
    folder = tmp_path_factory.mktemp("élse where")
    shutil.copytree(SAMPLES, folder / "deep" / "er" / "samples")
    for path in folder.rglob("*"):
        os.utime(path, (3e8, 3e8))
    (folder / "sitecustomize.py").write_text(WITHOUT_A_DAY, encoding="utf-8")
    return folder / "deep" / "er" / "samples", ELSEWHERE | {"PYTHONPATH": str(folder)}


def test_elsewhere_there_is_no_day(elsewhere: tuple[Path, dict[str, str]]) -> None:
    """So that what asks for it is found out."""
    with pytest.raises(AssertionError, match="the day was asked for"):
        run(*elsewhere, "-c", "from datetime import datetime; datetime.now()")


def test_samples_made_one_by_one_and_all_at_once(
    one_by_one: Path, elsewhere: tuple[Path, dict[str, str]], tmp_path: Path
) -> None:
    """By one process and by several, in other places, with other hashes, clocks, time zones and
    locales."""
    # Findings tell the file as it was given: it is given alike.
    folder, settings = elsewhere
    panels = [f"{name}/panel.toml" for name in NAMES]
    out = tmp_path / "out of the way"
    run(folder, settings, "-m", "legend", "make", *panels, "--out", str(out))
    made, at_once = files(one_by_one / "made"), files(out)
    assert len(made) >= 7 * len(NAMES)
    assert list(made) == list(at_once)
    assert [name for name in at_once if at_once[name] != made[name]] == []


def test_what_other_commands_write(here: Path, elsewhere: tuple[Path, dict[str, str]]) -> None:
    panel = "kiln-controller/panel.toml"
    commands = [
        ["overlay", panel, "--drilling", "--paper", "A3", "--out", "other/template.pdf"],
        ["proof", panel, "--stage", "all", "--dpi", "40", "--out", "other/stages.png"],
        ["coupon", panel, "--out", "other/coupon.svg"],
        ["card", panel, "--start", "2031-05-01 09:00", "--out", "other/card.html"],
        ["new", "--from", "kiln-controller/holes.csv", "--out", "other/new.toml"],
        ["faces", "plain", "--out", "other/specimen.svg"],
    ]
    made = []
    for folder, settings in ((here, HERE), elsewhere):
        run(folder, settings, "-c", COMMANDS, json.dumps(commands))
        made.append(files(folder / "other"))
    assert len(made[0]) == 6
    assert list(made[0]) == list(made[1])
    assert [name for name in made[0] if made[0][name] != made[1][name]] == []


def test_twice_in_one_process(one_by_one: Path) -> None:
    """With other panels between the two, which leave nothing behind."""
    assert len(NAMES) > 1
    assert len(files(one_by_one / "again")) >= 7
    assert files(one_by_one / "made" / NAMES[0]) == files(one_by_one / "again")
