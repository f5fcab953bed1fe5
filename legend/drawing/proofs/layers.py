"""Build the layers of a painted panel, coat by coat, from the metal upwards.

This is the painting itself, in the order in which it is done at the bench. A coat is
sprayed over all; what stays bare of it is what lay under the mask when it was sprayed.
Nothing here draws a letter in a colour: the letters are where paint did not go, or where
it went through.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from legend.description.paint_colours import rgb
from legend.drawing.colours import BARE_METAL, INSIDE, Colour, apart, blend
from legend.drawing.proofs.fitted_parts import fitted_parts
from legend.kept import Kept
from legend.layout.artwork import Artwork
from legend.lettering.outlines.boolean import from_shape
from legend.lettering.outlines.outline import Outline
from legend.stencil.sheet import Cut, Sheet, pieces_of

#: The moments at which the panel can be seen: after the base coat, with the mask on, after
#: the top coat, with the mask off, and with the parts fitted.
Stage = Literal["base", "masked", "top", "finished", "fitted"]
STAGES: tuple[Stage, ...] = get_args(Stage)

_GROUND: Colour = (201, 200, 196)
_RIM: Colour = (128, 131, 134)
_RIM_WIDTH = 0.2
#: What film and masking paper may look like: the first that stands out from the paint.
_FILMS: tuple[Colour, ...] = ((222, 184, 92), (96, 140, 190))
_PAPERS: tuple[Colour, ...] = ((188, 164, 130), (226, 216, 190))
#: Colours that lie further apart than this stand out from each other.
_STANDS_OUT = 120
#: How much a mask shows through the coat that lies on it.
_SHOWS_THROUGH = 0.2

#: The insides of holes, for a panel that is drawn again with one thing changed.
_INSIDES: Kept[Outline] = Kept()


@dataclass(frozen=True, slots=True, eq=False)
class Layer:
    """A colour, and where it lies: on `within` (None: everywhere) less what is in `off`.

    A `coat` lies on the coat before it, and no further than that one reaches; what is not
    a coat lies over whatever is there.
    """

    colour: Colour
    within: Sequence[Outline] | None = None
    off: Sequence[Outline] = ()
    coat: bool = False

    @property
    def shapes(self) -> tuple[Sequence[Outline], ...]:
        """The shapes whose cover the layer is made of: `within` and `off`, where there are any."""
        given = () if self.within is None else (self.within,)
        return (*given, self.off) if self.off else given


@dataclass(frozen=True, slots=True, eq=False)
class _Mask:
    """What is stuck on the panel: film letters or openings, bare discs, the stencil's pieces."""

    letters: tuple[Outline, ...]
    discs: tuple[Outline, ...]
    boxes: tuple[Outline, ...]


def _mask_of(artwork: Artwork, sheets: Sequence[Sheet] | None) -> _Mask:
    """The mask as it was cut; where there are no sheets, as the artwork asks for it."""
    if sheets is None:
        return _Mask(
            tuple(mark.outline for mark in artwork.marks),
            tuple(disc.outline for disc in artwork.bare_discs),
            (),
        )
    pieces = pieces_of(sheets)
    return _Mask(
        tuple(p.outline for piece in pieces for p in piece.paths if p.cut is Cut.MARK),
        tuple(p.outline for piece in pieces for p in piece.paths if p.cut is Cut.BARE),
        tuple(piece.edge for piece in pieces if any(path.cut is Cut.MARK for path in piece.paths)),
    )


def called(artwork: Artwork, stage: Stage) -> str:
    """What a stage is called, in the way of working of a panel."""
    lift_off = artwork.description.stencil.method == "lift-off"
    return {
        "base": "base coat",
        "masked": "letters on" if lift_off else "stencil on",
        "top": "top coat",
        "finished": "letters lifted" if lift_off else "stencil off",
        "fitted": "parts fitted",
    }[stage]


