"""Judge what was found of a panel: take it, and tell what may be off; or refuse it.

What is refused is told with what to do. Sides are told as a picture shows the panel upright.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from legend.camera.fineness import FINE_ENOUGH, coarse, pixels_to
from legend.camera.panel.edges.doubt import doubt_of_datum, doubt_of_sides, side_deviation
from legend.camera.panel.edges.steps import SeenSide
from legend.camera.panel.eye import stretch_and_skew, tilt_of
from legend.camera.panel.fitting import SIDES, Fit
from legend.camera.panel.seen import DoubtfulPanelError, PanelUnseenError, SeenPanel
from legend.camera.panel.turning import all_turns
from legend.camera.picture import Picture
from legend.camera.view import View
from legend.description.tables.panel import Panel
from legend.length_words import Lengths
from legend.sentences import listed
from legend.standards import INCH

#: No datum is taken that may be further off than this, mm, at 95 %.
MOST_OFF = 0.2
#: Nor a view that may be off by more anywhere on the panel.
_MOST_ANYWHERE = 0.35
#: The least share of each side that must be seen.
_LEAST_COVERED = 0.6
#: The least step across a side, on the square root of linear light, 0 to 1.
_LEAST_STEP = 0.04
#: The least pixels to the mm that are measured in.
LEAST_FINENESS = 4.0
#: The most that the picture may be blurred, mm and px, as a standard deviation.
_MOST_BLUR, _MOST_BLUR_PIXELS = 0.3, 2.0
#: The most of the front that may be burnt out to white, and the light from which on a pixel is, of
#: 255. Common practice, no source.
_MOST_BURNT, _BURNT = 0.4, 250
#: The most that a camera may lean, degrees.
_MOST_TILT = 25.0
#: How far the scale of a scan across may be off that along, as a share, and from what the file
#: says. Scanners are true to 0.2 %, common practice, no source.
_SCANNER, _DPI = 0.006, 0.01
#: How much longer one way than the other a panel may be seen in a photograph than it is given; the
#: focal length that this takes is only known in part.
_PHOTO = 0.02
#: How far from square a panel may be seen, radians.
_SKEW = np.radians(0.7)


def seen_by(fit: Fit, panel: Panel, picture: Picture, lengths: Lengths) -> SeenPanel:
    """The panel as a fit has it. Error: PanelUnseenError, where that is not sure enough."""
    sides = _sides(fit, picture.name)
    view, name = fit.view, picture.name
    _check_covered(sides, name)
    check_light(view, panel, picture)
    check_fine(view, sides, panel, name, lengths)
    check_shape(view, panel, picture, lengths)
    datum = doubt_of_datum(sides, panel.datum)
    anywhere = doubt_of_sides(sides, panel.size, panel.datum)
    if datum > MOST_OFF or anywhere.most > _MOST_ANYWHERE:
        raise DoubtfulPanelError(f"{name}: {_doubtful(sides, lengths)}")
    view = replace(view, uncertainty=anywhere)
    return SeenPanel(
        all_turns(view, panel.size),
        covered=tuple(side.covered for side in sides),
        datum_uncertainty=datum,
        assumed=coarse(_fineness(view, panel), lengths),
    )


def unseen(picture: Picture, panel: Panel, lengths: Lengths) -> PanelUnseenError:
    """No four sides that may be the panel's."""
    return PanelUnseenError(
        f"{picture.name}: no panel of {_size(panel, lengths)} is seen. All four edges must "
        "be in the picture, before paper of one tone that is much darker or lighter than the panel "
        "all round, or of another colour; and the size must be right."
    )


def require_sides(fit: Fit, name: str) -> Fit:
    """The fit, if it has all four sides. Error: PanelUnseenError."""
    _sides(fit, name)
    return fit


def _sides(fit: Fit, name: str) -> list[SeenSide]:
    lost = [word for word, side in zip(SIDES, fit.sides, strict=True) if side is None]
    if lost:
        raise DoubtfulPanelError(f"{name}: {_poor(lost)}")
    return [side for side in fit.sides if side]


def _poor(words: Sequence[str]) -> str:
    edges = "edge of the panel is" if len(words) == 1 else "edges of the panel are"
    return (
        f"the {listed(words)} {edges} not seen well enough. Lay paper behind that is much darker "
        "or lighter than the panel, or of another colour, and let light come from all sides, with "
        "no glare on the edges; leave a finger's breadth round the panel."
    )


def _check_covered(sides: Sequence[SeenSide], name: str) -> None:
    poor = [
        word
        for word, side in zip(SIDES, sides, strict=True)
        if side.covered < _LEAST_COVERED or side.height < _LEAST_STEP
    ]
    if poor:
        raise DoubtfulPanelError(f"{name}: {_poor(poor)}")


