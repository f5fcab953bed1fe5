"""Schedule the work at the bench: every step with the times between which it is done.

The pieces are weeded while the base coat dries. The times are those of the
description's [bench].
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from legend.description.tables.bench import Bench
from legend.drawing.job_card.plan.coats import clear_begins, seals
from legend.drawing.job_card.plan.files import Files
from legend.drawing.job_card.plan.steps import Steps, Told
from legend.drawing.job_card.plan.time_words import whole
from legend.drawing.job_card.plan.work import Work
from legend.layout.artwork import Artwork


@dataclass(frozen=True, slots=True)
class Step:
    """One step: what to do, how, and between which minutes from the start.

    `hands` are the minutes that it keeps somebody busy. `window` tells that it must be done
    within these times, not that it takes them.
    """

    title: str
    how: tuple[str, ...]
    begin: float
    end: float
    hands: float
    window: bool = False


@dataclass(frozen=True, slots=True)
class Plan:
    """All steps in order."""

    steps: tuple[Step, ...]

    @property
    def hands_on(self) -> float:
        """Minutes of work, all steps together."""
        return sum(step.hands for step in self.steps)

    @property
    def elapsed(self) -> float:
        """Minutes from the first step to the last."""
        return max(step.end for step in self.steps)

    @property
    def waiting(self) -> float:
        """Minutes in which nothing is to be done."""
        return round(self.elapsed) - self.hands_on


def plan_of(artwork: Artwork, work: Work, files: Files) -> Plan:
    """The steps for the method and the stock of this artwork, each with its times."""
    description = artwork.description
    bench, lift_off = description.bench, description.stencil.method == "lift-off"
    steps = Steps(artwork, work, files)

    # What is cut comes first, because it tells whether the rest will do, and because what keeps
    # metal bare is among it; what is weeded, while the base coat dries.
    first = [(steps.printing(), bench.printing)]
    if work.pieces:
        first.append((steps.coupon(), bench.coupon))
        first.append((steps.cutting(), work.cutting + bench.per_sheet * len(work.sheets)))
    first += [(steps.clean(), bench.cleaning), (steps.base(), bench.base_coat)]
    done = _in_turn(first, 0.0)
    based = done[-1].end
    meanwhile = _in_turn([(steps.weeding(), work.weeding)] if work.pieces else [], based)
    tried = whole(bench.trial) if steps.has_trial else 0.0
    placing = tried + whole(work.placing)
    dry = max(bench.base_drying, whole(work.weeding))
    until = _not_forbidden(bench, dry, placing)
    told = steps.drying(len(first) + 2, work.weeding, waits=until > dry)
    drying = Step(*told, based, based + until, 0.0)

    # On with the film, or the sheet, and the paint.
    now = drying.end
    ahead = whole(work.placing) + whole(bench.sealing) * seals(description) + whole(bench.top_coat)
    putting_on: list[tuple[Told, float]] = []
    if steps.has_trial:
        putting_on.append((steps.trial(ahead), bench.trial))
    putting_on.append((steps.placing(), work.placing))
    after = until + placing
    if seals(description):
        putting_on.append((steps.sealing(after), bench.sealing))
    putting_on.append((steps.top(after), bench.top_coat))
    painting = _in_turn(putting_on, now)
    painted = painting[-1].end

    # Off with it, and the rest.
    opens, closes = bench.lifting if lift_off else bench.unmasking
    off = work.lifting if description.stencil.stock == "film" else work.placing
    window = Step(*steps.taking_off(), painted + opens, painted + closes, whole(off), window=True)
    after_it = _afterwards(artwork, steps, painted, window.end)
    return Plan((*done, drying, *meanwhile, *painting, window, *after_it))


def _not_forbidden(bench: Bench, dry: float, placing: float) -> float:
    """How long to wait after the base coat, dry by then, so that nothing is sprayed on it too soon.

    The next coat comes when all is placed; that of the trial, on the same base coat, before.
    """
    within, not_before = bench.recoat or (0.0, 0.0)
    return max(dry, not_before) if within < dry + placing < not_before else dry


def _in_turn(told: Sequence[tuple[Told, float]], begin: float) -> list[Step]:
    """Steps that follow each other, each with what it takes."""
    steps = []
    for said, reckoned in told:
        takes = whole(reckoned)
        steps.append(Step(*said, begin, begin + takes, takes))
        begin += takes
    return steps


def _afterwards(artwork: Artwork, steps: Steps, painted: float, free: float) -> list[Step]:
    """From when the panel is free of film and sheets: the clear coat, the drying, the parts."""
    bench = artwork.description.bench
    after: list[Step] = []
    if artwork.description.finish.has_clear:
        begin = painted + clear_begins(artwork.description, free - painted)
        if begin > free:
            after.append(Step(*steps.drying_for_clear(), free, begin, 0.0))
        painted, free = begin + bench.top_coat, begin + bench.top_coat
        after.append(Step(*steps.clear(), begin, painted, bench.top_coat))
    handled = max(painted + bench.handling, free)
    after.append(Step(*steps.alone(), free, handled, 0.0))
    after.append(Step(*steps.fitting(), handled, handled, 0.0))
    return after
