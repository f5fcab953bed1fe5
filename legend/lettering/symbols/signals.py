"""Draw the symbols of sound, of what is connected, and of waves."""

from __future__ import annotations

from legend.lettering.symbols.symbol import Group, Symbol, block, ring

SOUND = Group(
    "Sound",
    {
        "loudspeaker": Symbol(
            "Loudspeaker",
            "M-8 -4.5 H-2 L6 -10 V10 L-2 4.5 H-8 Z M-2 -4.5 V4.5",
            number="IEC 60417-5080, from memory",
            also="speaker loud-speaker",
            characters="🔈",
        ),
        "headphones": Symbol(
            "Headphones",
            "M-9.2 -2 V0 A9.2 9.2 0 0 0 9.2 0 V-2",
            block(-9.2, -9, -6.4, -1.5) + block(6.4, -9, 9.2, -1.5),
            number="IEC 60417-5077, from memory",
            also="headphone phones earphones earphone",
            characters="🎧",
        ),
        "microphone": Symbol(
            "Microphone",
            ring(0, 0, 8) + "M8 -10 V10",
            number="IEC 60417-5082, from memory",
            also="mic",
            characters="🎤",
        ),
        "mono": Symbol(
            "Mono: one channel",
            ring(0, 0, 8),
            ring(0, 0, 1.8),  # without the dot it would be read as off
            also="monophonic monaural",
        ),
        "stereo": Symbol(
            "Stereo: two channels",
            ring(-4, 0, 6.7) + ring(4, 0, 6.7),
            also="stereophonic",
        ),
        "bell": Symbol(
            "Bell",
            "M-9 -5 H9 M-6.5 -5 V1 A6.5 6.5 0 0 0 6.5 1 V-5 M0 7.5 V10 M-1.75 -9.65 H1.75",
            number="IEC 60417-5013",
            also="ring ringer",
            characters="🔔",
        ),
    },
)

CONNECTIONS = Group(
    "Connections",
    {
        "input": Symbol(
            "Input",
            "M-3.142 6.128 A8 8 0 1 0 -3.142 -6.128 "
            "M-10 0 H4.8 M1.6 3.2 Q3.2 1.6 4.8 0 Q3.2 -1.6 1.6 -3.2",
            number="IEC 60417-5034, from memory",
            also="in",
        ),
        "output": Symbol(
            "Output",
            "M3.142 6.128 A8 8 0 1 1 3.142 -6.128 "
            "M-5 0 H10 M6.8 3.2 Q8.4 1.6 10 0 Q8.4 -1.6 6.8 -3.2",
            number="IEC 60417-5035, from memory",
            also="out",
        ),
        "line": Symbol(
            "Line, from terminal to terminal",
            ring(-8.6, 0, 3.3) + ring(8.6, 0, 3.3) + "M-5.3 0 H5.3",
            also="line-level signal-line",
        ),
        "aerial": Symbol(
            "Aerial; antenna",
            "M0 -10 V10 M-8 10 L0 0 L8 10",
            number="IEC 60417-5039, from memory",
            also="antenna",
        ),
        "data": Symbol(
            "Data; serial interface",
            "M-8.7 -8 V8 M8.7 -8 V8 M-3.6 4.4 A3.6 3.6 0 0 0 3.6 4.4 V-4.4 "
            "A3.6 3.6 0 0 0 -3.6 -4.4 Z",
            number="IEC 60417-5850, from memory",
            also="serial serial-interface serial-port digital bits",
        ),
        "data-plug": Symbol(
            "Plug of a data lead",
            "M-1.5 4.7 H9.8 V-4.7 H-1.5 M-1.5 0 H5 M-11 0 H-8",
            block(-7.6, -5.8, -1.6, 5.8),
            also="data-connector data-lead",
        ),
        "network": Symbol(
            "Computer network",
            "M0 6 V0 M-8 -6 V0 H8 V-6",
            block(-2.4, 6.5, 2.4, 9.6)
            + block(-10.4, -9.6, -5.6, -6.5)
            + block(5.6, -9.6, 10.4, -6.5),
            number="IEC 60417-5988, from memory",
            also="lan ethernet local-network",
            characters="🖧",
        ),
    },
)

WAVES = Group(
    "Waves",
    {
        "sine-wave": Symbol(
            "Sine wave",
            "M-10.5 0 C-7 9.3 -3.5 9.3 0 0 C3.5 -9.3 7 -9.3 10.5 0",
            also="sine sinewave sinusoid",
        ),
        "square-wave": Symbol(
            "Square wave",
            "M-10.5 0 V6.5 H0 V-6.5 H10.5 V0",
            also="square squarewave",
        ),
        "triangle-wave": Symbol(
            "Triangle wave",
            "M-10.5 0 L-5.25 6.8 L5.25 -6.8 L10.5 0",
            also="triangle triangular trianglewave triangular-wave",
        ),
        "sawtooth-wave": Symbol(
            "Sawtooth wave",
            "M-10.5 -6.5 L0 6.5 V-6.5 L10.5 6.5 V-6.5",
            also="sawtooth saw saw-wave ramp saw-tooth",
        ),
        "pulse-wave": Symbol(
            "Pulse",
            "M-10.5 -6.5 H-2.8 V6.5 H2.8 V-6.5 H10.5",
            also="pulse pulses impulse",
        ),
    },
)

GROUPS = (SOUND, CONNECTIONS, WAVES)