def check_fine(
    view: View, sides: Sequence[SeenSide], panel: Panel, name: str, lengths: Lengths
) -> None:
    """Refuse a picture that is too coarse or blurred. Error: PanelUnseenError."""
    fineness = _fineness(view, panel)
    if fineness < LEAST_FINENESS:
        raise DoubtfulPanelError(
            f"{name}: it has only {pixels_to(fineness, lengths)}. Photograph from nearer, so that "
            "the panel fills the picture, or scan at 300 dots to the inch; "
            f"{pixels_to(FINE_ENOUGH, lengths)} are wanted."
        )
    blurs = [(side.edge.blur if side.edge else side.blur, side.pixel) for side in sides]
    if any(blur > min(_MOST_BLUR, _MOST_BLUR_PIXELS * pixel) for blur, pixel in blurs):
        blur = lengths.at_most(max(blurs)[0])
        raise DoubtfulPanelError(
            f"{name}: its edges are blurred, by {blur}. Rest the camera on something, give "
            "more light and let it focus on the panel; or lay the panel flat on the glass."
        )


def check_shape(view: View, panel: Panel, picture: Picture, lengths: Lengths) -> None:
    """Refuse a panel that is seen longer one way than it is given, out of square, or askew.

    Error: PanelUnseenError.
    """
    name, (width, height) = picture.name, panel.size
    lens = view.lens
    if lens is None:
        across, up = _scales(view)
        stretch, skew = across / up, _skew(view)
        if picture.dpi:
            told = np.sqrt(picture.dpi[0] * picture.dpi[1]) / INCH
            if abs(np.sqrt(across * up) / told - 1) > _DPI:
                raise DoubtfulPanelError(f"{name}: {other_size(panel, lengths)}")
        most = _SCANNER
    else:
        stretch, skew = stretch_and_skew(view.onto, lens.focal, lens.middle)
        most = _PHOTO
        if view.eye and tilt_of(view.eye, (width / 2, height / 2)) > _MOST_TILT:
            raise DoubtfulPanelError(
                f"{name}: the camera looked at the panel askew. Hold it square over the middle of "
                "the panel, and photograph it again."
            )
    if abs(np.log(stretch)) > most or abs(skew) > _SKEW:
        raise DoubtfulPanelError(f"{name}: {other_size(panel, lengths)}")


def other_size(panel: Panel, lengths: Lengths) -> str:
    """That a panel is seen longer one way than it is given, and what to do."""
    return (
        f"what is seen has not the shape of a panel of {_size(panel, lengths)}. Measure its width "
        "and height with callipers and give them; if they are right, lay paper of one tone behind, "
        "on which no other edge or shadow runs along the panel's."
    )


def _size(panel: Panel, lengths: Lengths) -> str:
    return f"{panel.words(lengths.exact)} {lengths.unit}"


def check_light(view: View, panel: Panel, picture: Picture) -> None:
    """Refuse a picture whose panel is burnt out, and its edges and rims with it.

    Error: PanelUnseenError.
    """
    parts = np.linspace(0.03, 0.97, 50)
    grid = np.stack(np.meshgrid(parts, parts), axis=-1).reshape(-1, 2) * panel.size
    across, down = np.rint(view.to_picture(grid)).astype(int).T
    height, width = picture.rgb.shape[:2]
    light = picture.rgb[np.clip(down, 0, height - 1), np.clip(across, 0, width - 1)]
    if (light >= _BURNT).all(axis=1).mean() > _MOST_BURNT:
        raise DoubtfulPanelError(
            f"{picture.name}: the panel is burnt out to white, and light eats its edges and rims. "
            "Expose it less, or take the lamp further away, and take it again."
        )


def _doubtful(sides: Sequence[SeenSide], lengths: Lengths) -> str:
    deviations = [side_deviation(side) for side in sides]
    words = [
        word
        for word, deviation in zip(SIDES, deviations, strict=True)
        if deviation > max(0.5 * max(deviations), MOST_OFF / 4)
    ] or list(SIDES)
    edges = "edge lies" if len(words) == 1 else "edges lie"
    return (
        f"where the {listed(words)} {edges} is not sure to {lengths.given(MOST_OFF)}: a shadow or "
        "a bevel runs along. Lay paper behind that is black under a light panel, or of a strong "
        "colour, let light come from all sides, and photograph or scan it again."
    )


def _fineness(view: View, panel: Panel) -> float:
    """The fewest pixels to the mm at a corner of the panel."""
    width, height = panel.size
    return min(view.pixels_per_mm((x, y)) for x in (0.0, width) for y in (0.0, height))


def _scales(view: View) -> tuple[float, float]:
    """The pixels to the mm of a scan along x and along y."""
    across, up = view.onto[:2, 0], view.onto[:2, 1]
    return float(np.hypot(*across)), float(np.hypot(*up))


def _skew(view: View) -> float:
    """How far from a right angle x and y are seen in a scan, radians."""
    across, up = view.onto[:2, 0], view.onto[:2, 1]
    return float(np.arcsin(across @ up / np.hypot(*across) / np.hypot(*up)))
