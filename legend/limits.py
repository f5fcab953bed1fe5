"""Every limit of what is taken in or worked out, so that a slip of the pen takes no hours.

No file, panel, letter or picture that anybody could use comes near. Each is refused with its
place and its reason, before time and memory are spent on it.
"""

from typing import Final

# --- Files ---

#: Files longer than this, in bytes, are no descriptions, and drawings no panels.
LONGEST_FILE: Final = 1_000_000
LONGEST_DRAWING: Final = 4_000_000
#: More bytes than any font has: those of all characters of Chinese take some 20 million. A face
#: of single strokes is text, and is read whole into memory, many times its size.
LONGEST_FONT: Final = 50_000_000
LONGEST_STROKE_FACE: Final = 5_000_000
#: More bytes than any font for the web unpacks to: those of all characters of Chinese, as CFF,
#: take some 20 million. Unpacking takes five times as much memory.
LONGEST_WEB_FONT: Final = 30_000_000
#: The most bytes that WOFF 2 has of a table in a form of its own, which takes far more memory
#: and time: outlines of all Latin, Greek and Cyrillic characters take less than one million.
LONGEST_TRANSFORMED: Final = 4_000_000

# --- The page ---

#: The most bytes of one message of the page: two texts as long as a description may be, each
#: letter of them written out as an escape of six characters.
LONGEST_MESSAGE: Final = 12 * LONGEST_FILE + 100_000

# --- Descriptions ---

#: So many faults of a kind at once are more than anyone reads.
MOST_FAULTS: Final = 200
#: No heading of a hole list, no cell with a size and no length takes more characters to write.
LONGEST_CELL: Final = 60
#: No list of a description has more items, and those past them have no place of their own.
MOST_ITEMS: Final = 2_000
#: More holes, and more groups of controls, than any panel has.
MOST_HOLES: Final = 2_000
MOST_GROUPS: Final = 200
#: More pieces, spares included, than anyone cuts of one panel.
MOST_PIECES: Final = 5_000
#: More parts than this are not made of one piece that is larger than the stock.
MOST_PARTS: Final = 64
#: The longest text that is taken for a legend, and the longest name of a hole, in characters.
LONGEST_TEXT: Final = 200
LONGEST_ID: Final = 40
#: More characters in all legends together than any panel has room for.
MOST_LETTERS: Final = 20_000
#: More accents on one letter than any language writes; common practice, no source.
MOST_ACCENTS: Final = 10
#: The longest length that is taken, mm: whatever is longer is a slip of the pen.
LONGEST_LENGTH: Final = 10_000.0
#: The longest time that is taken, minutes: no paint needs three months.
LONGEST_TIME: Final = 90 * 24 * 60.0
#: The area of the largest panel that is taken, m²: a sheet of metal as it is sold, and more.
LARGEST_PANEL: Final = 4.0
#: More graduations than any scale has.
MOST_GRADUATIONS: Final = 1000
#: More words than any scale has.
MOST_WORDS_OF_A_SCALE: Final = 100
#: No scale runs through more decades.
MOST_DECADES: Final = 12
#: More corners than anyone files.
MOST_CORNERS: Final = 100
#: An outline of more sides than this, in a drawing, is no edge of metal.
MOST_SIDES: Final = 2_000
#: No drawing of a panel has so many shapes, and nothing is read past them.
MOST_SHAPES: Final = 50_000

# --- Letters ---

#: The most points, or strokes, that a letter is drawn with. The busiest letters of fonts at hand
#: that look torn or sketched have a few hundred; common practice, no source.
MOST_POINTS_OF_A_LETTER: Final = 2_000
#: How far from its origin a letter reaches at the most, in capital heights.
FURTHEST: Final = 30.0
#: The most places where the lines of a letter cross each other. Where parts overlap there are
#: some ten; what is made of a letter takes a time that grows with the square of them.
MOST_CROSSINGS: Final = 2_000

# --- Panels ---

#: The most points on the curves of all marks. A panel of 1,000 controls has about 200,000.
MOST_POINTS: Final = 400_000
#: The most pairs of points of different marks that may lie in each other's way: as many as if
#: 700 letters lay all over each other. What is to be cut apart grows with it. A mark counts
#: for some points more than it has, since each is a shape to be joined with the others.
MOST_IN_THE_WAY: Final = 50_000_000
#: The most pairs of holes, fitted parts and bare discs that may lie over each other.
MOST_PAIRS: Final = 30_000
#: So many findings of one check are more than anyone reads, and takes long to look for.
MOST_OF_A_CHECK: Final = 500

# --- Pictures ---

#: The most pixels of a picture: with four bytes each, and the largest panel there may be, they
#: take less than 400 MB.
MOST_PIXELS: Final = 24_000_000
#: The most pixels of a scan or a photograph that is measured in. As red, green and blue and once
#: more as light they take 420 MB; an A4 sheet at 600 dots to the inch has 35 million.
MOST_PIXELS_OF_A_PHOTOGRAPH: Final = 60_000_000
#: So many bytes have as many pixels at 16 bits a colour, not packed, and more.
LONGEST_PICTURE: Final = 400_000_000
#: Pictures with a side of fewer pixels are not measured in: they are small copies, to look at.
FEWEST_PIXELS_OF_A_SIDE: Final = 100
