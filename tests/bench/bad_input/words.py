"""Panels full of hostile words, and holes with hostile names."""

from __future__ import annotations

import random
import unicodedata
from pathlib import Path
from typing import Any

from bad_input.cases import FACES, MAKE, Case, either, sort
from bad_input.values import hostile, toml


@sort
def texts(chance: random.Random, folder: Path) -> Case:
    """Every text of a panel a hostile one, in any face, or very many texts."""
    text = lambda: hostile(chance)  # noqa: E731
    holes = {
        id: {"at": [30 + 60 * i, 40], "drill": 9, "note": text()} for i, id in enumerate("ABCD")
    }
    control: list[dict[str, Any]] = [
        {"hole": "A", "kind": "toggle", "positions": {"up": text(), "down": text()}},
        {
            "hole": "B",
            "kind": "selector",
            "positions": [text() for _ in range(chance.randrange(1, 9))],
        },
        {
            "hole": "C",
            "kind": "knob",
            "scale": {"from": 0, "to": 10, "unit": text(), "low": text()},
        },
        {"hole": "D", "kind": "window", "frame": 1},
    ]
    for each in control:
        each |= {"name": text(), "note": text()}
    raw: dict[str, Any] = {
        "title": text(),
        "panel": {"size": [260, 170]},
        "holes": holes,
        "control": control,
    }
    raw["group"] = [{"name": text(), "holes": ["A", "B"]}]
    count = chance.choice((1, 1, 3, 300, 1500))
    raw["text"] = [
        {"at": [chance.uniform(0, 260), chance.uniform(0, 170)], "text": text() or "X"}
        for _ in range(count)
    ]
    if count < 300:
        raw["text"].append({"around": "A", "radius": chance.choice([0.01, 8, 300]), "text": text()})
    keep = chance.random()
    if keep < 0.9:  # most would be refused for one text of the many
        _tamed(raw, chance)
    face = chance.choice(["plain", "plain", "DejaVu Sans", "Liberation Serif"])
    raw["lettering"] = {"face": face, "tracking": chance.choice([0, 0.1])}
    (folder / "panel.toml").write_text(toml(raw))
    return either(chance)


def _tamed(value: Any, chance: random.Random) -> None:
    """Of all texts, take out what a description may not hold."""
    for key, each in list(value.items() if isinstance(value, dict) else enumerate(value)):
        if isinstance(each, (dict, list)):
            _tamed(each, chance)
        elif isinstance(each, str):
            plain = "".join(c for c in each if c == "\n" or _may_stand(c))
            value[key] = plain[: chance.choice((20, 200))] or "X"


def _may_stand(character: str) -> bool:
    return unicodedata.category(character) not in ("Cc", "Cn", "Zl", "Zp", "Mn")


@sort
def names(chance: random.Random, folder: Path) -> Case:
    """Holes with hostile names, which become ids, file contents and words of findings."""
    wanted: list[str] = []
    while len(wanted) < 5:
        name = "".join(c for c in hostile(chance) if c.isprintable())[:40]
        if name.strip() and name not in wanted:
            wanted.append(name)
    holes = {id: {"at": [30 + 50 * i, 40], "drill": 9} for i, id in enumerate(wanted)}
    kinds = ["knob", "toggle", "lamp", "window", "stud"]
    control = [
        {"hole": id, "kind": kind, "name": id} for id, kind in zip(wanted, kinds, strict=True)
    ]
    raw: dict[str, Any] = {"title": wanted[0], "panel": {"size": [280, 100]}, "holes": holes}
    raw |= {"control": control, "group": [{"name": wanted[1], "holes": wanted[:2]}]}
    raw["bare"] = [{"hole": wanted[4], "diameter": 14}]
    raw["text"] = [{"around": wanted[2], "radius": 12, "text": wanted[3]}]
    if chance.random() < 0.3:
        raw["stencil"] = {"method": "paint-through", "stock": "sheet", "piece": "row"}
    (folder / "panel.toml").write_text(toml(raw))
    return MAKE


@sort
def lettered(chance: random.Random, folder: Path) -> Case:
    """Sound words in faces of any build, small and large, on sheet, some of them touching lines."""
    printable = [chr(code) for code in (*range(0x21, 0x7F), *range(0xA1, 0x100)) if code != 0xAD]
    face = str(chance.choice([*FACES.values(), "plain"]))
    height = chance.choice([2, 2.5, 2.8, 3, 3.5, 4, 5, 6, 8, 10, 12, 14])
    pitch = 2.5 * height + 4
    texts = [
        {
            "at": [chance.uniform(60, 240), pitch * (1 + row)],
            "text": "".join(chance.choice(printable) for _ in range(chance.randrange(1, 9))),
        }
        for row in range(int(170 / pitch) - 1)
    ]
    # Lines that run through some words or past them, so near that they touch one in a point.
    lines = []
    for text in chance.sample(texts, min(2, len(texts))):
        level = text["at"][1] + height * chance.choice([0, 0.5, 1, chance.uniform(-0.3, 1.3)])
        lines.append({"from": [40, level], "to": [260, level], "width": 0.8})
    raw: dict[str, Any] = {
        "panel": {"size": [300, 180]},
        "lettering": {"face": face, "note": {"height": height}},
        "stencil": {"method": "paint-through", "stock": chance.choice(["sheet", "sheet", "film"])},
        "holes": {"W": {"at": [150, 90], "cutout": [200, 90]}},
        "control": [{"hole": "W", "kind": "window", "frame": 0.8}],
        "text": texts,
        "rule": lines,
    }
    if chance.random() < 0.2:
        raw["stencil"]["least_bridge"] = chance.choice([0.2, 1.0, 2.0])
    if chance.random() < 0.2:
        raw["lettering"]["stroke"] = chance.choice([0.04, 0.2, 0.3])
    (folder / "panel.toml").write_text(toml(raw))
    return MAKE
