"""Panels of very many things, spread out or heaped up."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

from bad_input.cases import Case, either, sort
from bad_input.values import toml

_WORDS = ["A", "ON", "LAMP", "EXPOSURE", "W" * 30, "RANGE 50 " * 20]


@sort
def heaps(chance: random.Random, folder: Path) -> Case:
    """Hundreds or thousands of holes, parts, groups, texts, rules, bare discs or graduations."""
    side = chance.choice([100, 400, 2000])
    reach = chance.choice([0, 1, 20, side, side, side])
    count = chance.choice([10, 50, 200, 500, 1000, 1999, 2001])

    def spot() -> list[float]:
        return [side / 2 + chance.uniform(-reach, reach) / 2 for _ in range(2)]

    def size() -> float:
        return float(chance.choice([0.01, 1, 9, 40, 300, 2000]))

    holes = {f"H{i}": {"at": spot(), "drill": 9} for i in range(count)}
    raw: dict[str, Any] = {"panel": {"size": [side, side]}, "holes": holes}
    wide = size()
    match chance.choice(["holes", "parts", "groups", "texts", "arcs", "rules", "bare", "scale"]):
        case "parts":
            kind = chance.choice(["knob", "toggle", "window", "jack", "selector"])
            part: dict[str, Any] = {"kind": kind, "covers": wide, "name": chance.choice(_WORDS)}
            part |= {"scale": {"from": 0, "to": 10}} if kind == "knob" else {}
            part |= {"positions": ["1", "2", "3"]} if kind == "selector" else {}
            raw["control"] = [{"hole": id, **part} for id in holes]
        case "groups":
            of = [chance.sample(list(holes), min(count, 10)) for _ in range(min(count, 201))]
            raw["group"] = [{"name": chance.choice(_WORDS), "holes": some} for some in of]
        case "texts":
            raw["text"] = [{"at": spot(), "text": chance.choice(_WORDS)} for _ in range(count)]
        case "arcs":
            raw["text"] = [
                {"around": "H0", "radius": 5 + i * wide / 10, "text": chance.choice(_WORDS)}
                for i in range(min(count, 1900 // max(1, int(wide / 10))))
            ]
        case "rules":
            raw["rule"] = [{"from": spot(), "to": spot()} for _ in range(count)]
        case "bare":
            raw["bare"] = [{"hole": id, "diameter": wide} for id in holes]
        case "scale":
            scale: dict[str, Any] = {"from": 0, "to": 1000, "step": 1000 / min(count, 1000)}
            scale["points"] = [chance.randrange(1001) for _ in range(min(count, 50))]
            scale["arc"] = chance.random() < 0.5
            starts = [chance.randrange(1000) for _ in range(min(count, 50))]
            scale["band"] = [{"from": start, "to": start + 1} for start in starts]
            control = {"hole": "H0", "kind": chance.choice(["knob", "slide", "meter"])}
            raw["control"] = [{**control, "covers": wide, "scale": scale}]
            raw["holes"] = {"H0": holes["H0"]}
    if chance.random() < 0.3:
        raw["stencil"] = {"method": "paint-through", "stock": "sheet"}
    (folder / "panel.toml").write_text(toml(raw))
    return either(chance)
