from __future__ import annotations

import pytest

from legend.lettering.capitals import in_capitals


@pytest.mark.parametrize(
    ("text", "in_capitals_is"),
    [
        ("pitch kHz", "PITCH kHz"),
        ("fuse 500 mA, slow", "FUSE 500 mA, SLOW"),
        ("wind over 17 m/s", "WIND OVER 17 m/s"),
        ("gain (dB)", "GAIN (dB)"),
        ("delay (s)", "DELAY (s)"),
        ("turns (rpm)", "TURNS (rpm)"),
        ("10 min", "10 min"),
        ("50Hz", "50Hz"),
        ("4.7k", "4.7k"),
        ("4k7", "4k7"),
        ("×10 k", "×10 k"),
        ("min", "MIN"),
        ("2 in", "2 IN"),
        ("line 1 mono", "LINE 1 MONO"),
        ("12 v", "12 V"),
        ("symbol:on mains", "symbol:on MAINS"),
        ("µm", "µM"),
    ],
)
def test_units_stay_as_they_are(text: str, in_capitals_is: str) -> None:
    """MA would be megaamperes, and KHZ is no unit at all."""
    assert in_capitals(text) == in_capitals_is
