"""Find the rows and columns of controls, and the axis that each of them shares.

Holes drilled by measurement are off by a few tenths. Controls whose holes lie within
`SAME_AXIS` of a common line stand in one row (or column), and what is aligned across them
is aligned to the mean of their holes. Where it is known how holes were to be, that tells
which of them share a line, however they came out.
"""

from __future__ import annotations

from collections.abc import Iterator

#: Holes nearer than this to the next one in a row belong to that row, mm.
#: Common practice, no source: hand-drilled holes stand within half a millimetre or so.
SAME_AXIS = 1.0


def shared_axes(
    places: dict[str, float], nominal: dict[str, float] | None = None
) -> dict[str, float]:
    """For each hole, the mean of the coordinates of those that share its axis.

    `nominal` is where they were to be, which is the same where it is left out.

    >>> shared_axes({"A": 9.9, "B": 10.2, "C": 30.0})
    {'A': 10.05, 'B': 10.05, 'C': 30.0}
    >>> shared_axes({"A": 11.5, "B": 9.5}, nominal={"A": 10.0, "B": 10.0})
    {'A': 10.5, 'B': 10.5}
    """
    axes: dict[str, float] = {}
    for names in clustered(nominal or places, SAME_AXIS):
        axes |= dict.fromkeys(names, _mean(places, names))
    return axes


def lines_in_common(places: dict[str, float], nominal: dict[str, float]) -> dict[str, float]:
    """The same, without the holes that stand alone.

    >>> lines_in_common({"A": 9.9, "B": 10.2, "C": 30.0}, {"A": 10.0, "B": 10.0, "C": 30.0})
    {'A': 10.05, 'B': 10.05}
    """
    lines: dict[str, float] = {}
    for names in clustered(nominal, SAME_AXIS):
        if len(names) > 1:
            lines |= dict.fromkeys(names, _mean(places, names))
    return lines


def _mean(places: dict[str, float], names: list[str]) -> float:
    return sum(places[name] for name in names) / len(names)


def clustered(places: dict[str, float], reach: float) -> Iterator[list[str]]:
    """Names in runs along one coordinate, a new run where the next is further than `reach`."""
    run: list[str] = []
    for name in sorted(places, key=lambda n: (places[n], n)):
        if run and places[name] - places[run[-1]] > reach:
            yield run
            run = []
        run.append(name)
    if run:
        yield run
