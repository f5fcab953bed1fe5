"""Draw the picture anew that the README shows of holes measured in a scan.

.venv/bin/python tests/bench/measured_picture.py

The scan is one of the synthetic camera: the panel of a sample with two dots of the pen, and without
one of its holes. The picture is made small, of few colours, for the repository.
"""

from __future__ import annotations

import io
import sys
from pathlib import Path

import numpy as np
from PIL import Image

sys.path.pop(0)  # this folder, where `camera` is another file
sys.path.insert(0, str(Path(__file__).parents[1]))

import legend
from legend.camera.measured.measured_picture import measured_png
from legend.camera.measuring import measured_from
from legend.camera.picture import picture_in
from legend.drawing.colours import GREEN, RED, YELLOW

SAMPLE = Path(__file__).parents[2] / "samples" / "enlarger-timer"
#: The hole that was not drilled, in the sample; and pixels across.
NOT_DRILLED, ACROSS = "FUSE", 1100


def picture() -> bytes:
    """The picture as a PNG file."""
    from camera.synthetic.marks import pen_dots
    from camera.synthetic.plates import Hand, made
    from camera.synthetic.shots import BLACK_PAPER, scan
    from camera.synthetic.surfaces import PRIMER

    description = legend.read(SAMPLE / "panel.toml")
    holes = {
        id: hole.model_copy(update={"at": description.panel.from_datum(hole.at)})
        for id, hole in description.holes.items()
        if id != NOT_DRILLED
    }
    rng = np.random.default_rng(5)
    plate = made(description.panel.size, holes, rng, Hand(), 2.0, description.panel.corner_radius)
    marks = tuple(pen_dots(plate, 2, rng))
    shot = scan(plate, 5, finish=PRIMER, backing=BLACK_PAPER, marks=marks)
    measured = measured_from(
        [picture_in(shot.data, "scan.jpg")], description.panel, "mm", description
    )
    with Image.open(io.BytesIO(measured_png(measured))) as image:
        small = image.convert("RGB").resize((ACROSS, round(ACROSS * image.height / image.width)))
    file = io.BytesIO()
    flat = small.quantize(palette=_palette(), dither=Image.Dither.NONE)
    flat.save(file, "PNG", optimize=True)
    return file.getvalue()


def _palette() -> Image.Image:
    """Greys, and each of the colours that are drawn, with what it is along its edges."""
    greys = [(v, v, v) for v in range(70, 256, 15)]
    colours = [
        tuple(round(a + part * (b - a)) for a, b in zip(colour, (v, v, v), strict=True))
        for colour in (GREEN, YELLOW, RED)
        for v in (110, 170, 255)
        for part in (0.0, 0.4, 0.7)
    ]
    image = Image.new("P", (1, 1))
    image.putpalette([value for colour in [*greys, *colours] for value in colour])
    return image


if __name__ == "__main__":
    (SAMPLE / "measured.png").write_bytes(picture())
