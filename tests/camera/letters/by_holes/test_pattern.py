"""The pattern of holes is told among other spots, however the camera stood."""

import math

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

import legend
from legend.camera.letters.by_holes.blobs import Blobs
from legend.camera.letters.by_holes.pattern import mapped_by, patterns_in, perspective

_HOLES = [
    (20, 30, 9.5),
    (80, 35, 7),
    (150, 90, 12),
    (170, 30, 16),
    (40, 95, 6),
    (110, 80, 8),
    (8, 8, 3.6),
    (192, 8, 3.6),
    (8, 112, 3.6),
    (192, 112, 3.6),
]
_TOML = "[panel]\nsize = [200, 120]\n[holes]\n" + "".join(
    f"H{k} = {{ at = [{x}, {y}], drill = {d} }}\n" for k, (x, y, d) in enumerate(_HOLES)
)
_OPENINGS = legend.lay_out(legend.parse(_TOML)).openings


def test_holes_are_told_among_other_spots_however_the_camera_stands() -> None:
    # Spots by chance may look as a hole would that is not seen; so all but one.
    right = sum(_is_told(seed) for seed in range(12))
    assert right >= 11


def _is_told(seed: int) -> bool:
    """Whether nine of ten holes, among letters, are found where they are."""
    rng = np.random.default_rng(seed)
    turn, scale = rng.uniform(0, 360), rng.uniform(3, 15)
    lean = rng.uniform(-6e-4, 6e-4, 2).tolist()
    c, s = scale * math.cos(math.radians(turn)), scale * math.sin(math.radians(turn))
    # A picture's y runs down, so that what it shows is never mirrored; the camera leans about the
    # middle of the panel.
    about = np.array([[1, 0, -100], [0, 1, -60], [0, 0, 1.0]])
    onto = np.array([[c, s, 0.0], [s, -c, 0.0], [*lean, 1.0]]) @ about
    centres = np.array([opening.centre for opening in _OPENINGS])
    seen = mapped_by(onto, centres)
    right, up = (mapped_by(onto, centres + np.array(way)) - seen for way in ((1, 0), (0, 1)))
    areas = np.array([opening.outline.area for opening in _OPENINGS]) * np.abs(
        right[:, 0] * up[:, 1] - right[:, 1] * up[:, 0]
    )
    letters = rng.uniform((10, 10), (190, 110), (60, 2))
    clear = np.hypot(*(letters[:, None] - centres).transpose(2, 0, 1)).min(axis=1) > 10
    others = mapped_by(onto, letters[clear])
    keep = rng.permutation(len(seen))[:9]  # one is not seen
    spots = np.vstack([seen[keep] + rng.normal(0, 0.1 * scale, (9, 2)), others])
    sizes = np.concatenate([areas[keep], rng.uniform(2, 60, len(others)) * scale**2])
    order = rng.permutation(len(spots))
    blobs = Blobs(spots[order], sizes[order], np.ones(len(spots), dtype=np.intp))
    best = patterns_in(blobs, _OPENINGS)[0]
    off = mapped_by(best.onto, centres) - seen
    return bool(np.hypot(*off.T).max() < 1.5 * scale and len(best.holes) >= 9)  # mm


def test_nothing_is_told_by_one_hole_or_no_spot() -> None:
    none = Blobs(np.empty((0, 2)), np.empty(0), np.empty(0, dtype=np.intp))
    assert patterns_in(none, _OPENINGS) == []
    one = Blobs(np.array([[3.0, 4.0]]), np.array([50.0]), np.array([3]))
    assert patterns_in(one, _OPENINGS[:1]) == []


@given(st.integers(0, 1000))
def test_a_perspective_is_found_by_four_points(seed: int) -> None:
    rng = np.random.default_rng(seed)
    onto = np.array([[8.0, 0.3, 100], [0.2, -8.0, 900], *[[*rng.normal(0, 3e-4, 2), 1.0]]])
    mm = np.array([[0, 0], [200, 0], [200, 120], [0, 120.0]]) + rng.uniform(-20, 20, (4, 2))
    assert np.allclose(perspective(mm, mapped_by(onto, mm)), onto, atol=1e-5)
