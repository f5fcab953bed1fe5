"""Bad descriptions: samples with their bytes or values changed, and scales of all kinds."""

from __future__ import annotations

import json
import math
import random
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from bad_input.cases import Case, either, mutated, sample, sort
from bad_input.values import NUMBERS, hostile, toml


@sort
def description_bytes(chance: random.Random, folder: Path) -> Case:
    """A sample with its bytes changed."""
    text = sample(chance, folder).encode()
    (folder / "panel.toml").write_bytes(mutated(text, chance))
    return either(chance)


def odd(chance: random.Random, like: object, depth: int = 0) -> object:
    """A value that might stand where it should not, or an ordinary one gone astray."""
    pick = chance.random()
    if isinstance(like, (int, float)) and abs(like) < 1e300 and pick < 0.45:
        return like * chance.choice((0.01, 0.1, 0.5, 0.9, 1.1, 2, 5, 10, 100, 1e4, -1))
    if isinstance(like, str) and pick < 0.3:
        return hostile(chance)
    if pick < 0.6:
        return chance.choice(NUMBERS)
    if pick < 0.8:
        return hostile(chance)
    if depth > 2 or pick < 0.85:
        return chance.choice([True, False, [], {}, [[]], [like] * 40, {"": like}])
    if pick < 0.93:
        return [odd(chance, like, depth + 1) for _ in range(chance.randrange(4))]
    keys = [*"ABC", "from", "to", "at", "drill", "law", "up", "@sources"]
    return {chance.choice(keys): odd(chance, like, depth + 1) for _ in range(chance.randrange(4))}


