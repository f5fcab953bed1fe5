"""The JSON Schema: sound by itself, true to the schema, and never narrower than the reader."""

import json
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from legend.commands.cli import legend
from legend.description.kinds import KINDS
from legend.description.laws import LAWS
from legend.description.paint_colours import NAMES
from legend.description.tables.description import Description
from legend.description.tables.keys import keys_of
from legend.description.values.durations import WRITTEN as WRITTEN_TIME
from legend.description.values.durations import parse_duration
from legend.description.values.lengths import WRITTEN as WRITTEN_LENGTH
from legend.description.values.lengths import parse_length
from legend.handbook.json_schema import json_schema, json_schema_text
from legend.handbook.words import headings
from legend.lettering.symbols.registry import SYMBOLS
from legend.starting.starter import starter

SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*/panel.toml"))
SCHEMA = json_schema()
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


def faults(toml: str) -> list[str]:
    return [error.message for error in VALIDATOR.iter_errors(tomllib.loads(toml))]


def test_it_is_json_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize("panel", SAMPLES, ids=lambda path: path.parent.name)
def test_the_samples_are_sound(panel: Path) -> None:
    assert faults(panel.read_text(encoding="utf-8")) == []


def test_what_new_writes_is_sound() -> None:
    assert faults(starter()) == []


def test_every_key_is_there_with_its_title_and_its_meaning() -> None:
    for table in headings():
        told = SCHEMA if table is Description else SCHEMA["$defs"][table.__name__]
        assert set(told["properties"]) == set(keys_of(table))
        assert told["additionalProperties"] is False
        assert told["description"]
        for key, about in told["properties"].items():
            assert about["title"].casefold() == key.replace("_", " ")
            assert about["description"], f"{table.__name__}.{key}"


def test_what_may_be_chosen_is_listed() -> None:
    tables = SCHEMA["$defs"]
    assert tables["Control"]["properties"]["kind"]["enum"] == list(KINDS)
    assert tables["Scale"]["properties"]["law"]["enum"] == list(LAWS)
    assert {f"symbol:{name}" for name in SYMBOLS} == set(tables["Words"]["anyOf"][1]["enum"])


def test_every_reference_is_to_something() -> None:
    pointed = {each.removeprefix("#/$defs/") for each in references(SCHEMA)}
    assert pointed == set(SCHEMA["$defs"])


