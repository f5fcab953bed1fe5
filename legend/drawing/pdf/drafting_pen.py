"""Draw lines, lettering and marks in a PDF, all in mm.

The one place that touches reportlab. Weights follow the habit of workshop drawings: edges
broad, everything else half as broad (ISO 128: line groups in the ratio 2:1).
"""

from __future__ import annotations

import io
import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from enum import Enum
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

from legend.drawing.segments import PDF, path_texts
from legend.lettering.faces.face import Face, LetteringError, TextStyle
from legend.lettering.outlines.outline import Outline
from legend.lettering.typesetting import set_text
from legend.standards import PDF_POINT
from legend.writing import MARK

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

Point = tuple[float, float]
Align = Literal["left", "centre", "right"]

#: The standard typefaces, by the names that PDF has for them (ISO 32000-1, 9.6.2.2), and their
#: capital height over type size, by their published metrics.
_PLAIN, _BOLD = "Helvetica", "Helvetica-Bold"
_CAPITALS = 0.718
#: Strokes as broad as those, over capital height, for a face of single strokes.
_PLAIN_STROKE, _BOLD_STROKE = 0.11, 0.18


class Line(Enum):
    """A kind of line: its width in mm, its dashes in mm, and how dark it is (0 black)."""

    EDGE = (0.35, (), 0.0)
    THIN = (0.18, (), 0.0)
    FINE = (0.1, (), 0.0)
    CENTRE = (0.13, (4.0, 0.8, 0.6, 0.8), 0.0)
    BOX = (0.18, (1.6, 0.9), 0.35)
    COVER = (0.13, (3.2, 0.7, 0.5, 0.7, 0.5, 0.7), 0.5)
    GUIDE = (0.1, (), 0.6)
    RIM = (0.25, (), 0.3)
    LANE = (0.18, (2.4, 1.6), 0.35)
    ON_BLACK = (0.35, (), 1.0)


class Pen:
    """Draws on the sheets of one PDF file; every length is in mm, y upwards.

    Words that the typefaces of every reader of PDF cannot write are set in `face`, if there is one.
    """

    def __init__(self, canvas: Canvas, face: Face | None) -> None:
        self._canvas = canvas
        self._face = face
        self._line: Line | None = None

    # --- Lines and shapes ---

    def line(self, kind: Line, begin: Point, end: Point, phase: float = 0.0) -> None:
        """A straight line; `phase` is how far into its dashes it begins."""
        self._use(kind, phase)
        path = self._canvas.beginPath()
        path.moveTo(*begin)
        path.lineTo(*end)
        self._canvas.drawPath(path)

    def box(self, kind: Line, x0: float, y0: float, x1: float, y1: float) -> None:
        """An upright rectangle."""
        self._use(kind)
        self._canvas.rect(x0, y0, x1 - x0, y1 - y0)

    def circle(self, kind: Line, centre: Point, radius: float, fill: float | None = None) -> None:
        """A circle, filled with a grey (0 black, 1 white) where one is given."""
        self._use(kind)
        if fill is not None:
            self._canvas.setFillGray(fill)
        self._canvas.circle(*centre, radius, fill=fill is not None)

    def shapes(self, kind: Line, outlines: Sequence[Outline], fill: float | None = None) -> None:
        """Outlines as curves, filled with a grey (0 black, 1 white) where one is given."""
        self._use(kind)
        if fill is not None:
            self._canvas.setFillGray(fill)
        operator = "S\n" if fill is None else "B*\n"
        self._canvas.addLiteral("".join(text + operator for text in path_texts(outlines, PDF)))

    def rimmed(self, kind: Line, outlines: Sequence[Outline], fill: float) -> None:
        """Outlines filled with a grey to their true edges, and half of a line outside these."""
        self._use(kind)
        self._canvas.setFillGray(fill)
        for text in path_texts(outlines, PDF):
            self._canvas.addLiteral(f"{text}S\n{text}f*\n")

    def filled(self, outlines: Sequence[Outline]) -> None:
        """Outlines filled black to their true edges."""
        self._canvas.setFillGray(0)
        self._canvas.addLiteral("".join(f"{text}f*\n" for text in path_texts(outlines, PDF)))

    def blank(self, x0: float, y0: float, x1: float, y1: float) -> None:
        """A white rectangle, which breaks the lines that words are to stand on."""
        self._canvas.setFillGray(1)
        self._canvas.rect(x0, y0, x1 - x0, y1 - y0, stroke=0, fill=1)

    def solid(self, *points: Point) -> None:
        """A black polygon, such as the head of an arrow."""
        self._canvas.setFillGray(0)
        path = self._canvas.beginPath()
        path.moveTo(*points[0])
        for point in points[1:]:
            path.lineTo(*point)
        path.close()
        self._canvas.drawPath(path, stroke=0, fill=1)

    def trace(self, path: str, width: float, colour: tuple[int, int, int]) -> None:
        """A path, given as its operators, as lines of this width in a colour (each 0 to 255)."""
        self._canvas.setLineWidth(width)
        self._canvas.setDash([])
        self._canvas.setStrokeColorRGB(*(part / 255 for part in colour))
        self._canvas.addLiteral(f"{path}S\n")
        self._line = None

    def _use(self, kind: Line, phase: float = 0.0) -> None:
        if kind is self._line and not kind.value[1]:
            return
        width, dashes, grey = kind.value
        self._canvas.setLineWidth(width)
        self._canvas.setDash(list(dashes), phase)
        self._canvas.setStrokeGray(grey)
        self._line = kind

    # --- Lettering ---

    def text(
        self, words: str, at: Point, height: float, align: Align = "left", bold: bool = False
    ) -> None:
        """Words on a baseline that begins, has its middle, or ends at a point."""
        self._canvas.setFillGray(0)
        words, outline = self._set(words, height, bold)
        share = {"left": 0.0, "centre": 0.5, "right": 1.0}[align]
        if outline:
            left, _, right, _ = outline.bounds
            moved = outline.moved(at[0] - left - share * (right - left), at[1])
            self._canvas.addLiteral("".join(text + "f*\n" for text in path_texts([moved], PDF)))
            return
        canvas = self._canvas
        canvas.setFont(_BOLD if bold else _PLAIN, height / _CAPITALS)
        draw = {
            "left": canvas.drawString,
            "centre": canvas.drawCentredString,
            "right": canvas.drawRightString,
        }[align]
        draw(*at, words)

    def width_of(self, words: str, height: float, bold: bool = False) -> float:
        """How long words are at this capital height, mm."""
        from reportlab.pdfbase.pdfmetrics import stringWidth

        words, outline = self._set(words, height, bold)
        if outline:
            left, _, right, _ = outline.bounds
            return right - left
        return float(stringWidth(words, _BOLD if bold else _PLAIN, height / _CAPITALS))

    def _set(self, words: str, height: float, bold: bool) -> tuple[str, Outline | None]:
        """Words as they can be written, and where only the face can do that, set in it."""
        # The minus is in Symbol alone, for which readers take others, where it meets the figures.
        words = words.replace("−", "–")
        if all(map(_is_standard, words)):
            return words, None
        stroke = _BOLD_STROKE if bold else _PLAIN_STROKE
        if self._face is not None:
            with suppress(LetteringError):
                return words, set_text(words, TextStyle(self._face, height, stroke)).outline
        # It is in no face at hand.
        return "".join(c if _is_standard(c) else "?" for c in words), None

    # --- Placing ---

    @contextmanager
    def placed(self, a: float, b: float, c: float, d: float, e: float, f: float) -> Iterator[None]:
        """What is drawn within goes through this affine map first."""
        self._canvas.saveState()
        self._canvas.transform(a, b, c, d, e, f)
        self._line = None
        yield
        self._canvas.restoreState()
        self._line = None

    @contextmanager
    def clipped(self, x0: float, y0: float, x1: float, y1: float) -> Iterator[None]:
        """What is drawn within shows inside this rectangle only."""
        self._canvas.saveState()
        path = self._canvas.beginPath()
        path.rect(x0, y0, x1 - x0, y1 - y0)
        self._canvas.clipPath(path, stroke=0, fill=0)
        self._line = None
        yield
        self._canvas.restoreState()
        self._line = None

    @contextmanager
    def kept(self, name: str, x0: float, y0: float, x1: float, y1: float) -> Iterator[None]:
        """What is drawn within is kept under a name, for `stamp`, and not shown yet."""
        self._canvas.beginForm(name, x0, y0, x1, y1)
        self._line = None
        yield
        self._canvas.endForm()
        self._line = None

    def stamp(self, name: str) -> None:
        """Show what was kept under a name."""
        self._canvas.doForm(name)

    def size_sheet(self, size: Point) -> None:
        """Make this sheet, and those after it, of another size, mm."""
        self._canvas.setPageSize((size[0] / PDF_POINT, size[1] / PDF_POINT))

    def next_sheet(self) -> None:
        """Begin a new sheet."""
        self._canvas.showPage()
        self._line = None


