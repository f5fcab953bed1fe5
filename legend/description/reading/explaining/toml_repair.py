"""Find every syntax error of a TOML text, and read what can be read of the rest.

The parser stops at the first thing it cannot read. So that all faults are told at once,
what is a common slip is read as it was meant; failing that, the statement at fault is struck
out, and the rest is read again.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from legend.description.faults import Fault
from legend.description.reading.explaining.slips import Slip, put_right
from legend.description.source import Source
from legend.limits import MOST_FAULTS

#: After this many faults of writing the rest of a file is not worth reading.
_MOST = 20
#: How many lines back the beginning of an unfinished statement is looked for.
_BACK = 60
#: How many characters may be read over again in looking for further faults.
_BUDGET = 4_000_000

_WHERE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_HEADER = re.compile(r"\s*\[")
_KEY = re.compile(r"""\s*((?:[\w-]+|"[^"\n]*"|'[^'\n]*')(?:\s*\.\s*[\w"'-]+)*)\s*=""")
_BARE_WORD = re.compile(r"=\s*([^\W\d][\w -]*?)\s*(?:[,}\]#]|$)")


@dataclass(frozen=True, slots=True)
class Parsed:
    """What a file says: `data` as tomllib gives it, `text` what it was read from.

    `struck` is what had to be struck out of the text to read it, where there are `faults`.
    """

    data: dict[str, Any]
    text: str
    struck: str = ""
    faults: tuple[Fault, ...] = ()


def mended(text: str, file: str) -> Parsed:
    """Read a TOML text as far as it can be read, with a fault for each thing that cannot."""
    lines = text.replace("\r\n", "\n").split("\n")
    faults: list[Fault] = []
    struck: list[str] = []
    most = max(1, min(_MOST, _BUDGET // (len(text) + 1)))
    back = min(_BACK, _BUDGET // (_MOST * (len(text) + 1)))
    struck_at: list[int] = []
    mended_from: set[int] = set()
    rest_at = -1  # where the rest of a statement that is told about already may stand
    while len(struck_at) < most:
        try:
            data = tomllib.loads("\n".join(lines))
            return Parsed(data, "\n".join(lines), "\n".join(struck), tuple(faults))
        except tomllib.TOMLDecodeError as error:
            line, column, what = _located(str(error), lines)
            begin, end = _statement(lines, line, back)
        except RecursionError:
            faults.append(
                Fault(Source(file), "Lists or tables stand too deep inside one another to be read.")
            )
            break
        except ValueError:  # a number with more digits than Python converts
            begin = end = next(
                (i for i, each in enumerate(lines) if re.search(r"[\d_]{4000}", each)), 0
            )
            line, column, what = begin, 0, "Number too long"
        if not _HEADER.match(lines[begin]) and begin not in mended_from:
            mended_from.add(begin)
            right, slips = put_right("\n".join(lines), begin, len(lines) - 1)
            if any(begin < slip.line <= max(line, end) + 1 for slip in slips):
                faults += _of_slips(file, slips)
                lines = right.split("\n")
                continue
        struck_at.append(begin)
        if end < line:
            faults.append(_unfinished(file, begin, lines[begin]))
        elif begin != rest_at or _begins_something(lines[begin]):
            faults.append(Fault(Source(file, line + 1), _in_words(what, lines, line, column)))
        struck += lines[begin : end + 1]
        rest_at = end + 1 if begin == rest_at or _is_open(lines[begin : end + 1]) else -1
        lines[begin : end + 1] = [""] * (end + 1 - begin)
    return Parsed({}, "", text, tuple(faults))


def _of_slips(file: str, slips: list[Slip]) -> Iterator[Fault]:
    for slip in slips[:MOST_FAULTS]:
        yield Fault(Source(file, slip.line), f"At column {slip.column}: {slip.said}.")
    if len(slips) > MOST_FAULTS:
        more = f"{len(slips) - MOST_FAULTS} more such slips are not told; mend these first."
        yield Fault(Source(file), more)


def _located(message: str, lines: list[str]) -> tuple[int, int, str]:
    """Line and column, counted from 0 and from 1, and the parser's own words."""
    found = _WHERE.search(message)
    what = _WHERE.sub("", message)
    if found and found[1]:
        return min(int(found[1]) - 1, len(lines) - 1), int(found[2]), what
    last = max((i for i, line in enumerate(lines) if line.strip()), default=0)
    return last, len(lines[last]) + 1, what


def _statement(lines: list[str], line: int, back: int) -> tuple[int, int]:
    """First and last line of what is to be struck out for an error on this line.

    A statement begun further up and not finished reaches to the line before the error,
    where that line begins another; a header takes its table with it.
    """
    begin = line
    while begin > max(0, line - back) and not _reads("\n".join(lines[:begin])):
        begin -= 1
    if begin < line and _begins_something(lines[line]):
        return begin, line - 1
    end = line
    if _HEADER.match(lines[begin]):
        while end + 1 < len(lines) and not _HEADER.match(lines[end + 1]):
            end += 1
    return begin, end


def _begins_something(line: str) -> bool:
    return bool(_KEY.match(line) or _HEADER.match(line))


def _is_open(lines: list[str]) -> bool:
    """Whether a statement seems to go on after these lines."""
    text = "\n".join(lines)
    return text.count("[") > text.count("]") or text.count("{") > text.count("}") or '"""' in text


def _reads(text: str) -> bool:
    try:
        tomllib.loads(text)
    except (tomllib.TOMLDecodeError, ValueError, RecursionError):
        return False
    return True


def _unfinished(file: str, line: int, text: str) -> Fault:
    found = _KEY.match(text)
    what = f"The value of {found[1]}" if found else "What begins here"
    return Fault(
        Source(file, line + 1),
        f"{what} is not finished: a bracket, a brace or a quotation mark that is opened must be "
        "closed again.",
    )


def _in_words(what: str, lines: list[str], line: int, column: int) -> str:
    """The parser's finding in plain words."""
    text = lines[line][:300]
    at = f"At column {column}: " if column else ""
    found = _KEY.match(text)
    key = found[1] if found else "this key"
    if what.startswith("Number too long"):
        return "A number here has thousands of digits; no length or value needs so many."
    if what.startswith(("Cannot overwrite", "Duplicate inline", "Cannot mutate")):
        return _given_twice(what, lines, line, key)
    if what.startswith(("Cannot declare", "Cannot redefine")):
        return (
            f"The table {text.strip()} is begun a second time; put all of its keys under one "
            "heading, or write [[...]] if it is one of several."
        )
    if what.startswith("Invalid value") and (word := _BARE_WORD.search(text)):
        return f'{at}{word[1]} is not a value; a text stands in quotation marks: "{word[1]}".'
    if what.startswith(("Illegal character", "Unterminated string", 'Expected "')):
        if "\\n" in what or "Unterminated" in what:
            return f"{at}a text is begun with a quotation mark, and none closes it on this line."
        return f"{at}a control character stands here, which no text may hold; remove it."
    return at + next(
        (said for begin, said in _SAID if what.startswith(begin)), "this cannot be read as TOML."
    )


#: How the parser's findings begin, and the same in plain words.
_SAID: tuple[tuple[str | tuple[str, ...], str], ...] = (
    (
        "Invalid value",
        "here a value is missing or cannot be read; a text stands in quotation marks, as in "
        '"LAMP", and a number has a point, as in 3.5.',
    ),
    (
        ("Unescaped", "Invalid hex", "Escaped character"),
        "a backslash in a text in double quotation marks must be doubled; or put the text in "
        "single ones, as in 'fonts\\sign.ttf'.",
    ),
    ("Unclosed inline table", "the { ... } is not closed, or a comma is missing in it."),
    ("Unclosed array", "the [ ... ] is not closed, or a comma is missing in it."),
    (
        ("Expected '='", "Invalid statement", "Invalid initial"),
        "this line is no key with its value, no table and no comment; write it as key = value, "
        "as [table], or with # before it.",
    ),
    (
        "Expected newline",
        "more stands here than one value; one line holds one key and its value, and a decimal "
        "is written with a point.",
    ),
    (
        "Expected ']",
        "the heading of a table is written [table], of one of several [[table]].",
    ),
    ("Invalid date", "there is no such date or time."),
)


def _given_twice(what: str, lines: list[str], line: int, key: str) -> str:
    inline = re.match(r"Duplicate inline table key '(.*)'", what)
    if inline:
        return f"The key {inline[1]} is given twice between the same braces; leave one of them out."
    first = line - 1
    while first >= 0 and not _HEADER.match(lines[first]):
        found = _KEY.match(lines[first])
        if found and found[1] == key:
            return f"{key} is given twice, here and in line {first + 1}; leave one of them out."
        first -= 1
    return f"{key} is given twice; leave one of them out."
