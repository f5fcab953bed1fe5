"""The numbers of `legend.standards` against the documents that they are said to be from.

Each is written down here once more, so that a slip of the pen in either place is seen: from the
document, or a public copy of it, where it says "read", else from memory of the document. What is
common practice without a source is not repeated.
"""

import math

import pytest

from legend import standards
from legend.lettering.symbols.registry import SYMBOLS
from legend.lettering.symbols.symbol import OUR_OWN

PUBLISHED = {
    "INCH": (25.4, "the international yard, 1959"),
    "FLUID_OUNCE": (231 / 128, "NIST Handbook 44, appendix C"),
    "LEAST_HEIGHT_PER_DISTANCE": (0.004, "NUREG-0700 rev. 3, 11.4.1.5-1; read"),
    "PREFERRED_HEIGHT_PER_DISTANCE": (0.006, "NUREG-0700 rev. 3, 11.4.1.5-1; read"),
    "ISO_HEIGHTS": ((1.8, 2.5, 3.5, 5, 7, 10, 14, 20), "ISO 3098-0, table for type B; read"),
    "ISO_B_STROKE": (0.1, "ISO 3098-0, table for type B; read"),
    "ISO_B_SMALL_LETTERS": (0.7, "ISO 3098-0, table for type B; read, where it is rounded"),
    "ISO_B_BETWEEN_CHARACTERS": (0.2, "ISO 3098-0, table for type B; read"),
    "ISO_B_BETWEEN_WORDS": (0.6, "ISO 3098-0, table for type B; read"),
    "ISO_B_LINE_PITCH_CAPITALS": (1.3, "ISO 3098-0, table for type B; read"),
    "ISO_B_LINE_PITCH": (1.5, "ISO 3098-0, table for type B; read"),
    "ISO_B_LINE_PITCH_ACCENTED": (1.9, "ISO 3098-0, table for type B; read"),
    "STROKE_DARK_ON_LIGHT": (1 / 6, "DOD-HDBK-791(AM), 6-5.3.2.3; read"),
    "STROKE_LIGHT_ON_DARK": ((1 / 8, 1 / 7), "DOD-HDBK-791(AM), 6-5.3.2.3; read"),
    "LETTER_WIDTH": ((3 / 5, 1), "DOD-HDBK-791(AM), 6-5.3.2.2; read"),
    "LEAST_CONTRAST": (3, "WCAG 2.2, 1.4.11"),
    "TEXT_CONTRAST": (4.5, "WCAG 2.2, 1.4.3"),
    "GRADUATION_STEPS": ((1, 2, 5), "MIL-HDBK-759B, 5.2.2.3.1.4.1; read"),
    "MOST_BETWEEN_NUMBERED": (9, "MIL-HDBK-759B, 5.2.2.3.1.4.1; read"),
    "LEAST_SELECTOR_STEP": (15, "MIL-STD-1472E, figure 4; read"),
    "MOST_POSITIONS": (24, "MIL-STD-1472E, 5.4.2.1.1.4; read"),
    "MOST_POSITIONS_UNSEEN": (12, "MIL-STD-1472E, 5.4.2.1.1.4; read"),
    "ZERO_STANDS_AT": ((0, 270), "NUREG-0700 rev. 2, 1.2.11-2: at twelve or nine o'clock; read"),
    "BUTTON_ROOM": (13, "MIL-STD-1472E, table VII; read"),
    "TOGGLE_ROOM": (19, "MIL-STD-1472E, table VII; read"),
    "KNOB_ROOM": (25, "MIL-STD-1472E, table VII; read"),
    "TOGGLES_APART": (19, "MIL-STD-1472E, by their middles"),
    "CONTROL_SWEEP": (300, "makers' data sheets of carbon controls: 300 ± 5 degrees; read"),
    "PDF_POINT": (25.4 / 72, "ISO 32000"),
    "PLOTTER_STEP": (0.025, "HP-GL, the plotter language; read in the manual of a plotter"),
}


@pytest.mark.parametrize("name", PUBLISHED)
def test_numbers_are_those_of_their_documents(name: str) -> None:
    value, _ = PUBLISHED[name]
    assert getattr(standards, name) == pytest.approx(value)


@pytest.mark.parametrize(
    ("minutes", "name"),
    [(15, "LEAST_HEIGHT_PER_DISTANCE"), (20, "PREFERRED_HEIGHT_PER_DISTANCE")],
)
def test_heights_are_minutes_of_arc(minutes: float, name: str) -> None:
    """NUREG-0700 rev. 3, 11.4.1.5-1 gives both; its factors are rounded: 15 minutes are 0.00436
    of the distance, 20 minutes 0.00582."""
    assert getattr(standards, name) == pytest.approx(math.tan(math.radians(minutes / 60)), rel=0.1)


@pytest.mark.parametrize(("height", "small"), [(3.5, 2.5), (7, 5), (14, 10)])
def test_the_table_rounds_small_letters(height: float, small: float) -> None:
    """EN ISO 3098-0, table 5, read: the heights of small letters that are not 7/10 h there."""
    assert abs(height * standards.ISO_B_SMALL_LETTERS - small) <= 0.2 + 1e-9


def test_a_selector_steps_as_far_as_is_wanted() -> None:
    """MIL-STD-1472E, figure 4, read: at least 15 degrees from position to position, at most 40."""
    assert 15 <= standards.SELECTOR_STEP <= 40


#: Numbers of symbols as they stand in makers' lists and manuals, read.
LISTED = {
    "on": "IEC 60417-5007",
    "off": "IEC 60417-5008",
    "stand-by": "IEC 60417-5009",
    "earth": "IEC 60417-5017",
    "protective-earth": "IEC 60417-5019",
    "frame-or-chassis": "IEC 60417-5020",
    "direct-current": "IEC 60417-5031",
    "alternating-current": "IEC 60417-5032",
    "direct-and-alternating-current": "IEC 60417-5033",
    "variability": "IEC 60417-5004",
    "plus": "IEC 60417-5005",
    "minus": "IEC 60417-5006",
    "lamp": "IEC 60417-5012",
    "bell": "IEC 60417-5013",
    "fuse": "IEC 60417-5016",
    "battery": "IEC 60417-5001B",
    "caution": "ISO 7000-0434B",
}


def test_symbols_have_the_numbers_of_the_lists_or_say_that_they_are_from_memory() -> None:
    for name, symbol in SYMBOLS.items():
        if name in LISTED:
            assert symbol.number == LISTED[name], name
        else:
            assert symbol.number == OUR_OWN or symbol.number.endswith(", from memory"), name
    assert set(LISTED) <= set(SYMBOLS)
