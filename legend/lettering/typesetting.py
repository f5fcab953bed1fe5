"""Set a text in a `TextStyle`, its pen at x = 0 on the baseline.

A text may hold several lines, and symbols as words of their own: `symbol:earth`. What the
face lacks is taken from the built-in face, and a note says so; nothing is ever left out.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

from legend.lettering.capitals import in_capitals
from legend.lettering.directions import reads_leftwards
from legend.lettering.faces.face import (
    ABOVE,
    BELOW,
    Case,
    Face,
    Featured,
    Frame,
    Letter,
    LetteringError,
    Line,
    TextStyle,
)
from legend.lettering.faces.folding import folded
from legend.lettering.faces.small_figures import SMALL_HEIGHT, Small, Solidus, small_style
from legend.lettering.outlines.boolean import flattened_curves, joined
from legend.lettering.outlines.outline import Outline
from legend.lettering.parting import parted
from legend.lettering.standing_in import built_in, gap, in_keeping, standing_in
from legend.lettering.superiors import stretches_of, with_fractions
from legend.lettering.symbols.names import NAMED, PARTED, spelt
from legend.sentences import listed
from legend.standards import (
    ISO_B_LINE_PITCH,
    ISO_B_LINE_PITCH_ACCENTED,
    ISO_B_LINE_PITCH_CAPITALS,
)

Align = Literal["left", "centre", "right"]

#: A character and the marks that are set on it.
_CLUSTER = re.compile(
    r".[\u0300-\u036f\u0483-\u0489\u0591-\u05c7\u064b-\u065f\u20d0-\u20ff]*", re.S
)


@dataclass(frozen=True, slots=True, eq=False)
class Setting:
    """A text as it is set.

    `outline` is all its ink, letters that touch joined, the pen of the first line starting at
    x = 0 and its baseline at y = 0, mm. `letters` are the letters one by one, in the order
    they stand from left to right, line by line. `height` is the capital height. `notes` are
    whole sentences about what had to be done otherwise than asked. `baselines` are where its
    lines stand, mm; none, where they are not level.
    """

    text: str
    outline: Outline
    letters: tuple[Letter, ...]
    height: float
    notes: tuple[str, ...] = ()
    baselines: tuple[float, ...] = ()


def is_symbol(text: str) -> bool:
    """Whether a text is one symbol and nothing else."""
    return NAMED.fullmatch(spelt(text)) is not None


def set_text(text: str, style: TextStyle, align: Align = "centre") -> Setting:
    """A text of one or more lines, set.

    Lines stand under each other at the pitch of ISO 3098-0 and are aligned by their ink.
    An empty text, or one of spaces, has an empty outline. Settings are kept, so that the
    same words in the same style are set once.

    Error: LetteringError for a character that no face at hand can draw, a symbol that does not
    exist, or words of which nothing can be seen.
    """
    return _set_text(text, style, align)


@lru_cache(maxsize=4096)
def _set_text(text: str, style: TextStyle, align: Align) -> Setting:
    words = _as_set(text, style.face, style.case)
    lines = [_parted(_set_line(line, style, text), style) for line in _lines_of(words)]
    notes = list(dict.fromkeys(note for line in lines for note in line.notes))
    pitch = line_pitch(text, style)
    letters = tuple(_stacked(lines, pitch, align))
    outline, flattened = joined([letter.outline for letter in letters if letter.outline])
    if not outline and not text.isspace() and text:
        raise LetteringError(f"The text {text!r} has no character of which anything can be seen.")
    if flattened:
        notes.append(flattened_curves(repr(text)))
    baselines = tuple(-number * pitch for number in range(len(lines)))
    return Setting(text, outline, letters, style.height, tuple(notes), baselines)


def _lines_of(text: str) -> list[str]:
    """The lines, in composed characters, tabs and spaces that hold as plain spaces."""
    lines = unicodedata.normalize("NFC", text).split("\n")
    return [re.sub(r"[\t\v\f\r\u00a0\u202f]", " ", line) for line in lines]


# --- Lines under each other ---


def line_pitch(text: str, style: TextStyle) -> float:
    """From baseline to baseline, mm: what the letters of the text need, by ISO 3098-0."""
    return style.height * max(_pitch(_as_set(text, style.face, style.case)), style.least_pitch)


@lru_cache(maxsize=4096)
def _as_set(text: str, face: Face, case: Case) -> str:
    """The text with its symbols under their names, and with what stands for characters that the
    face lacks, in the case in which it is set."""
    words = with_fractions(folded(spelt(text), face, built_in()))
    return in_capitals(words) if case == "capitals" else words


@lru_cache(maxsize=4096)
def _pitch(text: str) -> float:
    """The same in capital heights, of a text in the case in which it is set."""
    plain, symbols = NAMED.subn("", text)
    decomposed = unicodedata.normalize("NFD", plain)
    if symbols or any(unicodedata.combining(mark) in (ABOVE, BELOW) for mark in decomposed):
        return ISO_B_LINE_PITCH_ACCENTED
    if any(character.islower() for character in plain):
        return ISO_B_LINE_PITCH
    return ISO_B_LINE_PITCH_CAPITALS


def _stacked(lines: Sequence[_SetLine], pitch: float, align: Align) -> Iterator[Letter]:
    """The letters of all lines, each aligned by its ink to the first that has any."""
    axis: float | None = None
    for number, line in enumerate(lines):
        dx = 0.0
        if len(lines) > 1 and line.inked:
            left, right = line.extent
            own = {"left": left, "centre": (left + right) / 2, "right": right}[align]
            axis = own if axis is None else axis
            dx = axis - own
        yield from _moved(line.letters, dx, -number * pitch)


def _moved(letters: Iterable[Letter], dx: float, dy: float) -> Iterator[Letter]:
    for letter in letters:
        if letter.outline and (dx or dy):
            yield letter.moved(dx, dy)
        else:
            yield letter


def _parted(line: _SetLine, style: TextStyle) -> _SetLine:
    """The line with letters moved apart where the style asks for a least gap."""
    if not style.least_gap:
        return line
    return replace(line, letters=parted(line.letters, style.least_gap))


# --- One line ---


@dataclass(frozen=True, slots=True)
class _SetLine:
    letters: tuple[Letter, ...]
    notes: tuple[str, ...] = ()

    @property
    def inked(self) -> bool:
        return any(letter.outline for letter in self.letters)

    @property
    def extent(self) -> tuple[float, float]:
        """Left and right end of the ink."""
        boxes = [letter.outline.bounds for letter in self.letters if letter.outline]
        return min(box[0] for box in boxes), max(box[2] for box in boxes)

    def upright(self, lean: float) -> _SetLine:
        """The same, if its letters lean over so far for their height, as if they did not."""
        if not lean:
            return self
        to_upright = (1.0, 0.0, -lean, 1.0, 0.0, 0.0)
        return _SetLine(
            tuple(Letter(each.text, each.outline.transformed(to_upright)) for each in self.letters)
        )


@dataclass(frozen=True, slots=True)
class _Run:
    """A stretch of a line from one source: words of a face, or the name of a symbol."""

    words: str
    style: TextStyle
    is_symbol: bool = False
    feature: str = ""
    small: Small | None = None

    def set(self, text: str) -> _SetLine:
        if self.small:
            return self._of_small_figures(self.small, text)
        if self.is_symbol:
            from legend.lettering.symbols.drawing import symbol

            letter = Letter(
                f"symbol:{self.words}", symbol(self.words, in_keeping(self.style, self.style.face))
            )
            return _SetLine((letter,))
        words, style = self.words.strip(), self.style
        if self.feature and isinstance(style.face, Featured):
            return _of_face(style.face.set_line(words, style, self.feature), style, text)
        return _of_face(style.face.set_line(words, style), style, text)

    def _of_small_figures(self, small: Small, text: str) -> _SetLine:
        """Figures made smaller, as one letter by the name of what is written."""
        style = small_style(self.style)
        lines = [_of_face(style.face.set_line(line, style), style, text) for line in small.lines]
        gathered = [
            Outline.gathered([letter.outline for letter in line.letters if letter.outline])
            for line in lines
        ]
        lean = math.tan(math.radians(style.slope))
        solidus = Solidus(
            self.style.height, in_keeping(self.style, style.face).stroke, lean, style.ends
        )
        letter = Letter(self.words, small.composed(gathered, solidus), Frame(lean=lean))
        return _SetLine((letter,), tuple(note for line in lines for note in line.notes))


def _set_line(line: str, style: TextStyle, text: str) -> _SetLine:
    """One line, whatever it is made of: words, symbols, letters of the built-in face."""
    stretches = stretches_of(line, style.face)
    if "symbol:" not in line and all(stretch.is_plain for stretch in stretches):
        whole = style.face.set_line("".join(stretch.words for stretch in stretches), style)
        if not whole.missing:
            return _of_face(whole, style, text)
    if PARTED.search(line):
        raise LetteringError(
            f"In {text!r} the name of a symbol is missing, or parted from `symbol:` by a space; "
            "write it as in symbol:earth."
        )
    runs: list[_Run] = []
    notes: list[str] = []
    at = 0
    for match in NAMED.finditer(line):
        runs += _runs_of_words(line[at : match.start()], style, text, notes)
        runs.append(_Run(match[1], style, is_symbol=True))
        at = match.end()
    runs += _runs_of_words(line[at:], style, text, notes)
    return _side_by_side(runs, style, text, notes)


def _of_face(line: Line, style: TextStyle, text: str) -> _SetLine:
    """A line as a face sets it, its words moved apart where the style asks for it."""
    letters = list(line.letters)
    if style.word_space:
        spaces = 0
        for place, letter in enumerate(line.letters):
            spaces += letter.text.isspace()
            dx = spaces * style.word_space * style.height
            letters[place] = next(_moved((letter,), dx, 0.0))
    notes = (flattened_curves(repr(text)),) if line.flattened else ()
    return _SetLine(tuple(letters), notes)


def _runs_of_words(words: str, style: TextStyle, text: str, notes: list[str]) -> list[_Run]:
    """The words as runs of the face, small figures by themselves."""
    runs: list[_Run] = []
    for stretch in stretches_of(words, style.face):
        if stretch.feature:
            runs.append(_Run(stretch.words, style, feature=stretch.feature))
        elif stretch.small:
            figures = "".join(stretch.small.lines)
            lettered = _runs_of_letters(figures, style, text, notes)
            lacking = any(run.style.face is not style.face for run in lettered)
            of_figures = lettered[-1].style if lacking else style
            runs.append(_Run(stretch.words, of_figures, small=stretch.small))
        else:
            runs += _runs_of_letters(stretch.words, style, text, notes)
    return runs


def _runs_of_letters(words: str, style: TextStyle, text: str, notes: list[str]) -> list[_Run]:
    """The words as runs of the face, and of the built-in face for what the face lacks."""
    missing = style.face.set_line(words, style).missing
    if not missing:
        return [_Run(words, style)]
    other = standing_in(style)
    runs = []
    for stretch, is_missing in _stretches(words, frozenset(missing)):
        if is_missing:
            lacking = other.face.set_line(stretch, other).missing
            if lacking or other.face is style.face:
                raise _no_such_character((lacking or missing)[0], style.face, text)
        runs.append(_Run(stretch, other if is_missing else style))
    notes.append(_missing_note(missing, style.face, other.face))
    return runs


def _stretches(words: str, missing: frozenset[str]) -> list[tuple[str, bool]]:
    """The words cut where the face begins or ceases to have what they need.

    A letter and the marks set on it are never parted.
    """
    stretches: list[tuple[str, bool]] = []
    for cluster in re.findall(_CLUSTER, words):
        is_missing = not missing.isdisjoint(cluster)
        if stretches and (stretches[-1][1] == is_missing or cluster == " "):
            stretches[-1] = (stretches[-1][0] + cluster, stretches[-1][1])
        else:
            stretches.append((cluster, is_missing))
    return stretches


def _side_by_side(
    runs: Sequence[_Run], style: TextStyle, text: str, notes: Sequence[str]
) -> _SetLine:
    """Runs from several sources in one line, with the face's own spaces between them."""
    letters: list[Letter] = []
    found = list(notes)
    if reads_leftwards("".join(run.words for run in runs if not run.is_symbol)):
        runs = runs[::-1]
    lean = math.tan(math.radians(style.slope))
    right: float | None = None
    spaced = False
    for run in runs:
        spaced = spaced or (run.words[:1] == " " and not run.is_symbol)
        part = run.set(text)
        found += part.notes
        if part.inked:
            start, end = part.upright(lean).extent
            is_small = bool(run.small or run.feature) and not spaced
            apart = gap(style, spaced) * (SMALL_HEIGHT if is_small else 1)
            dx = 0.0 if right is None else right + apart - start
            letters += _moved(part.letters, dx, 0.0)
            right = end + dx
            spaced = False
        spaced = spaced or (run.words[-1:] == " " and not run.is_symbol)
    return _SetLine(tuple(letters), tuple(found))


# --- What is said about it ---


def _missing_note(missing: Sequence[str], face: Face, other: Face) -> str:
    lacking = list(dict.fromkeys(missing))
    instead = "they are" if len(lacking) > 1 else "it is"
    return (
        f"The face {face.name!r} has no {listed(lacking)}; {instead} taken from the built-in "
        f"face {other.name}."
    )


def _no_such_character(character: str, face: Face, text: str) -> LetteringError:
    called = unicodedata.name(character, "a character without a name")
    own = face.name == built_in().name
    both = f"neither in the face {face.name!r} nor in the built-in face"
    where = "not in the built-in face" if own else both
    return LetteringError(
        f"The character {character!r} ({called}, U+{ord(character):04X}) of the text {text!r} is "
        f"{where}."
    )
