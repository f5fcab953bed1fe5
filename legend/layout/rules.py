"""Where the rule behind each finding comes from, by the finding's code."""

from __future__ import annotations

from collections.abc import Mapping

_PRACTICE = "common practice, no source"

#: The source of the rule behind each code.
RULES: Mapping[str, str] = {
    # Where legends stand
    "off-panel": "MIL-STD-1472E, 5.5.2: labels are on what they name",
    "near-edge": _PRACTICE,
    "over-hole": _PRACTICE,
    "hidden": "MIL-STD-1472E, 5.5.2: labels are not hidden by the control",
    "near-part": _PRACTICE,
    "touching": "NUREG-0700 rev. 3, 11.4.1.5-7: space between characters",
    "crowded": _PRACTICE,
    "nearer-to-other": "MIL-STD-1472E, 5.5.2: labels are on or very near what they name",
    # Lettering
    "too-small": "NUREG-0700 rev. 3, 11.4.1.5-1: at least 15 minutes of arc",
    "stroke-ratio": "DOD-HDBK-791(AM), 6-5.3.2: stroke over height",
    "levels-alike": _PRACTICE,
    "thin-stroke": _PRACTICE,
    "small-counter": _PRACTICE,
    "narrow-gap": _PRACTICE,
    "fitted": _PRACTICE,
    "no-room": _PRACTICE,
    "lettering": _PRACTICE,
    "not-drawn": _PRACTICE,
    # Scales
    "scale-backwards": "MIL-STD-1472E, 5.2.3.3: values rise clockwise, upward, or to the right",
    "no-dead-zone": _PRACTICE,
    # Pieces of stencil
    "piece-split": _PRACTICE,
    "piece-too-large": _PRACTICE,
    "check-left-out": _PRACTICE,
    "loose-tongue": _PRACTICE,
    # Holes and parts
    "hole-unused": _PRACTICE,
    "hole-shared": _PRACTICE,
    "hole-off-panel": _PRACTICE,
    "hole-near-edge": _PRACTICE,
    "holes-close": _PRACTICE,
    "parts-collide": _PRACTICE,
    "covers-assumed": _PRACTICE,
    "same-name": _PRACTICE,
    "fuse-unrated": _PRACTICE + "; the code where you live may ask for more",
    "mains-unmarked": _PRACTICE + "; the code where you live may ask for more",
    "drilled-off": _PRACTICE,
    "drilled-slip": _PRACTICE,
    "drilled-as-a-whole": _PRACTICE,
    "drilled-mirrored": _PRACTICE,
    # The finish
    "colour-about": _PRACTICE,
    "low-contrast": "WCAG 2.2, 1.4.11: 3 to 1 between what is to be seen and what is beside it",
}
