"""`legend placed` as it is called: what it prints and writes, and the exit status."""

from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from camera.letters.panels import laid, photographed, piece_of, toml
from camera.synthetic.letters import LaidPiece
from click.testing import CliRunner, Result
from PIL import Image

from legend.commands.cli import legend
from legend.writing import is_ours


@lru_cache
def _photo() -> bytes:
    """A photograph of letters that lie true, but for one piece, which is 0.4 mm too low."""
    low = LaidPiece(piece_of("FUSE").number, 0.0, -0.4, 0.0)
    return photographed(11, laid(FUSE=low)).shot.data


def _run(folder: Path, *words: str, units: str = "mm") -> Result:
    (folder / "panel.toml").write_text(toml(units))
    (folder / "photo.jpg").write_bytes(_photo())
    at = [
        str(folder / word) if word.endswith((".jpg", ".toml", ".png")) else word for word in words
    ]
    return CliRunner().invoke(legend, ["placed", *at])


def test_it_tells_what_to_lay_again_and_draws_it(tmp_path: Path) -> None:
    result = _run(tmp_path, "photo.jpg", "panel.toml", units="in")
    assert result.exit_code == 1
    number = piece_of("FUSE").number
    first, true, measured, path = result.stdout.splitlines()
    assert first.startswith(f"{number}  FUSES: 0.01")  # 0.4 mm are 0.016 in
    assert first.endswith(" in too low on its hole FUSE: lift and lay again.")
    assert " true: none is further off than 0.00" in true
    assert measured.startswith("Measured by 8 holes")
    assert Path(path) == tmp_path / "panel" / "placed.png"
    assert is_ours(Path(path))
    with Image.open(path) as image:
        pixels = np.asarray(image.convert("RGB")).astype(int)
        across = image.size[0] / image.info["dpi"][0] * 25.4
    assert across == pytest.approx(100 + 2 * 8, abs=0.5)  # at true scale, with its margin
    red, green = (
        np.abs(pixels - colour).sum(axis=2) < 12 for colour in ((214, 24, 36), (0, 150, 60))
    )
    assert red.sum() > 200
    assert green.sum() > 200
    # Red is round the one piece only, which stands in the lower right quarter.
    rows, columns = np.nonzero(red)
    assert columns.min() > 0.6 * pixels.shape[1]
    assert rows.min() > 0.3 * pixels.shape[0]


def test_what_lies_within_wider_limits_is_true(tmp_path: Path) -> None:
    result = _run(tmp_path, "photo.jpg", "panel.toml", "--within", "0.6", "--out", "seen.png")
    assert result.exit_code == 0
    assert result.stdout.startswith("All 4 pieces lie true: ")
    assert is_ours(tmp_path / "seen.png")


def test_wrong_calls_and_pictures_are_refused(tmp_path: Path) -> None:
    for words, told in (
        (["missing.jpg", "panel.toml"], "There is no picture"),
        (["panel.toml", "panel.toml"], "is no picture in JPEG, PNG, TIFF or WebP"),
        (["photo.jpg", "panel.toml", "--within", "wide"], "'wide' is not a length."),
        (["photo.jpg", "panel.toml", "--within", "5"], "'5' is not from 0.1 to 2 mm."),
        (["photo.jpg", "panel.toml", "--turn", "40"], "--turn"),
    ):
        result = _run(tmp_path, *words)
        assert result.exit_code == 2
        assert told in result.stderr
        assert not (tmp_path / "panel").exists()
