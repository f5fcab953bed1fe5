"""What a case of bad input is, the registry of its sorts, and the changing of bytes.

Each sort is one function with `@sort`: a source of chance and an empty folder in, which it
fills, and the `Case` out: the command that is to be run there.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path


def _package(name: str) -> Path:
    spec = find_spec(name)
    assert spec and spec.origin
    return Path(spec.origin).parent


#: Font files of very different build, from packages that carry them.
FACES = {
    "dejavu": _package("matplotlib") / "mpl-data/fonts/ttf/DejaVuSans.ttf",
    "serif": _package("font_source_serif_pro") / "files/SourceSerifPro-Regular.otf",
    "heavy serif": _package("font_source_serif_pro") / "files/SourceSerifPro-Black.otf",
    "variable": _package("font_manrope") / "files/Manrope-VariableFont_wght.ttf",
    "rounded": _package("font_fredoka_one") / "files/FredokaOne-Regular.ttf",
    "condensed": _package("font_amatic_sc") / "files/AmaticSC-Bold.ttf",
    "handwritten": _package("font_intuitive") / "files/Intuitive.ttf",
}
SAMPLES = sorted((Path(__file__).parents[3] / "samples").glob("*/panel.toml"))


def _nothing() -> None:
    pass


def _no_more(_folder: Path, _status: int, _told: str) -> Iterator[str]:
    return iter(())


@dataclass(frozen=True)
class Case:
    """A command to run, how it may end, and what else to look at then.

    `confine` is called in the process first, `tidy` when all is over. `planted` is a file in
    `out` that was there before. `names_file` tells that each line of a refusal names a file.
    `signal_after` is a signal, and after how many seconds it is sent. `megabytes` is the most
    memory that it may take. Where it is not `is_heard`, it need not say why it refuses.
    """

    words: list[str]
    out: str = "out"
    statuses: tuple[int, ...] = (0, 1, 2)
    names_file: bool = True
    planted: str = ""
    confine: Callable[[], None] = _nothing
    tidy: Callable[[], object] = _nothing
    judge: Callable[[Path, int, str], Iterator[str]] = _no_more
    signal_after: tuple[int, float] | None = None
    megabytes: int = 500
    is_heard: bool = True


MAKE = Case(["make", "panel.toml", "--out", "out"])
CHECK = Case(["check", "-v", "panel.toml"])

Sort = Callable[[random.Random, Path], Case]
SORTS: dict[str, Sort] = {}


def sort(function: Sort) -> Sort:
    """Enter a sort of bad input in `SORTS`."""
    SORTS[function.__name__.replace("_", "-")] = function
    return function


def either(chance: random.Random) -> Case:
    return MAKE if chance.random() < 0.5 else CHECK


def sample(chance: random.Random, folder: Path) -> str:
    """The text of a sample, its hole list put beside it."""
    path = chance.choice(SAMPLES)
    for beside in path.parent.glob("*.csv"):
        (folder / beside.name).write_bytes(beside.read_bytes())
    return path.read_text()


# --- Bytes ---

_BITS = [
    *(b'"', b"[", b"]", b"{", b"}", b"\n", b"=", b".", b"#", b"\\", b"'''", b'"""', b"\r", b"\t"),
    *(b"[[control]]\n", b"[panel]\n", b"[holes]\n", b"-inf", b"nan", b"1e999", b"-", b"0", b"9"),
    *(b"\xef\xbb\xbf", b"\xff\xfe", b"\x00", b";", b",", b" in", b"mm", b"/", b"\xe2\x80\xae"),
    *("½".encode(), "😀".encode(), b"\xed\xa0\x80", b"\x1b[31m", b"0.01", b"10000", b"2000"),
]


def mutated(content: bytes, chance: random.Random) -> bytes:
    """The bytes with a few, or many, of them changed, lost, doubled, moved or put in."""
    data = bytearray(content)
    for _ in range(chance.choice((1, 1, 2, 3, 5, 10, 40))):
        at = chance.randrange(len(data) + 1)
        length = chance.choice((1, 1, 2, 4, 16, 200))
        match chance.randrange(7):
            case 0:
                data[at : at + 1] = bytes([chance.randrange(256)])
            case 1:
                del data[at : at + length]
            case 2:
                data[at:at] = data[at : at + length] * chance.choice((1, 1, 2, 50))
            case 3 | 4:
                data[at:at] = chance.choice(_BITS)
            case 5:
                other = chance.randrange(len(data) + 1)
                data[at:at] = data[other : other + length]
            case 6 if chance.random() < 0.1:
                del data[at:]
    return bytes(data)
