"""Where a panel ends is told from its bevel and its shadow, in profiles that are made up."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import ndtr

from legend.camera.panel.edges.edge_parts import Numbers
from legend.camera.panel.edges.edge_profile import EdgeProfile, as_others, edge_profile
from legend.camera.panel.edges.made_edge import AsOthers, made_ways

PIXEL, BLUR = 0.085, 0.07
GREY, BLACK, BLUE, WHITE = (0.45,) * 3, (0.02,) * 3, (0.05, 0.12, 0.45), (0.8,) * 3
OFFSETS = np.arange(-2.0, 2.0, PIXEL / 2)

Colour = tuple[float, ...]


def _profile(
    place: float,
    front: Colour,
    backing: Colour,
    bevel: float = 0.0,
    tone: Colour = GREY,
    shadow: float = 0.0,
    soft: float = BLUR,
    depth: float = 0.6,
) -> Numbers:
    """Linear light across an edge that is blurred: front, bevel, shadow, backing."""
    t = OFFSETS[:, None] - place
    beyond = ndtr(t / BLUR)
    within = 1 - ndtr((t + bevel) / BLUR) if bevel else 1 - beyond
    lit = 1 - depth * ndtr((shadow - t) / soft) if shadow else np.ones_like(t)
    return (
        np.array(front) * within
        + np.array(tone) * (1 - beyond - within)
        + np.array(backing) * beyond * lit
    )


def _told(light: Numbers, others: AsOthers | None = None) -> EdgeProfile:
    random = np.random.default_rng(5)
    # The median of some hundred profiles has little noise left.
    noisy = np.maximum(light + random.normal(0, 0.0005, light.shape), 0)
    ways = made_ways(OFFSETS, noisy, PIXEL, others=others)
    assert ways is not None
    return edge_profile(ways)


@pytest.mark.parametrize("place", [-0.1, 0.0, 0.13])
@pytest.mark.parametrize("backing", [BLACK, BLUE, WHITE])
def test_a_plain_step(place: float, backing: Colour) -> None:
    edge = _told(_profile(place, GREY, backing))
    assert abs(edge.shown - place) < 0.005
    assert abs(edge.place - place) < 0.03
    assert edge.bevel == edge.width == 0


@pytest.mark.parametrize("tone", [(0.15,) * 3, (0.9,) * 3])
def test_a_bevel_lies_within_the_edge(tone: Colour) -> None:
    edge = _told(_profile(0.12, GREY, BLACK, 0.2, tone))
    assert abs(edge.place - 0.12) < 0.015
    assert edge.bevel == pytest.approx(0.2, abs=0.02)


@pytest.mark.parametrize("soft", [BLUR, 0.2])
def test_a_shadow_lies_beyond_the_edge(soft: float) -> None:
    edge = _told(_profile(-0.05, (0.5, 0.4, 0.2), BLUE, shadow=0.7, soft=soft))
    assert abs(edge.place + 0.05) < 0.02
    assert edge.width == pytest.approx(0.7, abs=0.1)


def test_bevel_and_shadow_together() -> None:
    edge = _told(
        _profile(0.05, (0.5, 0.4, 0.2), BLUE, 0.22, (0.25,) * 3, shadow=0.6, soft=0.12),
        AsOthers(BLUR, 0.2, bevelled=1.0),
    )
    assert abs(edge.place - 0.05) < 0.03


def test_a_narrow_dark_band_on_white_is_doubtful() -> None:
    # Dark paint, a mid-grey band, white paper: a bevel, or a shadow that lies beyond.
    light = _profile(0.0, BLACK, WHITE, 0.2, (0.3,) * 3)
    edge = _told(light)
    assert edge.deviation > 0.05
    assert _told(light, AsOthers(BLUR, 0.2, bevelled=1.0)).bevel == pytest.approx(0.2, abs=0.02)


def test_bands_beside_all_edges_are_bevels() -> None:
    dark = EdgeProfile(0.0, 0.0, 0.1, BLUR, 0.0, 0.0, 0.2, "shadow", 0.003, 0.0, 0.1)
    plain = replace(dark, width=0.0, band="")
    assert as_others([dark] * 4).bevel == pytest.approx(0.2)
    assert as_others([dark, dark, plain, plain]).bevel == 0


def test_a_band_wider_than_the_bevels_of_others_is_doubtful() -> None:
    light = _profile(0.0, GREY, BLACK, 0.3, (0.15,) * 3)
    alike, other = (_told(light, AsOthers(BLUR, bevel, bevelled=1.0)) for bevel in (0.3, 0.18))
    assert other.deviation > alike.deviation + 0.04


@pytest.mark.parametrize("wall", [0.2, 0.45])
def test_a_wall_seen_askew_lies_beyond_the_edge(wall: float) -> None:
    far = _profile(0.05 + wall, (0.12,) * 3, BLACK)
    light = (
        _profile(0.05, GREY, (0.0,) * 3, 0.2, (0.3,) * 3)
        + far
        - _profile(0.05, (0.12,) * 3, (0,) * 3)
    )
    edge = _told(light, AsOthers(BLUR, 0.2, bevelled=1.0))
    assert edge.band == "wall"
    assert abs(edge.place - 0.05) < max(0.03, 2 * edge.deviation)
    assert edge.deviation < 0.08


def test_a_bevel_is_of_the_colour_of_the_panel_and_a_shadow_of_that_behind() -> None:
    """On coloured paper, a narrow shadow is no bevel though others have one that is as wide."""
    others = AsOthers(BLUR, 0.18, bevelled=1.0)
    shaded = _told(_profile(0.0, GREY, BLUE, 0.18, (0.4,) * 3, shadow=0.18, depth=0.5), others)
    assert abs(shaded.place) < 0.03


def test_colours_that_a_lens_draws_apart_make_no_bevel() -> None:
    """Each colour of a plain edge is a seventh of a pixel further out than the one before."""
    places = np.array([-1, 0, 1]) * PIXEL / 7
    parted = [_profile(float(place), (0.5,) * 3, BLACK)[:, :1] for place in places]
    edge = _told(np.hstack(parted))
    assert edge.bevel == 0
    assert abs(edge.place) < 0.01


def test_no_wall_is_seen_that_the_camera_does_not_stand_beyond() -> None:
    """A dark band of the panel's colour, wider than the bevels of others, is bevel all the same."""
    light = _profile(0.0, WHITE, BLACK, 0.3, (0.25,) * 3)
    others = AsOthers(BLUR, 0.18, bevelled=1.0)
    ways = made_ways(OFFSETS, light, PIXEL, others=others, walled=False)
    assert ways is not None
    edge = edge_profile(ways)
    assert edge.band != "wall"
    assert abs(edge.place) < 0.02
