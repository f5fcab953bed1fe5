"""Look at a picture once, where tests measure it several times for what is then told of it."""

from __future__ import annotations

from typing import Any

import pytest

from legend.camera import measuring
from legend.camera.picture import Picture
from legend.description.tables.panel import Panel


def look_once(patch: pytest.MonkeyPatch) -> None:
    """From now on, how a picture sees a panel and the holes that it shows are worked out once.

    What is made of them, with a design or without, is worked out every time.
    """
    seen_in, holes_in = measuring.seen_in, measuring.holes_in
    sights: dict[Any, Any] = {}
    holes: dict[int, Any] = {}

    def seen_once(picture: Picture, panel: Panel, *more: Any) -> Any:
        key = picture.rgb.tobytes(), repr(panel)
        if key not in sights:
            sights[key] = seen_in(picture, panel, *more)
        return sights[key]

    def found_once(light: Any, view: Any, edge: Any) -> Any:
        if id(view) not in holes:  # views live as long as the sights that they are of
            holes[id(view)] = holes_in(light, view, edge)
        return holes[id(view)]

    patch.setattr(measuring, "seen_in", seen_once)
    patch.setattr(measuring, "holes_in", found_once)
