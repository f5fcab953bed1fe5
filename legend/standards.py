"""List every number from a published source or common practice, with its source.

Nothing here is computed from a panel. A value is named for what it governs; the lines above
it say where it comes from. "Read" marks what was compared with the document, or with a public
copy of it; "second hand", what was found in somebody's restatement; a document without either
mark is quoted from memory. "Common practice, no source" marks what the trade does without a
standard behind it.
"""

from __future__ import annotations

from typing import Final

# --- Units of length -------------------------------------------------------

#: Millimetres in an inch: exact by definition (international yard, 1959).
INCH: Final = 25.4
#: Cubic inches in a fluid ounce, 128 of which are a gallon of 231: NIST Handbook 44, appendix C.
FLUID_OUNCE: Final = 231 / 128
#: The finest division of a rule in inches, in parts of one; and how nearly a fraction must say a
#: length to be said instead of it, mm. Common practice, no source.
LEAST_FRACTION: Final = 64
FRACTION_WITHIN: Final = 0.02

# --- Sizes of lettering ----------------------------------------------------

#: Least capital height over viewing distance: 15 minutes of arc.
#: NUREG-0700 rev. 3, 11.4.1.5-1; read.
LEAST_HEIGHT_PER_DISTANCE: Final = 0.004

#: Preferred capital height over viewing distance: 20 minutes of arc.
#: NUREG-0700 rev. 3, 11.4.1.5-1; read.
PREFERRED_HEIGHT_PER_DISTANCE: Final = 0.006

#: The series of nominal heights of lettering, mm. ISO 3098-0, table for type B; read, in an
#: extract of EN ISO 3098-0.
ISO_HEIGHTS: Final = (1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0)

#: Proportions of lettering type B, in capital heights. ISO 3098-0, table for type B; read, in
#: the same extract, which rounds the small letters, by up to 0.2 mm.
ISO_B_STROKE: Final = 1 / 10
ISO_B_SMALL_LETTERS: Final = 7 / 10
ISO_B_BETWEEN_CHARACTERS: Final = 2 / 10
ISO_B_BETWEEN_WORDS: Final = 6 / 10
ISO_B_LINE_PITCH_CAPITALS: Final = 13 / 10
ISO_B_LINE_PITCH: Final = 15 / 10
ISO_B_LINE_PITCH_ACCENTED: Final = 19 / 10

#: Stroke over height, dark letters on light. DOD-HDBK-791(AM), 6-5.3.2.3; read.
STROKE_DARK_ON_LIGHT: Final = 1 / 6
#: Stroke over height, light letters on dark: from and to. DOD-HDBK-791(AM), 6-5.3.2.3; read.
STROKE_LIGHT_ON_DARK: Final = (1 / 8, 1 / 7)
#: How many times broader or finer than that a stroke may be before it is said.
#: Common practice, no source.
STROKE_MARGIN: Final = 1.3
#: Width over height of capitals and figures, but not of I and 1: from and to.
#: DOD-HDBK-791(AM), 6-5.3.2.2; read.
LETTER_WIDTH: Final = (3 / 5, 1.0)

#: The least space between the edges of letters, in capital heights, where the width of a stroke
#: is less. Common practice, no source.
LEAST_LETTER_SPACE: Final = 0.13

#: Names, groups and titles differ in height by at least this factor.
#: Common practice, no source.
LEVEL_STEP: Final = 1.25

#: The least width to which a legend that does not fit is narrowed.
#: Common practice, no source.
NARROWEST: Final = 0.8

#: The part of the least gap of a stock that is enough between the parts of one letter, as between
#: the dot and the stem of an i: what is left there is short. Common practice, no source.
GAP_IN_LETTER: Final = 0.5

#: Least contrast of what is no text with what is beside it, lighter to darker; large text is let
#: off with the same. WCAG 2.2, 1.4.11; 1.4.3.
LEAST_CONTRAST: Final = 3.0
#: Least contrast of text. WCAG 2.2, 1.4.3.
TEXT_CONTRAST: Final = 4.5

# --- Scales ----------------------------------------------------------------

