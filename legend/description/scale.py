"""The scale of a control as a description gives it: its law, its ends, and what is marked on it."""

import math
from collections.abc import Iterator, Mapping
from typing import Annotated, Any

from pydantic import Field

from legend.description.laws import LAWS, DomainError, Law, LawSpec
from legend.description.table import Clash, Table
from legend.description.values import (
    Angle,
    Calibration,
    Flag,
    LawName,
    Number,
    Step,
    Taper,
    Words,
    number_up_to,
)

#: More graduations than any scale has.
MOST_GRADUATIONS = 1000
#: No scale runs through more decades.
_MOST_DECADES = 12
#: Values whose difference is a smaller part of them than this have one numeral.
_LEAST_SPAN = 1e-9


class Band(Table):
    """A part of a scale that is drawn broad, from one value to another."""

    from_: Number = Field(alias="from")
    """The value where it begins."""
    to: Number
    """The value where it ends."""


class Scale(Table):
    """A scale round a knob, beside a slide, or over a meter: its law and where it stands."""

    law: LawName = "linear"
    """How values stand on the travel: see the laws of scales."""
    from_: Number = Field(alias="from")
    """The value at the beginning of the travel."""
    to: Number
    """The value at its end."""
    sweep: Annotated[float, number_up_to(360)] | None = None
    """The travel in degrees, clockwise. Left out, 300 round a knob and 90 over a meter; a table
    has its own."""
    start: Angle | None = None
    """Where the travel begins. Left out, half the sweep to the left of the top."""
    unit: Words = ""
    """The unit of the values, set where the scale leaves room for it, else with the name."""
    taper: Taper = "linear"
    """The track of the control, for law = "taper": one of those by name, or measured."""
    table: Calibration = ()
    """What was measured, for law = "table"."""
    major: Annotated[tuple[Number, ...], Field(max_length=200)] = ()
    """The values to be numbered, besides the ends. Left out, they are chosen by the room."""
    step: Step | None = None
    """The finest step of the graduations. Left out, it is chosen by the room."""
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

    def as_law(self) -> Law:
        """The law by which its values stand. Error: DomainError where it has no place for them."""
        return LAWS[self.law](LawSpec(self.from_, self.to, self.taper, self.table))

    @classmethod
    def clashes(cls, given: Mapping[str, Any]) -> Iterator[Clash]:
        """Keys of another law."""
        law = given.get("law", "linear")
        for key in ("taper", "table"):
            if key in given and law != key and law in list(LAWS):
                yield key, f'has a {key}, which only law = "{key}" takes'

    def unsound(self) -> Iterator[Clash]:
        """Values that the law has no place for."""
        if self.from_ == self.to:
            yield "to", f"begins and ends at {self.to:g}; give two different values"
            return
        try:
            self.as_law()
        except DomainError as error:
            yield (
                "table" if self.law == "table" and not self.table else "from",
                f"cannot be: {error}",
            )
            return
        low, high = sorted((self.from_, self.to))
        if high - low < _LEAST_SPAN * max(abs(low), abs(high)):
            yield "to", f"ends at {self.to:.15g}, too near to where it begins to be told apart"
        if self.step is not None and (high - low) / self.step > MOST_GRADUATIONS:
            yield (
                "step",
                f"has a step of {self.step:g}, which makes more than {MOST_GRADUATIONS} "
                "graduations; no scale has room for so many, so give a greater step",
            )
        if self.law == "log" and abs(math.log10(self.to / self.from_)) > _MOST_DECADES:
            what = f"runs through more than {_MOST_DECADES} decades; give ends nearer together"
            yield "to", what
        bands = [value for band in self.band for value in (band.from_, band.to)]
        for key, values in (("major", self.major), ("points", self.points), ("band", bands)):
            for value in values:
                if not low <= value <= high:
                    yield (
                        key,
                        f"has {value:g} in {key}, which is off the scale; it runs from "
                        f"{self.from_:g} to {self.to:g}",
                    )
        for band in self.band:
            if band.from_ == band.to:
                yield "band", f"has a band that begins and ends at {band.to:g}"
