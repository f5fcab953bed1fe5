"""Descriptions with mistakes in them: every mistake one message, with its line; never a crash."""

import re
import tomllib
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from legend.commands.cli import legend
from legend.description.faults import DescriptionError
from legend.description.reading.description_file import parse, read
from legend.description.reading.hole_lists.hole_list import read_hole_list
from legend.description.tables.description import Description, Hole, Scale
from legend.handbook.json_schema import json_schema

_TEN = """\
units = "mm"
title = "KILN"
hole_list = "holes.csv"

[panel]
size = [220, "9O mm"]
corner_raduis = 3
viewing_distance = 600

[finish]
top = "gray-green"

[lettering]
stroke = 14

[[control]]
hole = "HEAT"
kind = "nob"
scale = { law = "log", from = 0.5, to = 60 }

[[control]]
hole = "POWR"
kind = "toggle"
name = MAINS

[[control]]
hole = "POWER"
kind = "toggle"
positions = ["ON", "OFF"]

[[control]]
hole = "LAMP"
kind = "lamp"
scale = { from = 0, to = 10 }
"""
_TEN_HOLES = """\
id;x;y;drill
HEAT;30;45;9,5
POWER;70;45;1/2 inch
LAMP;110;;8
"""

#: What each of the ten messages says of what is wrong, of what was meant, and of what may be.
_TEN_MESSAGES = {
    ("holes.csv", 4): ['Hole "LAMP" lacks its y'],
    ("panel.toml", 6): ['size = [220, "9O mm"]', '"9O mm" is not a length', "[width, height]"],
    ("panel.toml", 7): ["corner_raduis", 'did you mean "corner_radius"?', "size, corner_radius"],
    ("panel.toml", 11): ['top = "gray-green"', "not a colour", '"#5b6160"'],
    ("panel.toml", 14): ["stroke = 14", "at least 0.04 and at most 0.3"],
    ("panel.toml", 18): ['kind = "nob"', 'did you mean "knob"?', '"selector"'],
    ("panel.toml", 22): ['hole "POWR", which does not', 'mean "POWER"?', "HEAT, POWER and LAMP"],
    ("panel.toml", 24): ["MAINS", 'in quotation marks: "MAINS"'],
    ("panel.toml", 29): ["those of a toggle say where each stands", 'up = "ON"'],
    ("panel.toml", 34): ["a scale, which a lamp does not take", "; knob, slide"],
}


@pytest.fixture
def ten(tmp_path: Path) -> Path:
    (tmp_path / "panel.toml").write_text(_TEN)
    (tmp_path / "holes.csv").write_text(_TEN_HOLES)
    return tmp_path / "panel.toml"


def test_ten_mistakes_are_ten_clear_messages(ten: Path) -> None:
    with pytest.raises(DescriptionError) as caught:
        read(ten)
    told = {
        (Path(fault.source.file).name, fault.source.line): fault.message
        for fault in caught.value.faults
    }
    assert set(told) == set(_TEN_MESSAGES)
    assert len(caught.value.faults) == 10
    for place, says in _TEN_MESSAGES.items():
        for part in says:
            assert part in told[place]


def test_the_command_prints_all_ten_and_exits_with_2(ten: Path) -> None:
    result = CliRunner().invoke(legend, ["check", str(ten)])
    assert result.exit_code == 2
    assert result.stdout == ""
    lines = result.stderr.splitlines()
    assert len(lines) == 10
    for line in lines:
        assert re.fullmatch(
            rf"{re.escape(str(ten.parent))}/(panel\.toml|holes\.csv):\d+: .*\.", line
        )


_HEAD = """\
[panel]
size = [100, 50]
[holes]
A = { at = [30, 25], drill = 9.5 }
"""


