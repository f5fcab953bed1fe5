"""The paint trial: eight letters and two frames, in the order in which they are lifted."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from click.testing import CliRunner
from font_files import SANS

from legend.commands.cli import legend
from legend.description.reading.description_file import parse
from legend.description.tables.description import Stencil
from legend.layout import lay_out
from legend.lettering.faces.face import TextStyle
from legend.lettering.faces.finding import load_face
from legend.lettering.typesetting import set_text
from legend.stencil.coupon.coupon_sheet import coupon
from legend.stencil.coupon.paint_trial import (
    Trial,
    lifts,
    trial_of,
    trial_piece,
    usual_trial,
)
from legend.stencil.sheet import Cut, Piece

_PANEL = """\
[panel]
size = [120, 80]
[lettering]
face = {face!r}
[lettering.name]
height = 4
[lettering.position]
height = {least}
[holes]
A = {{ at = [40, 30], drill = 9.5 }}
[[control]]
hole = "A"
kind = "toggle"
name = "PUMP"
covers = 14
positions = {{ up = "ON", down = "OFF" }}
"""


def letters_and_frames(
    piece: Piece,
) -> tuple[list[shapely.Geometry], list[shapely.Geometry]]:
    """The letters from left to right and from the top down, and the frames in that order."""
    marks = [path.outline.shape for path in piece.paths if path.cut is Cut.MARK]
    frames = [m for m in marks if m.bounds[2] - m.bounds[0] > 15]
    frames.sort(key=lambda m: (-m.bounds[3], m.bounds[0]))
    inside = [
        sorted(
            (m for m in marks if m not in frames and shapely.box(*frame.bounds).contains(m)),
            key=lambda m: m.bounds[0],
        )
        for frame in frames
    ]
    return [letter for each in inside for letter in each], frames


@pytest.mark.parametrize("room", [300.0, 40.0])
def test_eight_letters_stand_in_the_order_of_the_alphabet_four_in_each_frame(room: float) -> None:
    trial = usual_trial()
    piece = trial_piece(2, trial, 2.0, room, 1.0)
    letters, frames = letters_and_frames(piece)
    assert (len(letters), len(frames)) == (8, 2)
    for word, shape in zip("ABCDEFGH", letters, strict=True):
        alone = set_text(word, trial.letters).outline
        x0, y0, *_ = alone.bounds
        moved = alone.moved(shape.bounds[0] - x0, shape.bounds[1] - y0).shape
        assert shape.symmetric_difference(moved).area < 1e-6, word
    baselines = [letter.bounds[1] for letter in letters]
    assert np.ptp([baselines[k] for k in (0, 3, 4)]) < 0.05 or room < 100
    # A blade has room all round each letter.
    for letter in letters:
        others = shapely.union_all([s for s in (*letters, *frames) if s is not letter])
        assert letter.distance(others) >= 2.4
    box = shapely.box(*piece.box)
    assert all(box.buffer(1e-6).contains(s.buffer(1.99)) for s in (*letters, *frames))
    assert piece.box[2] - piece.box[0] <= room


def test_the_knife_goes_from_within_outwards_and_round_the_box_last() -> None:
    piece = trial_piece(2, usual_trial(), 2.0, 300.0, 1.0)
    assert [path.cut for path in piece.paths[:-1]] == [Cut.MARK] * 10
    assert piece.paths[-1].cut is Cut.WEEDING
    order = [path.outline.shape for path in piece.paths[:-1]]
    for k, shape in enumerate(order):
        if shape.bounds[2] - shape.bounds[0] > 15:
            within = [s for s in order if s is not shape and shapely.box(*shape.bounds).contains(s)]
            assert len(within) == 4
            assert all(any(s is done for done in order[:k]) for s in within)


@pytest.mark.parametrize("face", ["plain", str(SANS)])
def test_the_letters_are_in_the_face_of_the_panel_and_as_small_as_its_smallest(face: str) -> None:
    artwork = lay_out(parse(_PANEL.format(face=face, least=2.2)))
    trial = trial_of(artwork)
    assert trial.letters.height == 2.2
    assert trial.letters.face.name == load_face(face, Path(), None, 0).name
    letters, _ = letters_and_frames(trial_piece(1, trial, 2.0, 300.0, 1.0))
    assert letters[7].bounds[3] - letters[7].bounds[1] == pytest.approx(2.2, abs=0.05)  # the H


def test_a_face_without_latin_letters_borrows_those_of_the_built_in_one() -> None:
    class Digits:
        name = "digits"

        def __getattr__(self, name: str) -> object:
            return getattr(usual_trial().letters.face, name)

        def has(self, character: str) -> bool:
            return character.isdigit()

        def set_line(self, text: str, style: TextStyle) -> object:
            line = usual_trial().letters.face.set_line(text, style)
            return replace(line, letters=(), missing=tuple(text))

    usual = usual_trial()
    trial = Trial(replace(usual.letters, face=Digits()), usual.line)  # type: ignore[arg-type]
    ours, _ = letters_and_frames(trial_piece(2, trial, 2.0, 300.0, 1.0))
    theirs, _ = letters_and_frames(trial_piece(2, usual, 2.0, 300.0, 1.0))
    assert [letter.area for letter in ours] == pytest.approx([letter.area for letter in theirs])


def test_only_letters_of_film_are_lifted() -> None:
    assert lifts(Stencil())
    assert not lifts(Stencil(method="paint-through"))
    assert not lifts(Stencil(method="paint-through", stock="sheet"))
    names = [p.piece.name for p in coupon(Stencil(), trial=usual_trial()).sheet.placed]
    assert names == ["test coupon", "paint trial"]


@pytest.mark.parametrize("method", ["lift-off", "paint-through"])
def test_the_command_tells_what_to_do_with_it(method: str, tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    panel.write_text(f'units = "in"\n[panel]\nsize = [4, 3]\n[stencil]\nmethod = "{method}"\n')
    done = CliRunner().invoke(legend, ["coupon", str(panel)])
    said = " ".join(done.stderr.split())
    assert done.exit_code == 0
    assert "test square of 1.969 in both ways" in said
    assert ("lift one letter each 15 minutes, from A to H" in said) is (method == "lift-off")
    panel.write_text(
        f'units = "in"\n[panel]\nsize = [4, 3]\n[stencil]\nmethod = "{method}"\n'
        "stock_size = [2, 4]\n"
    )
    done = CliRunner().invoke(legend, ["coupon", str(panel), "--replace"])
    assert "The stock of 2 × 4 in has no room for the test square" in " ".join(done.stderr.split())
