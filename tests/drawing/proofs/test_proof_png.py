"""The painted panel: what shows at each stage, and where."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from legend.description.kinds import KINDS
from legend.description.reading.description_file import parse
from legend.drawing.picture import PictureError
from legend.drawing.proofs.fitted_parts import fitted_parts
from legend.drawing.proofs.layers import STAGES, Layer, layers_of
from legend.drawing.proofs.proof_png import MARGIN, painted, write_proof
from legend.layout import lay_out
from legend.layout.artwork import Artwork
from legend.lettering.outlines.outline import Outline
from legend.limits import MOST_PIXELS
from legend.stencil.sheet import Cut, Placed, Sheet
from legend.stencil.sheet import Path as CutPath
from legend.writing import is_ours

BASE, TOP = (0xF0, 0xE8, 0xD0), (0x30, 0x50, 0x50)
DPI = 254  # ten pixels to the mm

Pixels = NDArray[np.uint8]


def proof(
    artwork: Artwork, sheets: tuple[Sheet, ...] | None, stage: str, dpi: float = DPI
) -> Pixels:
    data = painted([layers_of(artwork, sheets, stage)], artwork, dpi)  # type: ignore[arg-type]
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGB"))


def at(picture: Pixels, x: float, y: float) -> tuple[int, ...]:
    """The colour at a point of the panel, which is 60 mm high."""
    row, column = (60 + MARGIN - y) * 10, (x + MARGIN) * 10
    return tuple(int(v) for v in picture[int(row), int(column)])


def painted_through(make_artwork: Callable[..., Artwork]) -> Artwork:
    return make_artwork(stencil={"method": "paint-through"})


BAR, RING, BESIDE, BARE, HOLE = (20.6, 44), (64, 45), (45, 50), (89, 18), (20, 25)


def test_lift_off_leaves_letters_in_the_base_colour(
    artwork: Artwork, sheets: tuple[Sheet, ...]
) -> None:
    picture = proof(artwork, sheets, "finished")
    assert picture.shape == (700, 1100, 3)
    assert at(picture, *BAR) == at(picture, *RING) == BASE
    assert at(picture, *BESIDE) == at(picture, 60, 45) == TOP  # beside letters, and in the counter


def test_paint_through_leaves_letters_in_the_top_colour(
    make_artwork: Callable[..., Artwork], make_sheets: Callable[..., tuple[Sheet, ...]]
) -> None:
    artwork = painted_through(make_artwork)
    picture = proof(artwork, make_sheets(artwork), "finished")
    assert at(picture, *BAR) == at(picture, *RING) == TOP
    assert at(picture, *BESIDE) == at(picture, 60, 45) == BASE


@pytest.mark.parametrize("method", ["lift-off", "paint-through"])
def test_bare_discs_stay_metal_and_holes_stay_open(
    method: str, make_artwork: Callable[..., Artwork]
) -> None:
    picture = proof(make_artwork(stencil={"method": method}), None, "finished")
    metal, hole = at(picture, *BARE), at(picture, *HOLE)
    assert max(metal) - min(metal) < 12 and min(metal) > 120
    assert max(hole) < 60
    assert at(picture, 85, 18) == hole  # through the middle of the disc
    assert at(picture, -4, -4) not in (BASE, TOP, metal, hole)


def test_each_stage_shows_what_lies_on_top(artwork: Artwork, sheets: tuple[Sheet, ...]) -> None:
    pictures = {stage: proof(artwork, sheets, stage) for stage in STAGES}
    assert at(pictures["base"], *BAR) == at(pictures["base"], *BESIDE) == BASE
    film = at(pictures["masked"], *BAR)
    assert film not in (BASE, TOP)
    assert at(pictures["masked"], *BESIDE) == BASE
    assert at(pictures["top"], *BESIDE) == TOP
    relief = at(pictures["top"], *BAR)
    assert relief != TOP
    assert max(abs(a - b) for a, b in zip(relief, TOP, strict=True)) < 60
    assert at(pictures["fitted"], *BAR) == BASE
    assert at(pictures["fitted"], 20, 33) != TOP  # under the knob
    assert at(pictures["finished"], 20, 33) == TOP


def test_the_mask_of_paint_through_covers_all_but_the_letters(
    make_artwork: Callable[..., Artwork], make_sheets: Callable[..., tuple[Sheet, ...]]
) -> None:
    artwork = painted_through(make_artwork)
    masked = proof(artwork, make_sheets(artwork), "masked")
    film, paper = at(masked, 19, 44), at(masked, *BESIDE)
    assert at(masked, *BAR) == BASE
    assert len({film, paper, BASE, TOP}) == 4
    sprayed = proof(artwork, make_sheets(artwork), "top")
    assert at(sprayed, *BAR) == TOP
    assert at(sprayed, 19, 44) not in (TOP, film)


def test_letters_come_from_the_stencil_so_that_bridges_show(
    artwork: Artwork, sheets: tuple[Sheet, ...]
) -> None:
    first = sheets[0].placed[0]
    halves = [Outline.rectangle(20, 40, 21.2, 43.5), Outline.rectangle(20, 44.5, 21.2, 48)]
    piece = replace(first.piece, paths=(CutPath(Cut.MARK, Outline.gathered(halves)),))
    bridged = (replace(sheets[0], placed=(replace(first, piece=piece), *sheets[0].placed[1:])),)
    assert at(proof(artwork, bridged, "finished"), *BAR) == TOP
    assert at(proof(artwork, None, "finished"), *BAR) == BASE


def test_spares_and_turned_pieces_change_nothing(
    artwork: Artwork, make_sheets: Callable[..., tuple[Sheet, ...]]
) -> None:
    once, thrice = make_sheets(artwork), make_sheets(artwork, copies=3)
    turned = tuple(Placed(p.piece, (0, -1, 1, 0, 7, 90), 1, True) for p in once[0].placed)
    want = proof(artwork, once, "finished")
    assert (proof(artwork, thrice, "finished") == want).all()
    assert (proof(artwork, (replace(once[0], placed=turned),), "finished") == want).all()


@pytest.mark.parametrize("dpi", [72, 300, 777])
@pytest.mark.parametrize("shift", [0.0, 0.013, 0.37])
def test_a_stroke_stands_true_to_a_part_of_a_pixel(
    artwork: Artwork, dpi: float, shift: float
) -> None:
    bar = artwork.marks[0].outline.moved(shift, 0)
    x0, y0, x1, y1 = bar.bounds
    layers = [Layer((0, 0, 0)), Layer((250, 250, 250), [bar])]
    png = painted([layers], artwork, dpi)
    light = np.asarray(Image.open(io.BytesIO(png)).convert("L")).astype(float) / 250
    scale = dpi / 25.4
    area, columns = light.sum(), light.sum(axis=0)
    rows = light.sum(axis=1)
    middle_x = (columns @ (np.arange(len(columns)) + 0.5)) / area
    middle_y = (rows @ (np.arange(len(rows)) + 0.5)) / area
    assert middle_x == pytest.approx(((x0 + x1) / 2 + MARGIN) * scale, abs=0.05)
    assert middle_y == pytest.approx((65 - (y0 + y1) / 2) * scale, abs=0.05)
    assert area == pytest.approx((x1 - x0) * (y1 - y0) * scale**2, rel=0.01)


@pytest.mark.parametrize("count", [9, 300])
def test_few_colours_and_many_are_drawn_alike(artwork: Artwork, count: int) -> None:
    """They are kept in a palette as long as there is room in it."""
    colours = [(number // 2, 255 - number // 3, number % 7) for number in range(count)]
    layers = [Layer((0, 0, 0))]
    for number, colour in enumerate(colours):
        x, y = number % 20 * 4, number // 20 * 3
        layers.append(Layer(colour, [Outline.rectangle(x, y, x + 2, y + 2)]))
    with Image.open(io.BytesIO(painted([layers], artwork, DPI))) as image:
        picture = np.asarray(image.convert("RGB"))
    for number, colour in enumerate(colours):
        assert at(picture, number % 20 * 4 + 1, number // 20 * 3 + 1) == colour


def test_bands_leave_no_seams(artwork: Artwork) -> None:
    """A bar from top to bottom is the same in all rows of a picture of very many."""
    layers = [Layer((0, 0, 0)), Layer((250, 200, 90), [Outline.rectangle(10.013, -9, 30.37, 99)])]
    with Image.open(io.BytesIO(painted([layers], artwork, 600))) as image:
        rows = np.asarray(image.convert("RGB"))
    assert len(rows) > 1600
    assert (rows == rows[0]).all()
    assert len(np.unique(rows[0], axis=0)) == 4  # the bar, the ground, and an edge at each side


def test_the_edges_of_coats_carry_no_fringe(artwork: Artwork) -> None:
    """Where both coats end at the bare disc, no third colour comes between top coat and metal."""
    picture = proof(artwork, None, "finished")
    metal = np.array(at(picture, *BARE), float)
    row = picture[470, 950:970].astype(float)  # from (90, 18) to (92, 18), across the edge
    share = (row - metal) @ (np.array(TOP) - metal) / ((np.array(TOP) - metal) ** 2).sum()
    assert np.abs(row - (metal + share[:, None] * (np.array(TOP) - metal))).max() < 1.5
    assert share[0] == pytest.approx(0, abs=0.01) and share[-1] == pytest.approx(1, abs=0.01)


def test_all_stages_stand_below_each_other_under_their_names(
    artwork: Artwork, sheets: tuple[Sheet, ...], tmp_path: Path
) -> None:
    path = tmp_path / "proof.png"
    write_proof(artwork, sheets, path, "all", dpi=DPI)
    with Image.open(path) as image:
        strip = np.asarray(image.convert("RGB"))
    assert len(strip) % len(STAGES) == 0
    ground = tuple(int(v) for v in strip[0, 0])
    for pane, stage in zip(np.split(strip, len(STAGES)), STAGES, strict=True):
        above = len(pane) - 700
        assert (pane[above + 50 :] == proof(artwork, sheets, stage)[50:]).all()
        over = pane[: above + 50, 50:].reshape(-1, 3)
        assert 300 < (over != ground).any(axis=1).sum() < 6000  # words, and room round them


@pytest.mark.parametrize(("stage", "wanted"), [("finished", 173), ("all", 77)])
def test_a_large_panel_has_fewer_dots_to_the_inch(
    stage: Any, wanted: int, make_artwork: Callable[..., Artwork], tmp_path: Path
) -> None:
    artwork = make_artwork(size=(1000.0, 500.0))
    path = tmp_path / "proof.png"
    write_proof(artwork, None, path, stage)
    with Image.open(path) as image:
        assert image.info["dpi"] == pytest.approx((wanted, wanted), abs=0.1)
        assert 0.96 * MOST_PIXELS < image.width * image.height < 1.01 * MOST_PIXELS
    write_proof(artwork, None, path, stage, dpi=50)
    with Image.open(path) as image:
        assert image.width == 1010 / 25.4 * 50 // 1 + 1
    before = path.read_bytes()
    with pytest.raises(PictureError, match=f"ask for {wanted} to the inch at the most"):
        write_proof(artwork, None, path, stage, dpi=300)
    assert path.read_bytes() == before


def test_the_file_is_our_own_and_always_the_same(artwork: Artwork, tmp_path: Path) -> None:
    paths = [tmp_path / "a.png", tmp_path / "b.png"]
    for path in paths:
        write_proof(artwork, None, path, dpi=72)
    assert paths[0].read_bytes() == paths[1].read_bytes()
    assert is_ours(paths[0])
    with Image.open(paths[0]) as image:
        assert image.info["Title"] == "DOME <1> & CO"


@pytest.mark.parametrize(
    ("hole", "covers"),
    [
        ({"drill": 9.5}, 20.0),
        ({"cutout": (24.0, 9.0), "angle": 20.0}, (30.0, 14.0)),
        ({"slot": (24.0, 4.0), "angle": 45.0}, (30.0, 14.0)),
    ],
)
@pytest.mark.parametrize("kind", KINDS)
def test_a_fitted_part_hides_what_it_covers_and_no_more(
    kind: str,
    hole: dict[str, Any],
    covers: float | tuple[float, float],
    make_artwork: Callable[..., Artwork],
) -> None:
    artwork = make_artwork(
        holes={"A": {"at": (50.0, 25.0)} | hole},
        control=[{"hole": "A", "kind": kind, "covers": covers}],
        bare=[],
    )
    (cover,) = artwork.keep_outs
    tones = fitted_parts(artwork)
    assert len(tones) > 1
    shapes = [outline.shape for tone in tones for outline in tone.outlines]
    assert max(shape.area for shape in shapes) == pytest.approx(cover.shape.area, rel=1e-3)
    room = cover.shape.buffer(0.01)
    assert [shape.difference(room).area for shape in shapes] == pytest.approx([0] * len(shapes))


@pytest.mark.parametrize(
    "scale",
    [
        {"from": 0, "to": 10, "sweep": 180},
        {"from": 0, "to": 10, "start": -90},
        {"law": "table", "from": 1, "to": 3, "table": [[1, -90], [2, 10], [3, 136]]},
        {"from": 0, "to": 10, "sweep": 300, "track": 180},
        # 1 % of an audio 10 track stands at a twentieth of it: 10 degrees after it begins.
        {"law": "taper", "taper": "audio 10", "from": -40, "to": 0, "track": 200},
        {"low": "DRY", "high": "WET", "sweep": 180},
    ],
)
def test_a_knob_points_to_the_beginning_of_its_scale(
    scale: dict[str, Any], make_artwork: Callable[..., Artwork]
) -> None:
    control = {"hole": "A", "kind": "knob", "covers": 20.0, "scale": scale}
    pointer = fitted_parts(make_artwork(control=[control], bare=[]))[-1].outlines[0]
    x0, y0, x1, y1 = pointer.bounds
    assert (y0 + y1) / 2 == pytest.approx(25)  # a quarter of a turn left of the top: level
    assert x1 < 20 and x0 > 10


def test_the_heads_of_screws_lie_on_top_of_the_part_that_they_hold() -> None:
    artwork = lay_out(
        parse(
            "[panel]\nsize = [120, 110]\n[holes]\nV = { at = [60, 55], drill = 56 }\n"
            '[[control]]\nhole = "V"\nkind = "meter"\nfixings = { square = 64, drill = 3.2 }\n'
        )
    )
    last = fitted_parts(artwork)[-1]
    assert sorted(outline.shape.centroid.coords[0] for outline in last.outlines) == [
        pytest.approx(at, abs=0.01) for at in [(28, 23), (28, 87), (92, 23), (92, 87)]
    ]
