"""A camera of our own making: pictures of panels, and beside each what is true of it.

What it has: `plates` says what was cut, drilled and filed; `eyes` how a camera or a flatbed sees
it; `scenes` what lies round it and how that is lit; `sensors` what becomes of the light. `shots`
puts them together. The physics is modelled and nothing is fitted to any way of measuring. Lengths
are in mm, pixels are counted from the middle of the upper left one, light is linear, 0 to 1.
"""
