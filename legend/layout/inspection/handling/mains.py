"""Check what is said of mains and of fuses: ratings, cautions, and where a switch is off."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from legend.description.source import Source
from legend.description.tables.description import Control
from legend.layout.artwork import Finding, Severity
from legend.layout.cautions import tells_of_danger
from legend.layout.inspection.handling.on_off_words import is_off
from legend.layout.inspection.meant import is_meant
from legend.layout.inspection.scene import Scene, check
from legend.layout.remedies.offers import Keys, Offer, offer
from legend.lettering.symbols.names import spelt
from legend.sentences import listed

_SIGN = "dangerous-voltage"
#: Symbols that warn of what is behind the panel.
_CAUTIONS = (f"symbol:{_SIGN}", "symbol:caution", "symbol:electric-shock")


@check
def marked_as_mains(scene: Scene) -> Iterator[Finding]:
    """What is at mains voltage carries a caution."""
    description = scene.artwork.description
    words = [f"{control.note} {control.name}" for control in description.control]
    words += [text.text for text in description.text]
    if any(symbol in spelt(text) for symbol in _CAUTIONS for text in words):
        return
    # What stands on the panel by itself, such as "DANGER 400 V", is said of all that is behind it.
    if any(tells_of_danger(text.text) for text in description.text):
        return
    unmarked: dict[Source, list[Control]] = {}
    for control in description.control:
        if control.mains and not control.note and not _says_mains(control.name):
            unmarked.setdefault(control.source, []).append(control)
    for source, (first, *others) in unmarked.items():
        yield Finding(
            Severity.WARNING,
            "mains-unmarked",
            f"The {first.kind} on {first.hole} is at mains voltage, and nothing on the panel says "
            f"so{_as_with(others)}.",
            source,
            "Give it a note that says so.",
            offers=() if others else _signed(scene, first),
            besides="Or give it a note that says so.",
        )


def _signed(scene: Scene, control: Control) -> tuple[Offer, ...]:
    """The sign of dangerous voltage by a control."""
    index = scene.artwork.description.control.index(control)
    how, failed = "put the sign of it there", "its sign has no room across from the name"
    return (offer(how, ("control", index, "note"), [f"symbol:{_SIGN}"], failed),)


def _as_with(others: Sequence[Control]) -> str:
    """That what is said of one control is so with others, where there are any."""
    if not others:
        return ""
    holes = listed(control.hole for control in others)
    return f"; so it is with {'those' if others[1:] else 'that'} on {holes}"


#: What mains is called on panels, in English, German and French.
_MAINS = re.compile(r"\b(?:mains|netz|secteur)\b", re.IGNORECASE)


def _says_mains(name: str) -> bool:
    return bool(_MAINS.search(name)) or tells_of_danger(name)


@check
def off_is_marked(scene: Scene) -> Iterator[Finding]:
    """One of the switches at mains voltage says where it is off."""
    description = scene.artwork.description
    switches = [control for control in description.control if control.mains and _is_switch(control)]
    by_hand = [text.text for text in description.text]
    said = [text for control in switches for text in _words_of(control)]
    # On a switch an O alone is no letter.
    is_told = any(is_off(word, ["I"]) for text in said for word in text.split())
    if not switches or is_told or any(is_off(text, by_hand) for text in by_hand):
        return
    first, *others = switches
    if others:
        holes = listed(control.hole for control in switches)
        what = f"The switches on {holes} are at mains voltage, and none of them says where it is"
    else:
        what = f"The {first.kind} on {first.hole} is at mains voltage, and does not say where it is"
    yield Finding(
        Severity.WARNING,
        "off-unmarked",
        f"{what} off.",
        first.source,
        "Name that position OFF, O or symbol:off on the one that parts the mains; where that is "
        'not on this panel, say meant = ["off-unmarked"] there.',
        also=tuple(control.source for control in others),
    )


def _is_switch(control: Control) -> bool:
    """Whether a control is thrown or turned from one position to another, and is no scale's."""
    kind = control.of_kind
    return kind.lays in ("sides", "round") and not kind.takes_scale


def _words_of(control: Control) -> list[str]:
    positions = control.positions
    return list(positions.values() if isinstance(positions, Mapping) else positions)


# --- Fuses ---