#: Steps between graduations are these times a power of ten.
#: MIL-HDBK-759B, 5.2.2.3.1.4.1; read.
GRADUATION_STEPS: Final = (1, 2, 5)
#: At most this many graduations between numbered ones. MIL-HDBK-759B, 5.2.2.3.1.4.1; read.
MOST_BETWEEN_NUMBERED: Final = 9

#: Degrees between the positions of a rotary selector. Common practice, no source; at least 15
#: and at most 40 are wanted by MIL-STD-1472E, figure 4; read.
SELECTOR_STEP: Final = 30.0
#: Degrees that a key turns from one position of a switch to the next. Makers have 45, 60 and 90
#: as well; from memory.
KEY_TURN: Final = 90.0
#: What the head of a screw covers, by the diameter of its hole. Common practice, no source: a
#: round head for M3, 5.5 or 6 mm across, over a hole of 3.2 mm.
SCREW_HEAD: Final = 2.0
#: The least step from position to position of a turned control, degrees. MIL-STD-1472E, figure 4;
#: read.
LEAST_SELECTOR_STEP: Final = 15.0
#: The most positions of a selector, and the most where not all of them are seen.
#: MIL-STD-1472E, 5.4.2.1.1.4; read.
MOST_POSITIONS: Final = 24
MOST_POSITIONS_UNSEEN: Final = 12
#: Degrees clockwise from the top at which zero stands on a round scale to both sides of it: at
#: twelve or at nine o'clock. NUREG-0700 rev. 2, 1.2.11-2; read.
ZERO_STANDS_AT: Final = (0.0, 270.0)
#: Degrees through which a carbon control turns. 300, give or take 5, in makers' data sheets;
#: read.
CONTROL_SWEEP: Final = 300.0
#: The part of the rotation of a carbon control over which its resistance changes, for a linear
#: track and for one that is bent, as those of audio and reverse tapers are. Makers' sheets give
#: 300 ± 5 degrees of rotation, 240 to 256 of a linear track and 225 of an audio one: second hand.
LINEAR_TRACK: Final = 0.85
BENT_TRACK: Final = 0.75
#: Degrees through which the pointer of a meter turns. Common practice, no source.
METER_SWEEP: Final = 90.0

# --- Clearances on the panel -----------------------------------------------

#: Gap round every mark, in capital heights, and the least gap in mm.
#: Common practice, no source.
MARK_GAP: Final = 0.5
LEAST_MARK_GAP: Final = 1.0
#: Space between two legends on one baseline, in capital heights: more than between two words of
#: one, so that they are not read as one. Common practice, no source.
LEGENDS_APART: Final = 1.0

#: Room for the fingers between the edges of two parts, mm: from a button to a button, a toggle or
#: a knob; from a toggle to a knob; and from knob to knob.
#: MIL-STD-1472E, table VII and figure 4; read. NUREG-0700 rev. 3, table 11.5, has the like.
BUTTON_ROOM: Final = 13.0
TOGGLE_ROOM: Final = 19.0
KNOB_ROOM: Final = 25.0
#: From toggle to toggle, by their middles, mm: where one finger throws one of them.
#: MIL-STD-1472E, from memory.
TOGGLES_APART: Final = 19.0
#: Less than which is told between turned parts, mm: at home, knobs of 20 mm stand 40 mm apart.
#: Common practice, no source.
TURNED_ROOM: Final = 13.0

# --- Holes as drilled ------------------------------------------------------

#: How far a hole drilled by hand lies from its place without anybody minding, mm; the land that
#: a nut or a bezel needs round an opened hole, mm; how far off a part may stand that hides its
#: hole, before it looks out of line, mm; and further than which a slip of the pen is likelier
#: than one of the drill, mm. Common practice, no source.
DRILLED_ROUGHLY: Final = 0.5
DRILLED_LAND: Final = 0.5
DRILLED_MOST: Final = 2.0
DRILLED_SLIP: Final = 5.0

# --- Drills ------------------------------------------------------------------

