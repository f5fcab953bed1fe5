"""Panels with one fault each: it is found; and sound panels: nothing is."""

import ast
import math
import re
from pathlib import Path
from typing import Any

import pytest
import shapely
from faulty_panels import FAULTS, SOUND, control, hole, seeded
from font_files import SERIF

import legend
from legend.description.reading.description_file import read
from legend.layout import inspect, lay_out
from legend.layout.artwork import Finding, Role, Severity
from legend.rules import RULES

SAMPLES = Path(__file__).parents[3] / "samples"

#: Codes of what is found when the stencil is cut, and seeded in the tests of that room.
FOUND_BY_THE_STENCIL = {
    "one-hole",
    "pieces-joined",
    "turning-saves",
    "piece-split",
    "cut-through",
    "no-window",
    "piece-too-large",
    "test-square-left-out",
    "loose-tongue",
    "thin-neck",
}


def found(describe: Any, tables: dict[str, Any]) -> list[Finding]:
    return list(inspect(lay_out(describe(**tables))))


def test_a_sound_panel_raises_no_alarm(describe) -> None:
    assert [f for f in found(describe, SOUND) if f.severity != Severity.NOTE] == []


@pytest.mark.parametrize("code", FAULTS)
def test_a_seeded_fault_is_found_and_told_in_sentences_with_rule_and_remedy(
    describe, code: str
) -> None:
    findings = found(describe, FAULTS[code])
    assert code in [f.code for f in findings if f.severity != Severity.NOTE]
    for finding in findings:
        assert finding.rule
        assert finding.message[0].isupper() or finding.message[0] == "'"
        assert finding.message.endswith(".")
        assert finding.severity == Severity.NOTE or finding.remedy.endswith(".")


def test_every_rule_that_can_raise_an_alarm_is_seeded() -> None:
    notes = {"fitted", "lettering", "curves-flattened", "covers-assumed", "colour-about"}
    notes |= {
        "steps-unusual",
        "track-assumed",
        "sign-as-symbol",
        "level-heights",
        "repeats-heading",
        "full-stop",
    }
    notes |= {"two-positions", "opposite-positions", "zero-aside", "finger-room", "fuse-form"}
    notes |= {"meant-in-vain", "fixings-turned", "fine-stroke"}
    notes |= {"height-found", "not-alike", "rule-parted", "nearer-to-legend"}
    elsewhere = set(RULES) - set(FAULTS) - notes
    assert not set(FAULTS) - set(RULES)
    assert elsewhere <= FOUND_BY_THE_STENCIL


def made_in_the_program() -> dict[str, set[str]]:
    """Each code that the program can find, and the severities that it gives it."""
    made: dict[str, set[str]] = {}
    for file in Path(legend.__file__).parent.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "").lower() == "finding":
                severity, code = node.args[:2]
                if isinstance(code, ast.Constant):
                    made.setdefault(code.value, set()).update(
                        each.attr.lower()
                        for each in ast.walk(severity)
                        if isinstance(each, ast.Attribute) and each.attr.isupper()
                    )
    return made


def test_every_code_in_the_program_has_its_rule_and_its_severities() -> None:
    assert made_in_the_program() == {code: set(rule.severities) for code, rule in RULES.items()}


def test_every_rule_says_what_it_finds_and_whence_it_comes() -> None:
    for code, rule in RULES.items():
        assert rule.finds[0].isupper() and rule.finds.endswith("."), code
        assert rule.source, code


@pytest.mark.parametrize("sample", sorted(p.parent.name for p in SAMPLES.glob("*/panel.toml")))
def test_the_samples_raise_no_alarm(sample: str) -> None:
    artwork = lay_out(read(SAMPLES / sample / "panel.toml"))
    assert [f for f in inspect(artwork) if f.severity != Severity.NOTE] == []


def test_what_is_assumed_is_listed(describe) -> None:
    notes = [f for f in found(describe, SOUND) if f.code == "covers-assumed"]
    assert [f.message for f in notes] == [
        "The toggle on A is taken to cover 10.5 mm across.",
        "The toggle on B is taken to cover 10.5 mm across.",
    ]


