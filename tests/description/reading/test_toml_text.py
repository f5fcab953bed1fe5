import pytest

from legend.description.reading.toml_text import parse_toml


def _faults(text: str) -> list[tuple[int, str]]:
    return [(fault.source.line, fault.message) for fault in parse_toml(text, "f.toml").faults]


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        (
            "a = 1\nname = EXPOSURE\n",
            2,
            "EXPOSURE is not a value; a text stands in quotation marks",
        ),
        ("a = 1\na = 2\n", 2, "a is given twice, here and in line 1"),
        ("x = { a = 1, a = 2 }", 1, "The key a is given twice between the same braces"),
        ("[p]\nx = 1\n[p]\ny = 2\n", 3, "The table [p] is begun a second time"),
        ('a = "abc\nb = 1', 1, "none closes it on this line"),
        ("x = { a = 1 b = 2 }", 1, "the { ... } is not closed, or a comma is missing"),
        ("x = [1 2]", 1, "the [ ... ] is not closed, or a comma is missing"),
        ("x = [1,\n2\nb = 3\n", 1, "The value of x is not finished"),
        ('x = """abc\n\nfoo = 3\n', 1, "The value of x is not finished"),
        ("just words\n", 1, "this line is no key with its value"),
        ("x =\n", 1, "here a value is missing"),
        ("[[p]\n", 1, "the heading of a table is written [table]"),
        ("x = 3,5\n", 1, "a decimal is written with a point"),
        ('x = "c:\\sign"\n', 1, "a backslash in a text in double quotation marks must be doubled"),
        ('x = "a\x01"\n', 1, "a control character stands here"),
        ("x = 2024-13-40\n", 1, "At column"),
        ("x = 1" + "0" * 5000, 1, "thousands of digits"),
        ("x = " + "[" * 5000, 0, "too deep inside one another"),
    ],
)
def test_says_in_plain_words_what_cannot_be_read(text: str, line: int, says: str) -> None:
    ((at, message),) = _faults(text)
    assert at == line
    assert says in message
    assert "TOML" not in message  # as it is told where nothing better is known


def test_tells_all_that_cannot_be_read_and_reads_the_rest() -> None:
    parsed = parse_toml(
        "units = mm\n[panel]\nsize = [220 90]\ncorner_radius = 3\n[finish\nbase = 1\n"
        '[holes]\nA = { at = [1, 2], drill = 3 }\nA = { at = [3, 4] }\n[text]\nx = "y',
        "f.toml",
    )
    assert [fault.source.line for fault in parsed.faults] == [1, 3, 5, 9, 11]
    assert parsed.data == {
        "units": "mm",  # as it was meant
        "panel": {"corner_radius": 3},
        "holes": {"A": {"at": [1, 2], "drill": 3}},
        "text": {},
    }
    assert "size" in parsed.struck and "base" in parsed.struck


@pytest.mark.parametrize(
    ("written", "says", "meant"),
    [
        ("0,25", "a decimal is written with a point: 0.25, not 0,25", 0.25),
        ("1/4", '1/4 is a fraction, which stands in quotation marks: "1/4", or write 0.25', "1/4"),
        ("1/3", '1/3 is a fraction, which stands in quotation marks: "1/3".', "1/3"),
        ('3/8"', '3/8" has its unit, and so stands in quotation marks: "3/8 in"', "3/8 in"),
        ("4 1/4 in", 'so stands in quotation marks: "4 1/4 in"', "4 1/4 in"),
        ("9.5mm", '9.5mm has its unit, and so stands in quotation marks: "9.5 mm"', "9.5 mm"),
        ("1½", '1½ is a fraction, which stands in quotation marks: "1½", or write 1.5', "1½"),
        (".25", ".25 is not a number as it is read here; write 0.25", 0.25),
        ("5.", "5. is not a number as it is read here; write 5", 5),
        ("4 x 11", "4 x 11 is two lengths, which stand in brackets: [4, 11]", [4, 11]),
        ('4" × 1/2"', "two lengths, which stand in brackets", ["4 in", "1/2 in"]),
        ("4, 11", "4, 11 is two lengths, which stand in brackets: [4, 11]", [4, 11]),
        ("“LAMP”", "a text stands in straight quotation marks", "LAMP"),
        ("True", "True is not a value; write true", True),
        ("[1/4, 3/8]", '1/4 is a fraction, which stands in quotation marks: "1/4"', ["1/4", "3/8"]),
        ("[A, B]", 'a text stands in quotation marks: "A"', ["A", "B"]),
    ],
)
def test_slips_are_told_and_read_as_they_were_meant(written: str, says: str, meant: object) -> None:
    text = f'units = "in"\n# 1/4 is "no" slip here\nx = {written} # nor 1/8\ny = "3/8 or 0,5"\n'
    for form in (text, text.replace(f"x = {written}", f"x = {{ a = 1, b = {written} }}")):
        parsed = parse_toml(form, "f.toml")
        assert {fault.source.line for fault in parsed.faults} == {3}
        assert any(says in fault.message for fault in parsed.faults)
        x = parsed.data["x"]
        assert (x["b"] if isinstance(x, dict) else x) == meant
        assert parsed.data["y"] == "3/8 or 0,5"


def test_a_fraction_is_one_of_an_inch_even_on_a_panel_in_mm() -> None:
    parsed = parse_toml("x = 3/8\n", "f.toml")
    assert parsed.data == {"x": "3/8 in"}


def test_very_many_slips_are_all_told_up_to_a_limit() -> None:
    faults = _faults("".join(f"x{i} = 1/4\n" for i in range(300)))
    assert len(faults) == 201
    assert "100 more such slips" in "".join(message for _, message in faults)


def test_leaves_sound_text_as_it_is() -> None:
    parsed = parse_toml('a = "ü"\r\nb = [1,\r\n2]\r\n', "f.toml")
    assert parsed.data == {"a": "ü", "b": [1, 2]}
    assert not parsed.faults and not parsed.struck


def test_gives_up_after_many_faults() -> None:
    assert len(_faults("x y\n" * 100)) == 20
