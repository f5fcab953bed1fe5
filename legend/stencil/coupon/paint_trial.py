"""Draw the paint trial of the test coupon: letters and frames to lift one after the other.

It is for lift-off. The strip is laid on a scrap of metal with the base coat, sprayed with the
top coat, and one letter is lifted each quarter hour, from A, the first, to H, the eighth; one
frame with the first letter that comes away clean, the other half an hour later, since a long line
has longer edges to string or chip. So it tells when to lift the letters of the panel. A stencil
that paint goes through comes off whole: there is nothing to lift one after the other.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from legend.description.tables.description import Stencil
from legend.description.tables.stock import limits
from legend.layout.artwork import Artwork
from legend.lettering.faces.face import LetteringError, TextStyle
from legend.lettering.faces.stroke_face import plain
from legend.lettering.outlines.outline import Box, Outline
from legend.lettering.typesetting import set_text
from legend.stencil.order.knife import in_knife_order, left_at
from legend.stencil.order.sheet_order import weeding_box
from legend.stencil.sheet import Cut, Path, Piece

#: The letters in the order in which they are lifted, those of each frame together.
FRAMES = ("ABCD", "EFGH")
#: The height of the letters where there is no panel to take it from, mm. ISO 3098-0.
_USUAL_HEIGHT = 2.5

#: Room beside a letter for a blade and tweezers, half of it on either side; from the letters to
#: the frame round them; and from frame to frame; mm. Common practice, no source.
_BESIDE, _PADDING, _BETWEEN = 4.0, 2.5, 4.0
#: The radius of the corners of a frame, in capital heights, as those of groups have it.
_CORNER = 0.6


@dataclass(frozen=True, slots=True)
class Trial:
    """How the trial is lettered, and how broad the lines of its frames are, mm."""

    letters: TextStyle
    line: float


def usual_trial() -> Trial:
    """The trial where there is no panel to take it from."""
    letters = TextStyle(plain(), _USUAL_HEIGHT)
    return Trial(letters, letters.stroke * letters.height)


def lifts(stencil: Stencil) -> bool:
    """Whether letters of film are lifted after the top coat."""
    return stencil.method == "lift-off" and stencil.stock == "film"


def trial_of(artwork: Artwork) -> Trial:
    """The trial for a panel: its letters as the smallest on it, its frames as those of groups."""
    styles = artwork.styles
    set_here = [mark for mark in artwork.marks if mark.setting and mark.role in styles.of]
    smallest = min(set_here, key=lambda mark: mark.height, default=None)
    letters = replace(styles[smallest.role], height=smallest.height) if smallest else styles["name"]
    least = limits(artwork.description.stencil).stroke
    return Trial(letters, max(styles["name"].stroke * styles["name"].height, least))


def trial_piece(number: int, trial: Trial, margin: float, room: float, before: float) -> Piece:
    """The strip as a piece, its upper left corner at 0: in one row where that is no wider than
    `room`, else one frame under the other. `before` as of `legend.stencil.order.starts.begun`.
    """
    letters = [[_letter(letter, trial.letters) for letter in frame] for frame in FRAMES]
    boxes = [each.bounds for frame in letters for each in frame]
    pitch = max(x1 - x0 for x0, _, x1, _ in boxes) + _BESIDE
    low, high = min(box[1] for box in boxes), max(box[3] for box in boxes)
    inner = (
        pitch * len(FRAMES[0]) - _BESIDE + 2 * _PADDING,
        high - low + 2 * _PADDING,
    )
    width, height = (side + 2 * trial.line for side in inner)
    in_a_row = 2 * width + _BETWEEN + 2 * margin <= room
    right, down = (width + _BETWEEN, 0.0) if in_a_row else (0.0, height + _BETWEEN)
    paths: list[Path] = []
    for k, frame in enumerate(letters):
        left, top = margin + k * right, -margin - k * down
        paths.append(_frame((left, top - height, left + width, top), trial))
        for j, letter in enumerate(frame):
            x0, _, x1, _ = letter.bounds
            middle = left + trial.line + _PADDING + (j + 0.5) * pitch - _BESIDE / 2
            baseline = top - trial.line - _PADDING - high
            moved = letter.moved(middle - (x0 + x1) / 2, baseline)
            paths.append(Path(Cut.MARK, moved))
    edge = Outline.rectangle(0, -2 * margin - height - down, 2 * margin + width + right, 0)
    (ordered,) = in_knife_order([paths], before)
    box = weeding_box(edge, left_at(ordered[-1]), before)
    return Piece(number, "paint trial", (), edge, (*ordered, box))


def _letter(letter: str, style: TextStyle) -> Outline:
    """A letter in the face of the panel, or in the built-in one where that lacks it."""
    try:
        return set_text(letter, style).outline
    except LetteringError:
        return set_text(letter, replace(style, face=plain())).outline


def _frame(box: Box, trial: Trial) -> Path:
    """A line round the inside of a box."""
    x0, y0, x1, y1 = box
    line, radius = trial.line, _CORNER * trial.letters.height
    outer = Outline.rectangle(x0, y0, x1, y1, radius + line)
    inner = Outline.rectangle(x0 + line, y0 + line, x1 - line, y1 - line, radius)
    holes = (contour.reversed() for contour in inner.contours)
    return Path(Cut.MARK, Outline((*outer.contours, *holes)))
