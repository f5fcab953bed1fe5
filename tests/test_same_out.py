"""The same input gives the same bytes, on every run, wherever and whenever it is made.

And the pictures that are kept in the repository are of the program as it is.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

ROOT = Path(__file__).parents[1]
SAMPLES = ROOT / "samples"
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
        timeout=240,
    )
    assert done.returncode == 0, done.stderr


def files(folder: Path) -> dict[str, bytes]:
    """Every file in a folder and in its folders, by its name."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


#: What is made in every place besides the samples, which are made as is said there.
OTHERS = (
    ("overlay", "kiln-controller/panel.toml", "--drilling", "--paper", "A3"),
    ("proof", "kiln-controller/panel.toml", "--stage", "all", "--dpi", "40"),
    ("coupon", "kiln-controller/panel.toml"),
    ("card", "kiln-controller/panel.toml", "--start", "2031-05-01 09:00"),
    ("new", "--from", "kiln-controller/holes.csv"),
    ("faces", "plain"),
)
OTHER_NAMES = (
    "template.pdf",
    "stages.png",
    "coupon.svg",
    "card.html",
    "new.toml",
    "specimen.svg",
)


def in_the_folder_other() -> list[list[str]]:
    return [
        [*words, "--out", f"other/{name}"] for words, name in zip(OTHERS, OTHER_NAMES, strict=True)
    ]


@pytest.fixture(scope="module")
def here(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the samples, all made by one process: each by itself, the others, and then the
    first of the samples again."""
    folder = Path(shutil.copytree(SAMPLES, tmp_path_factory.mktemp("here") / "samples"))
    makes = [["make", f"{name}/panel.toml", "--out", f"made/{name}"] for name in NAMES]
    again = ["make", f"{NAMES[0]}/panel.toml", "--out", "again"]
    run(folder, HERE, "-c", COMMANDS, json.dumps([*makes, *in_the_folder_other(), again]))
    return folder


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, str]]:
    """Another copy, in another place and much older; and what is otherwise there."""
    folder = tmp_path_factory.mktemp("élse where")
    shutil.copytree(SAMPLES, folder / "deep" / "er" / "samples")
    for path in folder.rglob("*"):
        os.utime(path, (3e8, 3e8))
    (folder / "sitecustomize.py").write_text(WITHOUT_A_DAY, encoding="utf-8")
    return folder / "deep" / "er" / "samples", ELSEWHERE | {"PYTHONPATH": str(folder)}


@pytest.fixture(scope="module")
def elsewhere(place: tuple[Path, dict[str, str]]) -> Path:
    """All made there: the others first, and the samples all at once, each by another process."""
    folder, settings = place
    # Findings tell the file as it was given: it is given alike.
    panels = [f"{name}/panel.toml" for name in NAMES]
    at_once = ["make", *panels, "--out", "out of the way"]
    run(folder, settings, "-c", COMMANDS, json.dumps([*in_the_folder_other(), at_once]))
    return folder


def test_elsewhere_there_is_no_day(place: tuple[Path, dict[str, str]]) -> None:
    """So that what asks for it is found out."""
    with pytest.raises(AssertionError, match="the day was asked for"):
        run(*place, "-c", "from datetime import datetime; datetime.now()")


def test_samples_made_one_by_one_and_all_at_once(here: Path, elsewhere: Path) -> None:
    """By one process and by several, in other places, with other hashes, clocks, time zones and
    locales."""
    made, at_once = files(here / "made"), files(elsewhere / "out of the way")
    assert len(made) >= 7 * len(NAMES)
    assert list(made) == list(at_once)
    assert [name for name in at_once if at_once[name] != made[name]] == []


def test_what_other_commands_write(here: Path, elsewhere: Path) -> None:
    made, there = files(here / "other"), files(elsewhere / "other")
    assert list(made) == list(there) == sorted(OTHER_NAMES)
    assert [name for name in made if made[name] != there[name]] == []


def test_twice_in_one_process(here: Path) -> None:
    """With other panels between the two, which leave nothing behind."""
    assert len(NAMES) > 1
    assert len(files(here / "again")) >= 7
    assert files(here / "made" / NAMES[0]) == files(here / "again")


# --- What is kept in the repository ---


@pytest.mark.parametrize("sample", NAMES)
def test_the_proof_of_a_sample_is_up_to_date(sample: str, here: Path) -> None:
    """Where this fails, draw it anew as DEVELOPERS.md says, and look at it."""
    made = here / "made" / sample / "proof.png"
    with Image.open(SAMPLES / sample / "proof.png") as old, Image.open(made) as new:
        assert old.size == new.size
        off = np.abs(np.asarray(old.convert("L"), dtype=int) - np.asarray(new.convert("L")))
    assert (off > 8).mean() < 1e-5  # a library may round another way


def test_the_specimen_is_up_to_date(here: Path) -> None:
    old, new = (
        path.read_text(encoding="utf-8")
        for path in (ROOT / "fonts" / "specimen.svg", here / "other" / "specimen.svg")
    )
    seal = re.compile(r"sha256 [0-9a-f]+")  # of what may be a little otherwise
    old, new = seal.sub("", old), seal.sub("", new)
    number = re.compile(r"-?\d+(?:\.\d+)?")
    assert number.sub("0", old) == number.sub("0", new)
    pairs = zip(number.findall(old), number.findall(new), strict=True)
    assert max(abs(float(one) - float(other)) for one, other in pairs) < 0.01
