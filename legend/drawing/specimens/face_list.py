"""List faces, one line each, with what a stencil needs of them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import get_args

from legend.description.tables.description import Stencil, Stock
from legend.description.tables.stock import StockLimits, limits
from legend.lettering.faces.face import FaceError
from legend.lettering.faces.finding import BUILT_IN, installed_faces, load_face, unreadable_fonts
from legend.lettering.faces.proportions import COMPARED_AT, Least, Proportions, proportions_of


@dataclass(frozen=True, slots=True)
class Listed:
    """A face by its name, and what was measured on it, or why it cannot be used."""

    name: str
    measured: Proportions | None
    fault: str = ""


def faces_at_hand() -> list[str]:
    """The built-in face, and the families of the installed fonts in the order of their names."""
    return list(dict.fromkeys([BUILT_IN, *(face.family for face in installed_faces())]))


def listed(name: str, folder: Path) -> Listed:
    """Measure the face that a description in `folder` would call by this name."""
    try:
        return Listed(name, proportions_of(load_face(name, folder)))
    except (FaceError, OSError) as error:
        return Listed(name, None, str(error))
    except Exception as error:  # whatever a broken font brings about, the others are listed
        why = f"{type(error).__name__}: {error}"
        return Listed(
            name, None, f"The face {name!r} cannot be measured, damaged as it is ({why})."
        )


def damaged_files() -> list[str]:
    """A sentence about each installed font file in which there is no face to list."""
    return [
        f"The font {path} is damaged: there is no face in it that can be read."
        for path in unreadable_fonts()
    ]


def carried_from(measured: Proportions, stock: Stock) -> float:
    """The least capital height at which a stock carries a face, mm, to the next tenth."""
    least = _limits(stock)
    height = measured.carried_from(least.stroke, least.counter)
    return math.ceil(height * 10 - 1e-6) / 10


@lru_cache(maxsize=2)
def _limits(stock: Stock) -> StockLimits:
    """What the stock carries where a description does not say otherwise."""
    return limits(Stencil(stock=stock, method="paint-through"))


def in_a_table(faces: Iterable[Listed]) -> Iterator[str]:
    """The lines of a table of the faces that can be used, and what it means; none without any."""
    rows = [_row(face.name, face.measured) for face in faces if face.measured]
    if rows:
        head = (f"Capitals {COMPARED_AT:g} mm tall", "stroke", "counter", *get_args(Stock))
        yield from _aligned([head, *rows])
        yield ""
        yield "Stroke and counter are the least in the face, in mm, with the letter they are in."
        yield from (_carries(stock) for stock in get_args(Stock))


def _row(name: str, measured: Proportions) -> tuple[str, ...]:
    called = f"{name} (built in)" if name == BUILT_IN else name
    stocks = (carried_from(measured, stock) for stock in get_args(Stock))
    return (
        called,
        _size(measured.stroke),
        _size(measured.counter) if measured.counter else "none",
        *("carries it" if from_ <= COMPARED_AT else f"from {from_:.1f} mm" for from_ in stocks),
    )


def _size(least: Least) -> str:
    return f"{least.size:.2f} {least.letter}".rstrip()


def _carries(stock: Stock) -> str:
    least = _limits(stock)
    return (
        f"{stock.capitalize()} carries strokes of {least.stroke:g} mm and counters of "
        f"{least.counter:g} mm."
    )


def _aligned(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    for row in rows:
        cells = (f"{cell:<{width}}" for cell, width in zip(row, widths, strict=True))
        yield "   ".join(cells).rstrip()
