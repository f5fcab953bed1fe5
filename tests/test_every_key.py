"""Nothing that a description accepts goes without effect: each key of the schema, one by one.

Every case gives a key two values, or a value and its absence, each of them sound. What is
made of the two descriptions must differ somewhere: in what is drawn, cut, found or printed.
A key of the schema without a case fails as well.
"""

from __future__ import annotations

import copy
import itertools
import json
import re
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from importlib.util import find_spec
from pathlib import Path
from typing import Any, get_args, get_origin

import ezdxf
import jsonschema
import pytest
from fontTools.ttLib import TTCollection, TTFont

from legend.description.table import Table
from legend.description.tables.description import Description
from legend.description.tables.keys import is_table, keys_of, table_in
from legend.drawing.findings_json import findings_text
from legend.drawing.job_card.job_card import write_card
from legend.drawing.pdf.overlay_pdf import write_overlay
from legend.drawing.proofs.proof_png import write_proof
from legend.drawing.proofs.proof_svg import panel_svg
from legend.drawing.stencil_files import stencil_files
from legend.handbook.json_schema import json_schema
from legend.making.stages import cut_from, laid_out

_MANROPE = Path(find_spec("font_manrope").origin).parent / "files"  # type: ignore[union-attr, arg-type]

#: What stands in the panel of a case where the case does not say otherwise.
_KNOB = {"hole": "A", "kind": "knob", "name": "Heat up", "scale": {"from": 0, "to": 10}}
_BASE: dict[str, Any] = {
    "panel": {"size": [160, 100]},
    "holes": {"A": {"at": [60, 50], "drill": 9}, "W": {"at": [120, 50], "cutout": [20, 10]}},
    "control": [_KNOB],
}
_TOGGLE = {"hole": "A", "kind": "toggle", "name": "FAN"}
_SHORT_TOGGLE = {"hole": "A", "kind": "toggle", "name": "FAN", "covers": 10}
_ROW = {"control": [_SHORT_TOGGLE, {"hole": "W", "kind": "window", "name": "COUNT", "covers": 20}]}
_SELECTOR = {"hole": "A", "kind": "selector", "positions": ["1", "2", "3"]}
_DUAL = _KNOB | {"inner": {"name": "Low", "scale": {"from": 0, "to": 5}}}
_DUAL_SELECTOR = _KNOB | {"inner": {"positions": ["1", "2", "3"]}}
_TEXT = {"text": "GO", "at": [20, 20]}
_LONG = {"text": "VENTILATION", "at": [80, 15], "role": "title"}
_AROUND = {"text": "GO", "around": "A", "radius": 20}
_SHEET = {"method": "paint-through", "stock": "sheet"}
_SAME = {"A": {"at": [60, 50]}, "W": {"at": [120, 50]}}
_VARIABLE = {"face": str(_MANROPE / "Manrope-VariableFont_wght.ttf")}
_SLOTS = {
    "holes": _BASE["holes"]
    | {
        "S1": {"at": [20, 50], "slot": [40, 3], "angle": 90},
        "S2": {"at": [90, 50], "slot": [40, 3], "angle": 90},
    }
}
_SLIDE = {"kind": "slide", "scale": {"from": 0, "to": 10}}
_SLIDES = {"control": [_SLIDE | {"hole": "S1"}, {"hole": "S2", "kind": "slide"}]} | _SLOTS
_SLIDE_BANK = {"holes": ["S1", "S2"]} | _SLIDE
_TWO = {"A": {"at": [60, 50], "drill": 9}, "W": {"at": [120, 50], "cutout": [20, 20]}}
_TWO_GROUPS = {"holes": _TWO, "group": [{"holes": ["A"]}, {"holes": ["W"]}]}
_GROUPED = {"holes": ["A", "W"], "groups": {"of": 1}}
_ABSENT = object()


@dataclass(frozen=True)
class Case:
    """A key by its path, what it is changed to and from, and what else the panel then has.

    `along` is what must change with it in its table, so that both are sound.
    """

    path: str
    after: Any
    before: Any = _ABSENT
    also: dict[str, Any] = field(default_factory=dict)
    along: dict[str, Any] = field(default_factory=dict)

    @property
    def steps(self) -> list[str | int]:
        return [int(step) if step.isdigit() else step for step in self.path.split(".")]


