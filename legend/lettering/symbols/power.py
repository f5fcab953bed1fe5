"""Draw the symbols of switching, of supplies and of earth."""

from __future__ import annotations

from legend.lettering.symbols.symbol import Group, Symbol, block, ring

_DISC = ring(0, 0, 10)

#: A ring to either side, an open ring between them, a line from it to the left ring, and one
#: from the dot within it, through its opening, to the right ring.
_DC_CONNECTOR = (
    ring(-24, 0, 9) + ring(24, 0, 9) + "M6.894 5.785 A9 9 0 1 1 6.894 -5.785 M-15 0 H-9 M0 0 H15 "
)
_MINUS_LEFT, _MINUS_RIGHT = "M-27.5 0 H-20.5 ", "M20.5 0 H27.5 "

SWITCHING = Group(
    "Switching",
    {
        "on": Symbol("On (power)", "M0 -10 V10", number="IEC 60417-5007", characters="⏽"),
        "off": Symbol("Off (power)", _DISC, number="IEC 60417-5008", characters="⭘"),
        "stand-by": Symbol(
            "Stand-by",
            "M-6.364 5.364 A9 9 0 1 1 6.364 5.364 M0 10 V-0.5",
            number="IEC 60417-5009",
            also="standby",
            characters="⏻",
        ),
        "on-off": Symbol(
            "On/off, push-push",
            _DISC + "M0 5.2 V-5.2",
            number="IEC 60417-5010, from memory",
            also="on/off onoff push-push latching latching-push-button",
            characters="⏼",
        ),
        "momentary": Symbol(
            "Momentary push-button: made while it is pressed",
            "M-11.5 -6 H-6 M6 -6 H11.5 M-8 0 H8 M0 0 V8 M-3.5 8 H3.5",
            ring(-6, -6, 0.9) + ring(6, -6, 0.9),
            also="push-to-make momentary-push-button momentary-switch press",
        ),
    },
)

SUPPLY = Group(
    "Supply and polarity",
    {
        "direct-current": Symbol(
            "Direct current",
            "M-10 2.75 H10 M-10 -2.75 H-7 M-1.5 -2.75 H1.5 M7 -2.75 H10",
            number="IEC 60417-5031",
            also="dc",
            characters="⎓",
        ),
        "alternating-current": Symbol(
            "Alternating current",
            "M-10 0 A5.321 5.321 0 0 0 0 0 A5.321 5.321 0 0 1 10 0",
            number="IEC 60417-5032",
            also="ac",
            characters="∿⏦",
        ),
        "direct-and-alternating-current": Symbol(
            "Both direct and alternating current",
            "M-10 5.5 H10 M-10 -3 A5.321 5.321 0 0 0 0 -3 A5.321 5.321 0 0 1 10 -3",
            number="IEC 60417-5033",
            also="ac-dc ac/dc dc-ac dc/ac",
        ),
        "plus": Symbol(
            "Plus; positive polarity",
            "M-8 0 H8 M0 -8 V8",
            number="IEC 60417-5005",
            also="positive +",
        ),
        "minus": Symbol(
            "Minus; negative polarity",
            "M-8 0 H8",
            number="IEC 60417-5006",
            also="negative - −",
        ),
        "battery": Symbol(
            "Battery, general",
            "M-11 -5.5 H8.4 V5.5 H-11 Z",
            block(8.6, -1.5, 10.6, 1.5)
            + block(-6.36, -0.85, -3.6, 0.85)
            + block(1, -0.85, 3.76, 0.85),
            number="IEC 60417-5001B",
            also="accumulator",
            characters="🔋",
        ),
        "cell": Symbol(
            "Cell, as in circuit diagrams, its positive side at the left",
            "M-10 0 H-2.5 M-2.5 -9 V9 M2.5 -4.5 V4.5 M2.5 0 H10",
            also="single-cell primary-cell",
        ),
        "fuse": Symbol(
            "Fuse",
            "M-7 -4.75 H7 V4.75 H-7 Z M-10 0 H10",
            number="IEC 60417-5016",
            characters="⏛",
        ),
        "dc-connector-centre-positive": Symbol(
            "Polarity of d.c. power connector, centre positive",
            _DC_CONNECTOR + _MINUS_LEFT + _MINUS_RIGHT + "M24 3.5 V-3.5",
            ring(0, 0, 1.8),
            number="IEC 60417-5926, from memory",
            also="centre-positive center-positive dc-connector-center-positive tip-positive "
            "centre-plus center-plus",
        ),
        "dc-connector-centre-negative": Symbol(
            "Polarity of d.c. power connector, centre negative",
            _DC_CONNECTOR + _MINUS_LEFT + _MINUS_RIGHT + "M-24 3.5 V-3.5",
            ring(0, 0, 1.8),
            number="IEC 60417-5926, from memory",
            also="centre-negative center-negative dc-connector-center-negative tip-negative "
            "centre-minus center-minus",
        ),
        "power-plug": Symbol(
            "Power plug",
            "M-3.6 10.8 V4 M3.6 10.8 V4 M0 -5 V-11",
            "M-7.2 3.4 H7.2 V1.8 A7.2 7.2 0 0 0 -7.2 1.8 Z",
            number="IEC 60417-5534, from memory",
            also="mains-plug electric-plug",
            characters="🔌",
        ),
    },
)

EARTH = Group(
    "Earth and protection",
    {
        "earth": Symbol(
            "Earth; ground",
            "M0 10 V0 M-10 0 H10 M-6.5 -5 H6.5 M-3 -10 H3",
            number="IEC 60417-5017",
            also="ground gnd grounding earth-ground signal-earth signal-ground",
            characters="⏚",
        ),
        "protective-earth": Symbol(
            "Protective earth; protective ground",
            ring(0, 0, 12) + "M0 12 V2.2 M-7 2.2 H7 M-4.5 -2.45 H4.5 M-2 -7.1 H2",
            number="IEC 60417-5019",
            also="pe protective-ground safety-earth safety-ground protective-conductor",
        ),
        "functional-earth": Symbol(
            "Functional earthing",
            "M-10 -1 A10 10 0 0 0 10 -1 M0 4.3 V-0.7 M-5.3 -0.7 H5.3 M-3.3 -5.35 H3.3 "
            "M-1.4 -10 H1.4",
            number="IEC 60417-5018, from memory",
            also="fe functional-ground",
        ),
        "frame-or-chassis": Symbol(
            "Frame or chassis",
            "M1.75 10 V0 M-6.5 0 H10 M-6.5 0 L-10 -9 M1.75 0 L-1.75 -9 M10 0 L6.5 -9",
            number="IEC 60417-5020",
            also="chassis frame chassis-ground frame-ground",
        ),
        "equipotentiality": Symbol(
            "Equipotentiality",
            "M0 10 V4 M-8.5 4 H8.5 L0 -9.5 Z",
            number="IEC 60417-5021, from memory",
            also="bonding equipotential bond",
        ),
        "class-ii": Symbol(
            "Class II equipment",
            block(-9.5, -9.5, 9.5, 9.5) + block(-4.5, -4.5, 4.5, 4.5),
            number="IEC 60417-5172, from memory",
            also="class-2 double-insulated double-insulation",
        ),
    },
)

GROUPS = (SWITCHING, SUPPLY, EARTH)
