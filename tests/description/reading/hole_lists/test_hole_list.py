import pytest

from legend.description.reading.hole_lists.hole_list import HoleList, read_hole_list
from legend.description.shapes.hole_shapes import SHAPES
from legend.description.tables.hole import Hole


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
    ("column", "cell", "unit", "expected"),
    [
        ("single_d", "12 x 11", "", {"single_d": ["12", "11"]}),
        ("Single D", "12,5 × 11", "mm", {"single_d": ["12,5 mm", "11 mm"]}),
        ("double_d", "1/2 x 3/8 in", "", {"double_d": ["1/2 in", "3/8 in"]}),
        ("keyed", "12.2 x 2 x 1", "", {"keyed": ["12.2", "2", "1"]}),
        ("hexagon", "10", "mm", {"hexagon": "10 mm"}),
        ("slot", "20 mm x 3/16 in", "", {"slot": ["20 mm", "3/16 in"]}),
        ("cutout", "40*18", "", {"cutout": ["40", "18"]}),
        ("D-connector", "25", "", {"d_connector": 25}),
        (
            "polygon",
            "-10 x -5; 10 x -5; 0 x 8 x 2",
            "",
            {"polygon": [["-10", "-5"], ["10", "-5"], ["0", "8", "2"]]},
        ),
        (
            "polygon",
            "(-10,5 -5); (10,5 -5); (0 8)",
            "mm",
            {"polygon": [["-10,5 mm", "-5 mm"], ["10,5 mm", "-5 mm"], ["0 mm", "8 mm"]]},
        ),
        (
            "polygon",
            "-10,-5;10,-5;\n0, 8",
            "",
            {"polygon": [["-10", "-5"], ["10", "-5"], ["0", "8"]]},
        ),
    ],
)
def test_has_a_column_for_every_shape(
    column: str, cell: str, unit: str, expected: dict[str, object]
) -> None:
    heading = f"{column} ({unit})" if unit else column
    assert _sound(f'id,x,y,{heading},drill\nA,1,2,"{cell}",\nB,1,2,,9\n') == {
        "A": {"at": ["1", "2"]} | expected,
        "B": {"at": ["1", "2"], "drill": "9"},
    }


@pytest.mark.parametrize(("cell", "front"), [("yes", True), ("TRUE", True), ("no", None)])
def test_a_column_of_yes_and_no(cell: str, front: bool | None) -> None:
    text = f"id,x,y,d_connector,drill,front_mounted\nA,1,2,9,,{cell}\nB,1,2,,9,no\n"
    holes = _sound(text)
    assert (holes["A"].get("front_mounted"), holes["B"].get("front_mounted")) == (front, None)


def test_every_shape_of_a_hole_can_be_listed() -> None:
    columns = "single_d,double_d,keyed,hexagon,d_connector,slot,polygon,drill,cutout"
    cells = ["9 x 8", "9 x 8", "9 x 2 x 1", "8", "15", "20 x 4", "-5 -5; 5 -5; 0 5", "4", "9 x 5"]
    assert columns.split(",") == sorted(SHAPES, key=columns.split(",").index)
    rows = [f"{n},{n},9," + "," * n + cell + "," * (8 - n) for n, cell in enumerate(cells)]
    text = f"id,x,y,{columns}\n" + "\n".join(rows)
    holes = [Hole.model_validate(table) for table in _sound(text).values()]
    assert [key for hole in holes for key in SHAPES if getattr(hole, key)] == columns.split(",")


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("", 0, "The hole list is empty"),
        (" \n\n", 0, "The hole list is empty"),
        (b"\x00\x01\x02", 0, "The hole list is not text"),
        (b"\x81\x8d", 0, "The hole list is not text"),
        ("id,x,y,dril\nA,1,2,3", 1, '"dril" is not a column of a hole list; did you mean "drill"?'),
        ("id,x,drill\nA,1,3", 1, "lacks the column y"),
        (
            "id,x,y\nA,1,3",
            1,
            "lacks the column drill (or width and height, or another shape of a hole)",
        ),
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


def test_how_surely_a_hole_was_measured_is_passed_over() -> None:
    listed = "id,x (in),y,drill,u (in),doubt,note\nA,30,45,9.5,0.002,seen in part only,lamp\n"
    holes = _sound(listed)
    assert holes == {"A": {"at": ["30 in", "45"], "drill": "9.5", "note": "lamp"}}
