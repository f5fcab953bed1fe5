"""Write the schema of descriptions as JSON Schema (draft 2020-12), for editors.

It says what a file may hold in form, and takes whatever the reader takes. What only the
reader can know, such as whether a hole exists or a law has a place for a value, it leaves to
`legend check`.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from itertools import combinations
from typing import Any, get_args

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from legend.description.kinds import KINDS, Kind
from legend.description.shapes.hole_shapes import SHAPES
from legend.description.shapes.shape import left_out, shapes_with
from legend.description.table import SOURCES, Table
from legend.description.tables.description import Datum, Description
from legend.description.tables.scale import NEEDS_VALUES, SAID_BY_A_TABLE
from legend.description.values.durations import WRITTEN as WRITTEN_TIME
from legend.description.values.lengths import WRITTEN as WRITTEN_LENGTH
from legend.description.values.text_values import WRITTEN_WORDS
from legend.handbook.words import default_of, first_paragraph, headings, meanings
from legend.lettering.symbols.registry import SYMBOLS
from legend.rules import CAN_BE_MEANT

Schema = dict[str, Any]


def json_schema_text() -> str:
    """The JSON Schema of a description, as the text of a file."""
    return json.dumps(json_schema(), indent=2, ensure_ascii=False) + "\n"


def json_schema() -> Schema:
    """The JSON Schema of a description, as a value that `json` can write."""
    schema = Description.model_json_schema(by_alias=True, schema_generator=_AsToml)
    definitions: dict[str, Schema] = schema["$defs"]
    for table, heading in headings().items():
        told = schema if table is Description else definitions[table.__name__]
        _explain(told, table, heading or "The description of a panel")
        told |= _CLASHES.get(table.__name__, dict)()
    # A style may say what the file of the panel leaves out.
    del schema["required"]
    schema |= {"if": {"required": ["style"]}, "else": _without_style(definitions["Hole"])}
    drilled = schema["properties"]["as_drilled"]
    drilled["anyOf"] = [{"$ref": drilled.pop("$ref")}, {"type": "string", "pattern": r"\S"}]
    holes = schema["properties"]["holes"]
    datum = {"enum": list(get_args(Datum))}
    holes["properties"] = {"datum": {"anyOf": [datum, holes["additionalProperties"]]}}
    told_once: Schema = _pointing(schema)
    told_once["$defs"] |= _shared()
    return {"$schema": GenerateJsonSchema.schema_dialect} | told_once


class _AsToml(GenerateJsonSchema):
    """JSON Schema without what TOML lacks: nothing is null, and nobody writes sources."""

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        """What may be left out, by what it is where it is given."""
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        """Without the default, which is told as TOML has it."""
        return self.generate_inner(schema["schema"])

    def field_is_present(self, field: Any) -> bool:
        """Whether a field is a key of the file."""
        return bool(field.get("validation_alias") != SOURCES)


def _explain(told: Schema, table: type[Table], title: str) -> None:
    """Say what a table and each of its keys are, and what holds where these are left out."""
    told["title"] = title
    told["description"] = first_paragraph(table)
    for key, meaning in meanings(table).items():
        about = {"title": key.replace("_", " ").capitalize(), "description": meaning}
        default = default_of(table, key)
        given = {} if default is None else {"default": default}
        told["properties"][key] = told["properties"][key] | about | given


# --- What stands in many places, told once ---

_TOLD_ONCE: dict[str, Schema] = {
    "Words": WRITTEN_WORDS,
    "Length": {"type": "string", "pattern": WRITTEN_LENGTH},
    "Time": {"type": "string", "pattern": WRITTEN_TIME},
    "Code": {"type": "string", "enum": list(CAN_BE_MEANT)},
}


def _shared() -> dict[str, Schema]:
    """The definitions of what is told once; among words, symbols may stand."""
    symbols = {"enum": [f"symbol:{name}" for name in SYMBOLS]}
    return _TOLD_ONCE | {"Words": {"title": "Words", "anyOf": [WRITTEN_WORDS, symbols]}}


def _pointing(value: Any) -> Any:
    """The schema with references to what is told once."""
    if isinstance(value, list):
        return [_pointing(each) for each in value]
    if not isinstance(value, dict):
        return value
    for name, told in _TOLD_ONCE.items():
        if told.items() <= value.items():
            more = {key: each for key, each in value.items() if key not in told}
            return {"$ref": f"#/$defs/{name}"} | more
    return {key: _pointing(each) for key, each in value.items()}


# --- Keys that do not suit each other: what the tables' own `clashes` tell of form ---


def _without_style(hole: Schema) -> Schema:
    """What a description must say where no style says it."""
    sheet = {"properties": {"stock": {"const": "sheet"}}, "required": ["stock"]}
    paint_through = {"properties": {"method": {"const": "paint-through"}}, "required": ["method"]}
    plain = {"properties": {"registration": {"const": "plain"}}}
    whole = {
        "required": hole.pop("required"),
        "oneOf": [{"required": [shape]} for shape in SHAPES],
        "dependentSchemas": _keys_of_shapes(),
    }
    return {
        "required": ["panel"],
        "properties": {
            "panel": {"oneOf": [{"required": [key]} for key in ("size", "outline")]},
            "stencil": {"if": sheet, "then": {"allOf": [paint_through, plain]}},
            "holes": {
                "properties": {"datum": {"if": {"type": "object"}, "then": whole}},
                "additionalProperties": whole,
            },
        },
    }


def _of_drilled_hole() -> Schema:
    return {
        "not": {"anyOf": [{"required": list(pair)} for pair in combinations(SHAPES, 2)]},
        "dependentSchemas": _keys_of_shapes(),
    }


def _keys_of_shapes() -> Schema:
    """The shapes that each key goes with that does not make a shape by itself."""
    return {
        key: {"anyOf": [{"required": [shape]} for shape in shapes_with(key)]}
        for key in left_out()
        if key not in SHAPES
    }


def _of_control() -> Schema:
    """What each kind takes."""
    unlisted = {"maxItems": 0}
    not_moved: Schema = {"sweep": False, "track": False, "start": False}
    not_a_track: Schema = {"track": False, "law": {"not": {"const": "taper"}}}

    def kinds(such: Callable[[Kind], bool], **keys: Any) -> Schema:
        names = [name for name, kind in KINDS.items() if such(kind)]
        chosen = {"properties": {"kind": {"enum": names}}, "required": ["kind"]}
        return {"if": chosen, "then": {"properties": keys}}

    one_hole = [{"required": [key]} for key in ("hole", "holes")]
    named = {"properties": {"fixings": {"type": "array"}}}
    return {
        "oneOf": one_hole,
        "not": named | {"required": ["holes", "fixings"]},
        "allOf": [
            kinds(lambda kind: not kind.takes_scale, scale=False),
            kinds(lambda kind: not kind.takes_frame, frame=False),
            kinds(lambda kind: kind.lays == "name", positions=unlisted | {"maxProperties": 0}),
            kinds(lambda kind: kind.lays == "round", positions={"type": "array"}),
            kinds(lambda kind: kind.lays in ("sides", "framed"), positions=unlisted),
            kinds(lambda kind: kind.lays != "round", detent=False, start=False, inner=False),
            kinds(lambda kind: kind.scale == "straight", scale={"properties": not_moved}),
            kinds(
                lambda kind: kind.scale is not None and kind.lays == "framed",
                scale={"properties": not_a_track},
            ),
        ],
    }


def _of_fixings() -> Schema:
    """A square, or one distance or two."""
    apart = [{"required": [key]} for key in ("across", "up")]
    return {"oneOf": [{"required": ["square"]}, {"anyOf": apart}]}


def _of_scale() -> Schema:
    """The keys that one law alone takes bear its name; without values there are two words."""

    def law(name: str, then: Schema) -> Schema:
        chosen = {"properties": {"law": {"const": name}}, "required": ["law"]}
        return {"if": chosen, "then": then, "else": {"properties": {name: False}}}

    measured = {"required": ["table"], "properties": dict.fromkeys(SAID_BY_A_TABLE, False)}
    no_values = dict.fromkeys(("from", "to", *NEEDS_VALUES), False)
    row = {"words": {"type": "array", "minItems": 2}, "low": False, "high": False}
    by_value = {"words": {"type": ["object", "array"], "maxItems": 0}}
    return {
        "allOf": [law("taper", {}), law("table", measured)],
        "not": {"required": ["numbered", "numbered_step"]},
        "anyOf": [
            {"required": ["from", "to"], "properties": by_value},
            {"required": ["low", "high"], "properties": no_values | {"words": {"maxItems": 0}}},
            {"required": ["words"], "properties": no_values | row},
        ],
    }


def _of_text() -> Schema:
    round_a_hole = ("around", "radius", "angle", "inside")
    return {
        "oneOf": [
            {"required": ["at"], "properties": dict.fromkeys(round_a_hole, False)},
            {"required": ["around", "radius"], "properties": {"at": False, "align": False}},
        ]
    }


def _of_outline() -> Schema:
    """One kind of outline; a layer goes with a drawing."""
    kinds = ("diameter", "polygon", "drawing")
    return {
        "oneOf": [{"required": [kind]} for kind in kinds],
        "dependentRequired": {"layer": ["drawing"]},
    }


def _of_bare() -> Schema:
    return {"oneOf": [{"required": ["diameter"]}, {"required": ["margin"]}]}


_CLASHES: dict[str, Callable[[], Schema]] = {
    "DrilledHole": _of_drilled_hole,
    "PanelOutline": _of_outline,
    "Control": _of_control,
    "FixingPattern": _of_fixings,
    "Bank": _of_control,
    "Scale": _of_scale,
    "Text": _of_text,
    "Bare": _of_bare,
}
