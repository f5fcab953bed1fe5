"""Where nothing is set, no letters stand nearer to each other than the stock carries."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from font_files import BOLD, CONDENSED, FACES, ROUNDED
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from legend.layout import lay_out
from legend.layout.artwork import Artwork
from legend.layout.inspection import inspect
from legend.lettering.outlines.measuring import gaps_of_letters
from legend.lettering.typesetting import set_text

STOCKS: dict[str, dict[str, Any]] = {
    "film": {},
    "sheet": {"method": "paint-through", "stock": "sheet"},
}
WORDS = st.text("ABDEFKLMNORSTVWXYZ0147", min_size=2, max_size=8)


def laid(describe, stock: str, face: str | None, *words: str, **more: Any) -> Artwork:
    name, up, down, note = words
    control = {
        "hole": "A",
        "kind": "toggle",
        "name": name,
        "positions": {"up": up, "down": down},
        "note": note,
    }
    lettering = {"face": face} if face else {}
    return lay_out(
        describe(
            panel={"size": [300, 150]},
            holes={"A": {"at": [150, 75], "drill": 6}},
            control=[control],
            stencil=STOCKS[stock],
            lettering=lettering | more,
        )
    )


def too_near(artwork: Artwork) -> list[str]:
    found = (f for f in inspect(artwork) if f.code == "narrow-gap")
    return [f.message for f in found if "has letters" in f.message]


@pytest.mark.parametrize("stock", STOCKS)
@settings(max_examples=16, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    face=st.sampled_from([None, None, *FACES.values(), str(ROUNDED), str(BOLD), str(CONDENSED)]),
    words=st.tuples(WORDS, WORDS, WORDS, WORDS),
)
def test_no_letters_are_too_near_where_nothing_was_set(
    describe, stock: str, face: str | None, words: tuple[str, ...]
) -> None:
    assert too_near(laid(describe, stock, face, *words)) == []


def test_pairs_of_the_built_in_face_are_opened_at_a_height_that_is_given(describe) -> None:
    words = ("TT TY YY", "TTY", "YYT", "LAY")
    artwork = laid(describe, "sheet", None, *words, position={"height": 2.95, "stroke": 1 / 7})
    as_drawn = set_text("TTY", replace(artwork.styles["position"], least_gap=0.0))
    letters = [letter.outline.shape for letter in as_drawn.letters]
    assert gaps_of_letters(as_drawn.outline.shape, letters, 1.0)[0] < 0.46
    assert too_near(artwork) == []


def test_tracking_that_is_given_is_kept_and_told(describe) -> None:
    words = ("TT TY YY LA", "TTY", "YYT", "LAY")
    assert too_near(laid(describe, "sheet", None, *words, tracking=-0.1))
