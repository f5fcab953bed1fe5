"""Know other words for kinds of control, to tell what to write instead.

A word that is no kind goes in; a clause comes out that names the kind, or asks which of several
it is. Each word that the trade uses for something fitted in a panel is one line here.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Collection, Mapping

from legend.description.kinds import KINDS, with_article
from legend.sentences import listed

#: What tells kinds apart where a word may mean several of them.
_TOLD_APART: Mapping[str, str] = {
    "bargraph": "a column of lights",
    "binding post": "that is screwed down by hand",
    "button": "that is pressed",
    "connector": "of several ways",
    "display": "with its own bezel",
    "inlet": "that mains comes in by",
    "jack": "that takes a plug",
    "keypad": "a whole field of them",
    "keyswitch": "that is turned with a key",
    "knob": "that turns freely",
    "lamp": "a single light",
    "meter": "with a pointer",
    "multi-turn dial": "that counts its turns in a window of its own",
    "rocker": "that is rocked",
    "screw": "its screws alone",
    "selector": "that is turned from detent to detent",
    "slide": "that is pushed along a slot",
    "stud": "a threaded one with a nut",
    "thumbwheel": "a wheel with digits",
    "toggle": "with a lever",
    "window": "an opening alone, with the display behind it",
}

#: The kinds that each word may mean.
OTHER_WORDS: Mapping[str, tuple[str, ...]] = {
    word: tuple(kinds.split("|"))
    for kinds, words in {
        "knob": "pot|potentiometer|variable resistor|rheostat|attenuator|trimmer|control knob"
        "|volume control|push pull|push pull knob",
        "knob|selector": "rotary|rotary control",
        "knob|button": "encoder|rotary encoder",
        "knob|multi-turn dial": "dial|vernier",
        "multi-turn dial": "ten turn dial|turns counting dial|turns counter|counting dial"
        "|multi turn|multiturn dial",
        "selector": "rotary switch|range switch|selector switch|wafer switch|stepped switch",
        "toggle|rocker|selector|keyswitch|button|slide": "switch|power switch|mains switch",
        "toggle": "toggle switch|lever|lever switch|flip switch|tumbler|tumbler switch",
        "rocker": "rocker switch|paddle switch",
        "keyswitch": "key switch|key lock|keylock|lock|lock switch|key operated switch",
        "button|keyswitch|keypad": "key",
        "button": "push button|pushbutton|push switch|push|momentary|reset button"
        "|emergency stop|mushroom button",
        "keypad": "keyboard|membrane keypad|key field|keys field",
        "slide": "slider|fader|slide switch|slide pot|slide control|slide potentiometer",
        "jack|connector|inlet": "socket|plug|receptacle|outlet",
        "jack": "jack socket|phone jack|banana socket|phono socket|coaxial socket"
        "|foot switch socket|headphone socket|din socket|pin jack|tip jack",
        "connector": "d connector|multiway connector|port|terminal block|header",
        "inlet": "mains inlet|power inlet|appliance inlet|mains socket|mains connector",
        "binding post": "post|wing terminal|bindingpost",
        "binding post|stud|connector": "terminal",
        "stud": "earth stud|ground stud|earth|ground|earth terminal|bolt|threaded stud",
        "screw": "bolt hole|machine screw|fixing|fastener|mounting screw|mounting hole",
        "lamp": "led|light|indicator|pilot|pilot lamp|pilot light|indicator lamp|neon|neon lamp"
        "|bulb|jewel|indicator light|signal lamp|warning lamp",
        "window": "viewport|sight glass|opening|cut out|glass|porthole|view port",
        "display|window": "screen|readout|digits|lcd|lcd display|led display|digital display"
        "|seven segment display",
        "display|meter": "panel meter|digital meter",
        "meter": "ammeter|voltmeter|instrument|pointer instrument|panel instrument|galvanometer",
        "meter|bargraph|display": "gauge|level meter|level indicator",
        "edge meter": "edgewise meter|edge instrument|strip meter|straight meter",
        "bargraph": "bar graph|bar|led bar|column|light column|bar display",
        "thumbwheel": "thumb wheel|thumbwheel switch|digit switch|edge switch|thumb wheel switch",
        "fuse": "fuse holder|fuseholder",
        "toggle|rocker|button": "circuit breaker|breaker",
        "blank": "plug button|hole plug|blanking plug|unused|spare|none|empty",
    }.items()
    for word in words.split("|")
}

#: Other words for values that are one of a few, or for a word in them; of several the one that is
#: allowed is meant.
_OTHER_VALUES: Mapping[str, tuple[str, ...]] = {
    "bottom": ("lower", "below", "down"),
    "under": ("below", "down"),
    "top": ("upper", "above", "up"),
    "over": ("above", "up"),
    "center": ("centre",),
    "middle": ("centre",),
    "inch": ("in",),
    "inches": ("in",),
    "imperial": ("in",),
    "millimetres": ("mm",),
    "millimeters": ("mm",),
    "metric": ("mm",),
    "logarithmic": ("log",),
    "exponential": ("log",),
    "lin": ("linear",),
    "heading": ("group",),
    "label": ("name",),
    "box": ("frame",),
    "line": ("rule",),
}

#: Words that are said letter by letter.
_SPELT = ("lcd", "led")


def kind_meant(written: str) -> str:
    """What kind a word means that is none, in a clause; "" where that is not known.

    Case, hyphens, spaces and underscores do not matter, nor whether it is one or several.

    >>> kind_meant("pot")
    'a pot is "knob"'
    >>> kind_meant("Binding_Posts")
    'write "binding post"'
    """
    word = _plain(written)
    for one in (word, *_singular(word)):
        for kind in KINDS:
            if one.replace(" ", "") == _plain(kind).replace(" ", ""):
                return f'write "{kind}"'
        if one in OTHER_WORDS:
            return _told(one, OTHER_WORDS[one])
    return ""


def value_meant(written: str, choices: Collection[str]) -> str:
    """The one of a few values that is meant by other words for it; what is written where none is.

    >>> value_meant("bottom left", ["lower left", "centre"]), value_meant("top", ["above", "below"])
    ('lower left', 'above')
    """
    words = _plain(written).split()
    ways = itertools.product(*((word, *_OTHER_VALUES.get(word, ())) for word in words[:3]))
    return next((said for way in ways if (said := " ".join(way)) in choices), written)


def _plain(word: str) -> str:
    return re.sub(r"[\s_-]+", " ", word[:100]).strip().casefold()


def _singular(word: str) -> list[str]:
    """What the word may be the plural of."""
    ends = (("ches", "ch"), ("shes", "sh"), ("sses", "ss"), ("xes", "x"), ("s", ""))
    return [word.removesuffix(end) + one for end, one in ends if word.endswith(end)]


def _told(word: str, kinds: tuple[str, ...]) -> str:
    a_word = f"an {word.upper()}" if word in _SPELT else with_article(word)
    if len(kinds) == 1:
        return f'{a_word} is "{kinds[0]}"'
    which = listed((f'"{kind}" ({_TOLD_APART[kind]})' for kind in kinds), "or")
    return f"{a_word} may be {which}"