def test_a_sign_alone_is_set_as_its_symbol_and_that_is_told(describe) -> None:
    tables = seeded(control=[control("A", "+"), control("B", "−")])
    artwork = lay_out(describe(**tables))
    assert [mark.text for mark in artwork.marks if mark.role is Role.SYMBOL] == [
        "symbol:plus",
        "symbol:minus",
    ]
    notes = [f.message for f in inspect(artwork) if f.code == "sign-as-symbol"]
    assert notes == [
        "The name '+' of A is set as symbol:plus.",
        "The name '−' of B is set as symbol:minus.",
    ]


@pytest.mark.parametrize("code", FAULTS)
def test_what_is_found_on_a_panel_in_inches_is_told_in_inches(describe, code: str) -> None:
    in_mm = describe(**FAULTS[code])
    for finding in inspect(lay_out(in_mm.model_copy(update={"units": "in"}))):
        assert not re.search(r"\d mm\b", finding.message + finding.remedy)


def test_what_falls_short_is_not_rounded_to_what_is_wanted(describe) -> None:
    holes = {"A": hole(60, 50), "B": hole(120, 89.33)}  # its name stands 0.03 mm too high
    controls = [control("A", "FAN", covers=6), control("B", "PUMP", covers=6, side="above")]
    told = [f.message for f in found(describe, seeded(holes=holes, control=controls))]
    pairs = [re.search(r"(\S+) mm from the panel's edge; it wants (\S+) mm", m) for m in told]
    assert any(pairs)
    assert all(pair[1] != pair[2] for pair in pairs if pair)


def test_a_table_that_turns_the_other_way_is_told_as_it_is_read(describe) -> None:
    scale = {"law": "table", "from": 0, "to": 10, "table": [[0, 120], [10, -120]]}
    tables = seeded(control=[{"hole": "A", "kind": "knob", "scale": scale}, control("B", "PUMP")])
    (backwards,) = [f for f in found(describe, tables) if f.code == "scale-backwards"]
    assert (
        backwards.message == "The scale of A falls from 10 to 0 as the control is turned clockwise."
    )
    assert "degrees of its table" in backwards.remedy


def test_worst_comes_first(describe) -> None:
    severities = [f.severity for f in found(describe, FAULTS["off-panel"] | FAULTS["too-small"])]
    order = [Severity.ERROR, Severity.WARNING, Severity.NOTE]
    assert severities == sorted(severities, key=order.index)
    assert set(severities) == set(order)


def test_a_character_that_cannot_be_drawn_is_an_error_that_names_it(describe) -> None:
    tables = seeded(control=[control("A", "FAN \N{SNOWMAN}"), control("B", "PUMP")])
    errors = [f for f in found(describe, tables) if f.severity == Severity.ERROR]
    assert len(errors) == 1
    assert "SNOWMAN" in errors[0].message
    assert "FAN" in errors[0].message


def test_of_controls_that_share_a_hole_every_name_is_drawn_and_told(describe) -> None:
    tables = seeded(control=[control("A", "FAN"), control("A", "LIFT"), control("B", "PUMP")])
    artwork = lay_out(describe(**tables))
    assert sorted(mark.text for mark in artwork.marks) == ["FAN", "LIFT", "PUMP"]
    errors = [f.message for f in inspect(artwork) if f.severity == Severity.ERROR]
    assert errors == [
        "Hole A has 2 controls on it.",
        "The legend 'FAN' of A touches the legend 'LIFT' of A.",
    ]


@pytest.mark.parametrize("covers", [10, [10, 10], [4, 16], [16, 4]])
def test_the_ends_of_a_scale_are_measured_where_the_scale_stands(describe, covers: Any) -> None:
    scale = {"from": 0, "to": 10, "sweep": 345, "numbered": []}
    knob = {"hole": "A", "kind": "knob", "covers": covers, "scale": scale}
    artwork = lay_out(describe(**seeded(control=[knob, control("B", "PUMP")])))
    (told,) = [f.message for f in inspect(artwork) if f.code == "no-dead-zone"]
    feet = [mark.outline.shape.distance(shapely.Point(60, 50)) for mark in artwork.marks
            if mark.role == Role.GRADUATION]  # fmt: skip
    arc = math.radians(15) * min(feet)
    assert told == f"The two ends of the scale of A stand only {arc:.1f} mm apart."


