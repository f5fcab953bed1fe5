"""The scale of a control as a description gives it: its law, its ends, and what is marked on it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Annotated, Any

from pydantic import Field

from legend.description.laws import LAWS, DomainError, LawSpec
from legend.description.table import Clash, Table
from legend.description.values import Angle, Calibration, Flag, LawName, Number, Taper, Words


class Band(Table):
    """A part of a scale that is drawn broad, from one value to another."""

    from_: Number = Field(alias="from")
    to: Number


class Scale(Table):
    """A scale round a control, beside one, or over a meter: its law and where it stands.

    `sweep` is the travel in degrees; `start` is where it begins, by default half the sweep
    left of the top. `major` gives the numbered values and `step` the finest step, where they
    are not to be chosen by the program. `low` and `high` are words for the two ends. `points`
    are values marked by a wedge, such as a zero or a calibration; `band` holds the parts that
    are drawn broad; `arc` asks for a line along the feet of the graduations.
    """

    law: LawName = "linear"
    from_: Number = Field(alias="from")
    to: Number
    sweep: Annotated[float, Field(strict=True, gt=0, le=360)] | None = None
    start: Angle | None = None
    unit: Words = ""
    taper: Taper = "linear"
    table: Calibration = ()
    major: Annotated[tuple[Number, ...], Field(max_length=200)] = ()
    step: Annotated[float, Field(strict=True, gt=0, le=1e15)] | None = None
    low: Words = ""
    high: Words = ""
    points: Annotated[tuple[Number, ...], Field(max_length=50)] = ()
    band: Annotated[tuple[Band, ...], Field(max_length=50)] = ()
    arc: Flag = False

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
            LAWS[self.law](LawSpec(self.from_, self.to, self.taper, self.table))
        except DomainError as error:
            yield (
                "table" if self.law == "table" and not self.table else "from",
                f"cannot be: {error}",
            )
            return
        if self.law == "log" and abs(math.log10(self.to / self.from_)) > 12:
            yield "to", "runs through more than twelve decades; give ends that lie nearer together"
        low, high = sorted((self.from_, self.to))
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
