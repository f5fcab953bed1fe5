"""Draw the symbols that warn."""

from __future__ import annotations

from legend.lettering.symbols.symbol import Group, Symbol, ring

_TRIANGLE = "M-11.8 -9 H11.8 L0 11.5 Z "

WARNINGS = Group(
    "Warnings",
    {
        "caution": Symbol(
            "Caution",
            _TRIANGLE,
            "M-0.5 2.25 H0.5 L0.1 -0.2 H-0.1 Z" + ring(0, -4.6, 0.2),
            number="ISO 7000-0434B",
            also="warning attention",
            characters="⚠",
        ),
        "dangerous-voltage": Symbol(
            "Dangerous voltage",
            "M4.2 11 L-4.8 1 L4.8 2.2 L1 -6",
            "M-1.4 -11 L-1.655 -5.746 L2.95 -8.16 Z",
            number="IEC 60417-5036, from memory",
            also="high-voltage hv voltage lightning flash bolt",
            characters="⚡",
        ),
        "electric-shock": Symbol(
            "Caution, risk of electric shock",
            _TRIANGLE + "M0.1 2.1 Q-0.95 0.35 -2 -1.4 L1.8 -1 Q0.65 -2.7 -0.5 -4.38",
            number="IEC 60417-6042, from memory",
            also="shock shock-hazard electrocution",
        ),
        "hot-surface": Symbol(
            "Caution, hot surface",
            "M-10 -9.6 H10 M-6 -5 A5 5 0 0 1 -6 2 A5 5 0 0 0 -6 9 M0 -5 A5 5 0 0 1 0 2 "
            "A5 5 0 0 0 0 9 M6 -5 A5 5 0 0 1 6 2 A5 5 0 0 0 6 9",
            number="IEC 60417-5041, from memory",
            also="hot burn",
        ),
    },
)

GROUPS = (WARNINGS,)