@lru_cache(maxsize=1024)
def _is_standard(character: str) -> bool:
    """Whether the standard typefaces have a character."""
    from reportlab.pdfbase.pdfmetrics import getFont

    plain = getFont(_PLAIN)
    for font in (plain, *plain.substitutionFonts):
        with suppress(UnicodeEncodeError):
            character.encode(font.encName)
            return True
    return False


@contextmanager
def pdf(
    size: Point, title: str, subject: str, face: Face | None
) -> Iterator[tuple[Pen, io.BytesIO]]:
    """A new PDF file with sheets of this size: the pen, and the bytes once all is drawn.

    `face` is for words that the standard typefaces lack; None where there are no words.
    The same drawing always gives the same bytes.
    """
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    rl_config.useA85 = 0  # plain bytes: a fifth smaller, and much quicker than base 85
    data = io.BytesIO()
    page = size[0] / PDF_POINT, size[1] / PDF_POINT
    with _undated():
        canvas = Canvas(data, pagesize=page, invariant=1, pageCompression=1)
    canvas.setTitle(title)
    canvas.setSubject(subject)
    canvas.setAuthor("")
    canvas.setCreator(MARK)
    canvas.setProducer(MARK)
    canvas.setViewerPreference("PrintScaling", "None")
    yield Pen(canvas, face), data
    data.write(_without_comments(canvas.getpdfdata()))


def _without_comments(data: bytes) -> bytes:
    """The file without the words that reportlab puts into it for itself.

    1. The comment at the head keeps the four bytes that say that the file is no text (ISO 32000-1,
       7.5.2), and its length, because the offsets of the table count from the head.
    2. Nothing counts on the trailer, and its comment goes.
    """
    head, _, rest = data.partition(b"\n")
    comment, _, body = rest.partition(b"\n")
    body, trailer, end = body.rpartition(b"trailer\n")
    kept = [line for line in end.splitlines(keepends=True) if not line.startswith(b"% ")]
    return b"".join((head, b"\n", comment[:5].ljust(len(comment)), b"\n", body, trailer, *kept))


@contextmanager
def _undated() -> Iterator[None]:
    """Hide the date of a build from reportlab, which sets it above being invariant."""
    date = os.environ.pop("SOURCE_DATE_EPOCH", None)
    try:
        yield
    finally:
        if date is not None:
            os.environ["SOURCE_DATE_EPOCH"] = date