#: What is put after the head, the line in which it is wrong, and what is said of it.
_MISTAKES = [
    ("B = { at = [1, 2] }", 5, 'Hole "B" has no shape; it takes one of drill'),
    ("B = { at = [1, 2], dril = 3 }", 5, 'did you mean "drill"? Its keys are at, drill'),
    ("B = { at = [1, 2], drill = 3, slot = [4, 2] }", 5, "has drill and slot; it takes one"),
    ("B = { at = [1, 2, 3], drill = 3 }", 5, "has at = [1, 2, 3]; it must be [x, y]"),
    ("B = { at = [1, 2], drill = true }", 5, "drill = true, which is neither a number nor"),
    ("B = { at = [1, 2], slot = [2, 4] }", 5, "a slot that is wider than it is long"),
    ("B = { at = [1, 2], cutout = [9, 4], corner_radius = 3 }", 5, "it must be at most 2 mm"),
    ("B = { at = [1, 2], drill = 9, corner_radius = 3 }", 5, "which a drill does not take"),
    ("B = 9.5", 5, "has 9.5 for B of holes; it must be a table, as [holes.B]"),
    ('"" = { at = [1, 2], drill = 9 }', 5, '"" cannot be the name of a hole'),
    ("[stencl]\nmirror = true", 5, '"stencl" is not a key of a description; did you mean'),
    ('[stencil]\nstock = "sheet"', 6, "letters of rigid sheet would not hold"),
    ("[stencil]\nmirror = 1", 6, "mirror = 1; it must be true or false"),
    ('[[pot]]\nhole = "A"', 5, 'is a [[control]], and its kind says what it is: a pot is "knob"'),
    (
        "[stencil]\ncheck = true",
        6,
        '"check" is not a key of [stencil]; it is called test_square now.',
    ),
    ("[stencil]\ncopies = 2.5", 6, "copies = 2.5; it must be a whole number of at least 1"),
    ('[lettering.name]\nends = "pointed"', 6, 'it must be "round" or "square"'),
    ("[control]", 5, "it must be a list of tables, each begun with [[control]]"),
    ('[[control]]\nkind = "knob"', 5, "stands in no hole; give its hole, or the holes of several"),
    (
        '[[control]]\nhole = "A"\nkid = "knob"',
        7,
        '"kid" is not a key of the control in hole "A"',
    ),
    ('[[control]]\nhole = "A"\nkind = "lamp"\npositions = ["A"]', 8, "a lamp does not take"),
    ('[[control]]\nhole = "A"\nkind = "selector"\nsweep = 90', 8, "write detent instead, which"),
    ('[[control]]\nhole = "A"\nkind = "knob"\nsweep = 90', 8, "write scale instead, which"),
    (
        '[[control]]\nhole = "A"\nkind = "knob"\npositions = [1]',
        8,
        "has 1 as item 1 of positions",
    ),
    ('[[control]]\nhole = "A"\nkind = "knob"\npositions = 1', 8, "a list in clockwise order"),
    (
        '[[control]]\nhole = "A"\nkind = "toggle"\npositions = { upp = "ON" }',
        8,
        'a position "upp"; did you mean "up"? Positions stand up, down, left, right or centre',
    ),
    (
        '[[control]]\nhole = "A"\nkind = "knob"\ncovers = [9]',
        8,
        "covers = [9]; it must be a dia",
    ),
    (
        '[[control]]\nhole = "A"\nkind = "knob"\ncovers = {}',
        8,
        "covers lacks margin, which must be a length",
    ),
    (
        f'[[control]]\nhole = "A"\nkind = "selector"\npositions = {["X"] * 13}',
        8,
        "13 positions 30 degrees apart, which is more than one turn",
    ),
    (
        '[[control]]\nhole = "A"\nkind = "knob"\nscale = { law = "log", from = 0, to = 9 }',
        8,
        "0 has no logarithm; a log scale takes values above 0",
    ),
    (
        '[[control]]\nhole = "A"\nkind = "knob"\n[control.scale]\nfrom = 0\nto = 9\n'
        "table = [[0, 1], [9, 2]]",
        11,
        'has a table, which only law = "table" takes',
    ),
    (
        '[[control]]\nhole = "A"\nkind = "knob"\nscale = { from = 0, to = 9, major = [3] }',
        8,
        "; it is called numbered now.",
    ),
    (
        '[[control]]\nhole = "A"\nkind = "knob"\nscale = { low = "SLOW" }',
        8,
        "has low alone; give high as well for a scale of two words, or its values as from and to",
    ),
    (
        '[[control]]\nhole = "A"\nkind = "knob"\nscale = { high = "FAST", to = 3, step = 1 }',
        8,
        "has high alone; give low as well",
    ),
    (
        '[[control]]\nhole = "A"\nkind = "knob"\n[control.scale]\nlow = "A"\nhigh = "B"\nstep = 1',
        11,
        "has step, but no values; give from and to, or leave step out",
    ),
    (
        '[[control]]\nhole = "A"\nkind = "knob"\nscale = { to = 9 }',
        8,
        "lacks from, the values at its ends",
    ),
    (
        '[[control]]\nhole = "A"\nkind = "knob"\nscale = { from = 0, to = 9, track = 310 }',
        8,
        "has a track of 310 degrees, which is more than the 300 that it turns through",
    ),
    (
        '[[control]]\nhole = "A"\nkind = "slide"\nscale = { from = 0, to = 9, track = 30 }',
        8,
        "has a scale with a track, which a slide does not turn through",
    ),
    (
        '[[control]]\nhole = "A"\nkind = "meter"\nscale = { law = "taper", from = -9, to = 0 }',
        8,
        "has a scale by the taper of a track, which a meter does not have",
    ),
    (
        '[[control]]\nhole = "A"\nkind = "knob"\n[control.scale]\nlaw = "table"\nfrom = 0\nto = 9\n'
        "sweep = 300\ntable = [[0, 1], [9, 2]]",
        12,
        "has a sweep, but its table has degrees of its own",
    ),
    ("[[group]]\nholes = []", 6, "has holes = []; it must be a list of the names of holes"),
    ('[[text]]\ntext = "X"', 5, 'The text "X" stands nowhere; give at = [x, y]'),
    ('[[text]]\natt = [1, 2]\ntext = "X"', 6, '"att" is not a key of the text "X"; did you'),
    ('[[text]]\nat = [1, 2]\ntext = ""', 7, "of 1 to 200 characters"),
    ('[[text]]\nat = [1, 2]\ntext = "a\\u0007"', 7, "which holds the control character U+0007"),
    (f'[[text]]\nat = [1, 2]\ntext = "{"W" * 10_000}"', 7, "which has 10000 characters"),
    ("[[rule]]\nfrom = [1, 2]\nto = [1, 2]", 7, "begins and ends at the same point"),
    ("[[rule]]\nfrom = [1, nan]\nto = [1, 2]", 6, "in which nan is not a finite number"),
    ("[[rule]]\nfrom = [1, 2]\nto = 1979-05-27", 7, "to = the date or time 1979-05-27"),
]


