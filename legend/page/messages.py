"""Define what the page and the server say to each other over the socket, as JSON.

Each message is one JSON object; its `kind` is the name of its class in small letters. Lengths are
mm in panel coordinates (x right, y up, from the panel's lower left corner), lines are counted from
1, places in a text in characters from 0, and `revision` counts the states of the text. Words are
whole sentences for the user. `ask` is a number by which the page knows an answer again.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from typing import Any, Literal, get_args, get_type_hints

from legend.page.pictures.picture_messages import See, StopSeeing, TakeOver

Point = tuple[float, float]

# --- From the page ---


@dataclass(frozen=True, slots=True)
class Edit:
    """The whole text as it stands in the editor, typed upon the text of revision `base`.

    `base` is -1 with `base_text` where the server that gave the revision is gone. The `Text` that
    has taken it in names `ask` in `answers`, so that the page knows what is typed since.
    """

    base: int
    text: str
    base_text: str = ""
    ask: int = 0


@dataclass(frozen=True, slots=True)
class Save:
    """Write the text of this revision into the description file."""

    revision: int


@dataclass(frozen=True, slots=True)
class Settle:
    """The text that the user settled on where two stood side by side.

    `revision` is that of the `Text` that told of the two; -1 stands for the last that was sent.
    """

    text: str
    revision: int = -1


@dataclass(frozen=True, slots=True)
class Pick:
    """What lies nearest to a point of the panel: asked by the pointer, or by a click."""

    ask: int
    at: Point


@dataclass(frozen=True, slots=True)
class Answer:
    """The user's answer to what was taken for granted, by the finding's number: "21.5".

    `revision` is the one in which it was found.
    """

    ask: int
    revision: int
    finding: int
    value: str


@dataclass(frozen=True, slots=True)
class PutIn:
    """Put a ready table into the text, after the table that the caret's line stands in."""

    ask: int
    revision: int
    ready: str
    line: int


@dataclass(frozen=True, slots=True)
class Complete:
    """What may be written at a place of the text: keys and values, with what they mean."""

    ask: int
    text: str
    at: int


@dataclass(frozen=True, slots=True)
class Make:
    """Write every file into the usual folder, or into `folder`, named as beside the description."""

    ask: int
    folder: str = ""
    replace: bool = False


# --- From the server ---


@dataclass(frozen=True, slots=True)
class ReadyShown:
    """A table that can be put in: the word by which `PutIn` asks for it, and what it is."""

    word: str
    what: str


@dataclass(frozen=True, slots=True)
class Opened:
    """What the page shows, sent before all else: file, folder, and the tables that are ready."""

    file: str
    folder: str
    ready: tuple[ReadyShown, ...]


@dataclass(frozen=True, slots=True)
class Text:
    """The text as the server has it, and how it stands to the file.

    `state` is what the head of the page says in `words`. `theirs` is what another program saved,
    or another page typed, where it can only be settled by the user. `draft` tells that the text was
    found unsaved at the start. `answers` is the `ask` of the edit that is taken in, 0 where the
    text comes by itself.
    """

    revision: int
    text: str
    state: Literal["saved", "unsaved", "two", "not-kept"]
    words: str
    theirs: str | None = None
    draft: bool = False
    answers: int = 0


@dataclass(frozen=True, slots=True)
class HoleShown:
    """A hole on the panel: its name, its middle, and the box round it and what covers it.

    `lines` are the first and the last line of each table that is about it. `diameter` is that of
    a round one, 0 of others; `rim` are the corners of one that is not round, in order, a curve as
    short straight lines. To measure from a hole, its middle and its rim are what counts.
    """

    id: str
    at: Point
    box: tuple[float, float, float, float]
    lines: tuple[tuple[int, int], ...]
    diameter: float = 0.0
    rim: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class Drawing:
    """The panel as a picture: for each stage the inside of an `svg` with this view box, in mm.

    In it, y is turned over: the panel's top edge lies at 0. `box` is the panel's (x0, y0, x1, y1).
    `datum` is the point from which holes are measured, `axes` the way in which x and y count from
    there (1 or -1). `units` is "mm" or "in". `viewing` is the distance it is read from, mm.
    `captions` says what each stage is called in this way of working.

    `shapes` is a `defs` element with what all stages use: it is to stand in the same document, in
    an `svg` that is not `display: none`, for instance before the stage within its `svg`. A path
    with legends has the hole they belong to as `data-hole` and its line as `data-line`. `edge` are
    the corners of the panel's edge, in order, a curve as short straight lines.
    """

    revision: int
    title: str
    box: tuple[float, float, float, float]
    view_box: tuple[float, float, float, float]
    units: Literal["mm", "in"]
    datum: Point
    axes: tuple[int, int]
    viewing: float
    stages: dict[str, str]
    captions: dict[str, str]
    holes: tuple[HoleShown, ...]
    shapes: str = ""
    edge: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class Between:
    """What is new in a text, between so much of its `begin` and of its `end` as was there before.

    Both are counted as the browser does, in units of UTF-16.
    """

    begin: int
    text: str
    end: int


@dataclass(frozen=True, slots=True)
class Redrawing:
    """A drawing told by the last one that this page was sent: `drawing` lacks shapes and stages.

    What is new in these stands beside it; a stage that is not among `stages` is as it was.
    """

    drawing: Drawing
    shapes: Between
    stages: dict[str, Between]


@dataclass(frozen=True, slots=True)
class FaultShown:
    """Something for which the text cannot be read: file, line in it, and what is wrong.

    `file` is "" where it is the text itself, and else a file that it names.
    """

    file: str
    line: int
    message: str


