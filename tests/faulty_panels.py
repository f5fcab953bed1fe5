"""Panels with one fault each, by the code of what is found, and the sound one they are made of."""

from __future__ import annotations

from typing import Any

SOUND: dict[str, Any] = {
    "holes": {"A": {"at": [60, 50], "drill": 6}, "B": {"at": [120, 50], "drill": 6}},
    "control": [
        {"hole": "A", "kind": "toggle", "name": "FAN"},
        {"hole": "B", "kind": "toggle", "name": "PUMP"},
    ],
}


def seeded(**tables: Any) -> dict[str, Any]:
    return SOUND | tables


def control(hole: str, name: str, **more: Any) -> dict[str, Any]:
    return {"hole": hole, "kind": "toggle", "name": name} | more


def hole(x: float, y: float, drill: float = 6) -> dict[str, Any]:
    return {"at": [x, y], "drill": drill}


def drilled(datum: str | None = None, **places: tuple[float, float]) -> dict[str, Any]:
    """The sound panel with a third hole, as it came out."""
    holes = SOUND["holes"] | {"C": hole(60, 80)}
    measured: dict[str, Any] = {"holes": {id: {"at": list(at)} for id, at in places.items()}}
    if datum:
        measured["datum"] = datum
    return seeded(
        holes=holes, control=[*SOUND["control"], control("C", "LIFT")], as_drilled=measured
    )