_NO_LETTER = r"(?![^\W\d_])"
_SPEED = r"(?<![^\W\d_])(FF|F|M|TT|T)" + _NO_LETTER
_CURRENT = r"(\d+(?:[.,]\d+)?)\s*(mA|MA|A|amp)" + _NO_LETTER
_VOLTS = r"(\d+)\s*V" + _NO_LETTER
_SPEED_AND_CURRENT = r"(?<![^\W\d_])(?:FF|F|M|TT|T)\s*" + _CURRENT
#: A letter for the breaking capacity may stand behind the current.
_CURRENT_AND_VOLTS = r"\d\s*(?:mA|MA|A|amp)\s*[EHL]?" + _NO_LETTER + ".*?" + _VOLTS


def is_rating(text: str) -> bool:
    """Whether a text is a current, and so no name of a fuse."""
    return re.search(_CURRENT, text, re.IGNORECASE) is not None


@check
def fuses_are_rated(scene: Scene) -> Iterator[Finding]:
    """A fuse says its rating."""
    for control in _fuses(scene):
        if not re.search(r"\d", control.note) and not re.search(_CURRENT, control.name):
            yield Finding(
                Severity.WARNING,
                "fuse-unrated",
                f"The fuse on {control.hole} does not say its rating.",
                control.source,
                'Give it a note, such as note = "T 1 A 250 V".',
                settled_by=_keys(scene, control, "note"),
            )


@check
def ratings_in_form(scene: Scene) -> Iterator[Finding]:
    """The ratings of fuses have the form that fuses themselves bear.

    Those that fall short alike are told as one.
    """
    alike: dict[tuple[object, ...], list[Control]] = {}
    for control in _fuses(scene):
        if amiss := _amiss(_rating_of(control)):
            is_to_be = is_meant(scene.claims, "fuse-form", [control.source])
            # Each that is meant is found by itself, so that it is known to be meant rightly.
            alike.setdefault((*amiss, control.hole if is_to_be else ""), []).append(control)
    for first, *others in alike.values():
        said = _rating_of(first)
        whole = _in_form(said)
        yield Finding(
            Severity.NOTE,
            "fuse-form",
            f"The fuse on {first.hole} says {said!r}: {listed(_amiss(said))}{_as_with(others)}.",
            first.source,
            f'Write "{whole}".' if whole else 'Write it as on the fuse, such as "T 1 A 250 V".',
            also=tuple(control.source for control in others),
            offers=_written(scene, first, whole) if whole and not others else (),
            settled_by=_where_rated(scene, first),
        )


def _written(scene: Scene, control: Control, rating: str) -> tuple[Offer, ...]:
    """The rating in the usual form, where it stands now."""
    keys = _where_rated(scene, control)
    return (offer("write it so", keys, [rating], "so written it has no room"),)


def _where_rated(scene: Scene, control: Control) -> Keys:
    """The key of a fuse that has its rating."""
    return _keys(scene, control, "note" if re.search(_CURRENT, control.note) else "name")


def _keys(scene: Scene, control: Control, key: str) -> Keys:
    return ("control", scene.artwork.description.control.index(control), key)


def _fuses(scene: Scene) -> Iterator[Control]:
    return (control for control in scene.artwork.description.control if control.kind == "fuse")


def _rating_of(control: Control) -> str:
    """What a fuse says where its rating is looked for, on one line."""
    note, name = (" ".join(text.split()) for text in (control.note, control.name))
    return note if re.search(_CURRENT, note) else name


def _amiss(said: str) -> list[str]:
    """What is not as fuses themselves are marked, in the form T 1 A 250 V; nothing of no rating."""
    if not (current := re.search(_CURRENT, said)):
        return []
    amiss = []
    if not re.search(_SPEED_AND_CURRENT, said):
        amiss.append("F, M or T, how fast it blows, does not stand directly before the current")
    if _is_small(current):
        amiss.append("a current below 1 A is not in mA")
    if not re.search(_CURRENT_AND_VOLTS, said):
        amiss.append("no volts stand after the current")
    return amiss


def _in_form(said: str) -> str | None:
    """The rating in the usual form; None where it does not say all of it."""
    current, speed, volts = (re.search(part, said) for part in (_CURRENT, _SPEED, _VOLTS))
    if not (current and speed and volts):
        return None
    rating = f"{current[1]} {'mA' if current[2] in ('mA', 'MA') else 'A'}"
    if _is_small(current):
        rating = f"{1000 * _amperes(current):g} mA"
    return f"{speed[1]} {rating} {volts[1]} V"


def _is_small(current: re.Match[str]) -> bool:
    return current[2] not in ("mA", "MA") and 0 < _amperes(current) < 1


def _amperes(current: re.Match[str]) -> float:
    return float(current[1].replace(",", "."))
