"""Values that somebody will write some day: numbers, texts, and TOML that holds them."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from typing import Any

NUMBERS = [
    *(0, -0.0, 1, -1, 0.01, 0.5, 2.5, 13, 50, 100, 200, 360, 1000, 2000, 10_000, 1_000_000),
    *(1e-9, 5e-324, 1e15, -1e15, 1e16, 1e300, math.inf, -math.inf, math.nan, 10**20, 10**400),
]
HOSTILE = [
    *(
        "",
        " ",
        "\n\n\n",
        "A\nB\nC\nD\nE",
        "\t",
        "\u00a0",
        "\u200b",
        "\ufeff",
        "\uffff",
        "\U0010ffff",
    ),
    *("\x00", "\x07", "\x1b[31m", "\x7f", "\x85", "\u2028", "A\rB", "\ue000", "½", "ﬁ", "İ", "ß"),
    *("😀👩‍👩‍👧‍👦🏳️‍🌈", "שלום", "مرحبا 123", "RANGE שלום 50", "\u202eABC\u202c", "\u2067AB\u2069"),
    *(
        "\u202e" * 150,
        "(אבג (123) abc)" * 13,
        "ไทย",
        "한국어",
        "漢字",
        "नमस्ते",
        "Z" + "\u0335\u0327" * 90,
    ),
    *("W" * 200, "W" * 10_000, "W " * 100, "\n".join("I" * 100), "i" * 199, "." * 200, "-" * 200),
    *("<script>alert(1)</script>", "</svg><svg onload=alert(1)>", "]]>", "<!--", "-->", "&amp;"),
    *("&#x0;", "\"'><img src=x onerror=x>", "{{ 7*7 }}", "{% raw %}", "<![CDATA[", "</style>"),
    *("(\\) endobj", ") Tj ET /JavaScript", "%s%n{0}", "$HOME", "`x`", "a`<b>`", "@sources"),
    *("symbol:earth", "symbol:", "symbol:nosuch", "symbol:earth symbol:earth", "SYMBOL:EARTH"),
    *("symbol:" + "x" * 150, "ON symbol:earth OFF", "symbol:<b>", "symbol:earth\nsymbol:earth"),
    *("../../etc/passwd", "/dev/null", "C:\\x", "a/b", ".", "..", "~", "con", "-v", "--out"),
    *("3/8 in", "0 mm", "1/0 in", "1e5 mm", "nan", "9" * 59, "knob", "plain", "centre", "white"),
]


def hostile(chance: random.Random) -> str:
    """A text that somebody will write some day."""
    pick = chance.random()
    if pick < 0.7:
        return chance.choice(HOSTILE)
    if pick < 0.85:
        return "".join(chance.choice(HOSTILE)[:20] for _ in range(chance.randrange(2, 6)))
    low, high = chance.choice(
        [(32, 127), (160, 0x600), (0x590, 0x700), (0x2000, 0x3000), (32, 0x10FFFF)]
    )
    points = (chance.randrange(low, high) for _ in range(chance.randrange(1, 60)))
    return "".join(chr(point) for point in points if not 0xD800 <= point < 0xE000)


# --- TOML ---


def toml(raw: Mapping[str, Any]) -> str:
    """Raw tables as a description that holds them, one top key a line or more."""
    lines = []
    for key, value in raw.items():
        if isinstance(value, list) and value:
            inside = ",\n  ".join(_written(each) for each in value)
            lines.append(f"{_quoted(key)} = [\n  {inside},\n]")
        else:
            lines.append(f"{_quoted(key)} = {_written(value)}")
    return "\n".join(lines) + "\n"


def _written(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(_written, value))}]"
    if isinstance(value, dict):
        pairs = (f"{_quoted(str(key))} = {_written(each)}" for key, each in value.items())
        return f"{{ {', '.join(pairs)} }}"
    if isinstance(value, (int, float)):
        return repr(value)
    return _quoted(str(value))


def _quoted(text: str) -> str:
    plain = "".join(c if " " <= c < "\x7f" and c not in '"\\' else f"\\U{ord(c):08x}" for c in text)
    return f'"{plain}"'
