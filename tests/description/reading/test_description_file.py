from pathlib import Path

import pytest

from legend.description.faults import DescriptionError
from legend.description.reading.description_file import parse, read
from legend.description.source import Source

_PANEL = "[panel]\nsize = [220, 90]\n"


def _write(folder: Path, **files: str) -> Path:
    for name, text in files.items():
        ending = ".csv" if name.startswith("holes") else ".toml"
        (folder / f"{name}{ending}").write_text(text, encoding="utf-8")
    return folder / "panel.toml"


def _faults(text: str) -> list[tuple[int, str]]:
    with pytest.raises(DescriptionError) as caught:
        parse(text)
    return [(fault.source.line, fault.message) for fault in caught.value.faults]


def test_reads_every_table_of_a_description() -> None:
    description = parse(
        """
units = "in"
title = "ENLARGER TIMER"
[panel]
size = ["220 mm", 3.5]
corner_radius = "1/8"
datum = "upper right"
viewing_distance = 24
[finish]
base = "White"
top = "#5b6160"
[stencil]
method = "paint-through"
stock = "sheet"
stock_size = ["300 mm", "110 mm"]
piece = "row"
copies = 2
[lettering]
height = "3.5 mm"
stroke = 0.14
  [lettering.title]
  height = "5 mm"
[holes]
A = { at = [1.25, "45 mm"], drill = "3/8" }
S = { at = [2, 1], slot = [0.75, "4 mm"], angle = 90, note = "slide" }
W = { at = [3, 1], cutout = [1, 0.5], corner_radius = "1/16 in" }
[[control]]
hole = "A"
kind = "knob"
name = "EXPOSURE"
side = "below"
covers = 1
scale = { law = "log", from = 0.5, to = 60, sweep = 300, unit = "s" }
[[control]]
hole = "S"
kind = "slide"
covers = [1, "12 mm"]
positions = { up = "ON", down = "OFF" }
[[control]]
hole = "W"
kind = "window"
frame = "0.8 mm"
[[group]]
name = "LAMP"
holes = ["A", "S"]
style = "bracket"
[[text]]
at = [4, 3]
text = "TWO\\nLINES"
role = "title"
[[rule]]
from = [1, 1]
to = [2, 1]
[[bare]]
hole = "A"
diameter = "14 mm"
"""
    )
    assert description.panel.size == (220, 88.9)
    assert description.panel.corner_radius == 3.175
    assert description.panel.viewing_distance == 609.6
    assert description.panel.from_datum((10, 20)) == (210, pytest.approx(68.9))
    assert description.stencil.stock_size == (300, 110)
    assert description.lettering.title.height == 5
    assert description.lettering.stroke == 0.14
    assert description.holes["A"].at == (31.75, 45)
    assert description.holes["A"].drill == 9.525
    assert description.holes["S"].slot == (19.05, 4)
    assert description.holes["W"].corner_radius == 1.5875
    knob, slide, window = description.control
    assert knob.covers == 25.4
    assert knob.scale and (knob.scale.from_, knob.scale.to) == (0.5, 60)
    assert slide.covers == (25.4, 12)
    assert slide.positions == {"up": "ON", "down": "OFF"}
    assert window.frame == 0.8
    assert description.rule[0].from_ == (25.4, 25.4)
    assert description.bare[0].diameter == 14
    assert [control.name for control in description.controls_at("A")] == ["EXPOSURE"]


def test_every_table_knows_where_it_and_its_keys_stand() -> None:
    text = (
        "panel.size = [91, 92]\n[holes]\nA = { at = [0, 0], drill = 1 }\n"
        '[[control]]\nhole = "A"\nkind = "knob"\n  [control.scale]\n  from = 0\n  to = 1\n'
    )
    description = parse(text, "p.toml")
    assert description.source == Source("p.toml", 1)
    assert description.panel.source_of("size") == Source("p.toml", 1)
    assert description.holes["A"].source == Source("p.toml", 3)
    (control,) = description.control
    assert control.source == Source("p.toml", 4)
    assert control.source_of("kind") == Source("p.toml", 6)
    assert control.source_of("name") == control.source
    assert control.scale
    assert control.scale.source_of("to") == Source("p.toml", 9)
    assert description.stencil.source == Source("")


@pytest.mark.parametrize(
    ("datum", "point"),
    [
        ("lower left", (10, 20)),
        ("upper left", (10, 70)),
        ("lower right", (210, 20)),
        ("upper right", (210, 70)),
        ("centre", (120, 65)),
    ],
)
def test_measures_from_the_datum(datum: str, point: tuple[float, float]) -> None:
    description = parse(f'{_PANEL}datum = "{datum}"\n')
    assert description.panel.from_datum((10, 20)) == point


