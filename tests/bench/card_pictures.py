"""Draw the pictures of placement cards anew that the README shows, each in its sample's folder.

.venv/bin/python tests/bench/card_pictures.py
"""

from __future__ import annotations

from pathlib import Path

from legend.drawing.job_card.card_picture import card_picture_file
from legend.making.stages import cut_from, laid_out
from legend.stencil.cards.sharing import cards_for

SAMPLES = Path(__file__).parents[2] / "samples"

#: A sample whose cards are held by pins, and one whose cards have stops.
SHOWN = ("enlarger-timer", "dome-rotator")


def picture_of(sample: str) -> bytes:
    """The first placement card of a sample on its panel, as an SVG file."""
    _, artwork = laid_out(SAMPLES / sample / "panel.toml")
    return card_picture_file(artwork, cards_for(artwork, cut_from(artwork)[0]).cards[0])


def main() -> None:
    """Draw them all."""
    for sample in SHOWN:
        (SAMPLES / sample / "placement-card.svg").write_bytes(picture_of(sample))


if __name__ == "__main__":
    main()
