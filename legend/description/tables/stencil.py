"""Define the [stencil] table: how the stencil is cut, and from what."""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import AfterValidator, Strict, WithJsonSchema

from legend.description.paint_colours import rgb
from legend.description.table import Clash, Table, words_for
from legend.description.values.form import Form
from legend.description.values.length_values import (
    Datum,
    Least,
    MeasuredSquare,
    Overrun,
    StockMargin,
    StockSize,
    Width,
)
from legend.description.values.number_values import Flag, count_of
from legend.description.values.paint_values import LineColour

Method = Literal["lift-off", "paint-through"]
Stock = Literal["film", "sheet"]
#: The kinds of file that a cutter may take, by the endings of their names.
CutFormat = Literal["svg", "dxf", "pdf", "plt"]
DxfVersion = Literal["R2000", "R12"]
#: By how many degrees the whole of a file may be turned.
QUARTER_TURNS = (0, 90, 180, 270)


def _each_once(formats: tuple[CutFormat, ...]) -> tuple[CutFormat, ...]:
    if not formats:
        raise ValueError("names none")
    return tuple(dict.fromkeys(formats))


def _quarter_turn(degrees: int) -> int:
    if degrees not in QUARTER_TURNS:
        raise ValueError("is no turn by whole quarters")
    return degrees


#: The kinds of file that are written for the cutter, each once.
CutFormats = Annotated[
    tuple[CutFormat, ...],
    AfterValidator(_each_once),
    Form('a list of kinds of file, such as ["svg", "dxf"]', each=True),
]
QuarterTurn = Annotated[
    int,
    Form(
        "0, 90, 180 or 270",
        (Strict(), AfterValidator(_quarter_turn), WithJsonSchema({"enum": [*QUARTER_TURNS]})),
    ),
]


class CutLines(Table):
    """The colours of the lines in SVG and PDF files for the cutter, by what is cut along them."""

    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "mark": "marks letters legends",
            "registration": "holes discs",
            "weeding": "box boxes outline",
            "test_square": "test-square",
        }
    )

    mark: LineColour = "black"
    """Of letters, graduations and all other marks; on placement cards of figures and words."""
    bare: LineColour = "black"
    """Of the discs and plugs that keep metal bare."""
    registration: LineColour = "black"
    """Of what a piece is laid true by; of placement cards the holes."""
    weeding: LineColour = "black"
    """Of weeding boxes; of placement cards the windows and the outline."""
    test_square: LineColour = "black"
    """Of the test square."""

    @property
    def colours(self) -> dict[str, tuple[int, int, int]]:
        """Red, green and blue, each 0 to 255, by the class of the lines: what is not black."""
        every = {
            key: rgb(getattr(self, key)) for key in type(self).model_fields if key != "sources"
        }
        return {key.replace("_", "-"): each for key, each in every.items() if any(each)}