def control(key: str, after: Any, control: dict[str, Any] = _KNOB, **also: Any) -> Case:
    return Case(
        f"control.0.{key}", after, control.get(key, _ABSENT), {"control": [control], **also}
    )


def scale(key: str, after: Any, before: Any = _ABSENT, **more: Any) -> Case:
    given = {"from": 0, "to": 10} | more
    return Case(f"control.0.scale.{key}", after, before, {"control": [_KNOB | {"scale": given}]})


def fixings(key: str, after: Any, before: Any, **more: Any) -> Case:
    given = {"drill": 3.2} | more
    return Case(
        f"control.0.fixings.{key}", after, before, {"control": [_KNOB | {"fixings": given}]}
    )


def bank(key: str, after: Any, before: Any = _ABSENT, **given: Any) -> Case:
    """The key of a bank of jacks, or what else is given; `also` are controls beside it."""
    more, along = given.pop("also", []), given.pop("along", {})
    table = {"holes": ["A"], "kind": "jack"} | given
    if before is _ABSENT:
        before = table.get(key, _ABSENT)
    return Case(f"bank.0.{key}", after, before, {"control": more, "bank": [table]} | _SLOTS, along)


def inner(key: str, after: Any, control: dict[str, Any] = _DUAL) -> Case:
    before = control["inner"].get(key, _ABSENT)
    return Case(f"control.0.inner.{key}", after, before, {"control": [control]})


def text(key: str, after: Any, text: dict[str, Any] = _TEXT) -> Case:
    return Case(f"text.0.{key}", after, text.get(key, _ABSENT), {"text": [text]})


def lettering(key: str, after: Any, **also: Any) -> Iterator[Case]:
    """The key for the whole panel, and for one role alone."""
    yield Case(f"lettering.{key}", after, also=also)
    yield Case(f"lettering.name.{key}", after, also=also)


def hole(key: str, after: Any, **given: Any) -> Iterator[Case]:
    """The key of a hole as designed, and of the same as drilled."""
    before = [60, 50] if key == "at" else given.get(key, _ABSENT)
    whole = {"at": [60, 50]} | given
    for place in ("holes.A", "as_drilled.holes.A"):
        designed = whole if place == "holes.A" else {"at": [60, 50], "drill": 9}
        also: dict[str, Any] = {"holes": _BASE["holes"] | {"A": designed}}
        if place != "holes.A":
            also["as_drilled"] = {"holes": _SAME | {"A": whole}}
        yield Case(f"{place}.{key}", after, before, also)


