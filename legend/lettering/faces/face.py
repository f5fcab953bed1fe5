"""Define what every face must do: the contract between typesetting and faces.

A face takes words and a `TextStyle` and gives a `Line` of placed letters. The stroke face
draws its letters from single strokes, the outline face from a font file.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, Protocol, runtime_checkable

from legend.lettering.outlines.outline import Outline
from legend.lettering.strokes.pen import Ends
from legend.standards import STROKE_LIGHT_ON_DARK
from legend.vector import Vector

#: Stroke width over capital height where nothing else is asked for: that of light letters on a
#: dark panel, the broadest.
USUAL_STROKE = STROKE_LIGHT_ON_DARK[1]

#: Canonical combining classes of marks that stand above and below their letter, without touching
#: it. The Unicode Standard, 4.3.
ABOVE, BELOW = 230, 220


#: Whether letters are set as they are written, or small ones as capitals.
Case = Literal["as written", "capitals"]


class FaceError(ValueError):
    """A face that cannot be found or read; the message says which, why, and what to do."""


class LetteringError(ValueError):
    """A text that cannot be set; the message names the text, what is wrong, and what to do."""


@dataclass(frozen=True, slots=True)
class TextStyle:
    """How words are set.

    `height` is the capital height in mm, ink to ink. `stroke` is stroke width over capital
    height, for single-stroke faces only. `width` narrows or widens the letters and `slope`
    leans them to the right by degrees; neither changes the stroke. `tracking` is extra space
    between letters and `word_space` between words, in capital heights. With `case` "capitals",
    small letters are set as capitals. Lines stand no less than `least_pitch` capital heights
    apart, and further where their letters need it. Letters that do not touch are parted by at
    least `least_gap` mm. Typesetting sees to `word_space`, `case`, `least_pitch` and `least_gap`,
    and whoever writes numbers to `decimal`, the mark before their tenths; a face to the rest.
    """

    face: Face
    height: float
    stroke: float = USUAL_STROKE
    width: float = 1.0
    slope: float = 0.0
    tracking: float = 0.0
    ends: Ends = "round"
    word_space: float = 0.0
    case: Case = "as written"
    least_pitch: float = 0.0
    least_gap: float = 0.0
    decimal: Literal[".", ","] = "."


@dataclass(frozen=True, slots=True)
class Frame:
    """How a letter stands: its foot, a point of its baseline, mm; by how many degrees it is turned
    clockwise about it; and how far its stems lean over to the right for their height.
    """

    foot: tuple[float, float] = (0.0, 0.0)
    turned: float = 0.0
    lean: float = 0.0


@dataclass(frozen=True, slots=True)
class Letter:
    """One letter of a line where it stands: pen at x = 0, baseline at y = 0, mm.

    `text` is the characters it stands for: more than one for a ligature. Its outline is
    empty for a space.
    """

    text: str
    outline: Outline
    frame: Frame = Frame()

    def moved(self, dx: float, dy: float) -> Letter:
        """The same letter, moved by dx to the right and dy upwards."""
        (x, y) = self.frame.foot
        frame = replace(self.frame, foot=(x + dx, y + dy))
        return Letter(self.text, self.outline.moved(dx, dy), frame)

    def turned(self, degrees: float) -> Letter:
        """The same letter, turned clockwise about the origin."""
        x, y = Vector(*self.frame.foot).turned(degrees)
        frame = replace(self.frame, foot=(x, y), turned=self.frame.turned + degrees)
        return Letter(self.text, self.outline.turned(degrees), frame)


@dataclass(frozen=True, slots=True)
class Line:
    """Letters set one after another, the room they take, and the characters the face lacks."""

    letters: tuple[Letter, ...]
    advance: float
    missing: tuple[str, ...] = ()
    flattened: bool = False


class Face(Protocol):
    """A face: what it is called, and the setting of one line of text with it."""

    @property
    def name(self) -> str:
        """What the description calls it."""
        ...

    def set_line(self, text: str, style: TextStyle) -> Line:
        """The letters of one line, spaced and kerned, overlaps joined within each letter.

        Characters that the face lacks are left out of `letters` and listed in `missing`.
        """
        ...

    def has(self, character: str) -> bool:
        """Whether the face can draw this character."""
        ...

    def __hash__(self) -> int: ...


@runtime_checkable
class Featured(Face, Protocol):
    """A face with forms of its characters by OpenType features, as `frac` or `sups`."""

    def forms(self, text: str, feature: str) -> bool:
        """Whether the feature gives another form to every character of a text."""
        ...

    def set_line(self, text: str, style: TextStyle, feature: str = "") -> Line:
        """The letters of one line, as of every face, in the forms of a feature."""
        ...


@runtime_checkable
class Weighted(Protocol):
    """A face whose strokes have a width and ends of their own, whatever the style says."""

    @property
    def stem(self) -> float:
        """Width of the upright strokes, in capital heights."""
        ...

    @property
    def ends(self) -> Ends:
        """What the ends of its strokes are like."""
        ...
