"""What the page may say is taken, and anything else is refused without harm."""

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from legend.page.messages import Edit, Pick, Text, from_json, to_json

_VALUE = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=3)
_JSON = _VALUE | st.lists(_VALUE, max_size=3) | st.dictionaries(st.just("kind"), _VALUE)


def test_what_the_page_says_is_taken() -> None:
    said = '{"kind": "edit", "base": 3, "text": "a\\u0000\\ud800", "ask": 2}'
    assert from_json(said) == Edit(3, "a\0\ud800", ask=2)
    assert from_json('{"kind": "pick", "ask": 1, "at": [1, 2.5]}') == Pick(1, (1.0, 2.5))


def test_what_the_server_says_names_its_kind() -> None:
    said = json.loads(to_json(Text(1, "a", "saved", "Saved.")))
    assert said["kind"] == "text" and said["revision"] == 1 and said["theirs"] is None


@pytest.mark.parametrize(
    "said",
    [
        "",
        "1",
        "[]",
        '{"kind": "edit"}',
        '{"kind": ["edit"]}',
        '{"kind": "drawing"}',
        '{"kind": "edit", "base": "1", "text": "a"}',
        '{"kind": "edit", "base": true, "text": "a"}',
        '{"kind": "edit", "base": 1.5, "text": "a"}',
        '{"kind": "edit", "base": 1, "text": null}',
        '{"kind": "edit", "base": 1, "text": "a", "path": "/etc"}',
        '{"kind": "pick", "ask": 1, "at": [1, NaN]}',
        '{"kind": "pick", "ask": 1, "at": [1, 1e999]}',
        '{"kind": "pick", "ask": 1, "at": [1, "a"]}',
        '{"kind": "pick", "ask": 1, "at": [1]}',
        '{"kind": "pick", "ask": 1, "at": [1, 1' + "0" * 400 + "]}",
        '{"kind": "save", "revision": ' + "9" * 5000 + "}",
        "[" * 100_000,
    ],
)
def test_anything_else_is_refused(said: str) -> None:
    with pytest.raises(ValueError):
        from_json(said)


@settings(max_examples=40)
@given(_JSON, st.sampled_from(["edit", "save", "pick", "answer", "make"]))
def test_whatever_is_said_nothing_else_is_raised(value: object, kind: str) -> None:
    for said in (value, {"kind": kind, "ask": value, "text": value, "base": 1}):
        try:
            from_json(json.dumps(said))
        except ValueError:
            continue
