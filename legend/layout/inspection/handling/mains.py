"""Check what is said of mains and of fuses: ratings, cautions, and where a switch is off."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from legend.description.tables.description import Control
from legend.layout.artwork import Finding, Severity
from legend.layout.inspection.handling.on_off_words import is_off
from legend.layout.inspection.scene import Scene, check
from legend.sentences import listed

#: Symbols that warn of what is behind the panel.
_CAUTIONS = ("symbol:dangerous-voltage", "symbol:caution")


@check
def marked_as_mains(scene: Scene) -> Iterator[Finding]:
    """What is at mains voltage carries a caution."""
    description = scene.artwork.description
    words = [control.note + control.name for control in description.control]
    words += [text.text for text in description.text]
    if any(symbol in text for symbol in _CAUTIONS for text in words):
        return
    for control in description.control:
        if control.mains and not control.note:
            yield Finding(
                Severity.WARNING,
                "mains-unmarked",
                f"The {control.kind} on {control.hole} is at mains voltage, and nothing on the "
                "panel says so.",
                control.source,
                'Give it a note, or set "symbol:dangerous-voltage" by it.',
            )


@check
def off_is_marked(scene: Scene) -> Iterator[Finding]:
    """One of the switches at mains voltage says where it is off."""
    description = scene.artwork.description
    switches = [control for control in description.control if control.mains and _is_switch(control)]
    told = [_words_of(control) for control in switches] + [[text.text for text in description.text]]
    if not switches or any(is_off(text, words) for words in told for text in words):
        return
    first, *others = switches
    if others:
        holes = listed(control.hole for control in switches)
        said = f"The switches on {holes} are at mains voltage, and none of them says where it is"
    else:
        said = f"The {first.kind} on {first.hole} is at mains voltage, and does not say where it is"
    yield Finding(
        Severity.WARNING,
        "off-unmarked",
        f"{said} off.",
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

_SPEED = r"(?<![^\W\d_])(FF|F|M|TT|T)(?![^\W\d_])"
_CURRENT = r"(\d+(?:[.,]\d+)?)\s*(mA|MA|A|amp)(?![^\W\d_])"
#: A letter for the breaking capacity may stand behind the current.
_CURRENT_AND_BREAKING = r"(\d+(?:[.,]\d+)?)\s*(mA|MA|A)\s*[EHL]?(?![^\W\d_])"
_VOLTS = r"(\d+)\s*V(?![^\W\d_])"


@check
def fuses_are_rated(scene: Scene) -> Iterator[Finding]:
    """A fuse says its rating, in the usual form."""
    for control in scene.artwork.description.control:
        if control.kind != "fuse":
            continue
        note, name = (" ".join(text.split()) for text in (control.note, control.name))
        said = note if re.search(_CURRENT, note) else f"{name} {note}".strip()
        if not re.search(r"\d", note) and not re.search(_CURRENT, said):
            yield Finding(
                Severity.WARNING,
                "fuse-unrated",
                f"The fuse on {control.hole} does not say its rating.",
                control.source,
                'Give it a note, such as note = "T 1 A 250 V".',
            )
        elif current := re.search(_CURRENT, said):
            yield from _out_of_form(control, said, current)


def _out_of_form(control: Control, said: str, current: re.Match[str]) -> Iterator[Finding]:
    """What is not as fuses themselves are marked, in the form T 1 A 250 V."""
    amperes = float(current[1].replace(",", "."))
    small = not current[2].startswith(("m", "M")) and 0 < amperes < 1
    speed, volts = re.search(_SPEED, said), re.search(_VOLTS, said)
    amiss = []
    if not re.search(_SPEED.replace("(?![^\\W\\d_])", "") + r"\s*" + _CURRENT, said):
        amiss.append("F, M or T, how fast it blows, does not stand directly before the current")
    if small:
        amiss.append("a current below 1 A is not in mA")
    if not re.search(_CURRENT_AND_BREAKING + r".*?" + _VOLTS, said):
        amiss.append("no volts stand after the current")
    if not amiss:
        return
    rating = f"{1000 * amperes:g} mA" if small else f"{current[1]} {_unit(current[2])}"
    whole = f'"{speed[1]} {rating} {volts[1]} V"' if speed and volts else None
    yield Finding(
        Severity.NOTE,
        "fuse-form",
        f"The fuse on {control.hole} says {said!r}: {listed(amiss)}.",
        control.source_of("note"),
        f"Write {whole}." if whole else 'Write it as on the fuse itself, such as "T 1 A 250 V".',
    )


def _unit(written: str) -> str:
    return "mA" if written.startswith(("m", "M")) else "A"
