"""Know symbols by their other names, and by the characters that stand for them.

A text as it is written goes in; the same with each symbol under its own name, as it is in the
registry, comes out: `symbol:gnd` and ⏚ are `symbol:earth`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from legend.lettering.symbols.registry import SYMBOLS

#: The symbol for each other name.
ALIASES: Mapping[str, str] = MappingProxyType(
    {other: name for name, symbol in SYMBOLS.items() for other in symbol.also.split()}
)
#: The symbol for each character that stands for one by The Unicode Standard, code charts:
#: U+23FB to 23FD and U+2B58 are those of IEC 60417-5009, 5010, 5007 and 5008; the others are
#: from memory, where their name in the charts means the symbol.
CHARACTERS: Mapping[str, str] = MappingProxyType(
    {character: name for name, symbol in SYMBOLS.items() for character in symbol.characters}
)
#: Names that several symbols might go by, which are asked back.
_SEVERAL: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "power": ("on", "off", "stand-by", "on-off"),
        "switch": ("on", "off", "stand-by", "on-off", "momentary"),
        "push-button": ("momentary", "on-off"),
        "pushbutton": ("momentary", "on-off"),
        "button": ("momentary", "on-off"),
        "danger": ("caution", "dangerous-voltage", "electric-shock"),
        "current": ("direct-current", "alternating-current", "direct-and-alternating-current"),
        "mains": ("alternating-current", "power-plug"),
        "plug": ("power-plug", "data-plug"),
        "arrow": ("arrow-up", "arrow-right", "arrow-down", "arrow-left"),
        "rotary": ("rotary-increase", "rotary-decrease", "rotary-both-ways"),
        "turn": ("rotary-increase", "rotary-decrease", "rotary-both-ways"),
        "volume": ("variability", "rotary-increase", "loudspeaker"),
        "wave": ("sine-wave", "square-wave", "triangle-wave", "sawtooth-wave", "pulse-wave"),
        "waveform": ("sine-wave", "square-wave", "triangle-wave", "sawtooth-wave", "pulse-wave"),
        "jack": ("headphones", "microphone", "line", "input", "output"),
        "polarity": (
            "plus",
            "minus",
            "dc-connector-centre-positive",
            "dc-connector-centre-negative",
        ),
    }
)
#: How alike a name and one of these are that is meant for it, from 0 to 1, the same.
_LIKE = 0.8
#: Names that are a sign alone, and the symbol of it.
_SIGNS = {"+": "plus", "-": "minus", "−": "minus", "–": "minus"}

#: A symbol by a name, as a word of its own.
NAMED = re.compile(r"(?<!\S)symbol:(\S+)", re.IGNORECASE)
#: The same without its name, which a space parts from it.
PARTED = re.compile(r"(?<!\S)symbol:(?!\S)", re.IGNORECASE)
#: Such a character, with the selector by which it may ask to be drawn as text or as a picture.
_CHARACTER = re.compile(rf"[ ]?([{''.join(CHARACTERS)}])[\ufe0e\ufe0f]?[ ]?")


@lru_cache(maxsize=4096)
def spelt(text: str) -> str:
    """The text with every symbol in it as `symbol:` and the name that the registry has.

    >>> spelt("symbol:GND ⚠ HOT")
    'symbol:earth symbol:caution HOT'
    """
    if "symbol:" not in text.casefold() and not any(character in text for character in CHARACTERS):
        return text
    lines = (_CHARACTER.sub(_in_words, line).strip(" ") for line in text.split("\n"))
    return NAMED.sub(lambda found: f"symbol:{known_as(found[1])}", "\n".join(lines))


def _in_words(found: re.Match[str]) -> str:
    return f" symbol:{CHARACTERS[found[1]]} "


def known_as(name: str) -> str:
    """The name in the registry of what is called so; the name itself where none is known."""
    low = name.casefold().replace("_", "-")
    return ALIASES.get(low, low)


def sign_meant(name: str) -> str:
    """The symbol that a name stands for that is a sign alone, as it is written; "" for none.

    >>> sign_meant("+")
    'symbol:plus'
    """
    sign = _SIGNS.get(name.strip())
    return f"symbol:{sign}" if sign else ""


def not_known(name: str) -> str:
    """What to say of a name that no symbol has: those that are meant, or the nearest three."""
    import difflib

    if several := _SEVERAL.get(name):
        return f"it may be {', '.join(several[:-1])} or {several[-1]}; say which"
    by_name = {**{each: each for each in SYMBOLS}, **ALIASES}
    if slip := difflib.get_close_matches(name, _SEVERAL, 1, _LIKE):
        return not_known(slip[0])
    near = difflib.get_close_matches(name, by_name, 6, 0.0)
    nearest = list(dict.fromkeys(by_name[each] for each in near))[:3]
    return f"the nearest are {', '.join(nearest)}; the handbook has them all"