@dataclass(frozen=True, slots=True)
class Unread:
    """The text of this revision cannot be read as a description; the last good picture stays."""

    revision: int
    faults: tuple[FaultShown, ...]


@dataclass(frozen=True, slots=True)
class Question:
    """What can be answered on the spot: the words before the box, what stands in it, and after."""

    words: str
    value: str
    unit: str


@dataclass(frozen=True, slots=True)
class FindingShown:
    """A finding, in one of three heaps; `places` are those of all that it stands for.

    `line` is 0 where it is about no line of this text, as about one of a style; `code` is that of
    the check, or the table and the key of what the text leaves out ("panel.viewing_distance").
    """

    number: int
    heap: Literal["spoils", "look", "granted"]
    code: str
    line: int
    message: str
    remedy: str
    place: Point | None
    places: tuple[Point, ...]
    question: Question | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """Everything that was found in the text of this revision, the worst first."""

    revision: int
    findings: tuple[FindingShown, ...]


@dataclass(frozen=True, slots=True)
class PieceShown:
    """A piece: its number and words; where it lies on its sheet (SVG units) and on the panel.

    `sheet` counts from 0. On the sheet y runs down, as (left, top, right, bottom); a spare of the
    same piece is one more of these, with the same number. On sheets and cards the group of a piece
    has its number as `data-piece`.
    """

    number: int
    words: str
    sheet: int
    on_sheet: tuple[float, float, float, float]
    on_panel: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Cutting:
    """What will be cut: sheets and cards as whole `svg` elements, with a caption each.

    Where the panel with letters as cut looks otherwise than as laid out, by bridges or by what is
    masked round a stencil, `drawing` is that panel, and takes the place of the first one. `found`
    is all that is found, with what only cutting finds and with remedies that were tried, and takes
    the place of what was found before: what was found then keeps its number.
    """

    revision: int
    sheets: tuple[str, ...]
    sheet_captions: tuple[str, ...]
    cards: tuple[str, ...]
    card_captions: tuple[str, ...]
    pieces: tuple[PieceShown, ...]
    drawing: Drawing | None = None
    found: Found | None = None


@dataclass(frozen=True, slots=True)
class Picked:
    """What lies nearest to the point: its words, its line, the control's hole, and its outline.

    `outline` is path data in the drawing's coordinates. `nearest` is the closest point of the
    neighbour, `from_` that of the mark itself; None where it stands alone.
    """

    ask: int
    words: str
    line: int
    hole: str
    outline: str
    gap: float | None = None
    gap_from: Point | None = None
    gap_to: Point | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """Characters `begin` to `end` of the text of `revision` give way to `text`; then `select`."""

    ask: int
    revision: int
    begin: int
    end: int
    text: str
    select: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Completion:
    """One thing that may be written: the word, what it means, and what kind of word it is."""

    word: str
    meaning: str
    sort: str


@dataclass(frozen=True, slots=True)
class Completions:
    """All that may be written at a place; they take the place of characters from `begin` on."""

    ask: int
    begin: int
    words: tuple[Completion, ...]


@dataclass(frozen=True, slots=True)
class Refused:
    """What was asked for cannot be done, and why, in whole sentences."""

    ask: int
    words: str


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the making has come."""

    ask: int
    words: str


@dataclass(frozen=True, slots=True)
class FileMade:
    """A file that was made: its name, what it is, and where the page can open it."""

    name: str
    what: str
    link: str


@dataclass(frozen=True, slots=True)
class Made:
    """Everything is made: the folder, and each file in it."""

    ask: int
    folder: str
    files: tuple[FileMade, ...]


@dataclass(frozen=True, slots=True)
class InTheWay:
    """Nothing was made, because of what stands there; `replaceable` where it may be replaced."""

    ask: int
    words: str
    replaceable: bool


#: No page points further off, mm.
_FURTHEST = 1e6

#: No page has so many pictures looked at together.
_MOST_NUMBERS = 64

FromPage = (
    Edit | Save | Settle | Pick | Answer | PutIn | Complete | Make | See | StopSeeing | TakeOver
)
_FROM_PAGE: dict[str, type[FromPage]] = {kind.__name__.lower(): kind for kind in get_args(FromPage)}


def to_json(message: Any) -> str:
    """A message from the server as the text that is sent."""
    return json.dumps({"kind": type(message).__name__.lower(), **asdict(message)})


def from_json(text: str) -> FromPage:
    """The message that the page sent. Error: ValueError for anything that is none."""
    try:
        said = json.loads(text)
    except RecursionError:
        raise ValueError("no message of the page") from None
    kind = _FROM_PAGE.get(str(said.pop("kind", ""))) if isinstance(said, dict) else None
    if kind is None:
        raise ValueError("no message of the page")
    wanted = get_type_hints(kind)
    values = {name: _value(wanted.get(name), value) for name, value in said.items()}
    try:
        message: FromPage = kind(**values)
    except TypeError:
        raise ValueError("a message of the page that lacks something") from None
    return message


def _value(kind: Any, value: Any) -> Any:
    """A value of a message, as it must be. Error: ValueError."""
    if kind == Point and isinstance(value, list) and len(value) == 2:
        if all(type(each) in (int, float) and abs(each) <= _FURTHEST for each in value):
            return float(value[0]), float(value[1])
    elif kind == tuple[int, ...] and isinstance(value, list) and len(value) <= _MOST_NUMBERS:
        if all(type(each) is int for each in value):
            return tuple(value)
    elif type(value) is kind:
        return value
    raise ValueError("a message of the page with something else in it than there should be")
