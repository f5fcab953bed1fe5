"""Turn the words of a text into capitals, and leave what would mean something else by them."""

from __future__ import annotations

import re
import unicodedata

#: The sign of micro, or the Greek letter that is written for it where it is in no Greek word.
_MICRO = "µ|(?<![α-ωά-ώ])μ(?![α-ωά-ώ])"
#: The name of a symbol, or a stretch without spaces.
_SYMBOL_OR_WORD = re.compile(r"((?<!\S)symbol:\S+)|\S+")
#: A stretch of letters that may be capitals.
_LETTERS = re.compile(rf"(?:(?!{_MICRO})\S)+")
#: An acute on a Greek capital, in decomposed characters.
_GREEK_ACUTE = re.compile("([Α-Ω]\u0308?)\u0301")

_PREFIX = "(?:[munpµμcdhkMGT]|da)"
#: The symbols of units with a capital, which take a prefix, and those without one. SI Brochure,
#: 9th ed., tables 2, 4, 5, 7 and 8.
_WITH_A_CAPITAL = "Hz|Pa|Wb|Bq|Gy|Sv|[ANJWCVFTHSKΩΩL]|Ah|Wh|VA|eV|dB[A-Za-z]?"
_IN_SMALL_LETTERS = "mol|cd|lm|lx|bar|min|[mgslh]"
_UNIT = f"(?:{_PREFIX}?(?:{_WITH_A_CAPITAL}|{_IN_SMALL_LETTERS}))"
#: Several of them as a product or a quotient, with their powers.
_UNITS = rf"{_UNIT}[²³]?(?:[/·]{_UNIT}[²³]?)*"
#: What the trade writes after numbers in small letters besides, and in brackets.
_IN_BRACKETS = rf"\((?:{_UNITS}|rpm|r/min|ppm|ppb|psi|[a-z]?var|kn|in|ft|oz|lb)\)"

#: What a word is that stays as it is, whatever stands before it: 50Hz, 10k, 4k7, (kHz), or a unit
#: that nobody could take for a word, kHz, dB, mA.
_STAYS = re.compile(
    rf".*\d(?:{_UNITS}|[kMGmunpµμ])|\d+[kmunpR]\d+|{_IN_BRACKETS}"
    rf"|{_PREFIX}(?:{_WITH_A_CAPITAL})|dB[A-Za-z]?|Hz"
)
#: What stays where a number stands before it.
_AFTER_A_NUMBER = re.compile(rf"{_UNITS}|k")
_NUMBER = re.compile(r".*\d")
_STOPS = ".,;:"


def in_capitals(text: str) -> str:
    """The text in capitals, but for the names of symbols, and for units, which would be others.

    >>> in_capitals("pitch kHz"), in_capitals("fuse 500 mA"), in_capitals("delay (s)")
    ('PITCH kHz', 'FUSE 500 mA', 'DELAY (s)')
    """
    before = ""

    def one(match: re.Match[str]) -> str:
        nonlocal before
        word, previous = match[0], before
        before = word
        is_after_a_number = _NUMBER.fullmatch(previous) is not None
        if match[1] or _is_unit(word.rstrip(_STOPS), is_after_a_number):
            return word
        return _LETTERS.sub(lambda letters: _upper(letters[0]), word)

    return _SYMBOL_OR_WORD.sub(one, text)


def _is_unit(word: str, is_after_a_number: bool) -> bool:
    return bool(_STAYS.fullmatch(word) or (is_after_a_number and _AFTER_A_NUMBER.fullmatch(word)))


def _upper(word: str) -> str:
    """A word in capitals; Greek ones bear no acute, as is usual in Greek."""
    decomposed = unicodedata.normalize("NFD", word.upper())
    return unicodedata.normalize("NFC", _GREEK_ACUTE.sub(r"\1", decomposed))