def spots_of(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    if path:
        yield path
    inside = (
        value.items()
        if isinstance(value, dict)
        else enumerate(value)
        if isinstance(value, list)
        else ()
    )
    for key, each in inside:
        yield from spots_of(each, (*path, key))


def unsettled(raw: dict[str, Any], chance: random.Random) -> None:
    """Change one thing, anywhere in raw tables."""
    path = chance.choice(list(spots_of(raw)))
    table: Any = raw
    for step in path[:-1]:
        table = table[step]
    key, old = path[-1], table[path[-1]]
    match chance.randrange(10):
        case 0:
            del table[key]
        case 1 if isinstance(table, list):
            table[key:key] = [old] * chance.choice((1, 1, 3, 60))
        case 2 if isinstance(old, list):
            chance.shuffle(old)
        case 3:
            spots = list(spots_of(raw))
            source = chance.choice(spots)
            value: Any = raw
            for step in source:
                value = value[step]
            table[key] = json.loads(json.dumps(value, default=str))
        case 4 if isinstance(old, dict):
            old[hostile(chance)] = odd(chance, 1)
        case _:
            table[key] = odd(chance, old)


#: Keys that samples do not use, with values at the ends of what is allowed, and a little past.
_SELDOM: list[tuple[tuple[str, ...], list[Any]]] = [
    (("lettering", "height"), [0.5, 200, 20, 0.4]),
    (("lettering", "slope"), [-30, 30]),
    (("lettering", "stroke"), [0.04, 0.3]),
    (("lettering", "width"), [0.5, 2]),
    (("lettering", "tracking"), [-0.2, 2]),
    (("lettering", "word_space"), [-0.3, 5]),
    (("lettering", "ends"), ["square"]),
    (("lettering", "case"), ["capitals"]),
    (("lettering", "bridged"), [True]),
    (("lettering", "face"), ["DejaVu Sans", "plain", "../../x.ttf", "/dev/zero", "/dev/zero.ttf"]),
    (("stencil", "copies"), [50, 51, 7]),
    (("stencil", "piece"), ["panel", "row", "control"]),
    (("stencil", "method"), ["paint-through"]),
    (("stencil", "stock"), ["sheet"]),
    (("stencil", "stock_size"), [[20, 20], [10_000, 10_000], [20, 10_000], [10_000, 20]]),
    (("stencil", "margin"), [0, 2000, 0.001]),
    (("stencil", "overrun"), [3, 0.001]),
    (("stencil", "lead_in"), [3, 0.001]),
    (("stencil", "stock_margin"), [0, 9]),
    (("stencil", "registration"), ["cross", "none"]),
    (("stencil", "registration_holes"), [1, 100]),
    (("stencil", "mirror"), [True]),
    (("stencil", "turn"), [True]),
    (("stencil", "test_square"), [True]),
    (("stencil", "measured"), [[45, 55]]),
    (("stencil", "least_stroke"), [0.01, 2000, 1]),
    (("stencil", "least_counter"), [0.01, 2000, 3]),
    (("stencil", "least_gap"), [0.01, 2000, 3]),
    (("stencil", "least_bridge"), [0.01, 2000, 3]),
    (("panel", "size"), [[1, 1], [1, 10_000], [10_000, 400], [2000, 2000], [10_000, 10_000]]),
    (("panel", "datum"), ["upper right", "centre"]),
    (("panel", "viewing_distance"), [50, 10_000]),
    (("bench", "per_piece"), [0, 1e9, "30 min"]),
    (("units",), ["in", "cm", "mm"]),
]


@sort
def description_values(chance: random.Random, folder: Path) -> Case:
    """A sample with its values changed, its tables doubled or lost, and rare keys put in."""
    raw = tomllib.loads(sample(chance, folder))
    for path, values in chance.sample(_SELDOM, chance.choice((0, 0, 1, 2, 4))):
        table = raw
        for step in path[:-1]:
            table = table.setdefault(step, {})
        table[path[-1]] = chance.choice(values)
    for _ in range(chance.choice((0, 1, 1, 1, 2, 4))):
        unsettled(raw, chance)
    (folder / "panel.toml").write_text(toml(raw), errors="surrogatepass")
    return either(chance)


@sort
def scales(chance: random.Random, folder: Path) -> Case:
    """Scales of every law between ends and with steps of any size."""
    law = chance.choice(["linear", "log", "taper", "inverse", "inverse-square", "decibel", "table"])
    number = lambda: chance.choice([  # noqa: E731
        chance.choice(NUMBERS), chance.uniform(-100, 100), 10 ** chance.uniform(-20, 20),
        float(chance.randrange(-20, 100)), -(10 ** chance.uniform(-9, 9)),
    ])  # fmt: skip
    scale: dict[str, Any] = {"law": law, "from": number(), "to": number()}
    if law == "taper":
        scale["taper"] = chance.choice(
            ["audio 10", "reverse 15", "linear", [[0, 0], [number(), number()], [100, 100]]]
        )
    if law == "table":
        scale["table"] = [[number(), number()] for _ in range(chance.randrange(6))]
        scale["table"] += [[scale["from"], -100], [scale["to"], 100]]
    for key, value in {
        "numbered": [number() for _ in range(chance.randrange(4))], "points": [number()],
        "step": abs(number()),
        "band": [{"from": number(), "to": number()}], "unit": hostile(chance),
        "low": hostile(chance),
        "sweep": chance.choice([360, 1e-6, 1, 90, 359.999999, number()]), "arc": True,
        "start": chance.choice([-360, 360, number()]),
        "track": chance.choice([1e-6, 240, number()]),
    }.items():  # fmt: skip
        if chance.random() < 0.2:
            scale[key] = value
    if chance.random() < 0.1:
        scale = {"low": hostile(chance), "high": hostile(chance), "sweep": number(), "arc": True}
    elif chance.random() < 0.1:
        scale["to"] = min(scale["from"], 10**300) * (1 + 10 ** chance.uniform(-17, -3))
    size = chance.choice([(100, 100), (400, 300), (2000, 2000)])
    control = {"hole": "A", "kind": chance.choice(["knob", "slide", "meter"]), "scale": scale}
    control["covers"] = chance.choice([0.01, 5, 24, 90, 1000, 2000, [2000, 1], [1, 1800]])
    hole = {"at": [size[0] / 2, size[1] / 2], "drill": chance.choice([0.01, 9, 200])}
    raw = {"panel": {"size": size}, "holes": {"A": hole}, "control": [control]}
    if chance.random() < 0.3:
        raw["lettering"] = {"height": chance.choice([0.5, 1, 30, 200])}
    (folder / "panel.toml").write_text(toml(raw))
    return either(chance)


@sort
def shapes(chance: random.Random, folder: Path) -> Case:
    """Holes of every shape, and panels of every outline, of any size."""

    def size() -> Any:
        return chance.choice(
            [
                chance.choice(NUMBERS),
                chance.uniform(0.01, 30),
                float(chance.randrange(1, 40)),
                10 ** chance.uniform(-4, 4),
            ]
        )

    def corners(count: int, far: float) -> list[list[Any]]:
        turns = sorted(chance.uniform(0, 2 * math.pi) for _ in range(count))
        radii = [[], [], [chance.uniform(0, far / 4)], [size()]]
        around = [
            [
                far * math.cos(t) * chance.choice([1, 1, 0.3]),
                far * math.sin(t),
                *chance.choice(radii),
            ]
            for t in turns
        ]
        if chance.random() < 0.2:
            chance.shuffle(around)
        return around

    shape: dict[str, Any] = chance.choice(
        [
            {"drill": size()},
            {"cutout": [size(), size()], "corner_radius": size()},
            {"slot": [size(), size()]},
            {"single_d": [size(), size()]},
            {"double_d": [size(), size()]},
            {"keyed": [size(), size(), size()]},
            {"hexagon": size()},
            {"d_connector": chance.choice([9, 50, 10, size()]), "front_mounted": True},
            {"polygon": corners(chance.choice([2, 3, 5, 20, 101]), 15), "corner_radius": size()},
            {"polygon": corners(5, 15)},
        ]
    )
    hole = {"at": [60, 40], "angle": chance.choice([0, 30, 90, -360, size()])} | shape
    outline: Any = chance.choice(
        [
            {"size": [160, 90]},
            {"outline": {"diameter": chance.choice([160, size()])}},
            {"outline": {"polygon": corners(chance.choice([3, 6, 40]), 150)}},
            {"outline": {"polygon": corners(6, 150)}, "corner_radius": size()},
            {"outline": {"drawing": chance.choice(["none.dxf", "panel.toml", hostile(chance)])}},
        ]
    )
    control = {"hole": "A", "kind": chance.choice(["window", "jack", "knob", "connector"])}
    control |= {"name": "A NAME"} | ({"frame": 0.8} if control["kind"] == "window" else {})
    raw = {
        "panel": outline | {"datum": chance.choice(["centre", "lower left", "upper right"])},
        "holes": {"A": hole},
        "control": [control],
        "bare": [{"hole": "A", "margin": size()}] if chance.random() < 0.3 else [],
    }
    if chance.random() < 0.4:
        raw["stencil"] = {"method": "paint-through", "stock": chance.choice(["film", "sheet"])}
    (folder / "panel.toml").write_text(toml(raw), errors="surrogatepass")
    return either(chance)