class Stencil(Table):
    """How the stencil is cut, and from what."""

    renamed: ClassVar[Mapping[str, str]] = {"check": "test_square"}
    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "stock": "material",
            "stock_size": "size width length",
            "card_size": "card cards",
            "copies": "spares count",
            "mirror": "mirrored reverse",
            "method": "type process",
            "stock_margin": "inset border",
            "registration": "discs marks",
            "overrun": "overcut",
            "cut_as": "format formats file_format files",
            "separate": "separate_files one_file_each",
            "lines": "colours colors line_colours",
        }
    )

    method: Method = "lift-off"
    """What is on the panel during the top coat: with lift-off the letters alone, which are lifted
    while it is soft; with paint-through everything but the letters, which are openings."""
    stock: Stock = "film"
    """What is cut: adhesive film, used once; or rigid sheet (card, polyester sheet, metal),
    used again, for paint-through only, in which bridges hold the counters of the letters."""
    stock_size: StockSize = (300.0, 200.0)
    """The width and the length that can be cut at once; what needs more goes on to further
    sheets."""
    stock_margin: StockMargin = 0.5
    """How far all cuts keep from the edges of the stock, all round every sheet and card."""
    card_size: StockSize | None = None
    """The width and the length that placement cards may be cut to, their stops beside them. Left
    out, those of A4 card, less 5 mm all round."""
    piece: Literal["control", "row", "panel"] | None = None
    """What travels on one piece: the legends of a control, of a row of them, or of the whole
    panel. Left out, of a control on film, and of the whole panel on a sheet."""
    mirror: Flag = False
    """Whether the sheets are cut as a mirror image, for film that is cut from behind."""
    copies: Annotated[int, count_of(1, 50)] = 1
    """How many are cut of every piece."""
    turn: Flag = False
    """Whether pieces may be turned by a quarter to save stock."""
    registration: Literal["plain", "cross", "none"] = "plain"
    """What film is laid on its holes by: plain, a disc in the hole for lift-off, and for
    paint-through the hole itself, a circle; or cross, the same with cross lines through it, to be
    brought to scribed ones; or none, so that pieces are laid by their weeding boxes alone. A
    sheet always has its holes, for bolts."""
    registration_holes: Annotated[int, count_of(1, 100)] = 2
    """On how many holes of a piece of film there are discs, or circles, at the most: on its own,
    and on those furthest apart, the drilled ones before others."""
    margin: Width | None = None
    """The stock left round the marks of a piece, up to its weeding box. Left out, that of the
    stock."""
    test_square: Flag = False
    """Whether every sheet gets a test square of 50 mm, to be measured when it is cut."""
    measured: MeasuredSquare = (50.0, 50.0)
    """What such a square came out as, across the sheet and along it. The cut is made larger or
    smaller by it; the overlay and the proofs are not."""
    overrun: Overrun = 0.0
    """How far every cut runs on past its start, for a blade that lags."""
    lead_in: Overrun = 0.0
    """How far before its start every cut is begun, on the same line, for a blade that must first
    turn into it: so far the line is cut twice."""
    least_stroke: Least | None = None
    """The finest stroke or line that the stock carries. Left out, that of the stock."""
    least_counter: Least | None = None
    """The smallest enclosed part of a letter that the stock carries. Left out, that of the
    stock."""
    least_gap: Least | None = None
    """The least distance between two cuts that the stock carries. Left out, that of the stock."""
    least_bridge: Least | None = None
    """The narrowest bridge that holds. Left out, that of the stock."""

    cut_as: CutFormats = ("svg",)
    """The kinds of file that are written for the cutter: SVG, DXF, PDF at true size, or HP-GL
    (plt)."""
    separate: Flag = False
    """Whether each class of lines, as letters and weeding boxes are, gets a file of its own, all
    with the same corner marks."""
    dxf_version: DxfVersion = "R2000"
    """The release of DXF. R12, which older programs want, cannot say that its lengths are mm."""
    plt_origin: Datum = "lower left"
    """Where HP-GL counts from: a corner of the sheet, or its centre."""
    plt_turn: QuarterTurn = 0
    """By how many degrees the sheet is turned clockwise in HP-GL, for a cutter whose stock runs
    the other way."""
    lines: CutLines = CutLines()
    """The colours of the lines in SVG and PDF, by what is cut along them."""

    @property
    def travelling(self) -> str:
        """What travels on one piece: "control", "row" or "panel"."""
        return self.piece or ("panel" if self.stock == "sheet" else "control")

    @property
    def room(self) -> tuple[float, float]:
        """The width and the length of the stock that there may be cuts on, mm."""
        width, length = self.stock_size
        return width - 2 * self.stock_margin, length - 2 * self.stock_margin

    @property
    def overlap(self) -> float:
        """How much of every closed cut is cut twice, mm."""
        return self.lead_in + self.overrun

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """Rigid stock for a method whose letters must stick, or without its holes."""
        if given.get("stock") == "sheet" and given.get("registration") in ("cross", "none"):
            yield (
                "registration",
                f'has registration = "{given["registration"]}" with stock = "sheet", but a sheet '
                "is bolted on through its holes, which are plain; leave registration out",
            )
        if given.get("method", "lift-off") == "lift-off" and given.get("stock") == "sheet":
            yield (
                "stock",
                'has method = "lift-off" with stock = "sheet", but letters of rigid sheet would '
                'not hold to the panel; use stock = "film", or method = "paint-through"',
            )
