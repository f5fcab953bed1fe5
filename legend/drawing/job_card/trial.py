"""Tell of the paint trial: which letter of the test coupon's strip is lifted when."""

from __future__ import annotations

from dataclasses import dataclass

from legend.description.tables.description import Stencil
from legend.stencil.coupon.paint_trial import APART, FRAMES, lifting_plan, lifts


@dataclass(frozen=True, slots=True)
class Lift:
    """What is lifted: its number, the letter, perhaps its frame, and how long after the coat."""

    number: int
    what: str
    after: str


@dataclass(frozen=True, slots=True)
class TrialSection:
    """All that the job card tells of the trial: minutes from lift to lift, the last letters of
    the frames, and the lifts in order."""

    apart: int
    last: tuple[str, ...]
    lifts: tuple[Lift, ...]


def trial_section(stencil: Stencil) -> TrialSection | None:
    """The section for a stencil; None where nothing is lifted letter by letter."""
    if not lifts(stencil):
        return None
    plan = [
        Lift(number, letter + ", frame" * frame, f"{minutes // 60}:{minutes % 60:02} h")
        for number, (minutes, letter, frame) in enumerate(lifting_plan(), 1)
    ]
    return TrialSection(APART, tuple(frame[-1] for frame in FRAMES), tuple(plan))