_CASES = [
    Case(
        "units", "in", "mm", {"panel": {"size": ["160 mm", "100 mm"]}, "holes": {}, "control": []}
    ),
    Case("title", "KILN"),
    Case("style", "style.toml"),
    Case("hole_list", "more.csv"),
    Case("panel.size", [150, 100], [160, 100]),
    Case("panel.corner_radius", 3),
    Case("panel.outline", {"diameter": 120}, {"diameter": 130}, {"panel": {}}),
    Case("panel.outline.diameter", 120, 130, {"panel": {}}),
    Case(
        "panel.outline.polygon",
        [[0, 0], [160, 0], [160, 80], [0, 100]],
        [[0, 0], [160, 0], [160, 90], [0, 100]],
        {"panel": {}},
    ),
    Case("panel.outline.drawing", "one.dxf", "other.dxf", {"panel": {}}),
    Case("panel.outline.layer", "INNER", also={"panel": {"outline": {"drawing": "one.dxf"}}}),
    Case("panel.datum", "upper right", "lower left"),
    Case("panel.viewing_distance", 900),
    Case("panel.meant", ["hole-unused"]),
    Case("finish.base", "gold"),
    Case("finish.top", "navy"),
    Case("finish.clear", "matt lacquer"),
    Case("finish.top", {"colour": "#5b6160", "called": "flat grey"}, "#5b6160"),
    Case("stencil.method", "paint-through"),
    Case("stencil.stock", "sheet", "film", {"stencil": {"method": "paint-through"}}),
    Case("stencil.stock_size", [120, 200]),
    Case("stencil.stock_margin", 2),
    Case("stencil.card_size", [40, 60], also={"text": [_TEXT]}),
    Case("stencil.piece", "panel", also={"text": [_TEXT]}),
    Case("stencil.registration", "cross"),
    Case("stencil.registration", "none"),
    Case("stencil.registration_holes", 1, also=_ROW | {"stencil": {"piece": "row"}}),
    Case("stencil.mirror", True),
    Case("stencil.copies", 2),
    Case("stencil.turn", True, also={"stencil": {"stock_size": [40, 200]}, "text": [_LONG]}),
    Case("stencil.margin", 4),
    Case("stencil.test_square", True),
    Case("stencil.measured", [49.8, 50.1]),
    Case("stencil.overrun", 0.5),
    Case("stencil.lead_in", 0.5),
    Case("stencil.cut_as", ["svg", "dxf"], ["svg"]),
    Case("stencil.separate", True),
    Case("stencil.dxf_version", "R12", also={"stencil": {"cut_as": ["dxf"]}}),
    Case("stencil.plt_origin", "centre", also={"stencil": {"cut_as": ["plt"]}}),
    Case("stencil.plt_turn", 90, also={"stencil": {"cut_as": ["plt"]}}),
    Case("stencil.lines.mark", "red"),
    Case("stencil.lines.bare", "#00f", also={"bare": [{"hole": "A", "diameter": 14}]}),
    Case("stencil.lines.registration", "#00ff00"),
    Case("stencil.lines.weeding", "silver", "blue", {"stencil": {"cut_as": ["pdf"]}}),
    Case("stencil.lines.test_square", "blue", also={"stencil": {"test_square": True}}),
    Case("stencil.least_stroke", 0.7),
    Case("stencil.least_counter", 2),
    Case("stencil.least_gap", 1.5),
    Case("stencil.least_bridge", 0.9, also={"stencil": _SHEET}),
    *lettering("face", str(_MANROPE / "Manrope-Bold.ttf")),
    *lettering("axes", {"wght": 800}, lettering=_VARIABLE),
    *lettering("index", 1, lettering={"face": "two.ttc"}),
    *lettering("height", 5),
    *lettering("height", "as small as can be cut"),
    *lettering("stroke", 0.12),
    *lettering("width", 0.9),
    *lettering("slope", 10),
    *lettering("tracking", 0.1),
    *lettering("word_space", 0.5),
    *lettering("case", "capitals"),
    *lettering("ends", "square"),
    *lettering("bridged", True),
    *lettering("bridge", 0.8, stencil=_SHEET),
    Case("lettering.decimal", ",", also={"control": [_KNOB | {"scale": {"from": 0, "to": 1}}]}),
    *(
        Case(f"lettering.{role}.height", 4.5, also={"text": [_TEXT | {"role": role}]})
        for role in ("title", "group", "position", "numeral", "note")
    ),
    *(Case(f"bench.{key}", 0.4) for key in ("cleaning", "base_coat", "base_drying", "top_coat")),
    *(Case(f"bench.{key}", 0.4) for key in ("printing", "coupon", "trial", "sealing")),
    *(Case(f"bench.per_{of}", 0.4) for of in ("sheet", "contour", "counter", "piece", "mark")),
    Case("bench.cutting_speed", 1),
    Case("bench.recoat", [1, 48]),
    Case("bench.clear_coat", [1, 36], also={"finish": {"clear": "matt lacquer"}}),
    Case("bench.lifting", [0.5, 1]),
    Case("bench.unmasking", [0.5, 1], also={"stencil": {"method": "paint-through"}}),
    Case("bench.handling", 30),
    Case("bench.hard", 300),
    *hole("at", [61, 50], drill=9),
    *hole("drill", 10, drill=9),
    *hole("cutout", [24, 12], cutout=[20, 12]),
    *hole("slot", [24, 6], slot=[20, 6]),
    *hole("corner_radius", 2, cutout=[20, 12]),
    *hole("single_d", [9, 7], single_d=[9, 8]),
    *hole("double_d", [9, 7], double_d=[9, 8]),
    *hole("keyed", [9, 2, 2], keyed=[9, 2, 1]),
    *hole("hexagon", 10, hexagon=8),
    *hole("d_connector", 15, d_connector=9),
    *hole("front_mounted", True, d_connector=9),
    *hole("polygon", [[-9, -5], [9, -5], [0, 9]], polygon=[[-9, -5], [9, -5], [0, 8]]),
    *hole("angle", 30, slot=[20, 6]),
    *hole("note", "to be reamed", drill=9),
    Case("as_drilled.hole_list", "as-drilled.csv", "measured.csv"),
    Case("as_drilled.datum", "best fit", also={"as_drilled": {"hole_list": "measured.csv"}}),
    control("hole", "W"),
    Case("control.0.holes", ["A", "W"], ["A"], {"control": [{"kind": "jack", "name": "IN"}]}),
    control("kind", "selector", {"hole": "A", "kind": "knob"}),
    control("name", "COOL"),
    control("side", "below"),
    Case("control.0.in_row", False, also=_ROW),
    control("covers", 30),
    Case("control.0.covers.margin", 4, 3, {"control": [_KNOB | {"covers": {}}]}),
    control("fixings", {"square": 30, "drill": 3.2}),
    *(fixings(key, 32, 30) for key in ("square", "across", "up")),
    fixings("drill", 3, 3.2, square=30),
    control("positions", ["1", "2"], _SELECTOR),
    control("positions", {"up": "ON"}, _TOGGLE),
    control("detent", 40, _SELECTOR),
    control("start", 10, _SELECTOR),
    control("frame", 1, {"hole": "W", "kind": "window"}),
    Case("control.0.name_for", ["A", "W"], also=_ROW),
    Case("control.0.level", 2, also=_ROW),
    control("note", "230 V"),
    control("mains", True),
    control("inner", {"name": "Low"}),
    inner("name", "High"),
    inner("side", "right"),
    inner("covers", 30),
    inner("scale", {"from": 0, "to": 6}),
    inner("positions", ["1", "2"], _DUAL_SELECTOR),
    inner("detent", 40, _DUAL_SELECTOR),
    inner("start", 10, _DUAL_SELECTOR),
    control("meant", ["track-assumed", "covers-assumed"], _KNOB),
    scale("law", "log", "linear", **{"from": 1}),
    scale("from", 2, 0),
    scale("to", 8, 10),
    scale("sweep", 270),
    scale("start", -120),
    scale("unit", "s"),
    scale("taper", "audio 10", "linear", law="taper", **{"from": -40, "to": 0}),
    scale("table", [[0, -120], [10, 140]], [[0, -120], [10, 120]], law="table"),
    scale("numbered", [0, 5, 10]),
    scale("numbered", []),
    scale("numbered_step", 5),
    scale("words", {"5": "HALF", "7": "WARM"}),
    scale("powers", True, law="log", **{"from": 1, "to": 1000}),
    scale("plus", True),
    scale("step", 0.25),
    scale("track", 240),
    scale("low", "OFF"),
    scale("high", "MAX"),
    scale("points", [4]),
    scale("arc", True),
    Case("control.0.scale.shared_with", "S2", also=_SLIDES),
    scale("band", [{"from": 2, "to": 4}]),
    scale("band.0.from", 3, 2, band=[{"from": 2, "to": 8}]),
    scale("band.0.to", 7, 8, band=[{"from": 2, "to": 8}]),
    Case("group.0.name", "OVEN", also={"group": [{"holes": ["A"]}]}),
    Case("group.0.holes", ["A", "W"], ["A"], {"group": [{}]}),
    Case("group.0.style", "rule", also={"group": [{"holes": ["A"]}]}),
    Case("group.0.side", "below", also={"group": [{"holes": ["A"], "name": "AIR"}]}),
    Case("group.0.in_line", False, also=_TWO_GROUPS),
    bank("holes", ["A", "W"], "A to A"),
    bank("names", ["8"]),
    bank("holes_per_name", 2, along={"names": ["FAN"]}, holes=["A", "W"], names=["FAN", "PUMP"]),
    bank("levels", 2, holes=["A", "W"], names=["FAN", "PUMP"]),
    bank("notes", ["230 V"]),
    bank("kind", "lamp", kind="jack"),
    bank("side", "below", names=["FAN"]),
    bank("in_row", False, kind="toggle", names=["FAN"], also=_ROW["control"][1:]),
    bank("covers", 12),
    bank("inner", {"name": "Low"}, kind="knob"),
    bank("fixings", {"across": 30, "drill": 3}),
    bank("meant", ["covers-assumed"]),
    bank("scale", {"from": 0, "to": 10}, kind="knob"),
    bank("positions", {"up": "ON"}, kind="toggle"),
    bank("detent", 40, kind="selector", positions=["1", "2"]),
    bank("start", 10, kind="selector", positions=["1", "2"]),
    bank("frame", 1, kind="window"),
    bank("mains", True),
    bank("share_numerals", "pairs", **_SLIDE_BANK),
    bank("own", {"A": {"covers": 12}}),
    bank("own.A.covers", 12, own={"A": {}}),
    bank("own.A.side", "below", names=["FAN"], own={"A": {}}),
    bank("own.A.scale", {"from": 0, "to": 10}, kind="knob", own={"A": {}}),
    bank("own.A.positions", {"up": "ON"}, kind="toggle", own={"A": {}}),
    bank("own.A.detent", 40, kind="selector", positions=["1", "2"], own={"A": {}}),
    bank("own.A.start", 10, kind="selector", positions=["1", "2"], own={"A": {}}),
    bank("own.A.frame", 1, kind="window", own={"A": {}}),
    bank("own.A.mains", True, own={"A": {}}),
    bank("own.A.meant", ["covers-assumed"], own={"A": {}}),
    bank("groups", {"of": 1}),
    bank("groups.of", 2, 1, holes=["A", "W"], groups={}),
    bank("groups.names", ["AIR"], groups={"of": 1}),
    bank("groups.style", "rule", groups={"of": 1}),
    bank("groups.side", "below", groups={"of": 1, "names": ["AIR"]}),
    bank("groups.in_line", False, **_GROUPED),
    Case("group.0.meant", ["crowded"], also={"group": [{"holes": ["A"], "name": "OVEN"}]}),
    text("meant", ["full-stop"]),
    text("text", "STOP"),
    text("at", [30, 20]),
    text("align", "left"),
    text("around", "W", _AROUND),
    text("radius", 24, _AROUND),
    text("angle", 90, _AROUND),
    text("inside", True, _AROUND),
    text("role", "title"),
    text("height", "as large as fits"),
    Case("rule.0.from", [20, 20], [10, 20], {"rule": [{"to": [40, 20]}]}),
    Case("rule.0.to", [50, 20], [40, 20], {"rule": [{"from": [10, 20]}]}),
    Case("rule.0.through", [[30, 30]], also={"rule": [{"from": [10, 20], "to": [40, 20]}]}),
    Case("rule.0.width", 1.5, also={"rule": [{"from": [10, 20], "to": [40, 20]}]}),
    Case("rule.0.meant", ["crowded"], also={"rule": [{"from": [10, 20], "to": [40, 20]}]}),
    Case("bare.0.hole", "W", "A", {"bare": [{"diameter": 14}]}),
    Case("bare.0.diameter", 16, 14, {"bare": [{"hole": "A"}]}),
    Case("bare.0.margin", 3, 1, {"bare": [{"hole": "W"}]}),
]

