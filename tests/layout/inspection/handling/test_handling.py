"""What is found of switches, knobs, fingers, fuses and words; and what is let alone."""

from typing import Any

import pytest

from legend.layout import inspect, lay_out
from legend.layout.artwork import Finding, Severity

_PLACES = {"A": [50, 50], "B": [120, 50]}


def found(describe: Any, code: str, *controls: dict[str, Any], **tables: Any) -> list[Finding]:
    """What is found by one code about controls on the holes A, B and so on, a hand apart."""
    places = tables.pop("places", _PLACES)
    holes = {id: {"at": at, "drill": 6} for id, at in places.items()}
    fitted = [{"hole": id, **each} for id, each in zip(places, controls, strict=False)]
    described = describe(**{"holes": holes, "control": fitted} | tables)
    return [each for each in inspect(lay_out(described)) if each.code == code]


def toggle(**positions: str) -> dict[str, Any]:
    return {"kind": "toggle", "name": "FAN", "positions": positions}


def selector(*positions: str, **more: Any) -> dict[str, Any]:
    return {"kind": "selector", "name": "RANGE", "covers": 20, "positions": positions} | more


def knob(**scale: Any) -> dict[str, Any]:
    return {"kind": "knob", "name": "LEVEL", "covers": 20, "scale": scale}


# --- The way that switches go ---


@pytest.mark.parametrize(
    "switch",
    [
        toggle(up="OFF", down="ON"),
        toggle(up="Aus", down="Ein"),
        toggle(up="ARRÊT", down="MARCHE"),
        toggle(up="0", down="I"),
        toggle(up="O", down="I"),
        toggle(up="symbol:off", down="symbol:on"),
        toggle(right="OFF", left="ON"),
        toggle(up="FRA", down="TIL"),
        toggle(up="WYŁ.", down="WŁ."),
        toggle(up="FAN OFF", down="FAN ON"),
        selector("1", "2", "OFF"),
        selector("ON", "OFF"),
        selector("LOW", "OFF", "MED", "HIGH"),
        selector("I", "0"),
        knob(low="MAX", high="OFF"),
    ],
    ids=str,
)
def test_off_where_on_is_looked_for_is_told(describe: Any, switch: dict[str, Any]) -> None:
    (told,) = found(describe, "off-up", switch)
    assert told.severity is Severity.WARNING
    assert "off-up" in told.remedy


@pytest.mark.parametrize(
    "switch",
    [
        toggle(up="ON", down="OFF"),
        toggle(up="I", down="O"),
        toggle(up="1", down="0"),
        toggle(left="OFF", right="ON"),
        toggle(up="SHUT", down="OPEN"),
        toggle(up="OFF"),
        toggle(up="HAND", down="AUTO", centre="OFF"),
        toggle(up="0", down="-20"),
        toggle(up="AV", down="TV"),
        selector("OFF", "1", "2"),
        selector("HAND", "OFF", "AUTO"),
        selector("2", "1", "0"),
        selector("-1", "0", "+1", "+2"),
        selector("FM", "AM", "AV"),
        selector("CUT OFF", "PASS", "CUT OFF 2"),
        knob(low="OFF", high="MAX"),
        knob(low="SLOW", high="FAST"),
    ],
    ids=str,
)
def test_what_goes_the_usual_way_is_let_alone(describe: Any, switch: dict[str, Any]) -> None:
    assert not found(describe, "off-up", switch)


# --- Mains ---

_LIVE = {"mains": True, "note": "230 V"}


@pytest.mark.parametrize(
    "switch", [toggle(up="ON") | _LIVE, toggle() | _LIVE, selector("HAND", "AUTO") | _LIVE], ids=str
)
def test_a_switch_at_mains_voltage_says_where_it_is_off(
    describe: Any, switch: dict[str, Any]
) -> None:
    (told,) = found(describe, "off-unmarked", switch)
    assert told.severity is Severity.WARNING
    assert "on A" in told.message


def test_one_isolator_is_enough_and_of_none_all_are_named(describe: Any) -> None:
    plain = toggle(up="OPEN", down="SHUT") | _LIVE
    (told,) = found(describe, "off-unmarked", plain, plain)
    assert "A and B" in told.message
    assert not found(describe, "off-unmarked", plain, toggle(up="I", down="O") | _LIVE)
    for off in ("O", "POWER OFF", "0", "AUS"):
        assert not found(describe, "off-unmarked", toggle(down=off) | _LIVE)
    lamp = {"kind": "lamp", "name": "LIVE"} | _LIVE
    assert not found(describe, "off-unmarked", lamp), "no lamp is a switch"
    words = [{"text": "OFF", "at": [50, 30]}]
    assert not found(describe, "off-unmarked", plain, text=words), "set by hand"


