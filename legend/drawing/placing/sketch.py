"""Collect the lines and words of a sketch, and how far they reach, as one `svg` element."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Literal

from legend.drawing.svg import without_unused_namespaces

if TYPE_CHECKING:
    from svgwrite import Drawing
    from svgwrite.base import BaseElement

#: The ink of a sketch, what is fainter, and what is measured.
INK, FAINT, MEASURED = "#111111", "#8a8a8a", "#0a4a8a"
PAPER = "#ffffff"

#: How wide a character is beside its height, at the most.
CHARACTER = 0.58
#: Strokes, in heights of the figures.
_THIN, _THICK = 0.07, 0.2
#: Dashes of a scribed line, and arrowheads, in heights of the figures.
_DASHES = (1.1, 0.25, 0.2, 0.25)
_ARROW, _ARROW_HALF = 0.6, 0.17

#: Paper left round all of it, in heights of the figures.
_AROUND = 0.15

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]


class Sketch:
    """Lines and words in a unit of its own, y downwards, with figures of one height.

    Nothing is drawn before its `svg` is asked for, so that it costs little to see how far it
    reaches.
    """

    def __init__(self, figures: float) -> None:
        self.figures = figures
        self._drawn: list[Callable[[Drawing], BaseElement]] = []
        self._low, self._high = [math.inf] * 2, [-math.inf] * 2

    def reach(self, *points: Point) -> None:
        """Take these points in."""
        for point in points:
            for axis in (0, 1):
                self._low[axis] = min(self._low[axis], point[axis])
                self._high[axis] = max(self._high[axis], point[axis])

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom of all that is drawn."""
        return self._low[0], self._low[1], self._high[0], self._high[1]

    def line(
        self,
        begin: Point,
        end: Point,
        ink: str = INK,
        *,
        thick: bool = False,
        scribed: bool = False,
    ) -> None:
        """A straight line, broken into dashes and dots where it is scribed."""
        f = self.figures
        more = {"stroke_dasharray": " ".join(f"{d * f:.4g}" for d in _DASHES)} if scribed else {}
        width = round((_THICK if thick else _THIN) * f, 3)
        self._drawn.append(
            lambda drawing: drawing.line(
                _rounded(begin), _rounded(end), stroke=ink, stroke_width=width, **more
            )
        )
        self.reach(begin, end)

    def arrow(self, tip: Point, way: Point) -> None:
        """An arrowhead at a tip, which points this way, a unit vector."""
        (x, y), (ux, uy), f = tip, way, self.figures
        bx, by = x - ux * _ARROW * f, y - uy * _ARROW * f
        half = _ARROW_HALF * f
        corners = [tip, (bx - uy * half, by + ux * half), (bx + uy * half, by - ux * half)]
        self._drawn.append(
            lambda drawing: drawing.polygon([_rounded(p) for p in corners], fill=MEASURED)
        )
        self.reach(*corners)

    def words(
        self,
        at: Point,
        said: str,
        ink: str = INK,
        *,
        size: float = 1.0,
        anchor: Anchor = "middle",
        turned: bool = False,
        bold: bool = False,
    ) -> None:
        """Words about a point, or beginning or ending there; `turned` to read upwards."""
        (x, y), height = at, size * self.figures
        long, half = len(said) * CHARACTER * height, 0.42 * height
        begin = {"start": 0.0, "middle": -long / 2, "end": -long}[anchor]
        if turned:
            self.reach((x - half, y - begin - long), (x + half, y - begin))
        else:
            self.reach((x + begin, y - half), (x + begin + long, y + half))

        def drawn(drawing: Drawing) -> BaseElement:
            text = drawing.text(
                said,
                insert=_rounded((x, y + 0.36 * height)),
                fill=ink,
                font_size=f"{height:.4g}",
                font_family="sans-serif",
                text_anchor=anchor,
                stroke=PAPER,
                stroke_width=f"{0.22 * height:.3g}",
                paint_order="stroke",
                stroke_linejoin="round",
            )
            if bold:
                text["font-weight"] = "bold"
            if turned:
                text.rotate(-90, _rounded(at))
            return text

        self._drawn.append(drawn)

    def ring(self, centre: Point, radius: float) -> None:
        """A circle round something, on paper of its own."""
        width = round(2 * _THIN * self.figures, 3)
        self._drawn.append(
            lambda drawing: drawing.circle(
                _rounded(centre), round(radius, 3), fill=PAPER, stroke=INK, stroke_width=width
            )
        )
        (x, y) = centre
        self.reach((x - radius, y - radius), (x + radius, y + radius))

    def shapes(
        self, paths: str, origin: Point, scale: float, fill: str, stroke: str = "none"
    ) -> None:
        """Shapes of the panel as the text of a path, in mm, y downwards.

        `origin` is where the point 0, 0 of them comes to lie.
        """
        if not paths:
            return
        width = round(1.6 * _THIN * self.figures / scale, 4)
        x, y = _rounded(origin)

        def drawn(drawing: Drawing) -> BaseElement:
            path = drawing.path(d=paths, fill=fill, stroke=stroke, stroke_width=width)
            path["transform"] = f"translate({x:.7g} {y:.7g}) scale({scale:.5g})"
            return path

        self._drawn.append(drawn)

    def svg(self, told: str, unit: str = "") -> str:
        """All of it as an `svg` element: what it shows in words, and its size in a unit, if any."""
        from svgwrite import Drawing

        x0, y0, x1, y1 = self.bounds
        pad = _AROUND * self.figures
        width, height = x1 - x0 + 2 * pad, y1 - y0 + 2 * pad
        drawing = Drawing(
            size=(f"{width:.4g}{unit}", f"{height:.4g}{unit}") if unit else ("100%", "100%"),
            viewBox=f"{x0 - pad:.5g} {y0 - pad:.5g} {width:.5g} {height:.5g}",
            debug=False,
        )
        drawing.set_desc(title=told)
        for drawn in self._drawn:
            drawing.add(drawn(drawing))
        return without_unused_namespaces(drawing.tostring())


def _rounded(point: Point) -> Point:
    return round(point[0], 3), round(point[1], 3)
