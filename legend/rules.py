"""List the design rules that artwork is checked by, each with its finding's code and source.

It stands under all rooms, because a description may name the codes, under `meant`, that the
inspection of the artwork finds.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from legend.standards import (
    BUTTON_ROOM,
    FINE_STROKE,
    KNOB_ROOM,
    LEAST_CONTRAST,
    LEAST_MARK_GAP,
    LEAST_SELECTOR_STEP,
    LEGENDS_APART,
    LEVEL_STEP,
    MARK_GAP,
    MOST_BETWEEN_NUMBERED,
    MOST_BRIDGE_PER_HEIGHT,
    MOST_POSITIONS,
    MOST_POSITIONS_UNSEEN,
    TEXT_CONTRAST,
    TOGGLE_ROOM,
    TOGGLES_APART,
    TURNED_ROOM,
)


@dataclass(frozen=True, slots=True)
class Rule:
    """What a finding is about, in words that stand by themselves, and the source of its rule.

    `severities` are those of `legend.layout.artwork.Severity` that it may have, the usual one
    first.
    """

    finds: str
    severities: tuple[str, ...]
    source: str


_ERROR, _WARNING, _NOTE = ("error",), ("warning",), ("note",)
_PRACTICE = "common practice, no source"
_CODE = _PRACTICE + "; the code where you live may ask for more"
_ON = "MIL-STD-1472E, 5.5.2: labels are on or very near what they name"

#: The rule behind each code, by what it is about.
RULES_ABOUT: Mapping[str, Mapping[str, Rule]] = {
    "Where legends stand": {
        "off-panel": Rule("A legend runs off the panel.", _ERROR, _ON),
        "near-edge": Rule(
            f"A legend is nearer to the panel's edge than its gap: {MARK_GAP:g} of its capital "
            f"height, at least {LEAST_MARK_GAP:g} mm.",
            _WARNING,
            _PRACTICE,
        ),
        "over-hole": Rule("A legend lies over a hole.", _ERROR, _PRACTICE),
        "hidden": Rule(
            "A legend lies under what is fitted in a hole: a knob, a nut, a bezel.",
            _ERROR,
            "MIL-STD-1472E, 5.5.2.2: labels are not hidden by the control",
        ),
        "near-part": Rule(
            "A legend is nearer than its gap to a part that is not its own.", _WARNING, _PRACTICE
        ),
        "rule-parted": Rule(
            "A rule runs into a fitted part, a hole or bare metal, and stops before it.",
            _NOTE,
            _PRACTICE,
        ),
        "touching": Rule(
            "Two legends touch.",
            _ERROR,
            "NUREG-0700 rev. 3, 11.4.1.5-7: space between characters",
        ),
        "crowded": Rule(
            "Two legends that do not belong together, or two numerals that were asked for, are "
            "nearer than their gap.",
            _WARNING,
            _PRACTICE,
        ),
        "run-together": Rule(
            f"Two legends on one baseline are less than {LEGENDS_APART:g} capital height apart, "
            "and may be read as one.",
            _WARNING,
            _PRACTICE + "; NUREG-0700 rev. 3, 11.4.1.5-7 has a character's width between words",
        ),
        "nearer-to-other": Rule(
            "A name is nearer to another control than to its own.", _WARNING, _ON
        ),
        "nearer-to-legend": Rule(
            "A name is nearer to a legend of another control than to its own control and the "
            "rest of its legends.",
            _NOTE,
            _ON,
        ),
    },
    "Lettering": {
        "too-small": Rule(
            "Capitals are too small to be read from the viewing distance.",
            _WARNING,
            "NUREG-0700 rev. 3, 11.4.1.5-1: at least 15 minutes of arc",
        ),
        "stroke-ratio": Rule(
            "Strokes are far finer, or far broader, for their height than can be read well.",
            _WARNING,
            "DOD-HDBK-791(AM), 6-5.3.2.3: stroke over height",
        ),
        "levels-alike": Rule(
            f"Titles, groups and names are neither of one height nor {LEVEL_STEP:g} times apart.",
            _WARNING,
            _PRACTICE,
        ),
        "level-heights": Rule(
            "Positions and numerals, which are one level, are of two heights that were asked for.",
            _NOTE,
            "NUREG-0700 rev. 3, 11.4.1.5-1: letters of one level of a hierarchy of one height",
        ),
        "repeats-heading": Rule(
            "A name says again what the heading of its group says, or a position what its "
            "control is called.",
            _NOTE,
            "NUREG-0700 rev. 3, hierarchic labels",
        ),
        "full-stop": Rule(
            "A legend of a few words has a full stop after a whole word.",
            _NOTE,
            "MIL-STD-1472E, 5.5.3.2",
        ),
        "fine-stroke": Rule(
            f"Strokes on film are finer than {FINE_STROKE:g} mm, and take a new blade and a "
            "steady hand. One note tells of all.",
            _NOTE,
            _PRACTICE,
        ),
        "thin-stroke": Rule("Strokes are finer than the stock carries.", _WARNING, _PRACTICE),
        "small-counter": Rule(
            "The enclosed part of a letter is smaller than the stock carries.",
            _WARNING,
            _PRACTICE,
        ),
        "filled-counter": Rule(
            "Strokes are so heavy that they fill the enclosed part of a letter.",
            _WARNING,
            _PRACTICE,
        ),
        "heavy-bridge": Rule(
            f"Bridges are wider than {MOST_BRIDGE_PER_HEIGHT:g} of the height of the letters that "
            "they cross, and eat them.",
            _WARNING,
            _PRACTICE,
        ),
        "narrow-mouth": Rule(
            "On rigid stock, a letter all but encloses a part of it, which hangs by a mouth "
            "narrower than a bridge.",
            _WARNING,
            _PRACTICE,
        ),
        "narrow-gap": Rule(
            "Letters stand closer together than the stock carries.", _WARNING, _PRACTICE
        ),
        "fitted": Rule(
            "A name or a note, or the positions of a selector, were set in more lines, narrowed or "
            "made smaller to fit their room.",
            _NOTE,
            _PRACTICE,
        ),
        "height-found": Rule(
            "A height was found by what fits, as it was asked for; it says what stops it.",
            _NOTE,
            _PRACTICE,
        ),
        "not-alike": Rule(
            "Names stand higher or lower, or are of another height, than on the panel or the unit "
            "that this one is to match.",
            _NOTE,
            _PRACTICE,
        ),
        "no-room": Rule(
            "A name, a note or the positions of a selector do not fit their room even so; it says "
            "how much is lacking.",
            _ERROR,
            _PRACTICE,
        ),
        "lettering": Rule(
            "Letters are not all as asked for: some that the face lacks are from the built-in "
            "one, or their curves were made of straight lines.",
            _NOTE,
            _PRACTICE,
        ),
        "not-drawn": Rule(
            "A legend could not be drawn: a character or a symbol that there is not, a value "
            "that its law has no place for.",
            _ERROR,
            _PRACTICE,
        ),
    },
    "Scales": {
        "scale-backwards": Rule(
            "Values fall clockwise, upward or to the right.",
            _WARNING,
            "MIL-STD-1472E, 5.1.3.3 (rotary), 5.1.3.4 (linear), 5.4.1.2.1 (controls): values rise "
            "clockwise, upward, or to the right",
        ),
        "no-dead-zone": Rule(
            "The end of a scale comes too near to its beginning to tell them apart: a warning "
            "where they all but meet, a note where they are nearer than numerals are.",
            ("warning", "note"),
            "NUREG-0700 rev. 2, 1.6.4-11: a gap of at least one numbered interval",
        ),
        "not-shared": Rule(
            "The numerals of a scale cannot stand between two slides, and stand beside the first.",
            _ERROR,
            _PRACTICE,
        ),
        "too-fine": Rule(
            "Graduations would stand nearer to each other than the stock carries. Such a step is "
            "refused; the finest that fits is told, and drawn.",
            _ERROR,
            _PRACTICE,
        ),
        "off-step": Rule(
            "What is numbered is no multiple of the step: a value that was asked for, or an end "
            "of the scale, which is marked whatever the step.",
            ("warning", "note"),
            _PRACTICE,
        ),
        "steps-unusual": Rule(
            "The step that was asked for is not 1, 2 or 5 times a power of ten, or leaves more "
            f"than {MOST_BETWEEN_NUMBERED} graduations between two numbers.",
            _NOTE,
            "MIL-HDBK-759B, 5.2.2.3.1.4.1: steps of 1, 2 or 5, nine graduations between numbers",
        ),
        "track-assumed": Rule(
            "How far the track of a control goes is not given, and was taken from its taper.",
            _NOTE,
            "makers' sheets of carbon controls, second hand",
        ),
    },
    "Switches and knobs": {
        "off-up": Rule(
            "OFF stands up or to the right with ON opposite, or not first on a selector; in the "
            "middle of one it parts two ways, and is taken to be meant.",
            _WARNING,
            "MIL-STD-1472E, 5.4.1.2.1: up, right, clockwise or pressing turns on, valves "
            "excepted; IEC 60447, second hand",
        ),
        "off-unmarked": Rule(
            "Of the switches at mains voltage none has a position that says off.",
            _WARNING,
            "a British guide to isolators, second hand",
        ),
        "many-positions": Rule(
            f"A selector has more than {MOST_POSITIONS} positions; or, as a note, more than "
            f"{MOST_POSITIONS_UNSEEN} of which some are without a name.",
            ("warning", "note"),
            "MIL-STD-1472E, 5.4.2.1.1.4",
        ),
        "close-positions": Rule(
            f"Positions of a turned control are less than {LEAST_SELECTOR_STEP:g} degrees apart.",
            _WARNING,
            "MIL-STD-1472E, figure 4",
        ),
        "two-positions": Rule(
            "A selector has two positions, for which a lever switch is read and thrown sooner.",
            _NOTE,
            "MIL-STD-1472E, 5.4.2.1.1.1",
        ),
        "opposite-positions": Rule(
            "Two positions of a turned control stand opposite each other, so that a knob with "
            "two like ends may be read the wrong way round.",
            _NOTE,
            "MIL-STD-1472E, 5.4.2.1.1.4a",
        ),
        "zero-aside": Rule(
            "The zero of a round scale that goes to both sides of it stands neither at twelve "
            "nor at nine o'clock. Decibels and temperatures are let off.",
            _NOTE,
            "NUREG-0700 rev. 2, 1.2.11-2",
        ),
        "finger-room": Rule(
            f"Fingers have little room: less than {BUTTON_ROOM:g} mm from a button to the next "
            f"part, {TOGGLE_ROOM:g} mm from a toggle to a knob, {TOGGLES_APART:g} mm from toggle "
            f"to toggle by their middles, or {TURNED_ROOM:g} mm between knobs. The closest pair "
            "is told.",
            _NOTE,
            f"MIL-STD-1472E, table VII and figure 4, which have {KNOB_ROOM:g} mm between knobs; "
            f"NUREG-0700 rev. 3, table 11.5; toggle to toggle from memory; {TURNED_ROOM:g} mm "
            "common practice",
        ),
    },
    "Pieces of stencil": {
        "pieces-joined": Rule(
            "Two legends stand too near to each other to be cut apart, and are one piece.",
            _NOTE,
            _PRACTICE,
        ),
        "turning-saves": Rule(
            "Turning pieces by a quarter would save more than a tenth of the stock.",
            _NOTE,
            _PRACTICE,
        ),
        "one-hole": Rule(
            "A piece of rigid sheet is laid by one round hole alone, or by none, and may turn.",
            _WARNING,
            _PRACTICE,
        ),
        "piece-split": Rule("A piece is larger than the stock, and is split.", _NOTE, _PRACTICE),
        "cut-through": Rule(
            "A word, or the legends of one control, are cut apart where a piece is split, because "
            "nothing else fits the stock.",
            _WARNING,
            _PRACTICE,
        ),
        "no-window": Rule(
            "A piece has no window in any placement card.",
            _NOTE,
            _PRACTICE,
        ),
        "piece-too-large": Rule(
            "A piece does not fit the stock, and cannot be split.", _ERROR, _PRACTICE
        ),
        "test-square-left-out": Rule(
            "A sheet has no room for the test square that is asked for.", _NOTE, _PRACTICE
        ),
        "curves-flattened": Rule(
            "Some curves of a line or of a cut could not be joined as curves, and are made of "
            "short straight lines.",
            _NOTE,
            _PRACTICE,
        ),
        "thin-neck": Rule(
            "An island of rigid stock hangs by necks narrower than a bridge, and more bridges do "
            "not hold it.",
            _WARNING,
            _PRACTICE,
        ),
        "loose-tongue": Rule(
            "A tongue of rigid stock hangs by too little, and no good bridge reaches it.",
            _WARNING,
            _PRACTICE,
        ),
    },
    "Holes and parts": {
        "hole-unused": Rule("A hole has no control on it.", _WARNING, _PRACTICE),
        "hole-shared": Rule("A hole has several controls on it.", _ERROR, _PRACTICE),
        "hole-off-panel": Rule("A hole is not wholly on the panel.", _ERROR, _PRACTICE),
        "hole-near-edge": Rule(
            f"A hole leaves less than {LEAST_MARK_GAP:g} mm of metal at the panel's edge.",
            _WARNING,
            _PRACTICE,
        ),
        "holes-close": Rule(
            f"Two holes leave less than {LEAST_MARK_GAP:g} mm of metal between them, or run "
            "into each other.",
            ("warning", "error"),
            _PRACTICE,
        ),
        "fixings-turned": Rule(
            "The screws of a part stand turned, as its hole does, and it matters which of their "
            "distances is which.",
            _NOTE,
            _PRACTICE,
        ),
        "parts-collide": Rule(
            "Two parts would cover each other: an error, or a warning where the size of one is "
            "only assumed.",
            ("warning", "error"),
            _PRACTICE,
        ),
        "covers-assumed": Rule(
            "What a part covers is not given, and was taken from its hole.", _NOTE, _PRACTICE
        ),
        "same-name": Rule(
            "Two controls have the same name, and no groups tell them apart.",
            _WARNING,
            _PRACTICE,
        ),
        "sign-as-symbol": Rule(
            "A name that is a plus or a minus alone is set as the symbol of it.",
            _NOTE,
            "IEC 60417-5005 and 5006: plus, minus",
        ),
        "fuse-unrated": Rule("A fuse does not say its rating.", _WARNING, _CODE),
        "fuse-form": Rule(
            "The rating of a fuse is not in the usual form: F, M or T directly before the "
            "current, that in mA below 1 A, and the volts after it.",
            _NOTE,
            "IEC 60127-1, read in a national edition",
        ),
        "mains-unmarked": Rule(
            "Mains is behind a control, and nothing on the panel says so.", _WARNING, _CODE
        ),
        "drilled-off": Rule(
            "A hole is further off its place than what is fitted there can hide.",
            _WARNING,
            _PRACTICE,
        ),
        "drilled-slip": Rule(
            "A hole is further off than any drill wanders: exchanged, or measured wrongly.",
            _ERROR,
            _PRACTICE,
        ),
        "drilled-as-a-whole": Rule(
            "All holes are off alike, which tells of the measuring and not of the drill.",
            ("warning", "error"),
            _PRACTICE,
        ),
        "drilled-mirrored": Rule(
            "The holes as drilled lie like a mirror image of the design.", _ERROR, _PRACTICE
        ),
    },
    "What is meant": {
        "meant-in-vain": Rule(
            "What a description says to be meant was not found, so that it need not say so.",
            _NOTE,
            _PRACTICE,
        ),
    },
    "The finish": {
        "colour-about": Rule(
            "A colour is given by the number of a paint, and is known only about; a fluorescent "
            "one no screen can show.",
            _NOTE,
            _PRACTICE,
        ),
        "low-contrast": Rule(
            f"Base coat and top coat have a contrast of less than {LEAST_CONTRAST:g} to 1; or, as "
            f"a note, of less than {TEXT_CONTRAST:g} to 1.",
            ("warning", "note"),
            f"WCAG 2.2, 1.4.3: text {TEXT_CONTRAST:g} to 1; 1.4.11: what is no text "
            f"{LEAST_CONTRAST:g} to 1",
        ),
    },
}

#: The rule behind each code.
RULES: Mapping[str, Rule] = {
    code: rule for rules in RULES_ABOUT.values() for code, rule in rules.items()
}

#: The codes of what is found only when the stencil is cut.
FOUND_IN_CUTTING = frozenset(RULES_ABOUT["Pieces of stencil"])

#: The codes that a description may say to be meant: what spoils a panel nobody means.
CAN_BE_MEANT = tuple(
    code
    for code, rule in RULES.items()
    if rule.severities != _ERROR and code not in RULES_ABOUT["What is meant"]
)
