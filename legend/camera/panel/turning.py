"""Turn the view of a panel: an outline may look the same with the panel turned."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from legend.camera.view import View


def turned_by_half(view: View, size: tuple[float, float]) -> View:
    """The view of the same outline with the panel turned by a half."""
    width, height = size
    turn = np.array([[-1.0, 0.0, width], [0.0, -1.0, height], [0.0, 0.0, 1.0]])
    onto = view.onto @ turn
    eye = view.eye and (width - view.eye[0], height - view.eye[1], view.eye[2])
    return replace(view, onto=onto / onto[2, 2], eye=eye)
