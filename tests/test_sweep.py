"""A sample of `bench/sweep.py`: letters that are hard to bridge, in faces of very different build.

Run that by itself for all of them.
"""

from importlib import import_module
from pathlib import Path

import pytest

#: Letters of one island, of several, of islands in islands, and of bays with narrow mouths;
#: such as have neither; and such as fonts draw in odd ways.
_CHARACTERS = "@&%#$689ABDQRWegkmqsGNS35,;*~©®ªåæßçðÞ¤"
#: Of the faces that come with the test extra: light and heavy, round and square, wide and narrow.
_FACES = ("plain", "humanist", "serif", "heavy serif", "geometric", "variable", "rounded",
          "condensed", "handwritten")  # fmt: skip


@pytest.mark.filterwarnings("ignore:The symmetric_difference_all function")
@pytest.mark.parametrize(
    ("height", "words", "faces", "characters"),
    [
        ("3", "0", _FACES, _CHARACTERS),
        ("5", "1", _FACES[::2], _CHARACTERS[::2]),
        ("12", "0", (*_FACES[1::2], "geometric"), _CHARACTERS),
    ],
)
def test_hard_letters_of_many_faces_are_cut_whole(
    height: str,
    words: str,
    faces: tuple[str, ...],
    characters: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """None fails, loses an opening, crosses itself or leaves an island that hangs by a hair."""
    asked = ["--heights", height, "--words", words, "--characters", characters, "--jobs", "1"]
    monkeypatch.syspath_prepend(Path(__file__).parent / "bench")
    status = import_module("sweep").main([*faces, *asked])
    table = capsys.readouterr().out
    assert status == 0, table
    rows = [line.rsplit(maxsplit=6) for line in table.splitlines()[1:]]
    assert [row[0] for row in rows] == list(faces)
    least = 1.5 * len(characters) * (1 + int(words))
    assert all(int(row[1]) > least for row in rows), "on both stocks"