# --- Styles ---


def test_inherits_from_a_style_key_by_key(tmp_path: Path) -> None:
    path = _write(
        tmp_path,
        panel='style = "house.toml"\n[panel]\nsize = [220, 90]\n[lettering]\nslope = 5\n'
        "  [lettering.title]\n  height = 7\n",
        house='title = "HOUSE"\n[panel]\nviewing_distance = 800\nsize = [1, 1]\n'
        "[lettering]\nslope = 10\nheight = 4\n  [lettering.title]\n  height = 9\n  width = 0.8\n"
        '[[text]]\nat = [5, 5]\ntext = "MADE AT HOME"\n',
    )
    description = read(path)
    assert description.title == "HOUSE"
    assert description.panel.size == (220, 90)
    assert description.panel.viewing_distance == 800
    assert (description.lettering.slope, description.lettering.height) == (5, 4)
    assert (description.lettering.title.height, description.lettering.title.width) == (7, 0.8)
    house = str(tmp_path / "house.toml")
    assert description.lettering.source_of("height") == Source(house, 7)
    assert description.lettering.source_of("slope") == Source(str(path), 5)
    assert description.text[0].source == Source(house, 11)


def test_lists_of_the_panel_replace_those_of_its_style(tmp_path: Path) -> None:
    path = _write(
        tmp_path,
        panel=f'style = "house.toml"\n{_PANEL}[[text]]\nat = [1, 1]\ntext = "MINE"\n',
        house='[[text]]\nat = [5, 5]\ntext = "A"\n[[text]]\nat = [5, 5]\ntext = "B"\n',
    )
    assert [text.text for text in read(path).text] == ["MINE"]


def test_bare_numbers_are_in_the_units_of_the_file_they_stand_in(tmp_path: Path) -> None:
    path = _write(
        tmp_path,
        panel='style = "house.toml"\nunits = "mm"\n[panel]\nsize = [220, 90]\n'
        "[stencil]\nleast_gap = 0.5\n",
        house='style = "shop.toml"\nunits = "in"\n[panel]\ncorner_radius = "1/8"\n'
        "viewing_distance = 30\n[stencil]\nmargin = 0.1\nleast_gap = 9\n"
        "[[rule]]\nfrom = [1, 1]\nto = [2, 1]\nwidth = 0.02\n",
        shop="[stencil]\nstock_size = [300, 200]\nmargin = 7\n",
    )
    description = read(path)
    assert description.panel.size == (220, 90)
    assert description.panel.corner_radius == 3.175
    assert description.panel.viewing_distance == 762
    assert description.stencil.stock_size == (300, 200)
    assert description.stencil.margin == 2.54
    assert description.stencil.least_gap == 0.5
    assert description.rule[0].from_ == (25.4, 25.4)
    assert description.rule[0].width == 0.508


def test_a_panel_without_units_takes_those_of_its_style(tmp_path: Path) -> None:
    path = _write(
        tmp_path, panel='style = "house.toml"\n[panel]\nsize = [9, 4]\n', house='units = "in"\n'
    )
    assert read(path).panel.size == (228.6, 101.6)


def test_styles_in_other_folders_name_files_from_there(tmp_path: Path) -> None:
    (tmp_path / "shop" / "fonts").mkdir(parents=True)
    (tmp_path / "shop" / "fonts" / "sign.ttf").write_bytes(b"")
    (tmp_path / "shop" / "holes.csv").write_text("id,x,y,drill\nA,1,2,3\n")
    (tmp_path / "shop" / "house.toml").write_text(
        'hole_list = "holes.csv"\n[lettering]\nface = "fonts/sign.ttf"\n'
        '[lettering.note]\nface = "plain"\n'
    )
    (tmp_path / "one").mkdir()
    path = tmp_path / "one" / "panel.toml"
    path.write_text(f'style = "../shop/house.toml"\n{_PANEL}')
    description = read(path)
    assert description.holes["A"].at == (1, 2)
    face = str(description.lettering.face)
    assert (path.parent / face).resolve() == (tmp_path / "shop" / "fonts" / "sign.ttf").resolve()
    assert description.lettering.note.face == "plain"


def test_faults_of_a_style_are_told_in_the_style(tmp_path: Path) -> None:
    path = _write(
        tmp_path,
        panel=f'style = "house.toml"\n{_PANEL}[finish]\nbase = "whit"\n',
        house='[finish]\ntop = "reddish"\nbase = "white"\n[stencil]\ncopies = 0\n',
    )
    with pytest.raises(DescriptionError) as caught:
        read(path)
    house = str(tmp_path / "house.toml")
    assert [fault.source for fault in caught.value.faults] == [
        Source(house, 2),
        Source(house, 5),
        Source(str(path), 5),
    ]


