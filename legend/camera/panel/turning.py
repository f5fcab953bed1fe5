"""Turn the view of a panel: an outline may look the same with the panel turned."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from legend.camera.view import SidesDoubt, View

#: Sides that differ by less than this share may be taken for each other.
_SQUARE = 0.006


def all_turns(view: View, size: tuple[float, float]) -> tuple[View, ...]:
    """The views of a rectangle's outline, turned in every way that looks the same."""
    width, height = size
    turned = turned_by_half(view, size)
    if abs(width / height - 1) > _SQUARE:
        return view, turned
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
    return view, turned, quarter, turned_by_half(quarter, size)


def turned_by_half(view: View, size: tuple[float, float]) -> View:
    """The view of the same outline with the panel turned by a half."""
    width, height = size
    turn = np.array([[-1.0, 0.0, width], [0.0, -1.0, height], [0.0, 0.0, 1.0]])
    onto = view.onto @ turn
    eye = view.eye and (width - view.eye[0], height - view.eye[1], view.eye[2])
    doubt = view.uncertainty
    if isinstance(doubt, SidesDoubt):
        doubt = doubt.turned_by_half()
    return replace(view, onto=onto / onto[2, 2], eye=eye, uncertainty=doubt)
