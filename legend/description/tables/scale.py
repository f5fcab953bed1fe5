"""Define the scale table of a control: its law, its ends, and what is marked on it."""

import math
from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar

from pydantic import Field

from legend.description.laws import LAWS, TAPERS, DomainError, Law, LawSpec
from legend.description.table import Clash, Table, words_for
from legend.description.values.choices import LawName, Taper
from legend.description.values.number_values import (
    Angle,
    Calibration,
    Flag,
    Number,
    Step,
    number_up_to,
)
from legend.description.values.placed_words import PlacedWords
from legend.description.values.text_values import HoleId, Words
from legend.limits import MOST_DECADES, MOST_GRADUATIONS
from legend.sentences import listed

#: Values whose difference is a smaller part of them than this have one numeral.
_LEAST_SPAN = 1e-9
#: The ends of a scale of two words, which has no values to show.
_OF_WORDS = (0.0, 1.0)
_FEWEST_WORDS = 2
_FULL_TURN = 360 - 1e-9
#: What can only be said of a scale that has values.
NEEDS_VALUES = (
    "law",
    "unit",
    "taper",
    "table",
    "numbered",
    "numbered_step",
    "step",
    "powers",
    "plus",
    "points",
    "band",
)
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
    """The value at the beginning of the travel. Left out, there are no values, but words: the two
    of `low` and `high`, or the list of `words`; `to` is then left out as well."""
    to: Number | None = None
    """The value at its end. Left out, as `from` is."""
    sweep: Annotated[float, number_up_to(360)] | None = None
    """The travel in degrees, clockwise. Left out, 300 round a knob and 90 over a meter; a table
    has its own."""
    start: Angle | None = None
    """Where the travel begins. Left out, half the sweep to the left of the top; of a full turn, at
    the top."""
    track: Annotated[float, number_up_to(360)] | None = None
    """The degrees in the middle of the sweep over which the resistance of a turned control
    changes: the scale stands along them, and the dead ends stay bare. Left out, the whole sweep;
    with a taper by name what is usual for it, and a note says so."""
    unit: Words = ""
    """The unit of the values, set where the scale leaves room for it, else with the name: in a row
    of knobs, and on knobs that are alike, all in the same place."""
    taper: Taper = "linear"
    """The track of the control, for law = "taper": one of those by name, or measured."""
    table: Calibration = ()
    """What was measured, for law = "table"."""
    numbered: Annotated[tuple[Number, ...], Field(max_length=200)] | None = None
    """The values to be numbered, besides the ends; with [] these alone. Left out, they are chosen
    by the room, and by the step where one is given."""
    numbered_step: Step | None = None
    """Or the step from one numbered value to the next, counted from 0; the ends are numbered
    besides."""
    step: Step | None = None
    """The step from one graduation to the next, counted from 0. Left out, it is chosen by the
    room, as 1, 2 or 5 times a power of ten."""
    low: Words = ""
    """A word instead of the numeral at the beginning, such as "OFF"."""
    high: Words = ""
    """A word instead of the numeral at the end."""
    words: PlacedWords = ()
    """Words instead of numerals at some values, each of which is numbered then, such as
    { 0 = "N", 90 = "E" }; a value with a point stands in quotation marks, as { "0.5" = "HALF" }.
    Without from and to, a list of words that stand evenly from the beginning to the end, or all
    the way round a full turn."""
    powers: Flag = False
    """Whether powers of ten are set as a 10 with its exponent raised, but for 1 and 10. Where the
    scale goes by decades, these alone are numbered then."""
    plus: Flag = False
    """Whether values above 0 bear a plus sign, as on a fine control about zero."""
    points: Annotated[tuple[Number, ...], Field(max_length=50)] = ()
    """Values marked by a wedge, such as a zero or a point of calibration."""
    band: Annotated[tuple[Band, ...], Field(max_length=50)] = ()
    """Parts that are drawn broad, such as a danger zone."""
    arc: Flag = False
    """Whether a line runs along the feet of the graduations."""
    shared_with: HoleId | None = None
    """The hole of the slide, bargraph or edge meter beside it that it is for as well: the numerals
    stand in the middle between both, with graduations on either side. Left out, it is for its own
    control."""

    @property
    def of_words(self) -> bool:
        """Whether it has words, and no values."""
        return self.from_ is None or self.to is None

    @property
    def ends(self) -> tuple[float, float]:
        """The values at the beginning and at the end of the travel."""
        if self.from_ is None or self.to is None:
            return _OF_WORDS
        return self.from_, self.to

    @property
    def full_turn(self) -> bool:
        """Whether its end meets its beginning."""
        return self.sweep is not None and self.sweep >= _FULL_TURN and self.law != "table"

    @property
    def words_at(self) -> Mapping[float, str]:
        """The words that stand instead of numerals, by value.

        On a full turn what is said of its end is said of its beginning, which is one place with it.
        """
        begin, end = self.ends
        parts = len(self.words) if self.full_turn else max(len(self.words) - 1, 1)
        words = {begin: self.low, end: self.high}
        words |= {
            i / parts if value is None else value: word
            for i, (value, word) in enumerate(self.words)
        }
        if self.full_turn:
            words[begin] = (words[begin].strip() and words[begin]) or words[end]
        return {value: word for value, word in words.items() if word.strip()}

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
        if "numbered" in given and "numbered_step" in given:
            yield "numbered_step", "has both numbered and numbered_step; give one of them"
        yield from _without_values(given)

    def unsound(self) -> Iterator[Clash]:
        """Values that the law has no place for."""
        begin, end = self.ends
        if self.of_words:
            if self.words and len(self.words) < _FEWEST_WORDS:
                yield "words", "has one word alone; give at least two, or its values as from and to"
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
        for key, step in (("step", self.step), ("numbered_step", self.numbered_step)):
            if step is not None and (high - low) / step > MOST_GRADUATIONS:
                yield (
                    key,
                    f"has a {key} of {step:g}, which makes more than {MOST_GRADUATIONS} "
                    "graduations; no scale has room for so many, so give a greater one",
                )
        if self.law == "log" and abs(math.log10(end / begin)) > MOST_DECADES:
            what = f"runs through more than {MOST_DECADES} decades; give ends nearer together"
            yield "to", what
        bands = [value for band in self.band for value in (band.from_, band.to)]
        marked = (
            ("numbered", self.numbered or ()),
            ("points", self.points),
            ("band", bands),
            ("words", [value for value, _ in self.words if value is not None]),
        )
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
    ends = [key for key in ("low", "high") if str(given.get(key, "")).strip()]
    row = isinstance(given.get("words"), (list, tuple)) and bool(given["words"])
    if row and len(lacking) < len(("from", "to")):
        yield (
            "words",
            "has values, and its words as a list; say at which value each of them stands, such as "
            'words = { 0 = "N", 90 = "E" }',
        )
    elif row and ends:
        yield (
            ends[0],
            f"has {ends[0]} besides its words as a list, whose first and last stand at its ends",
        )
    elif lacking and len(ends) == 1:
        (other,) = {"low", "high"} - set(ends)
        yield (
            "",
            f"has {ends[0]} alone; give {other} as well for a scale of two words, or its values "
            "as from and to",
        )
    elif len(lacking) == 1 or (lacking and not ends and not row):
        yield "", f"lacks {listed(lacking)}, the values at its ends"
    elif lacking:
        by_value = ("words",) if not row else ()
        for key in (*NEEDS_VALUES, *by_value):
            if key in given:
                yield key, f"has {key}, but no values; give from and to, or leave {key} out"
