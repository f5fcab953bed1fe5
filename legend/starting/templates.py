"""Hold the texts of descriptions to begin with, whose comments teach what else there is."""

from __future__ import annotations

import json


def quoted(text: str) -> str:
    """The text as TOML writes it."""
    return json.dumps(text, ensure_ascii=False)


#: What stands at the head of a description from a hole list, and of one from answers.
ABOUT_A_LIST = """\
# The legends of a panel, from its hole list. Everything marked "a guess" is to be checked.
"""
ABOUT_ANSWERS = """\
# The legends of a panel, as they were asked for. The holes are spread evenly: write where they
# are measured, and what was drilled, instead.
"""
#: What a description with a hole list says of measuring again.
AS_DRILLED = """\
# as_drilled = "measured.csv"  # the same holes measured after drilling: legends follow these
"""

FROM_HOLES = """\
{about}# See what comes of it with: legend make, and the name of this file.

units = "{units}"  # of bare numbers, here and in the hole list; or write "3/8 in", "9.5 mm"
title = "{title}"
{hole_list}
[panel]
size = {size}
datum = "{datum}"  # where the holes are measured from, as you face the panel
viewing_distance = "600 mm"  # how far off it is read; the letters are sized by it

[finish]
base = "white"  # lift-off: the colour of the letters; or "#f2efe4", or "RAL 9010"
top = "#5b6160"  # lift-off: the colour round them, sprayed last

[stencil]
method = "lift-off"  # or "paint-through": openings, through which the letters are painted
stock = "film"  # or "sheet": rigid and used again, for paint-through only
stock_size = ["300 mm", "200 mm"]  # what fits the cutter

{holes}# A name stands above its control, or where side = "below", "left" or "right" puts it.
# Where covers = "24 mm" gives the diameter of the knob or nut, no legend is hidden by it.

{controls}
# Controls that belong together may have a frame round them:
# [[group]]
# name = "LAMP"
# holes = ["A", "B"]
"""

FIRST = """\
# The legends of a panel. Change this one into yours. What comes of it is shown by
# legend page, and written by legend make, with the name of this file.

units = "mm"  # of bare numbers, or "in"; a text has its own: "9.5 mm", "3/8 in", "1 3/8 in"
title = "GLUE POT"

[panel]
size = [140, 74]  # width and height
corner_radius = 2
datum = "lower left"  # where holes are measured from, as you face the panel
viewing_distance = 600  # how far off it is read; the letters are sized by it

[finish]
base = "#f2efe4"  # lift-off: the colour of the letters; or by name, "ivory", or "RAL 1013"
top = "#3d4a47"  # lift-off: the colour round them, sprayed last

[stencil]
method = "lift-off"  # or "paint-through": openings, through which the letters are painted
stock = "film"  # or "sheet": rigid and used again, for paint-through only
stock_size = [300, 200]  # what fits the cutter

# [lettering]
# face = "plain"  # or the name of a font file
# height = 3.5  # of capitals; left out, it is chosen from the viewing distance

# Each hole has a name of your choice. Measure to its middle, after drilling.
# A list from a spreadsheet, or a DXF drawing, does as well: hole_list = "holes.csv"
[holes]
HEAT = { at = [36, 32], drill = 7 }
POWER = { at = [80.5, 32], drill = "1/2 in" }
READY = { at = [114, 32], drill = 8 }
M1 = { at = [6, 68], drill = 3.4 }
M2 = { at = [134, 6], drill = 3.4 }

# What is fitted in each hole, and what its legends say.
[[control]]
hole = "HEAT"
kind = "knob"
name = "HEAT"
covers = 20  # the diameter of the knob; nothing is lettered where it hides it
scale = { law = "linear", from = 0, to = 10, sweep = 300 }

[[control]]
hole = "POWER"
kind = "toggle"
name = "POWER"
positions = { up = "ON", down = "OFF" }

[[control]]
hole = "READY"
kind = "lamp"
name = "READY"
side = "below"  # or "above", "left", "right"

[[control]]
hole = "M1"
kind = "screw"

[[control]]
hole = "M2"
kind = "screw"

# The times on the job card are common practice; a maker's own go here, in hours.
# [bench]
# base_drying = 24
# lifting = [1, 2]  # between these after the top coat, the letters are lifted

# Words and lines may stand anywhere.
[[text]]
at = [70, 60]
text = "GLUE POT"
role = "title"

# Controls that belong together may have a frame round them, with its name set into the line.
# [[group]]
# name = "HEATER"
# holes = ["POWER", "READY"]
"""
