"""Know the columns of a hole list by the words that other people head them with.

English words that are common beside those of this program, and German, French, Spanish and
Italian ones, without their accents.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Mapping
from types import MappingProxyType

#: The words for each column, parted by spaces.
_WORDS = {
    "id": "hole name no nr number ref loch bezeichnung nummer trou nom repere numero agujero "
    "orificio taladro nombre foro nome",
    "drill": "diameter dia drilled ø d durchmesser bohrdurchmesser diametre percage diametro broca "
    "punta",
    "width": "breite largeur ancho anchura larghezza",
    "height": "hohe hoehe hauteur alto altura altezza",
    "corner_radius": "radius eckenradius rayon radio raggio",
    "slot": "langloch rainure ranura asola",
    "angle": "rotation winkel drehung angulo angolo",
    "note": "remark remarks comment comments bemerkung anmerkung notiz kommentar remarque "
    "commentaire nota observacion observaciones comentario osservazioni commento",
}
#: The column for each word.
HEADS: Mapping[str, str] = MappingProxyType(
    {word: column for column, words in _WORDS.items() for word in words.split()}
)
#: Words that are a hole, or its size where another column names the hole.
_HOLE_OR_SIZE = frozenset({"bohrung", "bore"})


def column_of(heading: str, columns: Collection[str], others: Collection[str] = ()) -> str:
    """The column that is headed so; the heading itself, its words joined, where none is known.

    `others` are the headings of the whole list.

    >>> column_of("Durchmesser", ["id", "drill"])
    'drill'
    """
    name = re.sub(r"[\s-]+", "_", heading.strip().lower())
    if name in columns:
        return name
    plain = "".join(c for c in unicodedata.normalize("NFKD", name) if not unicodedata.combining(c))
    if plain in _HOLE_OR_SIZE:
        named = any(column_of(other, columns) == "id" for other in others if other != heading)
        return "drill" if named else "id"
    return HEADS.get(plain, name)
