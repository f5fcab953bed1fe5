"""Put right the commonest slips in writing a value of TOML, each told in a sentence.

What cannot be read for such a slip is written as it was meant, so that the rest of the file is
judged as if it had been: a fraction or a length with its unit without quotation marks, a decimal
comma, a decimal without a figure on one side of its point, two sizes with a cross between them,
a word without quotation marks or in those of a printed page.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

#: A length as it is written by hand: with a fraction, a unit, a comma, or none of these.
_UNIT = r"(?:mm|cm|inches|inch|in|''|[\"″”])"
_FRACTION = r"(?:\d+[ \t-]+)?\d+[ ]*[/⁄][ ]*\d+|\d*[ ]*[½¼¾⅛⅜⅝⅞]"
_DECIMAL = r"\d+(?:\.\d*|,\d+)?|[.,]\d+"
_LENGTH = rf"[-+−]?[ ]*(?:{_FRACTION}|{_DECIMAL})(?:[ ]*{_UNIT})?"

#: What is passed over, what may be a slip, and what follows a value.
_PASSED = (
    r'"""[\s\S]*?"""|\'\'\'[\s\S]*?\'\'\'|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'|#[^\n]*'
    r"|^[ \t]*\[{1,2}[\w.\"' -]+\]{0,2}[ \t]*(?=#|$)"
)
_ENDS = r"(?=[ \t]*(?:[,\]}#\n]|$))"
_TOKEN = re.compile(
    rf"(?P<passed>{_PASSED})"
    rf"|(?P<lead>[=\[,]\s*)(?:"
    rf"(?P<one>{_LENGTH})[ ]*(?:[x×*X]|by)[ ]*(?P<other>{_LENGTH}){_ENDS}"
    rf"|(?P<comma>[-+−]?\d+,[ ]*[-+−]?\d+){_ENDS}"
    rf"|(?P<length>{_LENGTH}){_ENDS}"
    rf"|[“”„«‘’](?P<quoted>[^“”„«»‘’\n]*)[“”»‘’]{_ENDS}"
    rf"|(?P<word>[^\W\d][\w-]*(?:[ ][\w-]+)*){_ENDS}"
    r")",
    re.MULTILINE,
)
#: What TOML reads by itself.
_SOUND = re.compile(r"[-+]?(?:0|[1-9]\d*)(?:\.\d+)?")
_WORDS_OF_TOML = frozenset({"true", "false", "inf", "nan"})
_YES_OR_NO = {"yes": "true", "on": "true", "no": "false", "off": "false"}
#: Keys under which two lengths stand in brackets.
_TWO = frozenset({"at", "size", "cutout", "slot", "stock_size"})
_KEY_BEFORE = re.compile(r"([\w-]+)\s*=\s*$")
_INCHES = re.compile(r"""^\s*units\s*=\s*["']in""", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Slip:
    """A slip: its line and its column, counted from 1, and what is to be told of it."""

    line: int
    column: int
    said: str


def put_right(text: str, begin: int, end: int) -> tuple[str, list[Slip]]:
    """The text with the slips of these lines, counted from 0, put right, and the slips.

    The rest of the text is left as it is, and no line moves.
    """
    lines = text.split("\n")
    before = "\n".join(lines[:begin]) + ("\n" if begin else "")
    part = "\n".join(lines[begin : end + 1])
    after = text[len(before) + len(part) :]
    inches = bool(_INCHES.search(text))
    slips: list[Slip] = []
    told: set[tuple[int, str]] = set()
    written: list[str] = []
    at = 0
    for found in _TOKEN.finditer(part):
        if found["passed"]:
            continue
        meant, said = _meant(found, part, inches)
        if not said:
            continue
        start = found.end("lead")
        line = part.count("\n", 0, start)
        if (line, said) not in told:
            column = start - (part.rfind("\n", 0, start) + 1) + 1
            slips.append(Slip(begin + line + 1, column, said))
            told.add((line, said))
        written += part[at:start], meant
        at = found.end()
    return before + "".join(written) + part[at:] + after, slips


def _meant(found: re.Match[str], text: str, inches: bool) -> tuple[str, str]:
    """What was meant, as TOML has it, and what is to be told; "" for both where all is well."""
    as_written = found[0][len(found["lead"]) :]
    key = _KEY_BEFORE.search(text, 0, found.end("lead"))
    if found["one"]:
        pair = f"[{_number(found['one'], inches)}, {_number(found['other'], inches)}]"
        return pair, f"{as_written} is two lengths, which stand in brackets: {pair}"
    if found["comma"]:
        return _with_a_comma(found, key[1] if key else "")
    if found["length"]:
        return _length(found["length"], inches)
    if found["quoted"] is not None:
        plain = f'"{found["quoted"]}"'
        return plain, f"a text stands in straight quotation marks: {plain}"
    word = found["word"]
    if word in _WORDS_OF_TOML:
        return "", ""
    if word.lower() in _WORDS_OF_TOML | _YES_OR_NO.keys() and found["lead"].startswith("="):
        flag = _YES_OR_NO.get(word.lower(), word.lower())
        return flag, f'{word} is not a value; write {flag}, or, for a text, "{word}"'
    return f'"{word}"', f'{word} is not a value; a text stands in quotation marks: "{word}"'


def _with_a_comma(found: re.Match[str], key: str) -> tuple[str, str]:
    """Two numbers after a key with a comma between them: a decimal, or two lengths."""
    written = found["comma"]
    if not found["lead"].startswith("="):
        return "", ""  # two items of a list, which are sound
    one, other = (part.strip() for part in written.split(","))
    pair, decimal = f"[{one}, {other}]", f"{one}.{other}"
    if " " in written or key in _TWO:
        return pair, f"{written} is two lengths, which stand in brackets: {pair}"
    return decimal, f"a decimal is written with a point: {decimal}, not {written}"


def _length(written: str, inches: bool) -> tuple[str, str]:
    plain = _number(written, inches)
    if plain == written:
        return "", ""
    if re.search(rf"{_UNIT}$", written):
        return plain, f"{written} has its unit, and so stands in quotation marks: {plain}"
    if re.search(r"[/⁄½¼¾⅛⅜⅝⅞]", written):
        decimal = _as_decimal(written)
        end = f", or write {decimal}" if decimal and inches else ""
        return plain, f"{written} is a fraction, which stands in quotation marks: {plain}{end}"
    if plain.startswith('"'):
        return plain, f"{written} is not a number; as a text, it stands in quotation marks: {plain}"
    return plain, f"{written} is not a number as it is read here; write {plain}"


def _number(written: str, inches: bool) -> str:
    """A length as TOML takes it: as a number, or in quotation marks."""
    if _SOUND.fullmatch(written):
        return written
    found = re.fullmatch(rf"(.*?)[ ]*({_UNIT})?", written)
    assert found is not None  # it takes anything
    number, unit = found[1], found[2] or ""
    if unit in ('"', "″", "”", "''"):
        unit = "in"
    if not unit and not re.search(r"[/⁄½¼¾⅛⅜⅝⅞]", number):
        sign, figures = re.fullmatch(r"([-+−]?)[ ]*(.*)", number).groups()  # type: ignore[union-attr]
        whole, _, part = figures.replace(",", ".").partition(".")
        whole = whole.lstrip("0") or "0"
        return sign.replace("−", "-") + (f"{whole}.{part}" if part else whole)
    if not unit and not inches:
        unit = "in"  # nobody measures in fractions of a millimetre
    return f'"{number} {unit}"'.replace(' "', '"')


def _as_decimal(written: str) -> str:
    """A fraction as a decimal; "" where it has no end within four places."""
    from legend.description.values.lengths import parse_length

    try:
        value = parse_length(written, "mm")
    except ValueError:
        return ""
    return f"{value:.10g}" if round(value, 4) == value else ""