@pytest.mark.parametrize(("more", "line", "says"), _MISTAKES)
def test_one_mistake_is_one_message(more: str, line: int, says: str) -> None:
    with pytest.raises(DescriptionError) as caught:
        parse(_HEAD + more)
    (fault,) = caught.value.faults
    assert fault.source.line == line
    assert says in fault.message
    assert fault.message.endswith((".", "?"))
    assert "nput should" not in fault.message and "alid" not in fault.message


#: What of this is no matter of form, but of what values mean, or to each other.
_BEYOND_FORM = (
    "a slot that is wider than it is long",
    "it must be at most 2 mm",
    "13 positions 30 degrees apart",
    "0 has no logarithm",
    "begins and ends at the same point",
    "nan is not a finite number",
    "more than the 300 that it turns through",
)


@pytest.mark.parametrize(("more", "line", "says"), _MISTAKES)
def test_the_json_schema_knows_what_is_wrong_in_form(more: str, line: int, says: str) -> None:
    validator = jsonschema.Draft202012Validator(json_schema())
    sound = validator.is_valid(tomllib.loads(_HEAD + more))
    assert sound == any(each in says for each in _BEYOND_FORM)


def test_what_cannot_be_read_is_not_called_lacking() -> None:
    more = '[[control]]\nhole = "A"\nkind = "knob"\n[control.scale]\nfrom = 0,5\nto = 9'
    with pytest.raises(DescriptionError) as caught:
        parse(_HEAD + more)
    (fault,) = caught.value.faults
    assert "a decimal is written with a point" in fault.message


