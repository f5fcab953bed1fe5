"""Draw symbols as outlines that stand among the letters.

All are drawn by us, with strokes of one weight on one grid: a square of 20 units, x to the
right and y upwards from its middle, in which a symbol fills as much as makes it look as
large as the others. The square is one step of the ISO 3098-0 heights taller than the
capitals, and stands on the middle of their height.

Names and titles follow IEC 60417 and ISO 7000. The numbers, to look the symbols up by, were
found in makers' lists and manuals, except where they are said to be from memory; the drawings
are not taken from either standard.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from legend.lettering.faces.face import LetteringError, TextStyle
from legend.lettering.outlines.outline import Outline
from legend.lettering.strokes.pen import Ends
from legend.lettering.symbol_names import known_as, not_known
from legend.standards import ISO_B_BETWEEN_CHARACTERS, STROKE_DARK_ON_LIGHT

#: Side of the square over capital height: a step of the ISO 3098-0 series of heights.
_SIZE = math.sqrt(2)
#: Side of the square in the units of the drawings.
_GRID = 20.0


@dataclass(frozen=True, slots=True)
class Symbol:
    """A symbol: its title and number in the standards, and its strokes.

    `strokes` is the line down the middle of each stroke, written as the `d` of an SVG path,
    y upwards. A straight line that slants has its end cut level, with the letters; written
    as a `Q` it has it cut square. `turn` turns all clockwise, degrees, and `solid` fills in
    what the strokes enclose.
    """

    title: str
    number: str
    strokes: str
    turn: float = 0.0
    solid: bool = False


#: A ring to either side, an open ring between them, a line from it to the left ring, and one
#: from the dot within it, through its opening, to the right ring.
_DC_CONNECTOR = (
    "M-24 9 A9 9 0 0 1 -24 -9 A9 9 0 0 1 -24 9 Z M24 9 A9 9 0 0 1 24 -9 A9 9 0 0 1 24 9 Z"
    "M6.894 5.785 A9 9 0 1 1 6.894 -5.785 M-15 0 H-9 M0 0 H15"
    "M0 1.8 A1.8 1.8 0 0 1 0 -1.8 A1.8 1.8 0 0 1 0 1.8 Z M0 0.9 A0.9 0.9 0 0 1 0 -0.9"
    "A0.9 0.9 0 0 1 0 0.9 Z"
)

_ARROW = "M0 -10 V10 M-6 4 Q-3 7 0 10 Q3 7 6 4"

#: Every symbol by its name. To add one is to add a line here.
SYMBOLS: Mapping[str, Symbol] = MappingProxyType(
    {
        "on": Symbol("On (power)", "IEC 60417-5007", "M0 -10 V10"),
        "off": Symbol(
            "Off (power)", "IEC 60417-5008", "M0 10 A10 10 0 0 1 0 -10 A10 10 0 0 1 0 10 Z"
        ),
        "stand-by": Symbol(
            "Stand-by",
            "IEC 60417-5009",
            "M-5.785 5.894 A9 9 0 1 1 5.785 5.894 M0 10 V0",
        ),
        "on-off": Symbol(
            "On/off, push-push",
            "IEC 60417-5010, from memory",
            "M0 10 A10 10 0 0 1 0 -10 A10 10 0 0 1 0 10 Z M0 5.5 V-5.5",
        ),
        "earth": Symbol(
            "Earth; ground", "IEC 60417-5017", "M0 10 V0 M-10 0 H10 M-6.5 -5 H6.5 M-3 -10 H3"
        ),
        "protective-earth": Symbol(
            "Protective earth; protective ground",
            "IEC 60417-5019",
            "M0 12 A12 12 0 0 1 0 -12 A12 12 0 0 1 0 12 Z"
            "M0 12 V2 M-7 2 H7 M-4.5 -2.5 H4.5 M-2 -7 H2",
        ),
        "functional-earth": Symbol(
            "Functional earthing",
            "IEC 60417-5018, from memory",
            "M-10 -1 A10 10 0 0 0 10 -1 M0 5 V-2 M-6.5 -2 H6.5 M-4 -6 H4 M-1.5 -10 H1.5",
        ),
        "equipotentiality": Symbol(
            "Equipotentiality", "IEC 60417-5021, from memory", "M0 10 V4 M-8.5 4 H8.5 L0 -9.5 Z"
        ),
        "frame-or-chassis": Symbol(
            "Frame or chassis",
            "IEC 60417-5020",
            "M1.75 10 V0 M-6.5 0 H10 M-6.5 0 L-10 -9 M1.75 0 L-1.75 -9 M10 0 L6.5 -9",
        ),
        "direct-current": Symbol(
            "Direct current",
            "IEC 60417-5031",
            "M-10 2.75 H10 M-10 -2.75 H-7 M-1.5 -2.75 H1.5 M7 -2.75 H10",
        ),
        "alternating-current": Symbol(
            "Alternating current",
            "IEC 60417-5032",
            "M-10 0 A5.321 5.321 0 0 0 0 0 A5.321 5.321 0 0 1 10 0",
        ),
        "direct-and-alternating-current": Symbol(
            "Both direct and alternating current",
            "IEC 60417-5033",
            "M-10 5.5 H10 M-10 -3 A5.321 5.321 0 0 0 0 -3 A5.321 5.321 0 0 1 10 -3",
        ),
        "fuse": Symbol("Fuse", "IEC 60417-5016", "M-7 -4.75 H7 V4.75 H-7 Z M-10 0 H10"),
        "dc-connector-centre-positive": Symbol(
            "Polarity of d.c. power connector, centre positive",
            "IEC 60417-5926, from memory",
            _DC_CONNECTOR + "M20.5 0 H27.5 M24 3.5 V-3.5 M-27.5 0 H-20.5",
        ),
        "dc-connector-centre-negative": Symbol(
            "Polarity of d.c. power connector, centre negative",
            "IEC 60417-5926, from memory",
            _DC_CONNECTOR + "M-27.5 0 H-20.5 M-24 3.5 V-3.5 M20.5 0 H27.5",
        ),
        "battery": Symbol(
            "Battery, general",
            "IEC 60417-5001B",
            "M-10 0 H-2.5 M-2.5 -9 V9 M2.5 -4.5 V4.5 M2.5 0 H10",
        ),
        "lamp": Symbol(
            "Lamp; lighting; illumination",
            "IEC 60417-5012",
            "M-2.5 -8 V-3.742 A4.5 4.5 0 1 0 2.5 -3.742 V-8 Z"
            "M5.657 5.657 Q6.364 6.364 7.071 7.071 M-5.657 5.657 Q-6.364 6.364 -7.071 7.071"
            "M0 8 V10 M8 0 H10 M-8 0 H-10",
        ),
        "input": Symbol(
            "Input",
            "IEC 60417-5034, from memory",
            "M-3.142 6.128 A8 8 0 1 0 -3.142 -6.128"
            "M-10 0 H5 M1.5 3.5 Q3.25 1.75 5 0 Q3.25 -1.75 1.5 -3.5",
        ),
        "output": Symbol(
            "Output",
            "IEC 60417-5035, from memory",
            "M3.142 6.128 A8 8 0 1 1 3.142 -6.128"
            "M-5 0 H10 M6.5 3.5 Q8.25 1.75 10 0 Q8.25 -1.75 6.5 -3.5",
        ),
        "bell": Symbol(
            "Bell",
            "IEC 60417-5013",
            "M-9 -5 H9 M-6.5 -5 V1 A6.5 6.5 0 0 0 6.5 1 V-5 M0 7.5 V10 M-1.75 -9.5 H1.75",
        ),
        "loudspeaker": Symbol(
            "Loudspeaker",
            "IEC 60417-5080, from memory",
            "M-8 -4.5 H-2 L6 -10 V10 L-2 4.5 H-8 Z M-2 -4.5 V4.5",
        ),
        "headphones": Symbol(
            "Headphones",
            "IEC 60417-5077, from memory",
            "M-9 1 A9 9 0 0 0 9 1 M-9 1 V-9 H-4.5 V0 H-9 M9 1 V-9 H4.5 V0 H9",
        ),
        "microphone": Symbol(
            "Microphone",
            "IEC 60417-5082, from memory",
            "M0 8 A8 8 0 0 1 0 -8 A8 8 0 0 1 0 8 Z M8 -10 V10",
        ),
        "aerial": Symbol(
            "Aerial; antenna", "IEC 60417-5039, from memory", "M0 -10 V10 M-8 10 L0 0 L8 10"
        ),
        "variability": Symbol(
            "Variability", "IEC 60417-5004", "M-10 -4.75 H10 V4.75 Z", solid=True
        ),
        "rotary-increase": Symbol(
            "Variability by turning, increase",
            "ISO 7000-1364, from memory",
            "M-7.071 -7.071 A10 10 0 1 0 7.071 -7.071 L4.525 -3.96 A7.1 7.1 0 0 1 4.525 6.081"
            "A8.2 8.2 0 0 1 -7.071 6.081 A9.3 9.3 0 0 1 -7.071 -7.071 Z",
            solid=True,
        ),
        "plus": Symbol("Plus; positive polarity", "IEC 60417-5005", "M-8 0 H8 M0 -8 V8"),
        "minus": Symbol("Minus; negative polarity", "IEC 60417-5006", "M-8 0 H8"),
        "dangerous-voltage": Symbol(
            "Dangerous voltage",
            "IEC 60417-5036, from memory",
            "M3.5 10 L-4.5 0 L4.5 1 L-2.5 -10 M-3.5 -4.5 L-2.5 -10 L3 -8.5",
        ),
        "caution": Symbol(
            "Caution",
            "ISO 7000-0434B",
            "M-11.8 -9 H11.8 L0 11.5 Z M0 4 V-0.8 M0 -4.9 Z",
        ),
        "electric-shock": Symbol(
            "Caution, risk of electric shock",
            "IEC 60417-6042, from memory",
            "M-11.8 -9 H11.8 L0 11.5 Z M1.2 5 L-2.4 -1.3 H2.4 L-0.8 -6.2",
        ),
        "hot-surface": Symbol(
            "Caution, hot surface",
            "IEC 60417-5041, from memory",
            "M-10 -9 H10 M-6 -5 Q-3 -1.5 -6 2 Q-9 5.5 -6 9 M0 -5 Q3 -1.5 0 2 Q-3 5.5 0 9"
            "M6 -5 Q9 -1.5 6 2 Q3 5.5 6 9",
        ),
        "class-ii": Symbol(
            "Class II equipment",
            "IEC 60417-5172, from memory",
            "M-9.5 -9.5 H9.5 V9.5 H-9.5 Z M-4.5 -4.5 H4.5 V4.5 H-4.5 Z",
        ),
        "run": Symbol(
            "Normal run; start",
            "IEC 60417-5107, from memory",
            "M-7 -8.5 L9 0 L-7 8.5 Z",
            solid=True,
        ),
        "stop": Symbol(
            "Stop", "IEC 60417-5110, from memory", "M-7.5 -7.5 H7.5 V7.5 H-7.5 Z", solid=True
        ),
        "pause": Symbol("Pause; interruption", "IEC 60417-5111, from memory", "M-4 -8 V8 M4 -8 V8"),
        "arrow-up": Symbol("Movement in one direction, up", "IEC 60417-5022, from memory", _ARROW),
        "arrow-up-right": Symbol(
            "Movement up and to the right", "IEC 60417-5022, from memory", _ARROW, 45
        ),
        "arrow-right": Symbol("Movement to the right", "IEC 60417-5022, from memory", _ARROW, 90),
        "arrow-down-right": Symbol(
            "Movement down and to the right", "IEC 60417-5022, from memory", _ARROW, 135
        ),
        "arrow-down": Symbol("Movement down", "IEC 60417-5022, from memory", _ARROW, 180),
        "arrow-down-left": Symbol(
            "Movement down and to the left", "IEC 60417-5022, from memory", _ARROW, 225
        ),
        "arrow-left": Symbol("Movement to the left", "IEC 60417-5022, from memory", _ARROW, 270),
        "arrow-up-left": Symbol(
            "Movement up and to the left", "IEC 60417-5022, from memory", _ARROW, 315
        ),
    }
)


def symbol(name: str, style: TextStyle) -> Outline:
    """A symbol in the weight of the style, its pen at x = 0 and the baseline at y = 0.

    It stands upright and at its own width whatever the style's `slope` and `width`; its
    strokes are never heavier than a sixth of the capital height, which would fill it in.

    Error: LetteringError for a name that is neither in `SYMBOLS` nor another for one of these.
    """
    known = known_as(name)
    if known not in SYMBOLS:
        raise LetteringError(f"There is no symbol {name!r}; {not_known(known, SYMBOLS)}.")
    return _drawn(known, style.height, min(style.stroke, STROKE_DARK_ON_LIGHT), style.ends)


@lru_cache(maxsize=512)
def _drawn(name: str, height: float, stroke: float, ends: Ends) -> Outline:
    from legend.lettering.strokes.pathdata import read_path
    from legend.lettering.strokes.skeleton import transformed
    from legend.lettering.strokes.stroking import inked

    drawing = SYMBOLS[name]
    scale = (_SIZE - stroke) / _GRID
    skeleton = transformed(read_path(drawing.strokes), (scale, 0.0, 0.0, scale, 0.0, 0.0))
    outline = inked(skeleton, stroke, ends, height).outline(height).outline
    if drawing.solid:
        outline = Outline(tuple(c for c in outline.contours if c.signed_area > 0))
    outline = outline.turned(drawing.turn)
    bearing = ISO_B_BETWEEN_CHARACTERS / 2 * height
    return outline.moved(bearing - outline.bounds[0], height / 2)