#: Steps between twist drills, mm, up to 14 mm. ISO 235, from memory. In inches they go by 1/64:
#: see `LEAST_FRACTION`.
DRILL_STEP: Final = 0.1
#: Clearance holes for M2 to M10, fine and medium series, mm. ISO 273, from memory.
CLEARANCE_HOLES: Final = (2.2, 2.4, 2.7, 2.9, 3.2, 3.4, 4.3, 4.5, 5.3, 5.5, 6.4, 6.6, 8.4, 9.0)
#: By how much a hole drilled by hand is wider than its drill at the most, mm; and the widest that
#: is drilled at all, mm, and not cut or filed. Common practice, no source.
HOLE_OVER_DRILL: Final = 0.15
LARGEST_DRILL: Final = 32.0

# --- Cut-outs for D-connectors -----------------------------------------------

#: Width at the wide side and height of the cut-out, mm, for a connector that is fitted from
#: behind the panel and for one from its front, and width and height of its flange, by the
#: number of ways; the radii of the corners, mm; and how far the short sides slant, degrees.
#: After DIN 41652 and IEC 60807-3, from memory.
D_CONNECTORS: Final = {
    9: {"behind": (20.5, 11.4), "front": (22.2, 12.3), "flange": (30.8, 12.5)},
    15: {"behind": (28.8, 11.4), "front": (30.5, 12.3), "flange": (39.1, 12.5)},
    25: {"behind": (42.5, 11.4), "front": (44.3, 12.3), "flange": (53.0, 12.5)},
    37: {"behind": (59.1, 11.4), "front": (60.7, 12.3), "flange": (69.3, 12.5)},
    50: {"behind": (56.3, 14.2), "front": (58.3, 15.2), "flange": (66.9, 15.4)},
}
D_CORNER_RADII: Final = {"behind": 2.6, "front": 3.4}
D_SLANT: Final = 10.0

# --- Paper and drawing -----------------------------------------------------

#: Millimetres in a PDF point of 1/72 in. ISO 32000.
PDF_POINT: Final = INCH / 72
#: The longest side of a page that every reader of PDF takes, mm: 14,400 points, or 200 in.
#: ISO 32000-1, Annex C; from memory.
LARGEST_PAGE: Final = 200 * INCH
#: Step of a cutting plotter, mm. HP-GL, the plotter language; read, in the manual of a plotter.
PLOTTER_STEP: Final = 0.025

# --- At the bench ----------------------------------------------------------

#: Minutes after spraying the top coat between which the letters are lifted, and between which
#: a stencil that was painted through is taken off. Common practice, no source.
LIFTING_WINDOW: Final = (60.0, 120.0)
UNMASKING_WINDOW: Final = (10.0, 30.0)

#: Minutes after a coat between which many enamels wrinkle when they are painted over, as cans say
#: "within 1 hour, or after 48 hours"; others want 24 hours. Three pages of makers, second hand.
RECOAT_WRINKLES: Final = (60.0, 48 * 60.0)

#: Minutes that the rest of the work takes with solvent paint from a can at room temperature: the
#: overlay printed and measured, the test coupon cut and looked at, a sheet loaded and the knife
#: set, a line of a cut weeded round, a counter or a dot seen to, the metal cleaned, the coats
#: sprayed, the paint trial begun, a piece put on, the edges sealed and that coat dull, a loose
#: piece of film lifted; the base coat dry enough for film, the panel dry enough to be handled, and
#: hard.
#: Common practice, no source.
BENCH_MINUTES: Final = {
    "printing": 15.0,
    "coupon": 30.0,
    "per_sheet": 5.0,
    "per_contour": 3 / 60,
    "per_counter": 10 / 60,
    "cleaning": 30.0,
    "base_coat": 45.0,
    "base_drying": 24 * 60.0,
    "trial": 10.0,
    "per_piece": 5.0,
    "sealing": 15.0,
    "top_coat": 30.0,
    "per_mark": 15 / 60,
    "handling": 24 * 60.0,
    "hard": 7 * 24 * 60.0,
}
#: How far a knife gets in a second, corners and lifting included, at the two speeds that suit
#: letters, mm. Common practice, no source.
CUTTING_SPEEDS: Final = {"slow": 10.0, "medium": 30.0}
#: Capitals lower than this, and whatever is cut from rigid sheet, want the knife to go slowly, mm.
#: Common practice, no source.
CUT_SLOWLY: Final = 5.0
#: How often a letter of the paint trial is lifted, minutes. Common practice, no source.
TRIAL_EVERY: Final = 15.0
#: What a coat from a spray can takes, ml to the m², overspray included. Common practice, no source.
PAINT_PER_COAT: Final = 200.0

