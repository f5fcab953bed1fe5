import pytest

from legend.description.reading.hole_list import HoleList, read_hole_list


def _read(text: str | bytes) -> HoleList:
    return read_hole_list(text if isinstance(text, bytes) else text.encode(), "holes.csv")


def _sound(text: str | bytes) -> dict[str, dict[str, object]]:
    found = _read(text)
    assert not found.faults
    return found.holes


_PLAIN = {
    "A": {"at": ["30", "45"], "drill": "9.5"},
    "W": {"at": ["150", "60"], "cutout": ["40", "18"], "angle": 90.0, "note": "display, red"},
}


_COMMAS = """\
id,x,y,drill,width,height,angle,note
A,30,45,9.5
W,150,60,,40,18,90,"display, red"
"""
_SEMICOLONS = """\
ID;X;Y;Drill;Width;Height;Angle;Note
A;30;45;9.5;;;;
W;150;60;;40;18;90°;display, red"""
_LOOSE = """

 id , x,y , drill,width , height, angle,note
A , 30,45 , 9.5

,,,,
W,150,60,, 40,18,90,"display, red"

"""


@pytest.mark.parametrize(
    "text",
    [
        _COMMAS,
        _SEMICOLONS,
        "\ufeff" + _SEMICOLONS.replace("\n", "\r\n"),
        "sep=;\n" + _SEMICOLONS,
        _SEMICOLONS.replace(";", "\t"),
        _LOOSE,
    ],
)
def test_reads_what_spreadsheets_write(text: str) -> None:
    assert _sound(text) == _PLAIN


def test_reads_the_encodings_of_spreadsheets() -> None:
    text = "id;x;y;drill;note\nA;1,5;2,5;½ in;Ø für M3\n"
    expected = {"A": {"at": ["1,5", "2,5"], "drill": "½ in", "note": "Ø für M3"}}
    for encoding in ("utf-8", "utf-8-sig", "utf-16", "cp1252"):
        assert _sound(text.encode(encoding)) == expected


def test_headings_may_give_units() -> None:
    holes = _sound("id,x (mm),Y [in],drill in\nA,30,1 3/8,3/8\nB,30 in,1,9.5 mm\n")
    assert holes["A"] == {"at": ["30 mm", "1 3/8 in"], "drill": "3/8 in"}
    assert holes["B"] == {"at": ["30 in", "1 in"], "drill": "9.5 mm"}


def test_an_inch_mark_is_no_quotation_mark() -> None:
    assert _sound('id,x,y,drill\nA,1,2,3/8"\nB,3,4,"3/8"""\n')["A"]["drill"] == '3/8"'


def test_slots_and_round_corners() -> None:
    holes = _sound(
        "id,x,y,slot (mm),width,height,corner radius\n"
        "S,1,2,20 x 4,,,\nT,1,2,20×4,,,\nU,1,2,3/4 x 1/8 in,,,\nW,5,6,,40,18,2\n"
    )
    assert holes["S"]["slot"] == ["20 mm", "4 mm"]
    assert holes["T"]["slot"] == ["20 mm", "4 mm"]
    assert holes["U"]["slot"] == ["3/4 in", "1/8 in"]
    assert holes["W"] == {"at": ["5", "6"], "cutout": ["40", "18"], "corner_radius": "2"}


def test_knows_the_line_of_every_hole_even_after_a_note_of_several_lines() -> None:
    found = _read('\nid,x,y,drill,note\nA,1,2,3,"two\nlines"\n\nB,1,2,3\n')
    assert {id: place.source.line for id, place in found.places.items()} == {"A": 3, "B": 6}


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("", 0, "The hole list is empty"),
        (" \n\n", 0, "The hole list is empty"),
        (b"\x00\x01\x02", 0, "The hole list is not text"),
        (b"\x81\x8d", 0, "The hole list is not text"),
        ("id,x,y,dril\nA,1,2,3", 1, '"dril" is not a column of a hole list; did you mean "drill"?'),
        ("id,x,drill\nA,1,3", 1, "lacks the column y"),
        ("id,x,y\nA,1,3", 1, "lacks the column drill (or width and height, or slot)"),
        ("id,x,y,width\nA,1,3,5", 1, "lacks the column drill"),
        ("id,x,x,y,drill\nA,1,1,2,3", 1, 'The column "x" stands in the hole list twice'),
        ("id,x,y,drill,note (mm)\nA,1,1,2,3", 1, 'The column "note" holds no lengths'),
        ("id,x,y,drill\n,1,2,3", 2, "names no hole in the column id"),
        ("id,x,y,drill\nA,1,,3", 2, 'Hole "A" lacks its y'),
        ("id,x,y,width,height\nA,1,2,3,", 2, 'Hole "A" lacks its height'),
        ("id,x,y,drill\nA,1,2,3\nB,1,2,3\nA,4,5,6", 4, "given twice, here and in line 2"),
        ("id,x,y,drill\nA,1,5,2,5,3", 2, "needs the cell in quotation marks"),
        ("id,x,y,drill,\nA,1,5,2,5", 2, "needs the cell in quotation marks"),
        ('id,x,y,drill\nA,1,2,3\nB,1,2,"3\nC,1,2,3\n', 3, "From here on the list cannot be read"),
    ],
)
def test_says_what_is_wrong_and_where(text: str | bytes, line: int, says: str) -> None:
    (fault,) = _read(text).faults
    assert (fault.source.file, fault.source.line) == ("holes.csv", line)
    assert says in fault.message


def test_reads_on_after_a_fault() -> None:
    found = _read("id,x,y,drill\nA,1,,3\n,1,2,3\nB,1,2,3\n")
    assert [fault.source.line for fault in found.faults] == [2, 3]
    assert list(found.holes) == ["B"]


def test_does_not_take_a_hundred_thousand_holes() -> None:
    rows = "\n".join(f"H{i},1,2,3" for i in range(100_000))
    (fault,) = _read(f"id,x,y,drill\n{rows}").faults
    assert "more than 2000 holes" in fault.message


def test_a_fault_stays_on_its_line_whatever_it_quotes() -> None:
    for text in (
        'id,x,"a\nb\x1b[31m",drill\nA,1,2,3',
        'id,x,y,drill\n"A\nB",1,,3',
        'id,x,y,drill\n"A\nB",1,2,3\n"A\nB",1,2,3',
    ):
        (fault,) = _read(text).faults
        assert str(fault).isprintable()
        assert "\\n" in str(fault)