def layers_of(artwork: Artwork, sheets: Sequence[Sheet] | None, stage: Stage) -> list[Layer]:
    """The layers of the panel at a stage, the lowest first; beyond its edge, the ground."""
    return layers_at(artwork, sheets, (stage,))[stage]


def layers_at(
    artwork: Artwork, sheets: Sequence[Sheet] | None, stages: Sequence[Stage] = STAGES
) -> dict[Stage, list[Layer]]:
    """The layers at several stages, which have their shapes in common."""
    finish = artwork.description.finish
    mask = _mask_of(artwork, sheets)
    lift_off = artwork.description.stencil.method == "lift-off"
    paint = _lift_off if lift_off else _paint_through
    openings = _openings(artwork)
    ground = Layer(_GROUND, None, (artwork.panel,))
    layers = {}
    for stage in stages:
        painted = paint(mask, rgb(finish.base), rgb(finish.top), stage)
        tones = fitted_parts(artwork) if stage == "fitted" else ()
        fitted = (Layer(tone.colour, tone.outlines) for tone in tones)
        layers[stage] = [*painted, *openings, *fitted, ground]
    return layers


def _lift_off(mask: _Mask, base: Colour, top: Colour, stage: Stage) -> list[Layer]:
    """Base coat, film letters on it, top coat over them, film lifted."""
    stuck_on = mask.letters + mask.discs
    if stage == "base":
        return _sprayed(base, mask.discs)
    if stage == "masked":
        return [*_sprayed(base, mask.discs), Layer(_unlike(base, _FILMS), mask.letters)]
    if stage == "top":
        return _sprayed(top, stuck_on)
    return [
        Layer(BARE_METAL, coat=True),
        Layer(base, None, mask.discs, coat=True),
        Layer(top, None, stuck_on, coat=True),
    ]


def _paint_through(mask: _Mask, base: Colour, top: Colour, stage: Stage) -> list[Layer]:
    """Base coat, stencil on it, top coat through its openings, stencil off."""
    if stage == "base":
        return _sprayed(base, mask.discs)
    if stage in ("masked", "top"):
        film, paper = _unlike(base, _FILMS), _unlike(base, _PAPERS)
        painted = _sprayed(base, mask.discs)
        if stage == "top":
            film, paper = _over(top, film), _over(top, paper)
            painted = [Layer(top, coat=True)]
        masking = [Layer(paper, None, mask.boxes)] if mask.boxes else []
        return [*painted, Layer(film, None, mask.letters), *masking]
    return [
        Layer(BARE_METAL, coat=True),
        Layer(base, None, mask.discs, coat=True),
        Layer(top, mask.letters, mask.discs, coat=True),
    ]


def _sprayed(paint: Colour, stuck_on: Sequence[Outline]) -> list[Layer]:
    """A fresh coat over everything, and what lies under it showing as a faint relief."""
    return [Layer(paint, coat=True), Layer(_over(paint, _FILMS[0]), stuck_on)]


def _unlike(paint: Colour, colours: Sequence[Colour]) -> Colour:
    """The first of the colours that stands out from the paint, or the one that does so most."""
    most = max(colours, key=lambda colour: apart(paint, colour))
    return next((colour for colour in colours if apart(paint, colour) > _STANDS_OUT), most)


def _over(paint: Colour, mask: Colour) -> Colour:
    """Paint on a mask: the paint, near enough, but not so near that the mask cannot be seen."""
    shade = mask if apart(paint, mask) > _STANDS_OUT else INSIDE
    return blend(paint, shade, _SHOWS_THROUGH)


def _openings(artwork: Artwork) -> list[Layer]:
    """The holes: dark within, with the bright edge of the metal round them."""
    holes = [opening.outline for opening in artwork.openings]
    inner = [_INSIDES.made(each.id, _inside, each.outline) for each in artwork.openings]
    return [Layer(_RIM, holes), Layer(INSIDE, [hole for hole in inner if hole])]


def _inside(hole: Outline) -> Outline:
    """What is dark of a hole, within its rim."""
    return from_shape(hole.shape.buffer(-_RIM_WIDTH))
