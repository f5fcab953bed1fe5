"""Letters on panels whose holes alone do not say how they are seen."""

import math
from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest
from camera.letters.panels import RED, WHITE, picture_of
from camera.synthetic.letter_cases import LaidCase, with_letters
from camera.synthetic.letters import LaidPiece
from camera.synthetic.plates import STEADY

import legend
from legend.camera.letters.placed import placed_in
from legend.camera.letters.refusals import NotToldError
from legend.camera.letters.telling.sayings import lines_of

_TOML = """\
units = "in"
[panel]
size = ["3.2 in", "2.4 in"]
[holes]
GAIN = { at = ["0.7 in", "0.8 in"], drill = "3/8 in" }
PHASE = { at = ["2.5 in", "0.8 in"], drill = "3/8 in" }
[[control]]
hole = "GAIN"
kind = "lamp"
name = "GAIN"
[[control]]
hole = "PHASE"
kind = "lamp"
name = "PHASE"
"""


@lru_cache
def _case() -> LaidCase:
    laid = {1: LaidPiece(1, 0.5, 0.0, 0.0), 2: LaidPiece(2, 0.05, -0.03, 0.0)}
    return with_letters(legend.parse(_TOML), 731, (600, 800), laid, RED, WHITE, hand=STEADY)


def test_two_holes_and_the_edges_say_how_letters_lie() -> None:
    artwork = legend.lay_out(legend.parse(_TOML))
    found = placed_in(picture_of(_case()), artwork, legend.cut(artwork).sheets)
    for each in found.pieces:
        truth = _case().laid[each.piece.wanted.piece.number]
        error = math.hypot(each.off[0] - truth.right, each.off[1] - truth.up)
        assert error < 0.08
        assert error < each.uncertainty
    first, *_, last = lines_of(found)
    assert " in to the right of its hole" in first
    assert last.startswith("Measured by 2 holes and the edges of the panel, which are seen ")


def test_without_its_edges_it_is_refused_with_what_to_do() -> None:
    artwork = legend.lay_out(legend.parse(_TOML))
    whole = picture_of(_case())
    rows, columns = (slice(side // 6, -side // 6) for side in whole.rgb.shape[:2])
    part = replace(whole, rgb=np.ascontiguousarray(whole.rgb[rows, columns]))
    with pytest.raises(
        NotToldError, match=r"has 2 holes .* its edges are needed as well\. .*edges"
    ):
        placed_in(part, artwork, legend.cut(artwork).sheets)
