from legend.description.reading.line_numbers import Place, find_places
from legend.description.source import Source

_TEXT = '''\
# a comment
units = "mm"
panel.size = [
  220,
  90,
]
"a.b".'c d'."\\u0041" = 1

[holes]
A = { at = [30, 45], drill = 9.5 }
"B 2" = { at = [70, 45], drill = "1/2 in" }

[[control]]  # the first
hole = "A"
scale = { law = "log", from = 0.5 }
[[control]]
hole = "B 2"
scale.from = 1
  [control.positions]
  up = """
two
lines"""
  down = "OFF"
[[text]]
at = [{ x = 1 }, [2,
  3]]
[late.table]
x = 1
[late]
y = 2
'''


def _line(place: Place, *path: str | int) -> int:
    source = place.at(path)
    assert source.file == "f.toml"
    return source.line


def test_every_key_table_and_item_has_its_line() -> None:
    place = find_places(_TEXT, "f.toml")
    for path, line in {
        (): 1,
        ("units",): 2,
        ("panel",): 3,
        ("panel", "size"): 3,
        ("panel", "size", 0): 4,
        ("panel", "size", 1): 5,
        ("a.b", "c d", "A"): 7,
        ("holes",): 9,
        ("holes", "A"): 10,
        ("holes", "A", "drill"): 10,
        ("holes", "B 2", "at", 1): 11,
        ("control",): 13,
        ("control", 0): 13,
        ("control", 0, "hole"): 14,
        ("control", 0, "scale", "from"): 15,
        ("control", 1): 16,
        ("control", 1, "scale"): 18,
        ("control", 1, "scale", "from"): 18,
        ("control", 1, "positions"): 19,
        ("control", 1, "positions", "up"): 20,
        ("control", 1, "positions", "down"): 23,
        ("text", 0, "at", 0, "x"): 25,
        ("text", 0, "at", 1, 1): 26,
        ("late", "table", "x"): 28,
        ("late",): 29,
        ("late", "y"): 30,
    }.items():
        assert _line(place, *path) == line, path


def test_what_is_not_there_is_placed_with_what_is_round_it() -> None:
    place = find_places(_TEXT, "f.toml")
    assert _line(place, "holes", "A", "angle") == 10
    assert _line(place, "control", 7, "hole") == 13
    assert place.inside("nowhere").source == Source("f.toml", 1)


def test_text_that_is_no_toml_has_places_all_the_same() -> None:
    place = find_places("= = [[\n]]x\na = {", "f.toml")
    assert _line(place, "a") in (1, 3)
    assert find_places("", "f.toml").source == Source("f.toml", 1)
