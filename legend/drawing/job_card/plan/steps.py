"""Say what is done in each step of the work at the bench, and how.

Whether there is such a step, and when, `legend.drawing.job_card.plan.schedule` knows.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from legend.description.tables.stock import limits
from legend.drawing.job_card.assembly import settings
from legend.drawing.job_card.lifting import suffices
from legend.drawing.job_card.plan.coats import (
    BASE_COATS,
    TOP_COATS,
    on_the_base_coat,
    on_the_seal,
    seals,
    why_not_sealed,
)
from legend.drawing.job_card.plan.files import Files, all_of
from legend.drawing.job_card.plan.time_words import about, elapsed, span
from legend.drawing.job_card.plan.work import Work
from legend.drawing.length_words import disc_in_words
from legend.drawing.marks_on_holes import how_they_show, marked_holes
from legend.layout.artwork import Artwork
from legend.length_words import Lengths
from legend.sentences import capitalised, counted, listed
from legend.standards import RECOAT_WRINKLES
from legend.stencil.pieces.corner_marks import how_laid
from legend.stencil.pieces.lanes import can_turn
from legend.stencil.pieces.reference_lines import reference_lines
from legend.stencil.pieces.splitting import how_joined
from legend.stencil.pieces.whole_panel import how_laid_flush, is_flush
from legend.stencil.sheet import Cut

#: The title of a step, and how it is done, in paragraphs.
Told = tuple[str, tuple[str, ...]]

_COUNT = {2: "Two", 3: "Three"}


@dataclass(frozen=True, slots=True)
class Steps:
    """The steps for the method and the stock of an artwork, each when it is asked for."""

    artwork: Artwork
    work: Work
    files: Files

    @property
    def _film(self) -> bool:
        return self.artwork.description.stencil.stock == "film"

    @property
    def _lift_off(self) -> bool:
        return self.artwork.description.stencil.method == "lift-off"

    @property
    def has_trial(self) -> bool:
        """Whether the paint is to be tried first: where nobody has said when to lift."""
        description = self.artwork.description
        return self._lift_off and "lifting" not in description.bench.model_fields_set

    @property
    def _lengths(self) -> Lengths:
        return Lengths(self.artwork.description.units)

    # --- Print and cut ---

    def printing(self) -> Told:
        """The overlay."""
        return "Print the overlay, and measure it", (
            "`overlay.pdf`, at actual size. Measure a bar each way with a steel rule, and write "
            "down under “Filled in by hand” what you find. Where it is not what it says, print "
            "again with `--correction`.",
        )

    def coupon(self) -> Told:
        """The test coupon, and what must come out of it."""
        least, said = limits(self.artwork.description.stencil), self._lengths.as_decimal
        last = ("counters", least.counter) if self._film else ("bridges", least.bridge)
        carried = (("strokes", least.stroke), ("gaps", least.gap), last)
        wanted = listed(f"{what} of {said(size)} {self._lengths.unit}" for what, size in carried)
        strip = " Keep its strip for the paint trial." if self.has_trial else ""
        return "Cut the test coupon", (
            f"`{self.files.coupon}`, which `legend coupon {self.files.panel}` writes, from the "
            "same stock with the same blade. Leave it out where these and the cutter are tried."
            f"{strip}",
            f"This panel counts on {wanted}: they must come out whole. Measure the test square "
            "both ways, and write down the finest steps that did.",
        )

    def cutting(self) -> Told:
        """The sheets, and what is set for them."""
        sheets = self.work.sheets
        through = (
            "the film cut through and its backing not"
            if self._film
            else "cut right through, in as many passes as that takes"
        )
        length, takes = self._lengths.long(self.work.cut_length), about(self.work.cutting)
        how = [
            f"{all_of(self.files.stencils)}, at 100 %, {through}. Speed: {self.work.speed}. "
            f"{self._overrun()} The knife goes {length} in {takes}."
        ]
        how += self._of_the_files()
        if any(sheet.test_squares for sheet in sheets):
            how.append("Measure the test square on each sheet before you weed it.")
        if self.artwork.description.stencil.mirror:
            how.append("The files are mirrored already: do not mirror them again.")
        if self._film and self.files.cards:
            how.append(f"To place by card, {all_of(self.files.cards)} as well, from stiff card.")
        return "Cut the sheets" if len(sheets) > 1 else "Cut the sheet", tuple(how)

    def _of_the_files(self) -> Iterator[str]:
        """What the files for the cutter do not say themselves."""
        stencil = self.artwork.description.stencil
        if "dxf" in stencil.cut_as and stencil.dxf_version == "R12":
            yield "The DXF files are in mm, which R12 cannot say: set that where you open them."
        if stencil.separate:
            yield (
                "Each class of lines is a file of its own: lay those of a sheet over each other by "
                "the corner marks, or leave each where it is opened, as all are equally large."
            )

    def _overrun(self) -> str:
        stencil = self.artwork.description.stencil
        each = (("lead-in", stencil.lead_in), ("overrun", stencil.overrun))
        drawn = [f"{what}: {self._lengths.given(length)}" for what, length in each if length]
        if drawn:
            said = capitalised(listed(drawn))
            return f"{said}, drawn in the files; set none on the cutter."
        return "Overrun: none in the files; set the cutter’s own, as the coupon wants it."

    # --- The base coat, and what is done while it dries ---

    def clean(self) -> Told:
        """The metal."""
        clean = "Rub it down, wipe it with solvent, and do not touch the face again."
        return "Clean the metal", (*self._scribed(), clean, *self._with_the_discs(on=True))

    def _scribed(self) -> Iterator[str]:
        """The lines that pieces are set off from and that are no edges, which paint would hide."""
        lines = reference_lines(self.artwork.description.panel)
        if scribed := [line for line in lines if not line.is_edge]:
            them = "lines, one upright and one level," if len(scribed) > 1 else "line"
            yield f"First scribe the centre {them} that the distances under “Pieces” run from."

    def base(self) -> Told:
        """The base coat, on the scrap for the trial as well."""
        finish = self.artwork.description.finish
        coats = f"{_COUNT[BASE_COATS]} thin coats, each dull before the next."
        scrap = ("Spray a scrap of metal along with it, for the paint trial.",) * self.has_trial
        return "Spray the base coat", (f"Colour {finish.base_called}. {coats}", *scrap)

    def drying(self, number: int, takes: float, waits: bool) -> Told:
        """The wait for it, in which the step of this number is done, which takes so long.

        `waits` tells that it is dry before, and that its can forbids to go on.
        """
        if self._film:
            how = (
                "Leave it lying flat, free of dust. Try a scrap of film where a part will hide it: "
                "it must not lift the paint."
            )
        else:
            how = "Leave it lying flat, free of dust, until the stencil leaves no print in it."
        meanwhile = f"Meanwhile do step {number}, away from the dust of the paint."
        forbidden = (
            f"It is dry before, but by its can it takes no coat until {span(not_before)} are over."
            if waits and (not_before := (self.work.bench.recoat or (0.0, 0.0))[1])
            else ""
        )
        more = [meanwhile] * (takes > 0) + [forbidden] * bool(forbidden)
        return "Let the base coat dry", (how, *more)

    def weeding(self) -> Told:
        """The pieces, by the list."""
        work = self.work
        if not self._film:
            return "Press the openings out", (
                "From behind, the smallest first, on something soft. A bridge that tears is held "
                "by a strip of thin tape on the front.",
            )
        small = f"{work.counters} counters and dots in all" if work.counters else "no counters"
        small = "one counter or dot" if work.counters == 1 else small
        return "Weed the pieces", (
            f"By the list under “Weeding”: {small}, {about(work.weeding)}. A new blade, "
            "tweezers, and light from the side.",
        )

    # --- The mask, and the top coat ---

    def trial(self, ahead: float) -> Told:
        """The strip of the coupon on a scrap, which is so far ahead of the panel."""
        return "Begin the paint trial", (
            "Stick the strip of the coupon, eight small letters and two frames, on the scrap, and "
            "spray on it all that goes on the panel from here on. Note the time of its last coat.",
            "Then go on here, and lift one letter each quarter hour, as under “Paint trial”. The "
            f"scrap is {elapsed(ahead)} ahead of the panel: it tells when the panel’s letters are "
            "due.",
        )

    def placing(self) -> Told:
        """The film, or the sheet, on the panel."""
        rest = "mask the rest of the panel with paper"
        several = len(self.work.placed) != 1
        flush = [piece for piece in self.work.placed if is_flush(self.artwork, piece)]
        if flush:
            rest = "mask what it does not cover"
        if not self._film:
            what = "each piece" if several else "the stencil"
            return "Bolt the stencil on, and hold it flat", (
                f"Bolt {what} to the panel through its holes, finger-tight.",
                *self._that_turn(),
                *self._edge_to_edge(),
                f"Hold it flat with weights, or by a light tack of mounting spray, and {rest}.",
            )
        takes = span(self.work.bench.per_piece)
        if several:
            pieces = counted(len(self.work.placed), "piece")
            takes = f"{pieces}, {takes} each, in the order that stands under “Pieces”."
        else:
            takes = f"One piece, {takes}."
        card = "through its window in a placement card, " if self.files.cards else ""
        take = (
            f"Take {'each' if several else 'it'} up with transfer tape, and lay it down by its "
            f"distances, under “Pieces”, {card}or by the overlay."
        )
        shown = self._shown_by_holes()
        if flush:
            take = how_laid_flush(several)
        how_else = (*self._edge_to_edge(), *self._by_their_corners(), *self._over_the_plugs())
        if not self._lift_off:
            return "Put the stencil on", (
                takes,
                take,
                f"{shown}Rub down, peel the tape back flat on itself, and {rest}.",
                *how_else,
            )
        return "Put the letters on", (
            takes,
            take,
            f"{shown}Rub down, peel the tape back flat on itself, and look for edges that stand "
            "up.",
            *how_else,
            "Of coloured film, a photograph now tells “legend placed” which pieces to lay again; "
            "of clear film it shows only the shadow.",
        )

    def sealing(self, after: float) -> Told:
        """The thin coat that keeps the top coat from creeping under the film."""
        description = self.artwork.description
        bench = description.bench
        return "Seal the edges of the film", (
            f"Colour {description.finish.base_called}, the same as the base coat. One thin coat, "
            "all but dry: it fills the edges of the film, so that what creeps under does not show. "
            f"It is dull at once: {span(bench.sealing)}, with the spraying.",
            on_the_base_coat(bench.recoat, after),
            on_the_seal(bench.recoat, bench.sealing),
        )

    def top(self, after: float) -> Told:
        """The top coat, which begins so long after the base coat where nothing is sealed."""
        description = self.artwork.description
        finish, bench = description.finish, description.bench
        how = [
            f"Colour {finish.top_called}. {_COUNT[TOP_COATS]} thin, nearly dry coats, square on to "
            "the panel; a wet coat creeps under the edges.",
            "Note the time when the last coat is on: what follows counts from it.",
        ]
        if self._film and not suffices(self.work, self._lift_off):
            how.insert(
                0,
                "First read under “Lifting” what helps: the paint sets before one pair of hands "
                "has lifted all.",
            )
        if not seals(description):
            how += [why] if (why := why_not_sealed(description)) else []
            how.append(on_the_base_coat(bench.recoat, after))
        return "Spray the top coat", tuple(how)

    # --- Off again ---

    def taking_off(self) -> Told:
        """The film, or the sheet, from the paint."""
        discs = self._with_the_discs(on=False)
        if not self._film:
            return "Take the stencil off, and clean it", (
                "Straight up, the bolts first. Wipe the sheet clean on both sides before the paint "
                "sets, along the bridges and never across them, and lay it flat.",
                *discs,
            )
        loose = counted(self.work.to_lift, "loose piece")
        takes = f"{loose} of film, {about(self.work.lifting)}, by the list under “Lifting”."
        if not self._lift_off:
            return "Take the stencil off", (
                "While the paint is still soft. Pull back flat; then the islands, with tweezers.",
                takes,
                *discs,
            )
        return "Lift the letters", (
            "While the top coat is still soft: sooner it strings, later it chips.",
            takes,
            "Raise an end with the point of a blade, and pull it back flat on itself with "
            "tweezers. Wipe the blade often.",
            *discs,
        )

    # --- Afterwards ---

    def drying_for_clear(self) -> Told:
        """The wait for the clear coat."""
        return "Let the top coat dry", (
            "Lying flat, free of dust. The clear coat wrinkles what is not dry enough for it.",
        )

    def clear(self) -> Told:
        """The clear coat."""
        description = self.artwork.description
        window = description.bench.clear_coat
        if window is None:
            hours = RECOAT_WRINKLES[1] / 60
            when = (
                "Look on both cans when it can go over the top coat; this plan lets it wait "
                f"{hours:g} hours."
            )
        else:
            within, after = map(span, window)
            when = f"Over the top coat within {within}, or not before {after}, as the cans say."
        return "Spray the clear coat", (
            f"{capitalised(description.finish.clear)}, thin, and on a scrap first: it must not "
            f"wrinkle the coats below. {when}",
        )

    def alone(self) -> Told:
        """The wait for the paint."""
        bench = self.artwork.description.bench
        return "Leave it alone", (
            "Do not stack it, wrap it or warm it.",
            f"It can be handled after {span(bench.handling)}; it is hard after {span(bench.hard)}.",
        )

    def fitting(self) -> Told:
        """The parts."""
        washers = "Put washers under the nuts, so that they do not turn the paint."
        knobs = ("Then set each knob on its shaft, as under “Set the knobs”.",)
        return "Fit the parts", (washers, *knobs * bool(settings(self.artwork)))

    # --- Bare metal ---

    def _with_the_discs(self, on: bool) -> Iterator[str]:
        """What is done with the discs that keep metal bare, where there are any."""
        bare = self.artwork.bare_discs
        kinds = Counter(disc.what for disc in bare)
        if not kinds:
            return
        called = " and ".join(f"{kind}s" if kinds[kind] > 1 else kind for kind in sorted(kinds))
        if not on:
            yield f"Peel the bare-metal {called} off as well."
            return
        lengths = self._lengths
        discs = [f"{d.bare.hole} ({disc_in_words(d, lengths)} {lengths.unit})" for d in bare]
        yield f"Stick the bare-metal {called} on: {', '.join(discs)}."

    def _shown_by_holes(self) -> str:
        """How pieces of film show that they lie true, to go before more."""
        stencil = self.artwork.description.stencil
        if stencil.registration == "none":
            return (
                "Nothing is cut to show a piece its place: trim the tape exactly to the weeding "
                "box, and bring the sides of that where they belong. "
            )
        counts = [len(marked_holes(self.artwork, piece)) for piece in self.work.placed]
        said = how_they_show(stencil, counts)
        return f"{said} " if said else ""

    def _edge_to_edge(self) -> Iterator[str]:
        """How the parts are laid of what was larger than the stock, where there are any."""
        if said := how_joined(self.work.pieces, self.artwork.description.stencil):
            yield said

    def _that_turn(self) -> Iterator[str]:
        """How pieces of sheet are laid that their holes do not hold true, where there are any."""
        turning = [str(piece.number) for piece in self.work.pieces if can_turn(piece)]
        if turning:
            which, has = ("Piece", "is") if len(turning) == 1 else ("Pieces", "are")
            yield (
                f"{which} {listed(turning)} {has} not held true by that: turn or push it true by "
                "its distances, under “Pieces”, before you tighten anything."
            )

    def _by_their_corners(self) -> Iterator[str]:
        """How pieces are laid that have no hole, where there are any."""
        if said := how_laid(self.work.pieces, self.artwork.description.stencil, self._lengths):
            yield said

    def _over_the_plugs(self) -> Iterator[str]:
        """What pieces are brought to whose hole is under a plug, where there are any."""
        for plug in self.artwork.bare_discs:
            for piece in self.work.pieces if plug.what == "plug" else ():
                if any(
                    path.cut is Cut.REGISTRATION and plug.outline.shape.covers(path.outline.shape)
                    for path in piece.paths
                ):
                    yield (
                        f"The hole {plug.bare.hole} is under its plug: bring piece {piece.number} "
                        "to the edge of that, which shows under the paint."
                    )
