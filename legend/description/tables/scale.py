"""Define the scale table of a control: its law, its ends, and what is marked on it."""

import math
from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar

from pydantic import Field

from legend.description.laws import LAWS, TAPERS, DomainError, Law, LawSpec
from legend.description.table import Clash, Table, words_for
from legend.description.values import (
    Angle,
    Calibration,
    Flag,
    HoleId,
    LawName,
    Number,
    Step,
    Taper,
    Words,
    number_up_to,
)
from legend.limits import MOST_DECADES, MOST_GRADUATIONS
from legend.sentences import listed

#: Values whose difference is a smaller part of them than this have one numeral.
_LEAST_SPAN = 1e-9
#: The ends of a scale of two words, which has no values to show.
_OF_WORDS = (0.0, 1.0)
#: What can only be said of a scale that has values.
NEEDS_VALUES = ("law", "unit", "taper", "table", "numbered", "step", "points", "band")
#: What a table of measured degrees says by itself.
SAID_BY_A_TABLE = ("sweep", "track", "start")


class Band(Table):
    """A part of a scale that is drawn broad, from one value to another."""

    from_: Number = Field(alias="from")
    """The value where it begins."""
    to: Number
    """The value where it ends."""


class Scale(Table):
    """A scale round a knob, beside a slide, or over a meter: its law and where it stands."""

    renamed: ClassVar[Mapping[str, str]] = {"major": "numbered"}

    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "from": "min minimum begin",
            "to": "max maximum end",
            "law": "type curve kind",
            "sweep": "angle degrees rotation travel",
            "unit": "units",
            "step": "minor divisions interval",
            "numbered": "numerals numbers values",
            "low": "left first",
            "high": "right last",
        }
    )

    law: LawName = "linear"
    """How values stand on the travel: see the laws of scales."""
    from_: Number | None = Field(default=None, alias="from")
    """The value at the beginning of the travel. Left out, there are no values, but the two words
    of `low` and `high`; `to` is then left out as well."""
    to: Number | None = None
    """The value at its end. Left out, as `from` is."""
    sweep: Annotated[float, number_up_to(360)] | None = None
    """The travel in degrees, clockwise. Left out, 300 round a knob and 90 over a meter; a table
    has its own."""
    start: Angle | None = None
    """Where the travel begins. Left out, half the sweep to the left of the top."""
    track: Annotated[float, number_up_to(360)] | None = None
    """The degrees in the middle of the sweep over which the resistance of a turned control
    changes: the scale stands along them, and the dead ends stay bare. Left out, the whole sweep;
    with a taper by name what is usual for it, and a note says so."""
    unit: Words = ""
    """The unit of the values, set where the scale leaves room for it, else with the name."""
    taper: Taper = "linear"
    """The track of the control, for law = "taper": one of those by name, or measured."""
    table: Calibration = ()
    """What was measured, for law = "table"."""
    numbered: Annotated[tuple[Number, ...], Field(max_length=200)] | None = None
    """The values to be numbered, besides the ends; with [] these alone. Left out, they are chosen
    by the room, and by the step where one is given."""
    step: Step | None = None
    """The step from one graduation to the next, counted from 0. Left out, it is chosen by the
    room, as 1, 2 or 5 times a power of ten."""
    low: Words = ""
    """A word instead of the numeral at the beginning, such as "OFF"."""
    high: Words = ""
    """A word instead of the numeral at the end."""
    points: Annotated[tuple[Number, ...], Field(max_length=50)] = ()
    """Values marked by a wedge, such as a zero or a point of calibration."""
    band: Annotated[tuple[Band, ...], Field(max_length=50)] = ()
    """Parts that are drawn broad, such as a danger zone."""
    arc: Flag = False
    """Whether a line runs along the feet of the graduations."""
    shared_with: HoleId | None = None
    """The hole of the slide beside it that it is for as well: the numerals stand in the middle
    between both, with graduations on either side. Left out, it is for its own control."""

    @property
    def of_words(self) -> bool:
        """Whether it has two words at its ends, and no values."""
        return self.from_ is None or self.to is None

    @property
    def ends(self) -> tuple[float, float]:
        """The values at the beginning and at the end of the travel."""
        if self.from_ is None or self.to is None:
            return _OF_WORDS
        return self.from_, self.to

    @property
    def usual_track(self) -> float | None:
        """The part of the sweep that is taken for the track of a taper by name; None for none.

        What was measured, as a track or as a taper, is taken as it is.
        """
        if self.law != "taper" or not isinstance(self.taper, str) or self.track is not None:
            return None
        return TAPERS[self.taper].track

    def as_law(self) -> Law:
        """The law by which its values stand. Error: DomainError where it has no place for them."""
        return LAWS[self.law](LawSpec(*self.ends, self.taper, self.table))

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """Keys of another law, and what a scale needs to have values."""
        law = given.get("law", "linear")
        for key in ("taper", "table"):
            if key in given and law != key and law in list(LAWS):
                yield key, f'has a {key}, which only law = "{key}" takes'
        for key in SAID_BY_A_TABLE if law == "table" else ():
            if key in given:
                yield (
                    key,
                    f"has a {key}, but its table has degrees of its own; leave one of them out",
                )
        yield from _without_values(given)

    def unsound(self) -> Iterator[Clash]:
        """Values that the law has no place for."""
        begin, end = self.ends
        if self.of_words:
            return
        if begin == end:
            yield "to", f"begins and ends at {end:g}; give two different values"
            return
        try:
            self.as_law()
        except DomainError as error:
            yield (
                "table" if self.law == "table" and not self.table else "from",
                f"cannot be: {error}",
            )
            return
        low, high = sorted(self.ends)
        if high - low < _LEAST_SPAN * max(abs(low), abs(high)):
            yield "to", f"ends at {end:.15g}, too near to where it begins to be told apart"
        if self.step is not None and (high - low) / self.step > MOST_GRADUATIONS:
            yield (
                "step",
                f"has a step of {self.step:g}, which makes more than {MOST_GRADUATIONS} "
                "graduations; no scale has room for so many, so give a greater step",
            )
        if self.law == "log" and abs(math.log10(end / begin)) > MOST_DECADES:
            what = f"runs through more than {MOST_DECADES} decades; give ends nearer together"
            yield "to", what
        bands = [value for band in self.band for value in (band.from_, band.to)]
        marked = (("numbered", self.numbered or ()), ("points", self.points), ("band", bands))
        for key, values in marked:
            for value in values:
                if not low <= value <= high:
                    yield (
                        key,
                        f"has {value:g} in {key}, which is off the scale; it runs from "
                        f"{begin:g} to {end:g}",
                    )
        for band in self.band:
            if band.from_ == band.to:
                yield "band", f"has a band that begins and ends at {band.to:g}"


def _without_values(given: Mapping[str, Any]) -> Iterator[Clash]:
    """What is lacking, or too much, where not both ends of a scale have a value."""
    lacking = [key for key in ("from", "to") if key not in given]
    words = [key for key in ("low", "high") if str(given.get(key, "")).strip()]
    if lacking and len(words) == 1:
        (other,) = {"low", "high"} - set(words)
        yield (
            "",
            f"has {words[0]} alone; give {other} as well for a scale of two words, or its values "
            "as from and to",
        )
    elif len(lacking) == 1 or (lacking and not words):
        yield "", f"lacks {listed(lacking)}, the values at its ends"
    elif lacking:
        for key in NEEDS_VALUES:
            if key in given:
                yield key, f"has {key}, but no values; give from and to, or leave {key} out"
