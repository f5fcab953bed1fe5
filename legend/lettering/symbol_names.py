"""Know symbols by their other names, and by the characters that stand for them.

A text as it is written goes in; the same with each symbol under its own name, as it is in the
registry, comes out: `symbol:gnd` and ⏚ are `symbol:earth`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

#: Other names of symbols, each with the names, parted by spaces, under which it is looked for.
_ALSO = {
    "earth": "ground gnd grounding earth-ground signal-earth signal-ground",
    "protective-earth": "pe protective-ground safety-earth safety-ground protective-conductor",
    "functional-earth": "fe functional-ground",
    "frame-or-chassis": "chassis frame chassis-ground frame-ground",
    "equipotentiality": "bonding equipotential bond",
    "loudspeaker": "speaker loud-speaker",
    "headphones": "headphone phones earphones earphone",
    "microphone": "mic",
    "aerial": "antenna",
    "alternating-current": "ac sine",
    "direct-current": "dc",
    "dc-connector-centre-positive": (
        "centre-positive center-positive dc-connector-center-positive tip-positive "
        "centre-plus center-plus"
    ),
    "dc-connector-centre-negative": (
        "centre-negative center-negative dc-connector-center-negative tip-negative "
        "centre-minus center-minus"
    ),
    "direct-and-alternating-current": "ac-dc ac/dc dc-ac dc/ac",
    "dangerous-voltage": "high-voltage hv voltage lightning flash bolt",
    "caution": "warning attention",
    "electric-shock": "shock shock-hazard electrocution",
    "hot-surface": "hot burn heat",
    "class-ii": "class-2 double-insulated double-insulation",
    "stand-by": "standby",
    "on-off": "on/off onoff push-push",
    "plus": "positive +",
    "minus": "negative - −",
    "run": "play start go",
    "stop": "halt",
    "pause": "hold",
    "lamp": "light bulb lighting",
    "battery": "cell",
    "bell": "ring ringer",
    "input": "in",
    "output": "out",
    "variability": "adjust adjustment variable",
    "rotary-increase": "increase",
    "arrow-up": "up",
    "arrow-right": "right",
    "arrow-down": "down",
    "arrow-left": "left",
}
#: The symbol for each other name.
ALIASES: Mapping[str, str] = MappingProxyType(
    {other: name for name, others in _ALSO.items() for other in others.split()}
)
#: Characters that stand for a symbol, by The Unicode Standard, code charts: U+23FB to 23FD and
#: U+2B58 are those of IEC 60417-5009, 5010, 5007 and 5008.
CHARACTERS: Mapping[str, str] = MappingProxyType(
    {
        "⏚": "earth",
        "∿": "alternating-current",
        "⎓": "direct-current",
        "⏻": "stand-by",
        "⏼": "on-off",
        "⏽": "on",
        "⭘": "off",
        "⚠": "caution",
        "⚡": "dangerous-voltage",
    }
)
#: Names that several symbols might go by, which are asked back.
_SEVERAL: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "power": ("on", "off", "stand-by", "on-off"),
        "switch": ("on", "off", "stand-by", "on-off"),
        "danger": ("caution", "dangerous-voltage", "electric-shock"),
        "current": ("direct-current", "alternating-current", "direct-and-alternating-current"),
        "arrow": ("arrow-up", "arrow-right", "arrow-down", "arrow-left"),
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


def not_known(name: str, known: Mapping[str, object]) -> str:
    """What to say of a name that no symbol has: those that are meant, or the nearest three."""
    import difflib

    if several := _SEVERAL.get(name):
        which = [each for each in several if each in known]
        return f"it may be {', '.join(which[:-1])} or {which[-1]}; say which"
    by_name = {**{each: each for each in known}, **ALIASES}
    if slip := difflib.get_close_matches(name, _SEVERAL, 1, _LIKE):
        return not_known(slip[0], known)
    near = difflib.get_close_matches(name, by_name, 6, 0.0)
    nearest = list(dict.fromkeys(by_name[each] for each in near if by_name[each] in known))[:3]
    return f"the nearest are {', '.join(nearest)}; the handbook has them all"
