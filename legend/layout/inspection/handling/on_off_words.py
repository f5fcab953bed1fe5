"""Know the words and signs for on and off in the languages that builders bring."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable

#: Words that say off wherever they stand, folded as `folded` does: English, German, French,
#: Italian, Spanish, Portuguese, Dutch, Finnish, Polish, Czech and Slovak, Turkish, Russian.
_OFF = {
    "off", "symbol:off", "aus", "arret", "spento", "disinserito", "apagado", "desligado",
    "desliga", "uit", "pois", "wyl", "wył", "wylaczony", "wyłączony", "vyp", "vypnuto", "vypnute",
    "kapali", "kapalı", "выкл",
}  # fmt: skip
#: Those that say it only with on beside them, because they are letters, numbers, or other words
#: as well: Hungarian, Danish, Swedish and Norwegian, and Spanish for stop.
_OFF_BESIDE_ON = {"0", "o", "ki", "fra", "slukket", "av", "fran", "från", "paro"}
_ON = {
    "on", "symbol:on", "1", "i", "ein", "an", "marche", "acceso", "inserito", "encendido",
    "marcha", "ligado", "liga", "aan", "paalle", "paalla", "wl", "wł", "wlaczony", "włączony",
    "zal", "zał", "zap", "zapnuto", "zapnute", "be", "til", "taendt", "tændt", "pa", "till",
    "acik", "açık", "acık", "вкл",
}  # fmt: skip


def folded(text: str) -> str:
    """A text by which it is compared: in small letters, without accents or a stop at its end."""
    bare = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(each for each in bare if not unicodedata.combining(each))
    return " ".join(bare.split()).rstrip(".")


def is_off(text: str, beside: Iterable[str] = ()) -> bool:
    """Whether a text says off and no more; some words do so only with on `beside` them.

    >>> is_off("Arrêt"), is_off("0"), is_off("0", ["1"])
    (True, False, True)
    """
    said = folded(text)
    return said in _OFF or (said in _OFF_BESIDE_ON and any(is_on(each) for each in beside))


def is_on(text: str) -> bool:
    """Whether a text says on and no more."""
    return folded(text) in _ON


def turns_off(text: str, opposite: str) -> bool:
    """Whether one text says off, and the other on, be it of something that both name.

    >>> turns_off("FAN OFF", "FAN ON"), turns_off("OFF", "FAN")
    (True, False)
    """
    ours, theirs = folded(text).split(), folded(opposite).split()
    shared = set(ours) & set(theirs)
    off, on = ([word for word in words if word not in shared] for words in (ours, theirs))
    return is_off(" ".join(off), [" ".join(on)]) and is_on(" ".join(on))