_FILES = {
    "style.toml": '[finish]\ntop = "navy"\n',
    "more.csv": "id,x,y,drill\nM,20,20,4\n",
    "measured.csv": "id,x,y\nA,60.4,50\nW,120,50.2\n",
    "as-drilled.csv": "id,x,y\nA,60.4,50\nW,120,49.7\n",
}


# --- The schema ---


def _tables(kind: Any) -> Iterator[type[Table]]:
    """The tables that may stand under a type."""
    if is_table(kind):
        yield kind
    for inside in get_args(kind):
        yield from _tables(inside)


def _every_key() -> set[tuple[str, str]]:
    """Each key of each table of the schema that holds a value and not just further tables."""
    found: set[tuple[str, str]] = set()
    waiting: list[type[Table]] = [Description]
    while waiting:
        table = waiting.pop()
        for key, kind in keys_of(table).items():
            below = list(_tables(kind.bare))
            if (table.__name__, key) not in found:
                found.add((table.__name__, key))
                waiting += below
    return found


def _keys_on(steps: list[str | int]) -> Iterator[tuple[str, str]]:
    """The tables and keys that a path leads through."""
    table: type[Table] = Description
    kind: Any = Description
    for step in steps:
        if is_table(kind):
            table = kind
            yield table.__name__, str(step)
            kind = keys_of(table)[str(step)].bare
            kind = table_in(kind) or kind
        else:  # in a list, or in a table of names
            kind = get_args(kind)[1 if get_origin(kind) is dict else 0]


