"""Draw the symbols of what runs, what is set by hand, and what moves."""

from __future__ import annotations

from legend.lettering.symbols.symbol import Group, Symbol, block, ring

RUNNING = Group(
    "Running",
    {
        "run": Symbol(
            "Normal run; start",
            filled="M-7 -8.5 L9 0 L-7 8.5 Z",
            number="IEC 60417-5107, from memory",
            also="play start go",
            characters="⏵",
        ),
        "stop": Symbol(
            "Stop",
            filled=block(-7.5, -7.5, 7.5, 7.5),
            number="IEC 60417-5110, from memory",
            also="halt",
            characters="⏹",
        ),
        "pause": Symbol(
            "Pause; interruption",
            filled=block(-6, -7.5, -3.2, 7.5) + block(3.2, -7.5, 6, 7.5),
            number="IEC 60417-5111, from memory",
            also="hold",
            characters="⏸",
        ),
        "record": Symbol(
            "Recording, general",
            filled=ring(0, 0, 8),
            number="IEC 60417-5547, from memory",
            also="rec recording",
            characters="⏺",
        ),
        "reset": Symbol(
            "Reset",
            "M-8.595 0.3 A8.6 8.6 0 1 1 -1.197 8.516",
            "M-5.8 7.4 L-0.632 6.081 L-2.129 11.269 Z",
            also="restart",
        ),
        "emergency-stop": Symbol(
            "Emergency stop, the mushroom head that is struck",
            "M0 11.2 V8.8 M-10.5 -9.8 H10.5",
            "M0 5.7 L2.6 8.9 H-2.6 Z M-9 -3.95 H9 A10.6 10.6 0 0 1 -9 -3.95 Z"
            + block(-2.2, -9, 2.2, -4),
            also="e-stop estop emergency emergency-off",
        ),
        "foot-switch": Symbol(
            "Foot switch",
            filled="M-10 -9.5 H10 V-4 Z "
            "M-9.4 -4.5 L9 0.55 A3 3 0 0 1 6.6 2.9 L-2.4 3.9 V9.6 H-9.4 Z",
            number="IEC 60417-5114, from memory",
            also="footswitch foot-pedal pedal foot",
        ),
    },
)

#: Wedges between a circle and a spiral of quarter circles, each by the same step smaller than
#: the last, its middle shifted to where both have one tangent.
_INCREASE = (
    "M-7.071 -7.071 A10 10 0 1 0 7.071 -7.071 L3.818 -3.818 A6.55 6.55 0 0 1 3.818 5.445 "
    "A7.7 7.7 0 0 1 -7.071 5.445 A8.85 8.85 0 0 1 -7.071 -7.071 Z"
)
_DECREASE = (
    "M7.071 -7.071 A10 10 0 1 1 -7.071 -7.071 L-3.818 -3.818 A6.55 6.55 0 0 0 -3.818 5.445 "
    "A7.7 7.7 0 0 0 7.071 5.445 A8.85 8.85 0 0 0 7.071 -7.071 Z"
)

SETTING = Group(
    "Setting",
    {
        "variability": Symbol(
            "Variability",
            filled="M-10 -4.75 H10 V4.75 Z",
            number="IEC 60417-5004",
            also="adjust adjustment variable",
        ),
        "rotary-increase": Symbol(
            "Variability by turning, increase clockwise",
            filled=_INCREASE,
            number="ISO 7000-1364, from memory",
            also="increase",
        ),
        "rotary-decrease": Symbol(
            "Variability by turning, decrease clockwise",
            filled=_DECREASE,
            also="decrease",
        ),
        "rotary-both-ways": Symbol(
            "Variability by turning, both ways from the middle",
            filled="M-7.071 -7.071 A10 10 0 1 0 7.071 -7.071 L3.818 -3.818 "
            "A7.437 7.437 0 1 1 -3.818 -3.818 Z",
            also="both-ways balance centre-zero center-zero",
        ),
    },
)

_ARROW = "M0 -10 V10 M-6 4 Q-3 7 0 10 Q3 7 6 4"
_MOVEMENT = "IEC 60417-5022, from memory"

MOVEMENT = Group(
    "Movement",
    {
        f"arrow-{name}": Symbol(
            f"Movement {way}", _ARROW, number=_MOVEMENT, also=also, turn=45.0 * eighth
        )
        for eighth, (name, way, also) in enumerate(
            (
                ("up", "in one direction, up", "up"),
                ("up-right", "up and to the right", ""),
                ("right", "to the right", "right"),
                ("down-right", "down and to the right", ""),
                ("down", "down", "down"),
                ("down-left", "down and to the left", ""),
                ("left", "to the left", "left"),
                ("up-left", "up and to the left", ""),
            )
        )
    },
)

GROUPS = (RUNNING, SETTING, MOVEMENT)