# --- What bridges and heavy strokes leave of letters ---

SHEET = {"method": "paint-through", "stock": "sheet"}


def found_of(describe: Any, code: str, **tables: Any) -> list[Finding]:
    """What is found by one code, of words alone unless there are controls."""
    return [f for f in found(describe, {"holes": {}} | tables) if f.code == code]


def test_bridges_that_eat_letters_are_told_once_with_what_cures_them(describe) -> None:
    texts = [{"at": [90, y], "text": t} for y, t in ((10, "80"), (20, "BAD"), (30, "FILL"))]
    small = {"lettering": {"height": 3.5, "note": {"height": 2.5}}, "text": texts}
    (told,) = found_of(describe, "heavy-bridge", stencil=SHEET, **small)
    assert "'80'" in told.message
    assert "2.50 mm tall" in told.message
    assert "1 more legend." in told.message, "nothing is bridged in FILL"
    assert len(told.places) == 2
    height, bridge, own = (float(n) for n in re.findall(r"= (\d\.\d+)", told.remedy))
    taller = small | {"lettering": {"height": 3.5, "note": {"height": height}}}
    assert not found_of(describe, "heavy-bridge", stencil=SHEET, **taller)
    assert found_of(
        describe, "heavy-bridge", stencil=SHEET,
        **small | {"lettering": {"note": {"height": height - 0.1}}},
    )  # fmt: skip
    assert not found_of(describe, "heavy-bridge", stencil=SHEET | {"least_bridge": bridge}, **small)
    narrower = small | {"lettering": {"height": 3.5, "note": {"height": 2.5, "bridge": own}}}
    assert not found_of(describe, "heavy-bridge", stencil=SHEET, **narrower)


def test_bridges_of_a_millimetre_eat_names_of_the_usual_height(describe) -> None:
    usual, broad = {"height": 3.5}, SHEET | {"least_bridge": 1.0}
    (told,) = found_of(describe, "heavy-bridge", **SOUND, stencil=broad, lettering=usual)
    assert "6.7 mm tall: lettering.name.height = 6.7;" in told.remedy
    assert "stencil.least_bridge = 0.52;" in told.remedy
    assert told.remedy.endswith("there alone: lettering.name.bridge = 0.52.")
    assert not found_of(describe, "heavy-bridge", **SOUND, stencil=SHEET)


def test_narrower_bridges_for_one_role_do_not_eat_its_letters(describe) -> None:
    text = [{"at": [90, 20], "text": "BOARD"}, {"at": [90, 60], "text": "BOARD", "role": "name"}]
    broad = SHEET | {"least_bridge": 1.0}
    lettering = {"height": 4, "note": {"height": 4, "bridge": 0.5}}
    (told,) = found_of(describe, "heavy-bridge", stencil=broad, lettering=lettering, text=text)
    assert "1.00 mm" in told.message
    assert "there alone: lettering.name.bridge = 0.6." in told.remedy


@pytest.mark.parametrize(("bridged", "count"), [(False, 0), (True, 1)])
def test_bridges_for_the_look_eat_letters_too(describe, bridged: bool, count: int) -> None:
    lettering = {"note": {"height": 2.4, "bridged": bridged}}
    text = [{"at": [90, 20], "text": "BOARD"}]
    assert len(found_of(describe, "heavy-bridge", lettering=lettering, text=text)) == count