@pytest.mark.parametrize("names", [["panel"], ["house", "panel"], ["house", "shop", "house"]])
def test_styles_do_not_go_round_in_a_circle(tmp_path: Path, names: list[str]) -> None:
    files = dict(
        zip(["panel", *names], [f'style = "{name}.toml"\n' for name in names], strict=False)
    )
    if names[-1] == "house":
        files["shop"] = 'style = "./house.toml"\n'
    path = _write(tmp_path, **{**files, "panel": files["panel"] + _PANEL})
    with pytest.raises(DescriptionError, match="styles go round in a circle"):
        read(path)


def test_what_may_stand_in_an_unreadable_style_is_not_called_missing(tmp_path: Path) -> None:
    path = _write(
        tmp_path, panel='style = "house.toml"\n[[control]]\nhole = "A"\nkind = "knob"\nnam = "X"\n'
    )
    with pytest.raises(DescriptionError) as caught:
        read(path)
    first, second = (fault.message for fault in caught.value.faults)
    assert "There is no file" in first
    assert 'did you mean "name"?' in second


# --- Hole lists ---


def test_reads_the_hole_list_beside_the_description(tmp_path: Path) -> None:
    path = _write(
        tmp_path,
        panel=f'units = "in"\nhole_list = "holes.csv"\n{_PANEL.replace("220, 90", "9, 4")}'
        '[holes]\nB = { at = [1, 1], drill = "1/4" }\n[[control]]\nhole = "A"\nkind = "knob"\n',
        holes='id;x;y (mm);drill;note\nA;1,5;"20,5";3/8;a knob\n',
    )
    description = read(path)
    assert list(description.holes) == ["B", "A"]
    hole = description.holes["A"]
    assert (hole.at, hole.drill, hole.note) == ((38.1, 20.5), 9.525, "a knob")
    assert hole.source == Source(str(tmp_path / "holes.csv"), 2)


def test_faults_of_the_hole_list_are_told_there(tmp_path: Path) -> None:
    path = _write(
        tmp_path,
        panel=f'hole_list = "holes.csv"\n{_PANEL}[holes]\nC = {{ at = [1, 1], drill = 3 }}\n',
        holes="id,x,y,drill,width,height,angle\nA,one,2,3,,,\nB,1,2,3,4,5,\n"
        "C,1,2,3,,,\nD,1,2,-3,,,\nE,1,2,,4,5,steep\n",
    )
    with pytest.raises(DescriptionError) as caught:
        read(path)
    told = [(fault.source.line, fault.message) for fault in caught.value.faults]
    assert [line for line, _ in told] == [2, 3, 4, 5, 6]
    for (_, message), says in zip(
        told,
        [
            'Hole "A" has at = ["one", "2"], in which "one" is not a length',
            'Hole "B" has drill and cutout; it takes one of',
            f'Hole "C" is given twice, here and in {path}:5',
            'Hole "D" has drill = "-3"; it must be a length of 0.01 to 2000 mm',
            'Hole "E" has angle = "steep"; it must be an angle in degrees',
        ],
        strict=True,
    ):
        assert says in message


def test_an_unreadable_hole_list_makes_no_missing_holes(tmp_path: Path) -> None:
    path = _write(
        tmp_path,
        panel=f'hole_list = "holes.csv"\n{_PANEL}[[control]]\nhole = "A"\nkind = "knob"\n',
        holes="id,x,y,dril\nA,1,2,3\n",
    )
    with pytest.raises(DescriptionError) as caught:
        read(path)
    (fault,) = caught.value.faults
    assert 'did you mean "drill"' in fault.message


# --- What belongs together ---


@pytest.mark.parametrize(
    ("table", "says"),
    [
        ('[[control]]\nhole = "BB"\nkind = "knob"\n', 'A control stands in hole "BB"'),
        ('[[bare]]\nhole = "BB"\ndiameter = 9\n', 'A bare disc lies round hole "BB"'),
        (
            '[[text]]\naround = "BB"\nradius = 9\ntext = "X"\n',
            'A text stands around hole "BB"',
        ),
        ('[[group]]\nname = "LAMP"\nholes = ["A",\n"BB"]\n', 'The group "LAMP" names hole "BB"'),
    ],
)
def test_holes_that_are_named_must_exist(table: str, says: str) -> None:
    holes = "[holes]\nA = { at = [1, 2], drill = 3 }\nB = { at = [1, 2], drill = 3 }\n"
    ((line, message),) = _faults(_PANEL + holes + table)
    assert message.startswith(says)
    assert message.endswith('which does not exist; did you mean "B"? The holes are A and B.')
    assert line == (9 if "group" in table else 7)