def references(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        yield from (value[key] for key in ("$ref",) if key in value)
        for each in value.values():
            yield from references(each)
    elif isinstance(value, list):
        for each in value:
            yield from references(each)


def test_defaults_are_sound_and_bear_their_unit() -> None:
    found = 0
    for table in headings():
        told = SCHEMA if table is Description else SCHEMA["$defs"][table.__name__]
        for key, about in told["properties"].items():
            if "default" in about:
                within = {"$ref": "#/held", "held": about, "$defs": SCHEMA["$defs"]}
                jsonschema.Draft202012Validator(within).validate(about["default"])
                found += 1
            assert about.get("default") is not None or "default" not in about, key
    assert found > 20
    assert SCHEMA["$defs"]["Panel"]["properties"]["viewing_distance"]["default"] == "600 mm"
    assert SCHEMA["$defs"]["Bench"]["properties"]["lifting"]["default"] == ["1 h", "2 h"]


def test_a_style_may_say_what_the_panel_leaves_out() -> None:
    assert faults("[panel]\ncorner_radius = 3") != []
    assert faults("[finish]") != []
    assert faults('style = "house.toml"\n[panel]\ncorner_radius = 3') == []
    assert faults('style = "house.toml"\n[finish]\nbasis = "white"') != []


def test_holes_as_drilled_are_a_table_or_the_name_of_a_list() -> None:
    panel = "panel.size = [9, 9]\n"
    assert faults(panel + 'as_drilled = "measured.csv"') == []
    assert faults(panel + '[as_drilled]\nhole_list = "measured.csv"') == []
    assert faults(panel + "as_drilled = 3") != []
    assert faults(panel + "as_drilled.holes.A = { at = [1, 2], drill = 3, slot = [4, 2] }") != []


@pytest.mark.parametrize(
    "colour",
    ["white", "White", "#5b6160", "#FFF", "RAL 7035", "ral-9005", "AMS-STD-595 26152", "FS 26152"],
)
def test_colours_are_taken(colour: str) -> None:
    assert faults(f'panel.size = [9, 9]\nfinish.base = "{colour}"') == []


@pytest.mark.parametrize("colour", ["gray-green", "#5b616", "", "12"])
def test_what_is_no_colour_is_not(colour: str) -> None:
    assert faults(f'panel.size = [9, 9]\nfinish.base = "{colour}"') != []


def test_every_colour_by_name_is_offered() -> None:
    offered = SCHEMA["$defs"]["Finish"]["properties"]["base"]["anyOf"][0]["enum"]
    assert offered == list(NAMES)


# --- Lengths and times as they are written ---

_DIGITS = st.from_regex(r"[0-9]{1,3}([.,][0-9]{0,3})?|[.,][0-9]{1,2}", fullmatch=True)
_FRACTION = st.sampled_from(["", "1/2", "3 / 8", "-5/16", "½", " ¼", "7⁄8"])
_SPACE = st.sampled_from(["", " ", "  "])


@given(
    sign=st.sampled_from(["", "-", "−", "+"]),
    number=_DIGITS | st.just(""),
    between=_SPACE,
    fraction=_FRACTION,
    space=_SPACE,
    unit=st.sampled_from(["", "mm", "CM", "in", "Inch", "inches", '"', "″", "km", "m"]),
)
def test_every_length_that_can_be_read_is_one(
    sign: str, number: str, between: str, fraction: str, space: str, unit: str
) -> None:
    text = sign + number + between + fraction + space + unit
    try:
        parse_length(text, "mm")
    except ValueError:
        return
    assert re.search(WRITTEN_LENGTH, text)


@pytest.mark.parametrize("text", ["", "9O mm", "mm", "3/8 ft", "nine", "1e3", "#", "(3)"])
def test_what_is_no_length_is_none(text: str) -> None:
    assert not re.search(WRITTEN_LENGTH, text)


@given(
    number=_DIGITS, space=_SPACE, unit=st.sampled_from(["", "m", "Min", "minutes", "h", "HOURS"])
    | st.sampled_from(["hour", "d", "day", "days", "weeks", "s", "da"])
)  # fmt: skip
def test_every_time_that_can_be_read_is_one(number: str, space: str, unit: str) -> None:
    text = number + space + unit
    try:
        parse_duration(text)
        readable = True
    except ValueError as error:
        readable = "is more than" in str(error)
    assert bool(re.search(WRITTEN_TIME, text)) == readable


@pytest.mark.parametrize("units", ["mm", "cm", "in"])
@pytest.mark.parametrize(
    ("key", "least", "most"), [("viewing_distance", 50, 10_000), ("corner_radius", 0, 2000)]
)
def test_bare_numbers_may_be_of_any_unit(units: str, key: str, least: float, most: float) -> None:
    millimetres = {"mm": 1, "cm": 10, "in": 25.4}[units]
    for value in (least / millimetres, most / millimetres):
        assert (
            faults(f'units = "{units}"\npanel.size = ["9 mm", "9 mm"]\npanel.{key} = {value!r}')
            == []
        )
    assert faults(f"panel.size = [9, 9]\npanel.{key} = -1") != []


# --- The command ---


def test_the_command_prints_it() -> None:
    result = CliRunner().invoke(legend, ["schema"])
    assert result.exit_code == 0
    assert json.loads(result.stdout) == json.loads(json_schema_text())


def test_the_command_writes_it_and_nothing_of_the_users(tmp_path: Path) -> None:
    runner, file = CliRunner(), tmp_path / "legend.schema.json"
    for _ in range(2):
        result = runner.invoke(legend, ["schema", "--out", str(file)])
        assert (result.exit_code, result.stdout) == (0, f"{file}\n")
    assert runner.invoke(legend, ["schema", "--out", str(tmp_path)]).stdout == f"{file}\n"
    assert json.loads(file.read_text(encoding="utf-8"))["title"]
    file.write_text("{}")
    result = runner.invoke(legend, ["schema", "--out", str(file)])
    assert result.exit_code == 2
    assert file.read_text() == "{}"
