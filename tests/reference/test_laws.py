"""The laws of scales against what is published or practised about them.

Source of each value beside it.
"""

import math

import pytest
from scipy.interpolate import PchipInterpolator

from legend.description.laws import LAWS, TAPERS, LawSpec, Monotone

_TABLE = (
    (0.0, -150.0),
    (50.0, -131.0),
    (100.0, -90.0),
    (200.0, 20.0),
    (300.0, 95.0),
    (400.0, 150.0),
)


def test_table_is_the_monotone_cubic_of_scipy() -> None:
    """SciPy's PchipInterpolator, after Fritsch and Butland (1984)."""
    theirs = PchipInterpolator(*zip(*_TABLE, strict=True))
    ours = Monotone(_TABLE)
    for i in range(401):
        assert ours(float(i)) == pytest.approx(float(theirs(i)), abs=1e-9)


@pytest.mark.parametrize(
    ("value", "degrees"), [(0, -150.0), (25, -142.745833), (75, -113.032925), (150, -34.591132)]
)
def test_table_gives_what_scipy_gave(value: float, degrees: float) -> None:
    """Values written down from SciPy 1.17, PchipInterpolator, for the table above."""
    assert Monotone(_TABLE)(value) == pytest.approx(degrees, abs=1e-5)


@pytest.mark.parametrize(("taper", "db"), [("audio 10", -20.0), ("audio 15", -16.478)])
def test_an_audio_track_at_half_rotation(taper: str, db: float) -> None:
    """A 10 % track stands at 10 % of its resistance at half rotation, which is 20 log 0.1 dB.

    Second hand; the decibels are arithmetic.
    """
    law = LAWS["taper"](LawSpec(-60, 0, taper=taper))
    assert law.value(0.5) == pytest.approx(db, abs=0.001)
    assert law.fraction(db) == pytest.approx(0.5, abs=1e-4)


def test_a_linear_track_at_half_rotation_takes_away_six_decibels() -> None:
    """20 log 0.5 = -6.02 dB: arithmetic."""
    assert LAWS["taper"](LawSpec(-40, 0)).value(0.5) == pytest.approx(-6.0206, abs=1e-4)


def test_decades_of_a_log_scale_are_equal() -> None:
    """Equal travel for equal ratios: the meaning of the word."""
    law = LAWS["log"](LawSpec(0.1, 100))
    at = [law.fraction(10.0**n) for n in (-1, 0, 1, 2)]
    assert at == pytest.approx([0, 1 / 3, 2 / 3, 1])
    assert law.fraction(2) - law.fraction(1) == pytest.approx(math.log10(2) / 3)


def test_inverse_square_is_the_law_of_a_tuned_circuit() -> None:
    """f = 1 / (2 pi sqrt(L C)) (Thomson), with C proportional to the angle."""
    inductance, most, least = 180e-6, 500e-12, 50e-12

    def frequency(capacitance: float) -> float:
        return 1 / (2 * math.pi * math.sqrt(inductance * capacitance))

    law = LAWS["inverse-square"](LawSpec(frequency(most), frequency(least)))
    for part in (0.0, 0.25, 0.5, 0.9, 1.0):
        capacitance = most + part * (least - most)
        assert law.fraction(frequency(capacitance)) == pytest.approx(part, abs=1e-12)


def test_inverse_is_the_law_of_a_straight_line_wavelength_capacitor() -> None:
    """wavelength = speed of light / frequency, with the wavelength proportional to the angle."""
    light, longest, shortest = 299_792_458.0, 565.0, 176.0

    law = LAWS["inverse"](LawSpec(light / longest, light / shortest))
    for part in (0.0, 0.25, 0.5, 0.9, 1.0):
        wavelength = longest + part * (shortest - longest)
        assert law.fraction(light / wavelength) == pytest.approx(part, abs=1e-12)


@pytest.mark.parametrize(("taper", "db"), [("reverse 10", -0.915), ("reverse 15", -1.412)])
def test_a_reverse_track_at_half_rotation(taper: str, db: float) -> None:
    """A reverse 15 % track stands at 85 % of its resistance at half rotation: 20 log 0.85 dB.

    Common practice, no source; the decibels are arithmetic.
    """
    assert LAWS["taper"](LawSpec(-60, 0, taper=taper)).value(0.5) == pytest.approx(db, abs=0.001)


@pytest.mark.parametrize(
    ("taper", "track"), [("linear", (240, 256)), ("audio 15", (225, 225)), ("audio 10", (225, 225))]
)
def test_tracks_go_as_far_as_makers_give(taper: str, track: tuple[float, float]) -> None:
    """Degrees of track of carbon controls that turn 300 ± 5: makers' sheets, second hand."""
    least, most = track
    assert least - 0.5 <= 300 * TAPERS[taper].track <= most + 0.5


def test_a_volume_unit_meter_is_marked_as_they_are() -> None:
    """-20 -10 -7 -5 -3 -2 -1 0 1 2 3: the face of a volume-unit meter, from memory."""
    values = sorted(value for group in LAWS["decibel"].customary for value in group)
    assert values == [-20, -10, -7, -5, -3, -2, -1, 0, 1, 2, 3]


@pytest.mark.parametrize(
    ("vu", "share"),
    [(-20, 0.071), (-10, 0.224), (-7, 0.316), (-5, 0.398), (-3, 0.501), (0, 0.708), (3, 1.0)],
)
def test_a_volume_unit_meter_moves_with_the_voltage(vu: float, share: float) -> None:
    """Deflection of a volume-unit meter as a share of full scale, +3 VU: 10^((vu - 3) / 20).

    0 VU at about 71 % of the scale, after IEC 60268-17, from memory; -3 VU in the middle of it,
    second hand. The law's travel begins at -20 VU, not at rest, so it is put back to rest here.
    """
    law = LAWS["decibel"](LawSpec(-20, 3))
    rest = 10 ** (-23 / 20)
    assert rest + law.fraction(vu) * (1 - rest) == pytest.approx(share, abs=0.001)