# --- Bytes that nobody meant ---

_SAMPLE = Path("samples/enlarger-timer/panel.toml").read_bytes()
_SAMPLE_HOLES = Path("samples/enlarger-timer/holes.csv").read_bytes()
_BYTES = st.one_of(
    st.binary(max_size=4),
    st.sampled_from([b'"', b"[", b"]", b"{", b"}", b"\n", b"=", b".", b"#", b"\\", b"'''", b'"""']),
    st.sampled_from([b"[[control]]\n", b"[panel]\n", b"-inf", b"nan", b"1e999", b"\xef\xbb\xbf"]),
    st.sampled_from([b";", b",", b"\t", b"in", b"mm", b"/", b"\x00", "½".encode(), "‮".encode()]),
)
_CHANGES = st.lists(st.tuples(st.floats(0, 1), st.integers(0, 30), _BYTES), min_size=1, max_size=6)
_QUICK = settings(
    max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)


def _changed(content: bytes, changes: list[tuple[float, int, bytes]]) -> bytes:
    for where, gone, put in changes:
        at = int(where * len(content))
        content = content[:at] + put + content[at + gone :]
    return content


@_QUICK
@given(changes=_CHANGES)
def test_any_description_is_read_or_told_about(
    tmp_path: Path, changes: list[tuple[float, int, bytes]]
) -> None:
    path = tmp_path / "panel.toml"
    path.write_bytes(_changed(_SAMPLE, changes))
    (tmp_path / "holes.csv").write_bytes(_SAMPLE_HOLES)
    try:
        assert isinstance(read(path), Description)
    except DescriptionError as error:
        assert error.faults
        assert all(fault.message.endswith((".", "?")) for fault in error.faults)


@_QUICK
@given(changes=_CHANGES)
def test_any_hole_list_is_read_or_told_about(
    tmp_path: Path, changes: list[tuple[float, int, bytes]]
) -> None:
    path = tmp_path / "panel.toml"
    path.write_bytes(b'hole_list = "holes.csv"\n[panel]\nsize = [220, 120]\n')
    content = _changed(_SAMPLE_HOLES, changes)
    (tmp_path / "holes.csv").write_bytes(content)
    try:
        assert isinstance(read(path), Description)
    except DescriptionError as error:
        assert error.faults
    else:
        assert not read_hole_list(content, "holes.csv").faults


_KEYS = st.sampled_from([*Description.model_fields, *Scale.model_fields, *Hole.model_fields]) | (
    st.sampled_from(
        ["A", "from", "size", "kind", "hole", "covers", "positions", "@sources", "", "\n"]
    )
)
_VALUES = st.recursive(
    st.one_of(
        st.sampled_from(['"A"', '"knob"', '"3/8 in"', "true", "nan", "-1", "1e300", "07:32:00"]),
        st.integers(-(10**20), 10**20).map(str),
        st.text(max_size=5).map(lambda text: '"' + "".join(f"\\U{ord(c):08x}" for c in text) + '"'),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda items: f"[{', '.join(items)}]"),
        st.lists(st.tuples(_KEYS, inner), max_size=4, unique_by=lambda pair: pair[0]).map(
            lambda pairs: "{" + ", ".join(f"{_quoted(key)} = {value}" for key, value in pairs) + "}"
        ),
    ),
    max_leaves=12,
)


def _quoted(key: str) -> str:
    return '"' + key.replace("\n", "\\n") + '"'


@_QUICK
@given(pairs=st.lists(st.tuples(_KEYS, _VALUES), max_size=6, unique_by=lambda pair: pair[0]))
def test_any_value_may_stand_under_any_key(pairs: list[tuple[str, str]]) -> None:
    text = "\n".join(f"{_quoted(key)} = {value}" for key, value in pairs)
    try:
        assert isinstance(parse(text), Description)
    except DescriptionError as error:
        assert error.faults
        assert all(fault.message.endswith((".", "?")) for fault in error.faults)
