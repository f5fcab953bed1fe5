"""Draw the panel at every stage of the painting as SVG, its shapes once for all stages.

It is made from the layers that the proof is painted from, for a screen: what several stages show
stands once in a `defs` element, and each stage uses it in a colour of its own. Where the layers
leave a coat out, what lies under it is drawn once more there, over the coat, since SVG has no
paint that is kept off by what is stuck on.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from html import escape

import shapely

from legend.drawing.colours import Colour, css
from legend.drawing.proofs.layers import Layer, Stage, layers_at
from legend.drawing.segments import SVG, path_texts
from legend.layout.artwork import Artwork
from legend.lettering.outlines.outline import Outline
from legend.stencil.sheet import Cut, Sheet, pieces_of

#: Ground that is shown round the panel, mm.
MARGIN = 5.0
#: What every `id` begins with, so that it is nothing else's on a page.
_ID = "stage-shapes-"

#: Outlines by what tells them apart, since no two are equal.
_Shapes = Mapping[int, Outline]


@dataclass(frozen=True, slots=True)
class StagesDrawn:
    """The panel at every stage, in mm; y is turned over, and the panel's top edge lies at 0.

    `view_box` is left, top, width, height. `shapes` is a `defs` element with what the stages use,
    which is to stand in the document before them; `stages` has the inside of an `svg` for each.
    """

    view_box: tuple[float, float, float, float]
    shapes: str
    stages: Mapping[Stage, str]


def stages_svg(artwork: Artwork, sheets: Sequence[Sheet] | None = None) -> StagesDrawn:
    """The panel at every stage, its letters as cut where there are sheets.

    A path with the legends of one hole, from one line of the description, has these as
    `data-hole` and `data-line`; where they are cut, the hole alone.
    """
    x0, y0, x1, y1 = artwork.panel.bounds
    view = (x0 - MARGIN, -MARGIN, x1 - x0 + 2 * MARGIN, y1 - y0 + 2 * MARGIN)
    pictures = {stage: _painted(layers) for stage, layers in layers_at(artwork, sheets).items()}
    paints = [paint for picture in pictures.values() for paint in picture]
    pen = _Pen(_elements(paints, dict(_kin(artwork, sheets)), y1), view)
    stages = {stage: "".join(map(pen.drawn, picture)) for stage, picture in pictures.items()}
    return StagesDrawn(view, f"<defs>{''.join(pen.defined)}</defs>", stages)


# --- From layers to paints that lie over one another ---


@dataclass(frozen=True, slots=True, eq=False)
class _Paint:
    """A colour on shapes, or all `around` them; on no shapes at all it is everywhere.

    It shows as far as it lies within every one of the `clips`.
    """

    colour: Colour
    shapes: _Shapes | None
    clips: tuple[_Shapes, ...] = ()
    around: bool = False

    def hides(self, other: _Paint) -> bool:
        """Whether the other, which lies under it, is wholly hidden, by what they are made of."""
        if self.clips or self.shapes is None or other.shapes is None:
            return self.shapes is None
        return other.shapes.keys() <= self.shapes.keys()


def _painted(layers: Sequence[Layer]) -> list[_Paint]:
    """The layers as paints, the lowest first, that give the same picture one over the other."""
    paints: list[_Paint] = []
    *coats, ground = layers
    for layer in coats:
        seen = _seen_in(_by_identity(layer.off), paints) if layer.off else []
        within = None if layer.within is None else _by_identity(layer.within)
        paints = [*([] if within is None else paints), _Paint(layer.colour, within), *seen]
    return [*paints, _Paint(ground.colour, _by_identity(ground.off), around=True)]


def _by_identity(outlines: Iterable[Outline]) -> _Shapes:
    return {id(outline): outline for outline in outlines}


def _seen_in(window: _Shapes, paints: Sequence[_Paint]) -> list[_Paint]:
    """What is seen of paints through a window, the lowest first."""
    seen: list[_Paint] = []
    for paint in paints:
        if paint.shapes is None:
            paint = _Paint(paint.colour, window)
        elif not paint.shapes.keys() <= window.keys():
            parts = _meeting(paint.shapes, window)
            if not parts:
                continue
            inside = any(_inside(shapes, window) for shapes in (parts, *paint.clips))
            clips = () if inside else (_meeting(window, parts),)
            paint = _Paint(paint.colour, parts, (*paint.clips, *clips))
        seen = [*(each for each in seen if not paint.hides(each)), paint]
    return seen


def _meeting(shapes: _Shapes, window: _Shapes) -> _Shapes:
    """The shapes whose boxes meet that of one in the window."""
    tree = shapely.STRtree(_boxes(window.values()))
    found = set(tree.query(_boxes(shapes.values()), "intersects")[0].tolist())
    return {key: shape for number, (key, shape) in enumerate(shapes.items()) if number in found}


def _inside(shapes: _Shapes, window: _Shapes) -> bool:
    """Whether the box of each shape lies within one shape of the window."""
    tree = shapely.STRtree([outline.shape for outline in window.values()])
    return len(set(tree.query(_boxes(shapes.values()), "covered_by")[0].tolist())) == len(shapes)


def _boxes(outlines: Iterable[Outline]) -> list[shapely.Geometry]:
    return [shapely.box(*outline.control_box) for outline in outlines]


# --- From paints to elements ---


def _kin(artwork: Artwork, sheets: Sequence[Sheet] | None) -> Iterator[tuple[int, str]]:
    """The attributes of the path that a legend is drawn in, by its outline."""
    own = artwork.description.source.file
    for mark in artwork.marks:
        said = _of_hole(mark.owner)
        if mark.source.file == own:
            said += f' data-line="{mark.source.line}"'
        yield id(mark.outline), said
    for piece in pieces_of(sheets or ()):
        for path in piece.paths:
            if path.cut is Cut.MARK and len(piece.owners) == 1:
                yield id(path.outline), _of_hole(piece.owners[0])


def _of_hole(hole: str) -> str:
    return f' data-hole="{escape(hole)}"' if hole else ""


@dataclass(frozen=True, slots=True)
class _Element:
    """Shapes that are painted wherever one of them is: as path data, and as paths."""

    number: int
    keys: frozenset[int]
    data: str
    paths: str
    times: int


def _elements(paints: Sequence[_Paint], kin: Mapping[int, str], top: float) -> list[_Element]:
    """All shapes that are painted, gathered to what always goes together."""
    outlines: dict[int, Outline] = {}
    used: dict[int, list[int]] = {}
    for number, paint in enumerate(paints):
        for shapes in (paint.shapes or {}, *paint.clips):
            outlines |= shapes
            for key in shapes:
                used.setdefault(key, []).append(number)
    texts = _texts(outlines, top)
    together: dict[tuple[int, ...], list[int]] = {}
    for key, numbers in used.items():
        together.setdefault(tuple(numbers), []).append(key)
    elements: list[_Element] = []
    for painted, keys in together.items():
        paths: dict[str, list[str]] = {}
        for each in keys:
            paths.setdefault(kin.get(each, ""), []).append(texts[each])
        drawn = "".join(f'<path{said} d="{"".join(data)}"/>' for said, data in paths.items())
        data = "".join(texts[key] for key in keys)
        elements.append(_Element(len(elements), frozenset(keys), data, drawn, len(painted)))
    return elements


def _texts(outlines: _Shapes, top: float) -> dict[int, str]:
    """The path data of outlines; what the last drawing had as well is taken from there."""
    last = _last_texts(top)
    new = [outline for outline in outlines.values() if outline not in last]
    known = last | dict(zip(new, path_texts(new, SVG, top), strict=True))
    last.clear()
    last.update((outline, known[outline]) for outline in outlines.values())
    return {key: known[outline] for key, outline in outlines.items()}


@lru_cache(maxsize=1)
def _last_texts(top: float) -> dict[Outline, str]:
    """Where the path data of the last drawing is kept, by the top of its panel."""
    return {}


@dataclass(slots=True)
class _Pen:
    """What draws paints as elements, and writes down what several of them use in `defined`."""

    elements: Sequence[_Element]
    view: tuple[float, float, float, float]
    defined: list[str] = field(default_factory=list)
    known: set[str] = field(default_factory=set)

    def drawn(self, paint: _Paint) -> str:
        """One paint as an element."""
        x, y, width, height = self.view
        fill = f'fill="{css(paint.colour)}"'
        if paint.shapes is None:
            return (
                f'<rect x="{x:.7g}" y="{y:.7g}" width="{width:.7g}" height="{height:.7g}" {fill}/>'
            )
        if paint.around:
            whole = f"M{x:.7g} {y:.7g}h{width:.7g}v{height:.7g}h{-width:.7g}Z"
            data = whole + self._data(paint.shapes)
            return f'<path fill-rule="evenodd" {fill} d="{data}"/>'
        used = "".join(
            self._used(each) if each.times > 1 else each.paths
            for each in self.elements
            if each.keys <= paint.shapes.keys()
        )
        drawn = f"<g {fill}>{used}</g>"
        for clip in paint.clips:
            drawn = f'<g clip-path="url(#{self._clip(clip)})">{drawn}</g>'
        return drawn

    def _used(self, element: _Element) -> str:
        name = f"{_ID}{element.number}"
        self._define(name, f'<g id="{name}">{element.paths}</g>')
        return f'<use href="#{name}"/>'

    def _clip(self, shapes: _Shapes) -> str:
        of = [str(each.number) for each in self.elements if each.keys <= shapes.keys()]
        name = f"{_ID}within-{'-'.join(of)}"
        self._define(name, f'<clipPath id="{name}"><path d="{self._data(shapes)}"/></clipPath>')
        return name

    def _data(self, shapes: _Shapes) -> str:
        return "".join(each.data for each in self.elements if each.keys <= shapes.keys())

    def _define(self, name: str, element: str) -> None:
        if name not in self.known:
            self.known.add(name)
            self.defined.append(element)
