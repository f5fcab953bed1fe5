"""Tell in the mean profile across an edge which of its steps is where the panel ends.

Where a panel ends there is rarely a step alone. A sawn edge is broken with a file: a narrow bevel,
lighter or darker than the front, lies within the edge. And beyond it may lie a shadow, which is as
dark at the edge as the edge of the panel itself. So the profile is made up of what may be there:

    front | bevel | wall, or shadow | backing

with a step between each and the next, those of the panel as blurred as the picture is, that of
a band beyond also more. A shadow is the backing, only darker; a bevel, and the wall of the edge
where it is seen askew, are of the panel's own colour, lighter or darker, or bare metal. What is
there is taken by how well it fits.
Where one edge does not tell, the others of the same panel do: they are as blurred, and a file that
goes round breaks them alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from legend.camera.panel.edges.askew import (
    reach_beyond,
    reach_spread,
    usual_reach,
    whole_width,
)
from legend.camera.panel.edges.edge_parts import LEAST_OFF, Band, Numbers, Way
from legend.camera.panel.edges.made_edge import (
    WIDEST_BEVEL,
    AsOthers,
    MadeWays,
    widest_bevel,
)

#: What bevel and shadow must better the fit by, each: the share of the mean square that stays. A
#: bevel half as much where other edges of the panel tell how wide it is.
_BETTER, _OF_BEVEL = 0.6, 0.5
#: How likely the edges of a panel are broken. Common practice, no source: what was sawn is sharp.
_BROKEN = 0.7
#: How seldom one edge of a panel is broken where the others are not, or is not where they are.
#: Common practice, no source.
_SELDOM = 0.03
#: And a band beyond the edge. A wall is only seen where the camera stands beyond that edge.
_BANDS_COST: dict[Band, float] = {"": 0.0, "shadow": 1.0, "wall": 2.0}
#: What an edge costs that is not seen itself; and one whose bevel is as dark as what lies behind,
#: as that of bare metal is where it mirrors the dark.
_BY_CHANCE, _BY_CHANCE_BEVEL = 1.5, 0.7
#: How likely there is a bevel where none is seen, since it is as light as the front.
_UNSEEN = 0.1
#: How much less likely a way is that costs more: its share falls by e over the inverse of this.
_SURE = 3.0
#: The doubt, mm, by how much further than that a profile lies off what it is made up of.
_UNLIKE = 5.0
#: The part that may be wall of what a bevel is wider than others, as a standard deviation.
_PART = 0.7
#: What lies off less than this is made up as it is believed to be.
_FITS = 0.02
#: The doubt, mm, about a band that is as wide as a bevel may be, to this share: it is wider then.
_TOO_WIDE, _PINNED = 0.12, 0.97
#: How likely a bevel must be for its width to be believed of the other edges.
_MAYBE = 0.2


@dataclass(frozen=True, slots=True, eq=False)
class EdgeProfile:
    """Where the panel ends in a profile, mm outwards of its origin, and how surely.

    `shown` is where the likeliest way to make it up has the edge in the picture, `place` where the
    panel ends, by all ways, and `deviation` the standard deviation of it; `blur` the picture's, mm,
    and `sharp` how much it was sharpened. `bevel` is the width of that within the edge as it is
    seen, `width` that of the `band` beyond it, mm, 0 for none. `off` is how far the profile lies
    off what it is made up of, root mean square of weighted light. `bevelled` is how likely a bevel
    is, 0 to 1, and `bevel_if` its whole width where there is one, of which a camera that looks at
    it askew sees less, or more.
    """

    place: float
    shown: float
    deviation: float
    blur: float
    sharp: float
    bevel: float
    width: float
    band: Band
    off: float
    bevelled: float
    bevel_if: float


def edge_profile(ways: MadeWays) -> EdgeProfile:
    """Where the panel ends at one edge, by what was known of others when its ways were made up."""
    return _told(ways, _broken_if(ways.others.bevelled if ways.others else 0.5))


def told_together(ways: Sequence[MadeWays | None]) -> list[EdgeProfile | None]:
    """Where the panel ends at each of its edges, which are likely to be broken alike.

    A file goes round a panel or it does not, and then leaves out an edge, or takes one, seldom. How
    likely it went round is told by all edges; each is told by how likely that is by the others.
    """
    alone = [_told(each, 0.5) if each else None for each in ways]
    out: list[EdgeProfile | None] = []
    for k, each in enumerate(ways):
        if each is None:
            out.append(None)
            continue
        others = [one for one in (*ways[:k], *ways[k + 1 :]) if one]
        profiles = [one for one in (*alone[:k], *alone[k + 1 :]) if one]
        went = max(_went_round(others), as_others(profiles).bevelled if _banded(profiles) else 0.0)
        out.append(_told(each, _broken_if(went), _shaded(others)))
    return out


def _broken_if(went: float) -> float:
    """How likely an edge is broken, if a file went round the panel with this likelihood."""
    return _SELDOM + (1 - 2 * _SELDOM) * went


def _went_round(ways: Sequence[MadeWays]) -> float:
    """How likely a file went round a panel by how its edges look, 0 to 1."""
    did, did_not = np.log(_BROKEN), np.log(1 - _BROKEN)
    for each in ways:
        likely = np.exp(-_SURE * (costs := _costs(each, 0.5)) + _SURE * costs.min())
        broken = np.array([fit.way.bevelled for fit in each.fits])
        yes, no = float(likely[broken].sum()), float(likely[~broken].sum())
        did += np.log((1 - _SELDOM) * yes + _SELDOM * no)
        did_not += np.log(_SELDOM * yes + (1 - _SELDOM) * no)
    return float(1 / (1 + np.exp(did_not - did)))


def _shaded(ways: Sequence[MadeWays]) -> float:
    """The share of edges beside which a shadow lies, each by how likely one does."""
    shares = []
    for each in ways:
        likely = np.exp(-_SURE * (costs := _costs(each, 0.5)) + _SURE * costs.min())
        shaded = np.array([fit.way.band == "shadow" for fit in each.fits])
        shares.append(float(likely[shaded].sum() / likely.sum()))
    return float(np.mean(shares)) if shares else 0.0


def _costs(ways: MadeWays, broken: float, shaded: float = 0.0) -> Numbers:
    """What each way costs by how badly it fits, and how far from simple and likely it is.

    `broken` is how likely a bevel is before it is looked for, `shaded` the share of other edges
    that have a shadow beside them: where paper lies over a panel, all have.
    """
    of_bevel = _OF_BEVEL if ways.others else 1.0

    def by_chance(way: Way) -> float:
        return _BY_CHANCE_BEVEL if way.bevelled and way.band != "wall" else _BY_CHANCE

    def of_band(band: Band) -> float:
        return _BANDS_COST[band] * (1 - shaded if band == "shadow" else 1.0)

    return np.array(
        [
            np.log(fit.off**2 + (LEAST_OFF / 2) ** 2)
            - np.log(_BETTER) * (of_band(fit.way.band) + of_bevel * fit.way.bevelled)
            + fit.hidden * by_chance(fit.way)
            - np.log(broken if fit.way.bevelled else 1 - broken) / _SURE
            for fit in ways.fits
        ]
    )


def _told(ways: MadeWays, broken: float, shaded: float = 0.0) -> EdgeProfile:
    """The edge by all ways, each by how likely it is: how well it fits, and how simple it is.

    `broken` is how likely a bevel is before it is looked for, `shaded` the share of other edges
    with a shadow.
    """
    fits, others, lean = ways.fits, ways.others, ways.lean
    costs = _costs(ways, broken, shaded)
    likely = np.exp(-_SURE * (costs - costs.min()))
    likely /= likely.sum()
    made = fits[int(np.argmax(likely))]
    bevels = np.array([fit.bevel for fit in fits])
    places = np.array([fit.parameters[0] for fit in fits]) + reach_beyond(bevels, lean)
    place = float(likely @ places)
    variance = float(likely @ [fit.deviation**2 for fit in fits] + likely @ (places - place) ** 2)
    variance += float(likely @ reach_spread(bevels, lean) ** 2)
    variance += float(likely @ (bevels == 0)) * _UNSEEN * usual_reach(lean) ** 2
    variance += (max(made.off - _FITS, 0) * _UNLIKE) ** 2
    bevel = made.bevel
    with_bevel = np.array([fit.way.bevelled for fit in fits])
    if_any = fits[int(np.argmax(np.where(with_bevel, likely, -1.0)))]
    if others and ways.walled:
        # A band wider than the bevels elsewhere may in part be the wall of the edge, seen askew.
        variance += (_PART * max(bevel - others.bevel, 0)) ** 2
    if bevel > _PINNED * widest_bevel(others):
        variance += _TOO_WIDE**2
    return EdgeProfile(
        place,
        float(made.parameters[0]),
        float(np.sqrt(variance)),
        float(np.exp(made.parameters[1])),
        float(made.parameters[2]),
        bevel,
        float(made.way.width(made.parameters)),
        made.way.band,
        made.off,
        float(likely @ with_bevel),
        whole_width(if_any.bevel, lean),
    )


def as_others(profiles: Sequence[EdgeProfile]) -> AsOthers:
    """What the edges of one panel tell together: the blur of most, and the bevels that are seen."""
    fit = _made_up(profiles)
    blur = float(np.median([each.blur for each in fit]))
    sharp = float(np.median([each.sharp for each in fit]))
    share = float(np.mean([each.bevelled for each in fit]))
    bevels = [each.bevel_if for each in fit if each.bevelled > _MAYBE]
    if bands := _banded(profiles):
        bevels += bands
        share = (len([each for each in fit if each.bevel]) + len(bands)) / len(fit)
    return AsOthers(blur, float(np.median(bevels)) if bevels else 0.0, sharp, share)


def _banded(profiles: Sequence[EdgeProfile]) -> list[float]:
    """The widths of narrow bands beyond edges, where there are so many that they are bevels, mm.

    A narrow band beside three edges is no shadow, which a lamp casts beside two at most.
    """
    fit = _made_up(profiles)
    bands = [each.width for each in fit if not each.bevel and 0 < each.width < WIDEST_BEVEL]
    count = len([each for each in fit if each.bevel])
    return bands if 4 * (count + len(bands)) >= 3 * len(fit) > 6 * count else []


def _made_up(profiles: Sequence[EdgeProfile]) -> list[EdgeProfile]:
    """The edges that are made up as is believed, or else all."""
    return [each for each in profiles if each.off < _FITS] or list(profiles)