@pytest.mark.parametrize(
    ("note", "remedy"),
    [
        ("1 A T 250 V", 'Write it so: note = "T 1 A 250 V".'),
        ("T 0.5 A 250 V", 'Write it so: note = "T 500 mA 250 V".'),
        ("T 0,315 A 250 V", 'Write it so: note = "T 315 mA 250 V".'),
        ("250 V F 2 A", 'Write it so: note = "F 2 A 250 V".'),
        ("2 A", 'Write it as on the fuse, such as "T 1 A 250 V".'),
        ("T 2 A", 'Write it as on the fuse, such as "T 1 A 250 V".'),
    ],
)
def test_a_rating_out_of_form_is_told_with_the_usual_one(
    describe: Any, note: str, remedy: str
) -> None:
    (told,) = found(describe, "fuse-form", {"kind": "fuse", "name": "FUSE", "note": note})
    assert told.severity is Severity.NOTE
    assert told.remedy == remedy


@pytest.mark.parametrize(
    "note",
    ["T 1 A 250 V", "T1A 250V", "T1AH250V", "T1A250V", "F 500 mA 250 V~",
     "T 3,15 A 250 V", "T 63 mA L 250 V",
     "TT 2 A\n125 V", "symbol:fuse M 2 A 250 V"],
)  # fmt: skip
def test_a_rating_as_fuses_bear_it_is_let_alone(describe: Any, note: str) -> None:
    fuse = {"kind": "fuse", "name": "FUSE 1", "note": note}
    assert not found(describe, "fuse-form", fuse)
    assert not found(describe, "fuse-unrated", fuse)


def test_fuses_that_fall_short_alike_are_told_as_one_and_are_no_namesakes(describe: Any) -> None:
    fuse = {"kind": "fuse", "name": "5 A"}
    (told,) = found(describe, "fuse-form", fuse, fuse)
    assert "on A says '5 A'" in told.message
    assert told.message.endswith("; so it is with that on B.")
    assert not found(describe, "same-name", fuse, fuse)
    assert found(describe, "same-name", *[{"kind": "fuse", "name": "FUSE"}] * 2)


def test_the_number_of_a_fuse_is_no_rating(describe: Any) -> None:
    assert found(describe, "fuse-unrated", {"kind": "fuse", "name": "FUSE 1"})
    assert not found(describe, "fuse-unrated", {"kind": "fuse", "name": "T 1 A 250 V"})


# --- Positions and scales ---


def test_many_positions_are_a_warning_and_unnamed_ones_a_note(describe: Any) -> None:
    (told,) = found(describe, "many-positions", selector(*[""] * 25, detent=14.4))
    assert told.severity is Severity.WARNING
    (told,) = found(describe, "many-positions", selector(*[""] * 13, detent=20))
    assert told.severity is Severity.NOTE
    named = map(str, range(1, 17))
    assert not found(describe, "many-positions", selector(*named, detent=20))
    assert not found(describe, "many-positions", selector(*[""] * 12))


@pytest.mark.parametrize(("detent", "count"), [(12, 1), (15, 0), (30, 0)])
def test_positions_want_fifteen_degrees(describe: Any, detent: float, count: int) -> None:
    assert len(found(describe, "close-positions", selector("1", "2", detent=detent))) == count


def test_two_positions_want_a_toggle(describe: Any) -> None:
    assert found(describe, "two-positions", selector("A", "B"))
    assert not found(describe, "two-positions", selector("A", "B", "C"))


@pytest.mark.parametrize(
    ("switch", "said"),
    [
        (selector(*"1234567"), "'1' and '7' stand opposite each other."),
        (selector(*"123456789"), "'1' and '7' stand opposite each other, as 2 pairs more do."),
        (selector(*"12345678"), "'1' and '7' stand opposite each other, as one pair more does."),
        (selector("L", "R", detent=180), "'L' and 'R' stand opposite each other."),
    ],
)
def test_opposite_positions_want_a_pointer(
    describe: Any, switch: dict[str, Any], said: str
) -> None:
    (told,) = found(describe, "opposite-positions", switch)
    assert told.severity is Severity.NOTE
    assert told.message.endswith(said)
    assert not found(describe, "opposite-positions", selector(*"123456"))
    assert not found(describe, "opposite-positions", selector("1", *"23456", ""))


def test_zero_stands_at_twelve_or_nine(describe: Any) -> None:
    (told,) = found(describe, "zero-aside", knob(**{"from": -3, "to": 7}))
    assert told.severity is Severity.NOTE
    assert "stands at 300 degrees" in told.message
    start = float(told.remedy.split("start = ")[1].split(",")[0])
    for sound in (
        {"from": -5, "to": 5},
        {"from": -3, "to": 7, "start": start},
        {"from": -3, "to": 7, "start": start - 90},
        {"from": 0, "to": 10},
        {"from": -20, "to": 40, "unit": "°C"},
        {"from": -40, "to": 6, "unit": "dB"},
    ):
        assert not found(describe, "zero-aside", knob(**sound)), sound


# --- Fingers ---

_BUTTON = {"kind": "button", "name": "GO", "covers": 10}
_LEVER = {"kind": "toggle", "name": "FAN", "covers": 10}
_KNOB = {"kind": "knob", "name": "LEVEL", "covers": 20}


