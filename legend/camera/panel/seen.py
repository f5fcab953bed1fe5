"""Tell what was found of a panel in a picture, or why it is refused and what to do."""

from __future__ import annotations

from dataclasses import dataclass

from legend.camera.view import View
from legend.failures import PlainError


class PanelUnseenError(PlainError):
    """A picture in which the panel cannot be measured; the message says what to do instead."""


class DoubtfulPanelError(PanelUnseenError):
    """A picture in which the panel is seen, but not so that its datum is sure."""


@dataclass(frozen=True, slots=True, eq=False)
class SeenPanel:
    """How a picture sees the panel.

    `views` are all ways in which its outline may lie there, the likeliest first: an outline that
    looks the same turned by a half has two, and only its holes tell which it is. `turn_open` says
    that it may be turned by any angle, as a round one. `covered` is the share of each edge that was
    seen, `datum_uncertainty` how far its datum may be off, mm, at 95 %; `assumed` what was taken
    for granted, in whole sentences.
    """

    views: tuple[View, ...]
    turn_open: bool = False
    covered: tuple[float, ...] = ()
    datum_uncertainty: float = 0.0
    assumed: tuple[str, ...] = ()

    @property
    def view(self) -> View:
        """The likeliest of the views."""
        return self.views[0]
