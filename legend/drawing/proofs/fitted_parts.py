"""Draw the fitted parts plainly: knobs, nuts, lenses and so on.

Knobs, nuts and lenses in flat tones, no larger and no smaller than what the description
says is hidden. They are there to show which legends can still be seen, not to look real.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from shapely.affinity import rotate

from legend.description.paint_colours import luminance
from legend.description.tables.description import Control, InnerKnob
from legend.drawing.colours import Colour
from legend.kept import Kept
from legend.layout.artwork import Artwork, KeepOut, Opening
from legend.layout.openings import placed
from legend.layout.scales.scale_marks import travel
from legend.lettering.outlines.boolean import from_shape
from legend.lettering.outlines.outline import Box, Outline
from legend.vector import Vector

_EDGE: Colour = (30, 30, 32)
#: The edge of a part on a dark panel, where the other could not be seen.
_EDGE_ON_DARK: Colour = (112, 114, 117)
_DARK: Colour = (46, 46, 49)
_DARKER: Colour = (20, 21, 23)
_GREY: Colour = (78, 79, 82)
_METAL: Colour = (186, 189, 191)
_BRIGHT: Colour = (214, 216, 217)
_IVORY: Colour = (240, 237, 226)
_LENS: Colour = (214, 120, 40)
_GLASS: Colour = (16, 20, 22)
_RED: Colour = (176, 40, 32)
#: The diameter of an inner knob over that of the outer one. Common practice, no source.
_INNER_KNOB = 0.6
#: Width of the dark edge round every part, mm.
_EDGE_WIDTH = 0.25
#: Lights of a bargraph, and how many of them are drawn lit; how wide a thumbwheel is, mm.
_BARS, _BARS_LIT, _WHEEL = 10, 6, 8.0
#: How near to a circle a shape is that is one, as a part of the square round it.
_ROUND = 0.01
#: The way a lever points, degrees.
_TURNS = {"up": 0.0, "right": 90.0, "down": 180.0, "left": 270.0}


#: How each part was drawn, for a panel that is drawn again with one thing changed.
_PARTS: Kept[tuple[tuple[Colour, Outline], ...]] = Kept()


@dataclass(frozen=True, slots=True, eq=False)
class Tone:
    """One flat tone, and what is drawn in it; later ones lie over earlier ones."""

    colour: Colour
    outlines: tuple[Outline, ...]


@dataclass(frozen=True, slots=True)
class _Fitted:
    """What a part is drawn from: its control, its hole, and the shape that it hides."""

    control: Control
    opening: Opening
    keep_out: KeepOut

    @property
    def centre(self) -> Vector:
        return Vector(*self.opening.centre)

    @property
    def radius(self) -> float:
        """Half the lesser side of what it hides."""
        shape = self.keep_out.shape
        if self.opening.hole.angle:  # it is turned with its hole
            shape = rotate(shape, self.opening.hole.angle, origin=self.centre)
        x0, y0, x1, y1 = shape.bounds
        return float(min(x1 - x0, y1 - y0)) / 2

    @property
    def bore(self) -> float:
        """Half the drilled diameter, or half the lesser side of a cut-out."""
        return min(self.opening.hole.shape.size) / 2

    def body(self, inset: float = 0.0) -> Outline:
        """The shape it hides, drawn in by `inset`."""
        shape = self.keep_out.shape
        x0, y0, x1, y1 = shape.bounds
        if abs(shape.area / ((x1 - x0) * (y1 - y0)) - math.pi / 4) < _ROUND:
            middle = ((x0 + x1) / 2, (y0 + y1) / 2)
            return Outline.disc(middle, max((x1 - x0) / 2 - inset, 0.05))
        return from_shape(shape.buffer(-inset, join_style="mitre") if inset else shape)

    def field(self, left: float, bottom: float, right: float, top: float) -> Outline:
        """A rectangle in its opening, its sides as parts of the width and the height."""
        x0, y0, x1, y1 = self.opening.hole.shape.edge.box
        corners = [(left, bottom), (left, top), (right, top), (right, bottom)]
        inside = Outline.polygon([(x0 + (x1 - x0) * x, y0 + (y1 - y0) * y) for x, y in corners])
        return placed(inside, self.opening.hole, self.opening.centre)

    def disc(self, radius: float) -> Outline:
        return Outline.disc(self.centre, radius)

    def bar(self, angle: float, begin: float, end: float, width: float) -> Outline:
        """A straight bar along a radius, from one distance to another."""
        out = Vector.bearing(angle)
        return Outline.line_stroke(self.centre + begin * out, self.centre + end * out, width)

    def hexagon(self, radius: float) -> Outline:
        turns = range(0, -360, -60)
        return Outline.polygon([self.centre + radius * Vector.bearing(a) for a in turns])


_Tones = Iterator[tuple[Colour, Outline]]


def fitted_parts(artwork: Artwork) -> list[Tone]:
    """Every fitted part, in the flat tones of which it is made, the lowest first."""
    controls = {control.hole: control for control in artwork.description.control}
    openings = {opening.id: opening for opening in artwork.openings}
    covers: dict[str, KeepOut] = {}
    for keep_out in artwork.keep_outs:
        # What a part itself covers stands before the bare metal round it.
        if keep_out.owner in controls and keep_out.over in openings:
            covers.setdefault(keep_out.over, keep_out)
    edge = _EDGE_ON_DARK if _is_dark(artwork) else _EDGE
    drawn: list[tuple[tuple[Colour, Outline], ...]] = []
    screws: list[tuple[tuple[Colour, Outline], ...]] = []
    for over, keep_out in covers.items():
        part = _Fitted(controls[keep_out.owner], openings[over], keep_out)
        into = screws if keep_out.screw else drawn
        into.append(_PARTS.made(over, _tones, part, edge))
    return [*_at_once(drawn), *_at_once(screws)]


def _tones(part: _Fitted, edge: Colour) -> tuple[tuple[Colour, Outline], ...]:
    """A part, or a screw that holds one, in its tones from the lowest on."""
    draw = _screw if part.keep_out.screw else _DRAWN.get(part.control.kind, _plain)
    return ((edge, part.body()), *draw(part))


def _at_once(drawn: Sequence[Sequence[tuple[Colour, Outline]]]) -> Iterator[Tone]:
    """The same step of each: parts do not lie on each other, nor do the screws in them."""
    for step in itertools.zip_longest(*drawn):
        outlines: dict[Colour, list[Outline]] = {}
        for colour, outline in filter(None, step):
            outlines.setdefault(colour, []).append(outline)
        yield from (Tone(colour, tuple(shapes)) for colour, shapes in outlines.items())


def _is_dark(artwork: Artwork) -> bool:
    """Whether the panel is darker than a third of white, by what the eye makes of its colour."""
    return luminance(artwork.description.panel_colour) < luminance("#555")


def _knob(part: _Fitted) -> _Tones:
    control, r = part.control, part.radius
    yield _DARK, part.body(_EDGE_WIDTH)
    yield from _cap(part, control, r)
    if control.inner:
        covers = control.inner.covers
        inner = _INNER_KNOB * r if covers is None else covers / 2
        yield _EDGE_ON_DARK, part.disc(inner)
        yield _DARK, part.disc(inner - _EDGE_WIDTH)
        yield from _cap(part, control.inner, inner)


def _cap(part: _Fitted, knob: Control | InnerKnob, r: float) -> _Tones:
    """The cap of a knob of this radius, and its pointer, which stands at the first position."""
    yield _GREY, part.disc(0.74 * r)
    yield _DARK, part.disc(0.74 * r - 0.35)
    yield _IVORY, part.bar(_first_position(knob), 0.2 * r, r - _EDGE_WIDTH, max(0.09 * r, 0.5))


def _first_position(knob: Control | InnerKnob) -> float:
    """Where the pointer of a knob stands that is turned to the left as far as it goes, degrees."""
    scale = knob.scale
    if knob.positions or not scale:
        places = max(len(knob.positions), 1)
        return knob.start if knob.start is not None else -(places - 1) / 2 * knob.step
    start, sweep = travel(scale)
    return start + scale.as_law().fraction(scale.ends[0]) * sweep


def _first_stand(control: Control) -> float:
    """Where the first position of a turned control stands that is used, degrees."""
    names = control.positions if isinstance(control.positions, tuple) else ()
    start = control.start
    if start is None:
        start = -max(len(names) - 1, 0) / 2 * control.step
    return start + next((k for k, name in enumerate(names) if name), 0) * control.step


def _nut(part: _Fitted) -> _Tones:
    yield _METAL, part.body(_EDGE_WIDTH)
    yield _GREY, part.hexagon(part.radius * 0.92)
    yield _BRIGHT, part.hexagon(part.radius * 0.92 - _EDGE_WIDTH)


def _toggle(part: _Fitted) -> _Tones:
    yield from _nut(part)
    yield _DARKER, part.disc(min(0.9 * part.bore, 0.62 * part.radius))
    positions = part.control.positions
    ways = list(positions) if isinstance(positions, Mapping) else []
    angle = _TURNS.get(ways[0] if ways else "up", 0.0)
    tip = 0.72 * part.radius
    width = 0.34 * part.radius
    end = part.centre + tip * Vector.bearing(angle)
    for colour, inset in ((_EDGE, 0.0), (_METAL, _EDGE_WIDTH)):
        yield colour, part.bar(angle, 0, tip, width - 2 * inset)
        yield colour, Outline.disc(part.centre, width / 2 - inset)
    for colour, inset in ((_EDGE, 0.0), (_BRIGHT, _EDGE_WIDTH)):
        yield colour, Outline.disc(end, 0.27 * part.radius - inset)


def _jack(part: _Fitted) -> _Tones:
    yield from _nut(part)
    yield _METAL, part.disc(min(0.86 * part.bore, 0.66 * part.radius))
    yield _DARKER, part.disc(min(0.62 * part.bore, 0.48 * part.radius))


def _lamp(part: _Fitted) -> _Tones:
    yield _METAL, part.body(_EDGE_WIDTH)
    yield _EDGE, part.disc(0.8 * part.radius)
    yield _LENS, part.disc(0.8 * part.radius - _EDGE_WIDTH)


def _button(part: _Fitted) -> _Tones:
    yield _METAL, part.body(_EDGE_WIDTH)
    yield _EDGE, part.disc(0.76 * part.radius)
    yield _RED, part.disc(0.76 * part.radius - _EDGE_WIDTH)


def _window(part: _Fitted) -> _Tones:
    yield _DARK, part.body(_EDGE_WIDTH)
    yield _GLASS, part.opening.outline


def _meter(part: _Fitted) -> _Tones:
    yield _DARK, part.body(_EDGE_WIDTH)
    rim = min(2.0, 0.12 * part.radius)
    yield _IVORY, part.body(rim)
    yield _EDGE, part.bar(-40, -0.1 * part.radius, 0.7 * part.radius, 0.4)
    yield _DARK, part.disc(0.1 * part.radius)


def _fuse(part: _Fitted) -> _Tones:
    yield _DARK, part.body(_EDGE_WIDTH)
    yield _GREY, part.disc(0.72 * part.radius)
    yield _DARK, part.disc(0.72 * part.radius - 0.3)
    yield _DARKER, part.bar(90, -0.5 * part.radius, 0.5 * part.radius, 0.16 * part.radius)


def _connector(part: _Fitted) -> _Tones:
    yield _METAL, part.body(_EDGE_WIDTH)
    yield _GREY, part.opening.outline
    shrunk = part.opening.outline.shape.buffer(-0.08 * part.bore - 0.3)
    yield _DARKER, from_shape(shrunk)


def _slide(part: _Fitted) -> _Tones:
    yield _DARK, part.body(_EDGE_WIDTH)
    yield _DARKER, part.opening.outline
    width, height = part.opening.hole.shape.size
    along = part.opening.hole.angle + (90.0 if width > height else 0.0)
    x, y = part.centre
    half, thick = 0.84 * part.radius, 0.5 * part.radius
    cap = Outline.rectangle(x - half, y - thick, x + half, y + thick, 0.2 * thick)
    line = Outline.rectangle(x - half, y - 0.12 * thick, x + half, y + 0.12 * thick)
    yield _GREY, cap.turned(along, part.centre)
    yield _IVORY, line.turned(along, part.centre)


def _stud(part: _Fitted) -> _Tones:
    yield from _nut(part)
    yield _GREY, part.disc(min(0.9 * part.bore, 0.5 * part.radius))
    yield _METAL, part.disc(min(0.9 * part.bore, 0.5 * part.radius) - _EDGE_WIDTH)


def _screw(part: _Fitted) -> _Tones:
    yield _METAL, part.body(_EDGE_WIDTH)
    yield _EDGE, part.bar(30, -0.78 * part.radius, 0.78 * part.radius, 0.2 * part.radius)


def _keyswitch(part: _Fitted) -> _Tones:
    yield from _nut(part)
    yield _EDGE, part.disc(0.66 * part.radius)
    yield _METAL, part.disc(0.66 * part.radius - _EDGE_WIDTH)
    angle, width = _first_stand(part.control), 0.16 * part.radius
    yield _DARKER, part.bar(angle, -0.42 * part.radius, 0.42 * part.radius, width)
    yield _DARKER, part.disc(0.15 * part.radius)


def _multi_turn_dial(part: _Fitted) -> _Tones:
    r = part.radius
    yield _METAL, part.body(_EDGE_WIDTH)
    yield _DARK, part.disc(0.72 * r)
    yield _GREY, part.disc(0.5 * r)
    x, y = part.centre
    yield _EDGE, Outline.rectangle(x - 0.2 * r, y + 0.76 * r, x + 0.2 * r, y + 0.95 * r)
    yield _IVORY, Outline.rectangle(x - 0.16 * r, y + 0.79 * r, x + 0.16 * r, y + 0.92 * r)


def _binding_post(part: _Fitted) -> _Tones:
    yield _DARK, part.body(_EDGE_WIDTH)
    yield _GREY, part.hexagon(0.94 * part.radius)
    yield _DARK, part.disc(0.5 * part.radius)
    yield _METAL, part.disc(0.5 * part.radius - _EDGE_WIDTH)
    yield _DARKER, part.disc(0.3 * part.radius)


def _rocker(part: _Fitted) -> _Tones:
    yield _DARKER, part.body(_EDGE_WIDTH)
    body = part.opening.outline.shape.buffer(-0.4)
    yield _DARK, from_shape(body)
    # The half that stands up is lighter than the one that is pressed.
    ways = list(part.control.positions) if isinstance(part.control.positions, Mapping) else []
    up = _TURNS.get(ways[0] if ways else "up", 0.0) + 180
    far = 2 * math.hypot(*part.opening.hole.shape.size)
    half = part.bar(up, 0, far, 2 * far).shape
    yield _GREY, from_shape(body.intersection(half))


def _bargraph(part: _Fitted) -> _Tones:
    yield _DARK, part.body(_EDGE_WIDTH)
    yield _GLASS, part.opening.outline
    yield from ((_LENS, part.field(*box)) for box in list(_fields(part, _BARS, 0.08))[:_BARS_LIT])


def _edge_meter(part: _Fitted) -> _Tones:
    yield _DARK, part.body(_EDGE_WIDTH)
    yield _IVORY, part.opening.outline
    width, height = part.opening.hole.shape.size
    needle = (0.39, 0.0, 0.41, 1.0) if width > height else (0.0, 0.39, 1.0, 0.41)
    yield _DARKER, part.field(*needle)


def _thumbwheel(part: _Fitted) -> _Tones:
    yield _DARK, part.body(_EDGE_WIDTH)
    width, height = part.opening.hole.shape.size
    wheels = list(_fields(part, max(1, round(max(width, height) / _WHEEL)), 0.1))
    yield from ((_GREY, part.field(*box)) for box in wheels)
    for left, bottom, right, top in wheels:
        fourth = (top - bottom) / 4
        yield _IVORY, part.field(left, bottom + fourth, right, top - fourth)


def _keypad(part: _Fitted) -> _Tones:
    yield _DARK, part.body(_EDGE_WIDTH)
    width, height = part.opening.hole.shape.size
    key = min(width, height) / 3
    columns, rows = round(width / key), round(height / key)
    for column, row in itertools.product(range(columns), range(rows)):
        left, bottom = (column + 0.12) / columns, (row + 0.12) / rows
        yield _IVORY, part.field(left, bottom, left + 0.76 / columns, bottom + 0.76 / rows)


def _fields(part: _Fitted, count: int, apart: float) -> Iterator[Box]:
    """So many equal fields along an opening, from the left or from below, as parts of its size."""
    width, height = part.opening.hole.shape.size
    for k in range(count):
        begin, end = (k + apart) / count, (k + 1 - apart) / count
        yield (begin, 0.05, end, 0.95) if width > height else (0.05, begin, 0.95, end)


def _plain(part: _Fitted) -> _Tones:
    yield _GREY, part.body(_EDGE_WIDTH)


#: How each kind of control is drawn; a kind that is not here is a plain grey cover.
_DRAWN: Mapping[str, Callable[[_Fitted], _Tones]] = {
    "knob": _knob,
    "selector": _knob,
    "keyswitch": _keyswitch,
    "multi-turn dial": _multi_turn_dial,
    "toggle": _toggle,
    "rocker": _rocker,
    "slide": _slide,
    "button": _button,
    "jack": _jack,
    "lamp": _lamp,
    "window": _window,
    "display": _window,
    "meter": _meter,
    "edge meter": _edge_meter,
    "bargraph": _bargraph,
    "thumbwheel": _thumbwheel,
    "keypad": _keypad,
    "fuse": _fuse,
    "connector": _connector,
    "inlet": _connector,
    "binding post": _binding_post,
    "stud": _stud,
    "screw": _screw,
    "blank": _plain,
}
