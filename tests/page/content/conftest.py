"""The bench that works on a description, which lies nowhere."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from legend.page.content.bench import Bench
from legend.page.messages import Drawing

PATH = Path("/nowhere/panel.toml")


@pytest.fixture
def bench() -> Bench:
    return Bench(PATH)


@pytest.fixture
def drawn(bench: Bench) -> Callable[[str], Drawing]:
    """The drawing of a text, which can be read."""

    def draw(text: str) -> Drawing:
        drawing = bench.draw(1, text)
        assert isinstance(drawing, Drawing), drawing
        return drawing

    return draw