@pytest.mark.parametrize(("stroke", "height"), [(0.3, 5), (0.3, 3), (0.25, 3.5), (0.3, 14)])
@pytest.mark.parametrize("stock", [SHEET, {}])
def test_counters_that_are_filled_are_told_with_the_stroke_that_opens_them(
    describe, stroke: float, height: float, stock: dict[str, Any]
) -> None:
    text = [{"at": [90, 20], "text": "LAMP 4"}, {"at": [90, 70], "text": "AÅ OFF"}]
    faulty = {"note": {"height": height, "stroke": stroke}}
    (told,) = found_of(describe, "filled-counter", stencil=stock, lettering=faulty, text=text)
    assert "'4'" in told.message or "'Å'" in told.message
    assert not found_of(describe, "small-counter", stencil=stock, lettering=faulty, text=text)
    tall, lighter = re.fullmatch(
        r"(?:Set it \S+ mm tall in|Give it) a finer stroke: "
        r"(?:lettering.note.height = (\d+(?:\.\d)?) and )?lettering.note.stroke = (0\.\d+)\.",
        told.remedy,
    ).groups()
    cured = {"note": {"height": float(tall or height), "stroke": float(lighter)}}
    for code in ("filled-counter", "small-counter", "thin-stroke", "stroke-ratio"):
        assert not found_of(describe, code, stencil=stock, lettering=cured, text=text), code


def test_small_counters_are_told_with_a_lighter_stroke_that_the_stock_carries(describe) -> None:
    text = [{"at": [90, 20], "text": "4A"}]
    faulty = {"note": {"height": 5, "stroke": 0.2}}
    (told,) = found_of(describe, "small-counter", stencil=SHEET, lettering=faulty, text=text)
    (lighter,) = re.findall(r"stroke = (0\.\d+)", told.remedy)
    cured = {"note": {"height": 5, "stroke": float(lighter)}}
    for code in ("small-counter", "thin-stroke", "stroke-ratio"):
        assert not found_of(describe, code, stencil=SHEET, lettering=cured, text=text), code
    low = {"note": {"height": 2.5, "stroke": 0.2}}
    (told,) = found_of(describe, "small-counter", stencil=SHEET, lettering=low, text=text)
    assert "stroke" not in told.remedy, "none that is lighter would be carried"


@pytest.mark.parametrize(
    ("face", "remedy"), [(None, "stroke = 0.15."), (str(SERIF), "A bolder face helps as well.")]
)
def test_a_stroke_that_cannot_be_chosen_is_not_offered(
    describe: Any, face: str | None, remedy: str
) -> None:
    name = {"height": 2.0, "stroke": 0.08} | ({"face": face} if face else {})
    artwork = lay_out(describe(**seeded(lettering={"name": name})))
    told = [found for found in inspect(artwork) if found.code == "thin-stroke"]
    assert told
    assert all(each.remedy.endswith(remedy) for each in told)


@pytest.mark.parametrize(("height", "count"), [(0.9, 1), (2.6, 0)])
def test_the_parts_of_one_letter_may_be_nearer_than_two_letters(
    describe: Any, height: float, count: int
) -> None:
    """Half the gap is enough there; and more tracking would not cure it."""
    text = [{"at": [90, 20], "text": "Å"}]
    lettering = {"note": {"height": height}}
    told = found_of(describe, "narrow-gap", lettering=lettering, text=text)
    assert len(told) == count
    for each in told:
        assert "whose parts are" in each.message and "tracking" not in each.remedy
        (tall,) = re.findall(r"lettering.note.height = (\d+(?:\.\d)?)", each.remedy)
        cured = {"note": {"height": float(tall)}}
        assert not found_of(describe, "narrow-gap", lettering=cured, text=text)


def test_small_letters_that_the_program_chooses_have_counters_that_film_carries(
    describe: Any,
) -> None:
    """Names of 2.5 mm would have numerals of 1.8, in whose fours there is too little film."""
    scale = {"from": 0, "to": 40, "step": 10}
    panel = {"size": [200, 100], "viewing_distance": 400}
    controls = [
        {"hole": "A", "kind": "knob", "name": "HEAT", "scale": scale},
        control("B", "FAN", positions={"up": "4", "down": "0"}),
    ]
    artwork = lay_out(describe(panel=panel, holes=SOUND["holes"], control=controls))
    assert [f for f in inspect(artwork) if f.severity != Severity.NOTE] == []
    heights = {mark.role: mark.height for mark in artwork.marks if mark.text}
    assert 1.8 < heights[Role.NUMERAL] == heights[Role.POSITION] < heights[Role.NAME] == 2.5
