"""Draw the symbols of light, of heat, air and water, and of time and access."""

from __future__ import annotations

import math

from legend.lettering.symbols.symbol import Group, Symbol, block, ring


def _rays(inner: float, outer: float, *directions: float) -> str:
    """Short strokes away from the middle, between two circles about it.

    Directions are in degrees from the x axis. The strokes are written so that their ends are
    cut square.
    """
    strokes = ""
    for direction in directions:
        towards = math.cos(math.radians(direction)), math.sin(math.radians(direction))
        begin, middle, end = (
            f"{towards[0] * away:.3f} {towards[1] * away:.3f}"
            for away in (inner, (inner + outer) / 2, outer)
        )
        strokes += f"M{begin} Q{middle} {end} "
    return strokes


_ALL_ROUND = tuple(range(0, 360, 45))

LIGHT = Group(
    "Light",
    {
        "lamp": Symbol(
            "Lamp; lighting; illumination",
            "M-2.4 -6.2 V-4.157 A4.8 4.8 0 1 0 2.4 -4.157 V-6.2 Z M-1.6 -10.85 H1.6 "
            + _rays(9.4, 11.4, 0, 45, 90, 135, 180),
            number="IEC 60417-5012",
            also="light bulb light-bulb lighting illumination",
            characters="💡",
        ),
        "brightness": Symbol(
            "Brightness; brilliance",
            ring(0, 0, 4.55) + _rays(9.2, 10.6, *_ALL_ROUND),
            number="IEC 60417-5056, from memory",
            also="brilliance intensity",
            characters="🔆",
        ),
        "contrast": Symbol(
            "Contrast",
            ring(0, 0, 9.5),
            "M0 9.5 A9.5 9.5 0 0 1 0 -9.5 Z",
            number="IEC 60417-5057, from memory",
        ),
        "day": Symbol(
            "Day",
            _rays(7.6, 11, *_ALL_ROUND),
            ring(0, 0, 2.6),
            also="sun daylight daytime",
            characters="☀",
        ),
        "night": Symbol(
            "Night",
            filled="M1.5 9.1 A9.223 9.223 0 1 1 9.1 -1.5 A7.2 7.2 0 1 0 1.5 9.1 Z",
            also="moon crescent night-time",
            characters="☽☾🌙",
        ),
    },
)

HEAT = Group(
    "Heat, air and water",
    {
        "thermometer": Symbol(
            "Temperature",
            "M-4.9 -4 V7.6 A2.4 2.4 0 0 0 -0.1 7.6 V-4 M4.6 8.9 H7.2 M4.6 4.25 H7.2 M4.6 -0.4 H7.2",
            ring(-2.5, -6.8, 3.2),
            also="temperature temp",
            characters="🌡",
        ),
        "heat": Symbol(
            "Heat; heating",
            "M-5.2 -10 A5.5 5.5 0 0 1 -5.2 -3 A5.5 5.5 0 0 0 -5.2 4 V6.6 "
            "M5.2 -10 A5.5 5.5 0 0 1 5.2 -3 A5.5 5.5 0 0 0 5.2 4 V6.6",
            "M-5.2 10 L-7.8 6.6 H-2.6 Z M5.2 10 L2.6 6.6 H7.8 Z",
            also="heating heater",
        ),
        "flame": Symbol(
            "Flame",
            "M0.8 11.4 C1.6 6.2 7.4 3.4 7.4 -2.8 A7.4 7.4 0 0 0 -7.4 -2.8 "
            "C-7.4 0.4 -6.6 2.8 -4.8 5 C-4.4 3 -3.6 2 -2.6 1.4 C-2.6 5.4 -1.4 8.8 0.8 11.4 Z",
            also="fire burner gas",
            characters="🔥",
        ),
        "fan": Symbol(
            "Air impeller; blower; fan",
            filled="M0 0 V10.5 A6.4 6.4 0 0 0 0 0 Z M0 0 L-9.093 -5.25 A6.4 6.4 0 0 0 0 0 Z "
            "M0 0 L9.093 -5.25 A6.4 6.4 0 0 0 0 0 Z",
            number="IEC 60417-5015, from memory",
            also="blower impeller ventilator ventilation",
        ),
        "drop": Symbol(
            "Water; liquid",
            "M0 11 L-5.97 0.056 A6.8 6.8 0 1 1 5.97 0.056 Z",
            also="droplet water liquid coolant",
            characters="💧",
        ),
    },
)

TIME_AND_ACCESS = Group(
    "Time and access",
    {
        "clock": Symbol(
            "Clock; time switch; timer",
            ring(0, 0, 9.8) + "M0 5.1 V0 H4.2",
            number="IEC 60417-5184, from memory",
            also="time timer time-switch",
            characters="⏲",
        ),
        "lock": Symbol(
            "Locking, general",
            "M-4.8 0 V4.5 A4.8 4.8 0 0 0 4.8 4.5 V0",
            block(-7.2, -9.5, 7.2, -1),
            number="IEC 60417-5569, from memory",
            also="padlock locked locking",
            characters="🔒",
        ),
        "unlock": Symbol(
            "Unlocking",
            "M-4.8 -2 V5.5 A4.8 4.8 0 0 0 4.8 5.5 V3.4",
            block(-7.2, -10.2, 7.2, -2.6),
            number="IEC 60417-5570, from memory",
            also="unlocked unlocking open-padlock open-lock",
            characters="🔓",
        ),
    },
)

GROUPS = (LIGHT, HEAT, TIME_AND_ACCESS)