FAULTS = {
    "off-panel": seeded(text=[{"at": [195, 20], "text": "VENTILATION"}]),
    "near-edge": seeded(text=[{"at": [100, 0.7], "text": "VENT"}]),
    "over-hole": seeded(text=[{"at": [60, 49], "text": "IIIIIIIIII"}]),
    "hidden": seeded(
        control=[control("A", "FAN", covers=[10, 10]), control("B", "PUMP")],
        text=[{"at": [60, 46.5], "text": "M"}],
    ),
    "near-part": seeded(text=[{"at": [120, 41.7], "text": "M"}]),
    "touching": seeded(text=[{"at": [50, 20], "text": "OVEN"}, {"at": [52, 20], "text": "HOOD"}]),
    "crowded": seeded(text=[{"at": [50, 20], "text": "OVEN"}, {"at": [50, 16.8], "text": "HOOD"}]),
    "run-together": seeded(
        holes=SOUND["holes"] | {"B": hole(94.6, 50.3)},
        control=[
            control("A", "FAN", positions={"right": "HEATED"}),
            control("B", "PUMP", positions={"left": "COLD"}, in_row=False, side="below"),
        ],
    ),
    "too-small": seeded(lettering={"name": {"height": 2.0}}),
    "hole-unused": seeded(holes=SOUND["holes"] | {"C": hole(20, 20)}),
    "hole-shared": seeded(control=[*SOUND["control"], control("A", "LIFT", side="below")]),
    "hole-off-panel": seeded(holes=SOUND["holes"] | {"B": hole(199, 50)}),
    "hole-near-edge": seeded(holes=SOUND["holes"] | {"B": hole(196.5, 50)}),
    "holes-close": seeded(
        holes=SOUND["holes"] | {"B": hole(66.5, 50)},
        control=[control("A", "FAN", covers=6), control("B", "PUMP", covers=6, side="below")],
    ),
    "parts-collide": seeded(holes=SOUND["holes"] | {"B": hole(68, 50)}),
    "same-name": seeded(control=[control("A", "FAN"), control("B", "Fan")]),
    "nearer-to-other": seeded(
        holes=SOUND["holes"] | {"C": hole(60, 63.5)},
        control=[
            control("A", "FAN", covers=6),
            control("B", "PUMP"),
            control("C", "LIFT", covers=6, side="right"),
        ],
    ),
    "stroke-ratio": seeded(lettering={"name": {"stroke": 0.07}}),
    "levels-alike": seeded(
        lettering={"name": {"height": 3.5}, "title": {"height": 4}},
        text=[{"at": [100, 80], "text": "HEATER", "role": "title"}],
    ),
    "thin-stroke": seeded(lettering={"name": {"height": 3.0, "stroke": 0.08}}),
    "small-counter": seeded(
        lettering={"note": {"height": 2.4, "stroke": 0.22}}, text=[{"at": [90, 20], "text": "4A"}]
    ),
    "filled-counter": seeded(
        lettering={"note": {"height": 5, "stroke": 0.3}}, text=[{"at": [90, 20], "text": "4A"}]
    ),
    "heavy-bridge": seeded(
        stencil={"method": "paint-through", "stock": "sheet"},
        lettering={"note": {"height": 2.5}},
        text=[{"at": [90, 20], "text": "80"}],
    ),
    "narrow-gap": seeded(
        lettering={"note": {"height": 3.5, "tracking": -0.19}},
        text=[{"at": [90, 20], "text": "HIH"}],
    ),
    "narrow-mouth": seeded(
        stencil={"method": "paint-through", "stock": "sheet"},
        lettering={"note": {"height": 2.0, "stroke": 0.16}},
        text=[{"at": [90, 20], "text": "Gas?"}],
    ),
    "scale-backwards": seeded(
        control=[
            {"hole": "A", "kind": "knob", "scale": {"from": 10, "to": 0}},
            control("B", "PUMP"),
        ]
    ),
    "no-dead-zone": seeded(
        control=[
            {"hole": "A", "kind": "knob", "scale": {"from": 0, "to": 10, "sweep": 352}},
            control("B", "PUMP"),
        ]
    ),
    "not-shared": seeded(
        holes={
            "A": {"at": [60, 50], "slot": [40, 3], "angle": 90},
            "B": {"at": [120, 55], "slot": [40, 3], "angle": 90},
        },
        control=[
            {"hole": "A", "kind": "slide", "scale": {"from": 0, "to": 10, "shared_with": "B"}},
            {"hole": "B", "kind": "slide", "name": "FADE"},
        ],
    ),
    "too-fine": seeded(
        control=[
            {"hole": "A", "kind": "knob", "scale": {"from": 0, "to": 100, "step": 0.5}},
            control("B", "PUMP"),
        ]
    ),
    "off-step": seeded(
        control=[
            {"hole": "A", "kind": "knob", "scale": {"from": 0, "to": 10, "step": 2}},
            {
                "hole": "B",
                "kind": "knob",
                "scale": {"from": 0, "to": 6, "step": 2, "numbered": [3]},
            },
        ]
    ),
    "fuse-unrated": seeded(
        control=[{"hole": "A", "kind": "fuse", "name": "FUSE"}, control("B", "PUMP")]
    ),
    "mains-unmarked": seeded(control=[control("A", "FAN", mains=True), control("B", "PUMP")]),
    "off-up": seeded(
        control=[control("A", "FAN", positions={"up": "AUS", "down": "EIN"}), control("B", "PUMP")]
    ),
    "off-unmarked": seeded(
        control=[
            control("A", "FAN", mains=True, note="230 V", positions={"up": "ON"}),
            control("B", "PUMP"),
        ]
    ),
    "many-positions": seeded(
        control=[
            {"hole": "A", "kind": "selector", "positions": [""] * 25, "detent": 14.4},
            control("B", "PUMP"),
        ]
    ),
    "close-positions": seeded(
        control=[
            {"hole": "A", "kind": "selector", "positions": ["1", "2", "3"], "detent": 12},
            control("B", "PUMP"),
        ]
    ),
    "drilled-off": drilled(A=(60, 50.2), B=(120, 52.6), C=(60, 80)),
    "drilled-slip": drilled(A=(60, 50), B=(120, 50), C=(70, 80)),
    "drilled-as-a-whole": drilled(A=(63, 51), B=(123.1, 51), C=(63, 81)),
    "drilled-mirrored": drilled("best fit", A=(60, 50), B=(0, 50), C=(60, 80)),
    "low-contrast": seeded(finish={"base": "white", "top": "ivory"}),
    "not-drawn": seeded(control=[control("A", "FAN \N{SNOWMAN}"), control("B", "PUMP")]),
    "no-room": seeded(
        holes={"A": hole(60, 50, 2), "B": hole(67, 50, 2)},
        control=[control("A", "VENTILATION"), control("B", "PUMP")],
    ),
}
