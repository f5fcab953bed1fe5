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
            "M-0.4 2.4 H0.4 L0.1 0.2 H-0.1 Z" + ring(0, -4.4, 0.4),
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
            _TRIANGLE + "M0.4 2.4 Q-0.9 0.45 -2.2 -1.5 L2 -1.1 Q0.7 -2.95 -0.6 -4.8",
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