def test_a_panel_without_holes_says_so() -> None:
    ((_, message),) = _faults(_PANEL + '[[control]]\nhole = "A"\nkind = "knob"\n')
    assert message.endswith("does not exist; no holes are given at all.")


def test_the_key_of_the_sources_is_kept_for_the_program() -> None:
    ((line, message),) = _faults(f'"@sources" = 3\n{_PANEL}')
    assert (line, message) == (1, '"@sources" is a name kept for the program; leave it out.')
    assert (
        "@sources" in parse(f'{_PANEL}[holes]\n"@sources" = {{ at = [1, 2], drill = 3 }}\n').holes
    )


# --- Files ---


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "The description is empty"),
        (b" \n\n", "The description is empty"),
        (b"title = 'A'\nname = '\xff'\n", "From here on this is not UTF-8 text"),
        ("title = 'A'".encode("utf-16"), "From here on this is not UTF-8 text"),
        (b"x" * 1_000_001, "is longer than 1 MB"),
        (b"a" + b".a" * 100_000 + b" = 1", "A key here has more parts"),
        (b"a = " + b"[" * 100_000, "too deep inside one another"),
        (b"a = " + b"{a=" * 100_000, "too deep inside one another"),
        (b"panel.size = [1e400, 90]", "in which inf is not a finite number"),
        (b"panel.size = [1" + b"0" * 400 + b", 90]", "a number of many digits is more than"),
        (b"panel.size = [1" + b"0" * 5000 + b", 90]", "A number here has thousands of digits"),
    ],
)
def test_a_file_that_is_no_description_is_a_fault(
    tmp_path: Path, content: bytes, says: str
) -> None:
    path = tmp_path / "panel.toml"
    path.write_bytes(content)
    with pytest.raises(DescriptionError) as caught:
        read(path)
    assert any(says.lower() in fault.message.lower() for fault in caught.value.faults)


def test_a_byte_order_mark_is_no_fault(tmp_path: Path) -> None:
    path = tmp_path / "panel.toml"
    path.write_bytes(b"\xef\xbb\xbf" + _PANEL.replace("\n", "\r\n").encode())
    assert read(path).panel.size == (220, 90)


def test_files_that_are_not_there_are_faults(tmp_path: Path) -> None:
    for path, says in [
        (tmp_path / "none.toml", "There is no such file; legend new"),
        (tmp_path, "is a folder"),
        (tmp_path / ("x" * 300), "cannot be read: File name too long"),
    ]:
        with pytest.raises(DescriptionError, match=says):
            read(path)
    path = _write(tmp_path, panel=f'style = "no.toml"\nhole_list = "none.csv"\n{_PANEL}')
    with pytest.raises(DescriptionError) as caught:
        read(path)
    assert [(fault.source.line, fault.message) for fault in caught.value.faults] == [
        (1, f"There is no file {tmp_path / 'no.toml'}."),
        (2, f"There is no file {tmp_path / 'none.csv'}."),
    ]


def test_tens_of_thousands_of_controls_are_refused_before_they_cost_anything() -> None:
    text = "\n".join(f"[[control]]\nhole = {i}" for i in range(12_000))
    ((_, message),) = _faults(_PANEL + text)
    assert message == "There are 12000 under control; no panel takes more than 2000."


def test_what_a_panel_can_hold_has_an_end() -> None:
    for text, says in [
        (
            "[[group]]\nholes = ['A']\n" * 201,
            "There are 201 under group; no panel takes more than 200.",
        ),
        (
            f"[[text]]\nat = [1, 2]\ntext = '{'W' * 199}'\n" * 101,
            "The description has legends of 20099 characters in all; no panel has room for more "
            "than 20000.",
        ),
        (
            "[[text]]\nat = [1, 2]\ntext = 'W'\n" * 101 + "[stencil]\ncopies = 50\n",
            "The description asks for 50 copies of the legends of 101 controls, groups and texts, "
            "more than 5000 in all; ask for fewer copies.",
        ),
    ]:
        faults = _faults(_PANEL + text)
        assert [message for _, message in faults if "hole" not in message] == [says]
        assert all(line > 1 for line, _ in faults)


@pytest.mark.parametrize("path", sorted(Path("samples").glob("*/panel.toml")), ids=str)
def test_the_samples_can_be_read(path: Path) -> None:
    description = read(path)
    assert description.control
    assert all(control.source.line for control in description.control)
