"""The numbers of `legend.standards` against the documents that they are said to be from.

Each is written down here once more, from memory of the document, so that a slip of the pen in
either place is seen. What is common practice without a source is not repeated.
"""

import math

import pytest

from legend import standards

PUBLISHED = {
    "INCH": (25.4, "the international yard, 1959"),
    "LEAST_HEIGHT_PER_DISTANCE": (0.004, "NUREG-0700 rev. 3, 11.4.1.5-1"),
    "PREFERRED_HEIGHT_PER_DISTANCE": (0.006, "NUREG-0700 rev. 3, 11.4.1.5-1"),
    "ISO_HEIGHTS": ((1.8, 2.5, 3.5, 5, 7, 10, 14, 20), "ISO 3098-0, table for type B"),
    "ISO_B_STROKE": (0.1, "ISO 3098-0, table for type B"),
    "ISO_B_SMALL_LETTERS": (0.7, "ISO 3098-0, table for type B"),
    "ISO_B_BETWEEN_CHARACTERS": (0.2, "ISO 3098-0, table for type B"),
    "ISO_B_BETWEEN_WORDS": (0.6, "ISO 3098-0, table for type B"),
    "ISO_B_LINE_PITCH_CAPITALS": (1.3, "ISO 3098-0, table for type B"),
    "ISO_B_LINE_PITCH": (1.5, "ISO 3098-0, table for type B"),
    "ISO_B_LINE_PITCH_ACCENTED": (1.9, "ISO 3098-0, table for type B"),
    "STROKE_DARK_ON_LIGHT": (1 / 6, "DOD-HDBK-791(AM), 6-5.3.2"),
    "STROKE_LIGHT_ON_DARK": ((1 / 8, 1 / 7), "DOD-HDBK-791(AM), 6-5.3.2"),
    "LETTER_WIDTH": ((3 / 5, 1), "DOD-HDBK-791(AM), 6-5.3.2"),
    "LEAST_CONTRAST": (3, "WCAG 2.2, 1.4.11"),
    "GRADUATION_STEPS": ((1, 2, 5), "MIL-HDBK-759B, 5.2.2.3.1.4.1"),
    "MOST_BETWEEN_NUMBERED": (9, "MIL-HDBK-759B, 5.2.2.3.1.4.1"),
    "PDF_POINT": (25.4 / 72, "ISO 32000"),
    "PLOTTER_STEP": (0.025, "HP-GL, the de facto plotter language"),
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
