"""Lettering past all measure is refused, with its line, before anything is made of it."""

import pytest

from legend.description.faults import DescriptionError
from legend.description.reading.description_file import parse
from legend.layout import lay_out


def _panel(lines: list[str]) -> str:
    return "\n".join(["[panel]", "size = [300, 200]", *lines]) + "\n"


def _texts(count: int, step: float) -> str:
    words = "PACK MY BOX WITH FIVE DOZEN JUGS"
    lines = (
        f'[[text]]\nat = [150, {10 + step * i}]\ntext = "{words} {i:03d}"' for i in range(count)
    )
    return _panel([*lines])


def _holes(count: int, step: float) -> str:
    lines = [f"H{i} = {{ at = [{20 + step * i}, 100], drill = 6 }}" for i in range(count)]
    return _panel(["[holes]", *lines])


def test_legends_heaped_on_each_other_are_refused() -> None:
    lay_out(parse(_texts(30, 6), "panel.toml"))
    with pytest.raises(DescriptionError) as caught:
        lay_out(parse(_texts(60, 0), "panel.toml"))
    (fault,) = caught.value.faults
    assert "lie over each other in so many places" in fault.message
    assert fault.source.line > 2


def test_holes_piled_on_each_other_are_refused() -> None:
    lay_out(parse(_holes(30, 8), "panel.toml"))
    with pytest.raises(DescriptionError) as caught:
        lay_out(parse(_holes(300, 0), "panel.toml"))
    (fault,) = caught.value.faults
    assert fault.message.startswith("Hole H")
    assert fault.source.line > 3
