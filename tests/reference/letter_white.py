"""Measure how even the white between the letters of a face is, and how near its pairs come.

The white of a pair is the mean, over level rows from the baseline to the capital height, of what
lies between the facing sides of its letters. What lies deep inside an open letter is hardly seen
as space between letters, so each side counts as no deeper than `RECESS` behind its foremost point.
Everything is in capital heights, and is taken from the outlines of letters as they are set: it
knows nothing of how a face was spaced.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from legend.lettering.faces.face import Letter, TextStyle

CAPITALS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
FIGURES = "0123456789"
#: Stems of the compared faces are about as heavy, so that the built-in face is drawn with it.
STROKE = 0.135
#: How far behind its foremost point the side of a letter counts, in capital heights.
RECESS = 0.15
#: So many rows are laid through a capital.
_ROWS = 100


@dataclass(frozen=True, slots=True)
class Pair:
    """Two letters side by side: the white between them, and the distance of their ink."""

    white: float
    distance: float


def pairs_of(texts: Iterable[str], style: TextStyle) -> dict[str, Pair]:
    """The pairs of two characters that are given, as the face sets them."""
    return {text: _pair(text, style) for text in texts}


def all_pairs(characters: str) -> list[str]:
    """Every character before every other, and before itself."""
    return ["".join(pair) for pair in itertools.product(characters, repeat=2)]


def unevenness(pairs: Iterable[Pair]) -> float:
    """Standard deviation of the white over its mean."""
    whites = [pair.white for pair in pairs]
    return float(np.std(whites) / np.mean(whites))


def _pair(text: str, style: TextStyle) -> Pair:
    first, second = (letter for letter in style.face.set_line(text, style).letters)
    height = style.height
    right, left = _side(first, height, 1), _side(second, height, -1)
    apart = -(right.max() + left.max())
    recesses = np.minimum(right.max() - right, RECESS) + np.minimum(left.max() - left, RECESS)
    distance = shapely.distance(first.outline.shape, second.outline.shape) / height
    return Pair(float(apart + recesses.mean()), float(distance))


def _side(letter: Letter, height: float, towards: int) -> NDArray[np.float64]:
    """How far the ink reaches to the right (1) or the left (-1) in every row; -inf for no ink."""
    rows = (np.arange(_ROWS) + 0.5) / _ROWS
    reach = np.full(_ROWS, -np.inf)
    for ring in letter.outline.rings:
        start, end = ring[:-1] / height, ring[1:] / height
        crossed = (start[:, 1, None] <= rows) != (end[:, 1, None] <= rows)
        edge, row = np.nonzero(crossed)
        rise = end[edge, 1] - start[edge, 1]
        part = (rows[row] - start[edge, 1]) / rise
        x = start[edge, 0] + part * (end[edge, 0] - start[edge, 0])
        np.maximum.at(reach, row, towards * x)
    return reach