@pytest.mark.parametrize(
    ("one", "other", "wanted"),
    [
        (_BUTTON, _BUTTON, 10 + 13),  # between their edges
        (_BUTTON, _LEVER, 5 + 13),  # from the edge to the lever
        (_BUTTON, _KNOB, 5 + 10 + 13),
        (_LEVER, _LEVER, 19),  # between their middles
        (_LEVER, _KNOB, 10 + 19),
        (_KNOB, _KNOB, 20 + 13),
    ],
)
def test_fingers_want_room(
    describe: Any, one: dict[str, Any], other: dict[str, Any], wanted: float
) -> None:
    for apart, count in ((wanted - 0.5, 1), (wanted, 0)):
        places = {"A": [60, 50], "B": [60 + apart, 50]}
        assert len(found(describe, "finger-room", one, other, places=places)) == count


def test_knobs_as_they_stand_at_home_are_let_alone(describe: Any) -> None:
    places = {"A": [60, 50], "B": [100, 50]}
    assert not found(describe, "finger-room", _KNOB, _KNOB, places=places)


def test_a_panel_has_one_note_with_its_closest_pair(describe: Any) -> None:
    places = {id: [20 + 15 * i + (id == "D"), 50] for i, id in enumerate("ABCDE")}
    (told,) = found(describe, "finger-room", *[_LEVER] * 5, places=places)
    assert told.severity is Severity.NOTE
    assert "on D and the toggle on E leave fingers 14.0 mm" in told.message
    assert told.message.endswith("; 3 pairs more are close.")


# --- Words ---


def test_a_heading_is_not_said_again_under_it(describe: Any) -> None:
    pump = {"kind": "toggle", "name": "PUMP SPEED"}
    group = [{"name": "Pump", "holes": ["A", "B"]}]
    (told,) = found(describe, "repeats-heading", pump, {"kind": "lamp"}, group=group)
    assert "'Pump'" in told.message and "'PUMP SPEED'" in told.message
    assert not found(
        describe, "repeats-heading", pump | {"name": "PUMPING"}, {"kind": "lamp"}, group=group
    )
    letter = [{"name": "A", "holes": ["A", "B"]}]
    named = {"kind": "toggle", "name": "A LEVEL"}
    assert not found(describe, "repeats-heading", named, {"kind": "lamp"}, group=letter)


@pytest.mark.parametrize(
    ("count", "told"),
    [
        (2, "'PUMP 1' and 'PUMP 2' say again."),
        (4, "'PUMP 1', 'PUMP 2', 'PUMP 3' and 'PUMP 4' say again."),
        (6, "'PUMP 1', 'PUMP 2', 'PUMP 3', 'PUMP 4' and 2 more say again."),
    ],
)
def test_of_many_names_that_say_the_heading_again_four_are_told(
    describe: Any, count: int, told: str
) -> None:
    places = {chr(65 + k): [12 + 15 * k, 30] for k in range(count)}
    lamps = [{"kind": "lamp", "name": f"PUMP {k + 1}"} for k in range(count)]
    group = [{"name": "Pump", "holes": list(places)}]
    (again,) = found(describe, "repeats-heading", *lamps, group=group, places=places)
    assert again.message == f"The group 'Pump' says already what {told}"


def test_positions_do_not_say_the_name_again(describe: Any) -> None:
    assert found(describe, "repeats-heading", toggle(up="FAN ON", down="FAN OFF"))
    assert not found(describe, "repeats-heading", toggle(up="FAN", down="LIFT"))


@pytest.mark.parametrize("name", ["ZONE.", "FREQUENCY.", "OFF.", "OVEN ZONE.", "HEATER."])
def test_a_stop_after_a_whole_word_is_told(describe: Any, name: str) -> None:
    words = [{"text": "HEATER", "at": [150, 20]}]
    assert found(describe, "full-stop", {"kind": "toggle", "name": name}, text=words)


@pytest.mark.parametrize(
    "name", ["FREQ.", "TEMP.", "MAX.", "APPROX.", "NO.", "DIA.", "WAIT...", "I.F.", "T 1.",
             "SWITCH OFF BEFORE OPENING."],
)  # fmt: skip
def test_what_is_cut_short_and_sentences_keep_their_stop(describe: Any, name: str) -> None:
    assert not found(describe, "full-stop", {"kind": "toggle", "name": name})


@pytest.mark.parametrize(
    ("position", "numeral", "count"), [(3, 3, 0), (3, 2.5, 1), (3, None, 0), (None, 3, 0)]
)
def test_settings_are_of_one_height_where_the_builder_set_both(
    describe: Any, position: float | None, numeral: float | None, count: int
) -> None:
    heights = {"position": position, "numeral": numeral}
    lettering = {role: {"height": height} for role, height in heights.items() if height}
    controls = (toggle(up="ON", down="OFF"), knob(**{"from": 0, "to": 10}))
    assert len(found(describe, "level-heights", *controls, lettering=lettering)) == count
