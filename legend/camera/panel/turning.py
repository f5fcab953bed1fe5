"""Turn the view of a panel: an outline may look the same with the panel turned."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from legend.camera.view import SidesDoubt, View

#: Sides that differ by less than this share may be taken for each other.
_SQUARE = 0.006


def all_turns(view: View, size: tuple[float, float]) -> tuple[View, ...]:
    """The views of a rectangle's outline, turned in every way that looks the same."""
    width, height = size
    middle = width / 2, height / 2
    half = _turned_by_half(view, middle)
    if abs(width / height - 1) > _SQUARE:
        return view, half
    # By a quarter, each side takes the length of the next.
    turn = np.array([[0.0, width / height, 0.0], [-height / width, 0.0, height], [0.0, 0.0, 1.0]])
    onto = view.onto @ turn
    eye = view.eye and (
        (height - view.eye[1]) * width / height,
        view.eye[0] * height / width,
        view.eye[2],
    )
    doubt = view.uncertainty
    if isinstance(doubt, SidesDoubt):
        doubt = doubt.turned_by_quarter()
    quarter = replace(view, onto=onto / onto[2, 2], eye=eye, uncertainty=doubt)
    return view, half, quarter, _turned_by_half(quarter, middle)


def _turned_by_half(view: View, middle: tuple[float, float]) -> View:
    doubt = view.uncertainty
    if isinstance(doubt, SidesDoubt):
        doubt = doubt.turned_by_half()
    return replace(turned(view, middle, 180.0), uncertainty=doubt)


def turned(view: View, about: tuple[float, float], degrees: float) -> View:
    """The view with the panel lying turned on about a place of it, so many degrees anticlockwise.

    That place stays where it is seen.
    """
    x, y = about
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    turn = np.array([[c, -s, x - c * x + s * y], [s, c, y - s * x - c * y], [0, 0, 1]])
    onto = view.onto @ turn
    eye = view.eye
    if eye:
        right, up = eye[0] - x, eye[1] - y
        eye = x + c * right + s * up, y - s * right + c * up, eye[2]
    return replace(view, onto=onto / onto[2, 2], eye=eye)
