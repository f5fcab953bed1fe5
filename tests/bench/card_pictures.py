"""Draw the pictures of placement cards anew that the README shows, each in its sample's folder.

.venv/bin/python tests/bench/card_pictures.py
"""

from __future__ import annotations

from pathlib import Path

from legend.drawing.job_card.card_picture import card_picture_file
from legend.making.stages import cut_from, laid_out
from legend.stencil.cards.sharing import cards_for

SAMPLES = Path(__file__).parents[2] / "samples"

#: A card that is held by pins, and one that has stops, by sample and number.
SHOWN = {"enlarger-timer": 1, "dome-rotator": 2}


def picture_of(sample: str) -> bytes:
    """The placement card of a sample that is shown, on its panel, as an SVG file."""
    _, artwork = laid_out(SAMPLES / sample / "panel.toml")
    cards = cards_for(artwork, cut_from(artwork)[0]).cards
    return card_picture_file(artwork, cards[SHOWN[sample] - 1])


def main() -> None:
    """Draw them all."""
    for sample in SHOWN:
        (SAMPLES / sample / "placement-card.svg").write_bytes(picture_of(sample))


if __name__ == "__main__":
    main()
