"""Define the [lettering] table: how letters are set, for the panel or one role."""

from collections.abc import Mapping
from typing import Annotated, ClassVar, Literal, get_args

from legend.description.table import Table, words_for
from legend.description.values.asked_heights import HeightOrFound
from legend.description.values.file_values import FaceName
from legend.description.values.length_values import Least
from legend.description.values.number_values import Axes, Flag, count_of, number_of


class RoleLettering(Table):
    """How the letters of one role are set; what is left out is inherited from [lettering]."""

    also_called: ClassVar[Mapping[str, str]] = words_for(
        {
            "face": "font typeface family",
            "height": "size letter_height cap_height capitals",
            "stroke": "weight line line_width thickness",
            "tracking": "spacing letter_spacing",
            "slope": "angle italic slant",
            "case": "capitals uppercase",
        }
    )

    face: FaceName | None = None
    """`plain`, which is built in; or a font file (.ttf, .otf, .ttc, .otc, .woff, .woff2) or one of
    single strokes (.svg), from the folder of the description; or the name of an installed font.
    What it lacks is taken from `plain`, in strokes like its own: Latin, Greek and Cyrillic
    letters, and signs. Left out, `plain`."""
    axes: Axes | None = None
    """Values for the axes of a variable font, by their tags, as in `axes = { wght = 600 }`."""
    index: Annotated[int, count_of(0, 1000)] | None = None
    """The number of the font in a collection (.ttc, .otc), counted from 0. Left out, 0."""
    height: HeightOrFound | None = None
    """The height of capitals; of the whole panel, that of names, which the other roles follow.
    "as large as fits" is the greatest with which all is clear of all, one for all legends of the
    role; "as small as can be cut" the least that the stock carries and that can be read. Left
    out, it is chosen from the viewing distance."""
    stroke: Annotated[float, number_of(0.04, 0.3)] | None = None
    """The width of a stroke over the height, for faces of single strokes, as the built-in one is.
    Left out, it is chosen from the colours: broader for dark letters on light than for the
    reverse."""
    width: Annotated[float, number_of(0.5, 2)] | None = None
    """How wide the letters are, 1 as drawn; their strokes stay as they are. Left out, 1."""
    slope: Annotated[float, number_of(-30, 30)] | None = None
    """How far the letters lean to the right, in degrees. Left out, 0."""
    tracking: Annotated[float, number_of(-0.2, 2)] | None = None
    """Extra space between letters, in capital heights. Left out, 0, and letters that stand nearer
    to each other than the stock carries are parted by so much."""
    word_space: Annotated[float, number_of(-0.3, 5)] | None = None
    """Extra space between words, in capital heights. Left out, 0."""
    case: Literal["as written", "capitals"] | None = None
    """Whether small letters are set as capitals, all but those of units. Left out, all is set as
    written."""
    ends: Literal["round", "square"] | None = None
    """The ends of strokes, for faces of single strokes. Left out, they are round."""
    bridged: Flag | None = None
    """Whether bridges are cut for the look, even where the stock does not need them; rigid sheet
    always has them. Left out, false."""
    bridge: Least | None = None
    """How wide the bridges through letters are, narrower or wider than those of the stencil. Left
    out, `stencil.least_bridge`, or 0.06 of the height where that is more."""


#: The decimal mark of numerals: either is right. ISO 80000-1; from memory.
DecimalMark = Literal[".", ","]

#: The roles that may have lettering of their own.
LetteredRole = Literal["title", "group", "name", "position", "numeral", "note"]
LETTERED_ROLES: tuple[str, ...] = get_args(LetteredRole)


class Lettering(RoleLettering):
    """The letters of the whole panel, with a table of its own for each role that differs."""

    decimal: DecimalMark = "."
    """What stands between the units and the tenths of the numerals that the program makes, all
    over the panel; what is given as words stays as written."""
    title: RoleLettering = RoleLettering()
    """The title of the panel. Left out, it is twice as tall as the names."""
    group: RoleLettering = RoleLettering()
    """The names of groups. Left out, they stand between names and title."""
    name: RoleLettering = RoleLettering()
    """The names of controls."""
    position: RoleLettering = RoleLettering()
    """The positions of switches and selectors. Left out, they are a step smaller than names."""
    numeral: RoleLettering = RoleLettering()
    """The numerals of scales. Left out, they are a step smaller than names."""
    note: RoleLettering = RoleLettering()
    """Notes of controls, units of scales, and other small print. Left out, they are a step smaller
    than names."""
