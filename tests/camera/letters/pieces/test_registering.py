"""A shape is found where it lies, by its film alone, and film by its colour alone."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from legend.camera.grids import cover_of, grid_round, places_of
from legend.camera.letters.by_holes.seen_panel import SeenPanel
from legend.camera.letters.film_seen.film import BaseNoise, base_noise, film_colour, of_base
from legend.camera.letters.film_seen.seen_film import Patch
from legend.camera.letters.pieces.fine_place import fine_place
from legend.camera.letters.pieces.rough_place import Place, rough_place, turned_about
from legend.camera.opencv import blurred
from legend.camera.picture import Picture
from legend.camera.view import View
from legend.lettering.outlines.outline import Outline

#: A T and a spot, which look the same in no other way; their middle, and pixels round them.
_SHAPE = [
    Outline.rectangle(-5, 3, 5, 4),
    Outline.rectangle(-0.5, -4, 0.5, 3),
    Outline.disc((3.5, -2), 0.8),
]
_GRID = grid_round((-5, -4, 5, 4), 4.5, 10.0)
_TURNS = np.arange(-3.0, 3.1, 0.75)


def _patch(film: NDArray[np.float32]) -> Patch:
    return Patch(_GRID, film, film, np.ones(film.shape, dtype=bool))


@settings(max_examples=25, deadline=None)
@given(
    right=st.floats(-2.2, 2.2),
    up=st.floats(-2.2, 2.2),
    clockwise=st.floats(-3, 3),
    seed=st.integers(0, 1000),
)
def test_a_shape_is_found_to_hundredths(
    right: float, up: float, clockwise: float, seed: int
) -> None:
    moved = [each.turned(clockwise).moved(right, up) for each in _SHAPE]
    noise = np.random.default_rng(seed).normal(0, 0.05, (_GRID.height, _GRID.width))
    seen = blurred(cover_of(moved, _GRID), 0.7) + noise.astype(np.float32)
    shape = cover_of(_SHAPE, _GRID)
    rough = rough_place(seen, shape, _GRID, (0, 0), 2.5, _TURNS)
    assert abs(rough.right - right) < 0.35
    assert abs(rough.up - up) < 0.35
    assert rough.alike > 0.6
    found = fine_place(_patch(seen), shape, (0, 0), rough, 0.07)
    assert found is not None
    assert abs(found.place.right - right) < 0.01
    assert abs(found.place.up - up) < 0.01
    assert abs(found.place.clockwise - clockwise) < 0.12
    assert found.fit > 0.8


@pytest.mark.parametrize("turn", [-0.6, -0.2, 0.3, 0.9])
def test_a_turn_is_as_large_as_it_is(turn: float) -> None:
    """Upright and level edges, which go hardly a pixel aside: what looks between pixels tells."""
    arrow = [Outline.rectangle(-0.3, -2, 0.3, 2), Outline.rectangle(-1.5, 1, 1.5, 2)]
    shape = cover_of(arrow, _GRID)
    seen = blurred(cover_of([each.turned(turn) for each in arrow], _GRID), 0.9)
    found = fine_place(_patch(seen), shape, (0, 0), Place(0.0, 0.0, 0.0), 0.09)
    assert found is not None
    assert abs(found.place.clockwise - turn) < 0.01


def test_the_light_of_a_grid_is_that_of_its_places() -> None:
    """A ramp that is seen aslant is looked up as finely as each place by itself."""
    rows, columns = np.mgrid[0:300, 0:400]
    ramp = np.clip((columns * 0.5 + rows * 0.2)[:, :, None] + [0, 10, 20], 0, 255)
    c, s = 8.4 * np.cos(0.03), 8.4 * np.sin(0.03)
    view = View(np.array([[c, s, 40.0], [s, -c, 280.0], [1e-5, 2e-5, 1.0]]))
    panel = SeenPanel(Picture(ramp.astype(np.uint8), None, "ramp"), view)
    grid = grid_round((5, 5, 30, 20), 1.0, 9.6)
    straight = panel.light_at(places_of(grid))
    assert np.abs(panel.light_on(grid) - straight).max() < 1e-3


def test_a_shape_turns_clockwise() -> None:
    turned = turned_about(cover_of(_SHAPE, _GRID), _GRID, (0, 0), 30.0)
    again = cover_of([each.turned(30.0) for each in _SHAPE], _GRID)
    assert np.abs(turned - again).mean() < 0.005


def test_another_shape_does_not_fit() -> None:
    bar = cover_of([Outline.rectangle(-4, -2, 4, -1), Outline.rectangle(-4, 1, 4, 2)], _GRID)
    shape = cover_of(_SHAPE, _GRID)
    rough = rough_place(bar, shape, _GRID, (0, 0), 2.5, _TURNS)
    strange = _patch(bar)
    found = fine_place(strange, shape, (0, 0), rough, 0.07)
    assert found is None or found.fit < 0.3
    beside = fine_place(strange, shape, (0, 0), Place(9.0, 9.0, 0.0), 0.07)
    assert beside is None or beside.fit < 0.3


def test_film_is_told_from_shadow_and_uneven_light() -> None:
    shape = cover_of(_SHAPE, _GRID)
    x, y = places_of(_GRID).transpose(2, 0, 1)
    lamp = 0.6 + 0.02 * x + 0.015 * y
    shadow = cover_of([each.moved(0.3, -0.3) for each in _SHAPE], _GRID) * (1 - shape) * 0.3
    base, film = np.array([0.7, 0.72, 0.6]), np.array([0.05, 0.2, 0.5])
    light = (base + shape[:, :, None] * (film - base)) * (lamp * (1 - shadow))[:, :, None]
    light += np.random.default_rng(0).normal(0, 0.004, light.shape)
    usable = np.ones(shape.shape, dtype=bool)
    usable[:20] = False
    by_base = of_base(light.astype(np.float32), usable)
    noise = base_noise([by_base])
    colour = film_colour([by_base], noise, float(shape.sum()))
    assert np.allclose(colour, film / base, atol=0.05)
    told = noise.film(colour, base, 0.8)
    cover = told.cover(by_base)
    assert (cover[:20] == 0).all()
    assert np.abs(cover - shape)[20:].max() < 0.15  # where the shadow is as well
    assert told.noise < 0.03


@pytest.mark.parametrize(
    ("base", "film", "white", "clear"),
    [
        ((0.8, 0.79, 0.74), (0.79, 0.78, 0.74), 0.85, True),  # its haze, on white
        ((0.05, 0.05, 0.05), (0.11, 0.11, 0.11), 0.85, True),  # on black, and on white paper
        ((0.12, 0.18, 0.32), (0.19, 0.25, 0.38), 0.40, True),  # on dark blue, on black paper
        ((0.75, 0.68, 0.48), (0.77, 0.70, 0.52), 0.78, True),
        ((0.05, 0.05, 0.05), (0.27, 0.27, 0.27), 0.85, False),  # grey on black
        ((0.3, 0.3, 0.3), (0.8, 0.8, 0.8), 0.82, False),  # white on grey
        ((0.55, 0.57, 0.58), (0.8, 0.8, 0.8), 0.82, True),  # on light grey it may be either
        ((0.8, 0.79, 0.74), (0.05, 0.05, 0.05), 0.82, False),
        ((0.75, 0.68, 0.48), (0.62, 0.5, 0.28), 0.78, False),  # near to its base coat
        ((0.8, 0.79, 0.74), (0.65, 0.45, 0.43), 0.82, False),  # translucent red
        ((0.05, 0.05, 0.05), (0.28, 0.2, 0.06), 0.85, False),  # translucent yellow on black
    ],
)
def test_clear_film_is_told_from_film_of_a_colour(
    base: tuple[float, ...], film: tuple[float, ...], white: float, clear: bool
) -> None:
    colour = np.array(film) / base
    noise = BaseNoise(0.02**2 * np.eye(3))
    assert noise.film(colour, np.array(base), white).is_as_clear == clear