def test_every_key_of_the_schema_has_a_case() -> None:
    changed = {key for case in _CASES for key in _keys_on(case.steps)}
    assert _every_key() - changed == set()


# --- What is made of a description ---


def _with(case: Case, value: Any) -> str:
    """The panel of a case with this value, as TOML."""
    raw = copy.deepcopy(_BASE | case.also)
    table: Any = raw
    *way, last = case.steps
    for step, following in zip(way, case.steps[1:], strict=True):
        if isinstance(table, dict):
            table = table.setdefault(step, [] if isinstance(following, int) else {})
        else:
            table = table[step]
    if value is _ABSENT:
        table.pop(last, None)
    else:
        table[last] = value
    if value == case.after:
        table |= case.along
    return "".join(f"{key} = {_toml(each)}\n" for key, each in raw.items())


def _toml(value: Any) -> str:
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{key} = {_toml(each)}' for key, each in value.items())} }}"
    if isinstance(value, list):
        return f"[{', '.join(map(_toml, value))}]"
    return json.dumps(value)


def _made(toml: str, folder: Path) -> Iterator[str | bytes]:
    """What is made of a description, what costs least first, without numbers of lines."""
    panel = folder / "panel.toml"
    panel.write_text(toml)
    _, artwork = laid_out(panel)
    yield panel_svg(artwork)
    sheets, findings = cut_from(artwork)
    yield repr(stencil_files(sheets, artwork))
    yield re.sub(r'"(line|file)": .*', "", findings_text(findings))
    write_card(artwork, sheets, findings, folder / "card.html")
    yield re.sub(r"\.(toml|csv):\d+", "", (folder / "card.html").read_text(encoding="utf-8"))
    write_overlay(artwork, sheets, folder / "overlay.pdf")
    yield (folder / "overlay.pdf").read_bytes()
    write_proof(artwork, sheets, folder / "proof.png", "all", 60)
    yield (folder / "proof.png").read_bytes()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the files that the cases name."""
    folder = tmp_path_factory.mktemp("panel")
    for name, content in _FILES.items():
        (folder / name).write_text(content)
    for name, width in (("one.dxf", 160), ("other.dxf", 150)):
        drawing = ezdxf.new("R2010", units=4)
        for layer, inset in (("OUTER", 0), ("INNER", 10)):
            corners = [(inset, 0), (width - inset, 0), (width, 90), (0, 90)]
            drawing.modelspace().add_lwpolyline(corners, close=True, dxfattribs={"layer": layer})
        drawing.saveas(folder / name)
    both = TTCollection()
    both.fonts = [TTFont(_MANROPE / f"Manrope-{name}.ttf") for name in ("Light", "Bold")]
    both.save(folder / "two.ttc")
    return folder


@pytest.fixture(scope="module")
def made_once(folder: Path) -> Callable[[str], Iterator[str | bytes]]:
    """Makes what is made of a description once, since many cases begin with the same one."""
    kept: dict[str, Iterator[str | bytes]] = {}

    def made(toml: str) -> Iterator[str | bytes]:
        kept[toml], now = itertools.tee(kept.get(toml) or _made(toml, folder))
        return now

    return made


@pytest.mark.parametrize("case", _CASES, ids=lambda case: case.path)
def test_it_changes_what_is_made(
    case: Case, folder: Path, made_once: Callable[[str], Iterator[str | bytes]]
) -> None:
    before, after = _with(case, case.before), _with(case, case.after)
    assert before != after
    both = zip(made_once(before), _made(after, folder), strict=True)
    assert any(one != other for one, other in both)


def test_the_json_schema_takes_what_the_reader_takes() -> None:
    validator = jsonschema.Draft202012Validator(json_schema())
    for case in _CASES:
        for value in (case.before, case.after):
            faults = validator.iter_errors(tomllib.loads(_with(case, value)))
            assert [fault.message for fault in faults] == [], case.path


def test_the_same_description_makes_the_same(folder: Path) -> None:
    """So that the tests above can fail."""
    toml = _with(_CASES[0], "mm")
    again = zip(_made(toml, folder), _made(f"# Said again.\n{toml}", folder), strict=True)
    assert all(one == other for one, other in again)