# --- Stencils --------------------------------------------------------------

#: Width of a bridge over capital height, where that is more than the stock's least.
#: Common practice, no source.
BRIDGE_PER_HEIGHT: Final = 0.06
#: The widest bridge over capital height that a letter stands: at this an 8 loses a fifth of its
#: paint, and a word an eighth. Common practice, no source.
MOST_BRIDGE_PER_HEIGHT: Final = 0.15
#: Width of a tie of a frame or a long line, in bridges: it holds more stock than a letter's does.
#: Common practice, no source.
TIE_WIDTH: Final = 1.5
#: How many times its width, or that of its neck, a tongue of rigid stock may be long; and the
#: longest bridge to one in its own widths, as a longer one would not hold it still.
#: Common practice, no source.
LONGEST_TONGUE: Final = 4.0
LONGEST_TONGUE_BRIDGE: Final = 6.0
#: A bay of rigid stock whose mouth is narrower than this part of a bridge is as good as shut: it
#: is held as an island is. Common practice, no source.
SHUT_MOUTH: Final = 0.25
#: What the sides of a weeding box are whole multiples of, mm: what a rule is divided into.
#: Common practice, no source.
BOX_STEP: Final = {"mm": 0.5, "cm": 0.5, "in": INCH / 32}
#: The least stock left round the marks of a piece where another piece is near, by stock, mm: what
#: tape still takes up whole, and what of a rigid sheet does not break. Common practice, no source.
LEAST_MARGIN: Final = {"film": 1.0, "sheet": 3.0}
#: Stock left between neighbouring weeding boxes where they are cut, by stock, mm: film sticks to
#: its backing and stays; of a rigid sheet, what is cut loose gets in the way of the knife. Common
#: practice, no source.
BOX_SPACE: Final = {"film": 0.0, "sheet": 1.0}
#: Stock left between weeding boxes and the test square, mm. Common practice, no source.
SQUARE_SPACE: Final = 1.0
#: The part of the stock from which on it is worth to turn pieces. Common practice, no source.
WORTH_TURNING: Final = 0.1
#: How far a swivelling blade is drawn until it has turned into the line, mm: it trails by a quarter
#: to half a millimetre, and the angle that it is out by falls to a seventh with twice that.
#: Common practice, no source.
BLADE_SETTLES: Final = 1.0
#: What is narrower than this wants a fine point and a steady hand to weed, mm.
#: Common practice, no source.
WANTS_CARE: Final = 0.8

# --- What is behind the panel ----------------------------------------------

#: Alternating voltage up to which a circuit is of extra-low voltage, V. IEC 61140, from memory.
EXTRA_LOW_VOLTAGE: Final = 50.0

# --- Stock of stencils -----------------------------------------------------

#: What adhesive film carries when it is cut by a good blade, mm: the least stroke, counter,
#: gap between cuts and bridge; the margin left round a piece; the gap round a disc in its
#: hole, wide enough to be seen even all round; the longest edge that lies flat untied (film
#: sticks down all over, so that it is long). Common practice, no source.
FILM_LIMITS: Final = {
    "stroke": 0.3,
    "counter": 0.3,
    "gap": 0.3,
    "bridge": 0.4,
    "margin": 2.0,
    "registration_gap": 0.5,
    "free_edge": 200.0,
}

#: The same for rigid card, polyester sheet or thin metal. A bolt through the hole pins it, so that
#: there is no gap; an edge that is longer untied lifts and lets paint under.
#: Common practice, no source.
SHEET_LIMITS: Final = {
    "stroke": 0.4,
    "counter": 0.6,
    "gap": 0.5,
    "bridge": 0.5,
    "margin": 5.0,
    "registration_gap": 0.0,
    "free_edge": 30.0,
}

#: Strokes of film that are finer than this, mm, want a new blade and tweezers, though it carries
#: them. Common practice, no source.
FINE_STROKE: Final = 0.5
