"""Say what may stand for a character that a face lacks: what it means, or one that looks the same.

A face's own glyph always goes first. Characters that Unicode has for the sake of older sets, as ℃,
Ⅷ, ﬁ and Ａ, are set as what they stand for. Greek and Cyrillic letters that look as Latin ones do,
and signs that look alike, have one drawing between them: the table is here and not in the file of
the built-in face, so that there is no second drawing which might come to differ, and so that a
builder's own font lends its letters in the same way.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from functools import lru_cache
from types import MappingProxyType

from legend.lettering.faces.face import Face

#: Characters and those that look the same, place by place: Greek and Cyrillic capitals and small
#: letters, and signs.
_PAIRS = (
    ("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", "ABEZHIKMNOPTYX"),
    ("ονµμ", "ovμµ"),
    ("АВЕЗКМНОРСТХІЈЅ", "ABE3KMHOPCTXIJS"),
    ("ГПФ", "ΓΠΦ"),
    ("аеорсухіјѕћ", "aeopcyxijsħ"),
    ("кф", "κφ"),
    ("ÐƉĸ", "ĐĐκ"),
    ("∆∑∏∅", "ΔΣΠ⌀"),
    ("‐‑‒―ʼ˝∕∗∙⋅‧∣∼˚", "--–—’″/*···|~°"),
    ("►▸⏴◄◂⏶▴⏷▾▹◃▵▿", "▶▶◀◀◀▲▲▼▼▷◁△▽"),
    ("◼⚫◻⚪⟲⟳⟵⟶⟷", "■●□○↺↻←→↔"),
)
#: The character that looks as another does.
ALIKE: Mapping[str, str] = MappingProxyType(
    {each: other for some, others in _PAIRS for each, other in zip(some, others, strict=True)}
)

#: A comma under a letter; one to the right of its head, as the caron of a tall letter is drawn; one
#: turned round over it, where there is no room below; and the accent of Greek capitals, which
#: stands before them.
COMMA_BELOW, COMMA_BESIDE, TURNED_COMMA, TONOS = "\u0326", "\u0315", "\u0312", "\u0384"
#: Letters whose marks are drawn otherwise than Unicode takes them apart. The Unicode Standard,
#: 7.1, on carons and cedillas; 7.2, on the tonos.
DRAWN_WITH: Mapping[str, str] = MappingProxyType(
    {
        letter: base + mark
        for letters, bases, mark in (
            ("ĢĶķĻļŅņŖŗŢţ", "GKkLlNnRrTt", COMMA_BELOW),
            ("ďľĽť", "dlLt", COMMA_BESIDE),
            ("ģ", "g", TURNED_COMMA),
            ("ΆΈΉΊΌΎΏ", "ΑΕΗΙΟΥΩ", TONOS),
        )
        for letter, base in zip(letters, bases, strict=True)
    }
)

#: Characters for what Unicode would not say so well: an o that is raised.
_BETTER = {"№": "Nº"}
#: The kinds of compatibility in which nothing is lost but the look.
_SAME_MEANING = re.compile(r"<(?:compat|wide|narrow|square|font|noBreak)>")
#: What asks for a character as text or as a picture.
_SELECTORS = re.compile("[\ufe0e\ufe0f]")
#: How Unicode calls solid signs.
_SOLID = "BLACK "


def taken_apart(character: str) -> Iterator[str]:
    """A letter as the letter and the marks that it may be drawn from, the best way first."""
    if character in DRAWN_WITH:
        yield DRAWN_WITH[character]
    yield unicodedata.normalize("NFD", character)


def is_solid(character: str) -> bool:
    """Whether what its strokes enclose is filled: what Unicode calls black, as ▶ and ●."""
    return unicodedata.name(character[:1] or " ", "").startswith(_SOLID)


def folded(text: str, face: Face, built_in: Face) -> str:
    """The text with what a face lacks as what stands for it, if the face has that.

    What neither the face nor the built-in one draws is folded in any case.
    """
    text = _SELECTORS.sub("", text)
    if text.isascii():
        return text
    composed = unicodedata.normalize("NFC", text)
    return "".join(_in_its_stead(each, face, built_in) for each in composed)


def _in_its_stead(character: str, face: Face, built_in: Face) -> str:
    if character.isascii() or face.has(character):
        return character
    other = stand_in(character)
    may_be = all(map(face.has, other)) or not built_in.has(character)
    return other if other and may_be else character


@lru_cache(maxsize=1024)
def stand_in(character: str) -> str:
    """What a character stands for, or looks the same; "" where there is nothing.

    >>> [stand_in(each) for each in "℃ⅧﬁЖ"]
    ['°C', 'VIII', 'fi', '']
    """
    if character in _BETTER:
        return _BETTER[character]
    parts = unicodedata.normalize("NFD", character)
    base, marks = parts[0], parts[1:]
    if base in ALIKE and not DRAWN_WITH.get(character, "").endswith(TONOS):
        alike = unicodedata.normalize("NFC", ALIKE[base] + marks)
        return alike if len(alike) == 1 else ""
    if _SAME_MEANING.match(unicodedata.decomposition(character)):
        meant = unicodedata.normalize("NFKC", character)
        return "" if meant[:1].isspace() else meant
    return ""
