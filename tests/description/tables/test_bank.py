"""Banks: set out as controls and groups that know their lines, and what is wrong with them."""

import pytest

from legend.description.faults import DescriptionError
from legend.description.reading.description_file import parse
from legend.description.tables.description import Description, Scale


def panel(bank: str, holes: int = 8) -> str:
    """A panel of so many holes T0, T1 and so on; the bank begins on line 4 of it."""
    drilled = ", ".join(
        f"T{i} = {{ at = [{10 + 15 * (i % 300)}, 40], drill = 6 }}" for i in range(holes)
    )
    return f"panel = {{ size = [300, 80] }}\nholes = {{ {drilled} }}\n\n[[bank]]\n{bank}"


def faults(bank: str) -> list[tuple[int, str]]:
    with pytest.raises(DescriptionError) as caught:
        parse(panel(bank))
    return [(fault.source.line, fault.message) for fault in caught.value.faults]


def names(description: Description) -> dict[str, str]:
    return {control.hole: control.name for control in description.control}


def test_what_is_said_once_holds_for_all() -> None:
    bank = 'holes = "T0 to T7"\nkind = "toggle"\ncovers = "1/2 in"\nside = "below"\n'
    controls = parse(panel(bank + 'positions = { up = "1", down = "0" }')).control
    assert [control.hole for control in controls] == [f"T{i}" for i in range(8)]
    assert {(c.kind, c.covers, c.side) for c in controls} == {("toggle", 12.7, "below")}
    assert all(c.positions == {"up": "1", "down": "0"} for c in controls)


def test_names_follow_the_holes_as_they_are_given() -> None:
    up = parse(panel('holes = "T0 to T7"\nkind = "lamp"\nnames = "7 to 0"'))
    down = parse(panel('holes = "T7 to T0"\nkind = "lamp"\nnames = "0 to 7"'))
    assert names(up) == names(down) == {f"T{i}": str(7 - i) for i in range(8)}
    few = parse(panel('holes = ["T3", "T1"]\nkind = "lamp"\nnames = ["IN", "OUT"]'))
    assert names(few) == {"T3": "IN", "T1": "OUT"}


def test_a_name_for_several_is_that_of_the_first() -> None:
    bank = 'holes = "T0 to T3"\nkind = "jack"\nnames = ["IN", "OUT"]\nholes_per_name = 2\n'
    controls = parse(panel(bank + 'notes = "1 to 4"')).control
    assert [c.name for c in controls] == ["IN", "", "OUT", ""]
    assert [c.name_for for c in controls] == [("T0", "T1"), (), ("T2", "T3"), ()]
    assert [c.note for c in controls] == ["1", "2", "3", "4"]


def test_names_stand_on_two_levels_in_turn() -> None:
    bank = 'holes = "T0 to T4"\nkind = "jack"\nnames = "A to E"\nlevels = 2'
    assert [c.level for c in parse(panel(bank)).control] == [1, 2, 1, 2, 1]


@pytest.mark.parametrize(
    ("sharing", "shared"),
    [
        ("pairs", ["T1", None, "T3", None, None]),
        ("neighbours", ["T1", "T2", "T3", "T4", None]),
    ],
)
def test_which_slides_share_numerals(sharing: str, shared: list[str | None]) -> None:
    bank = f'holes = "T0 to T4"\nkind = "slide"\nshare_numerals = "{sharing}"\n'
    controls = parse(panel(bank + "scale = { from = 0, to = 10 }")).control
    assert [c.scale and c.scale.shared_with for c in controls] == shared
    alone = [bool(c.scale) for c in controls]
    assert alone == [True, sharing != "pairs", True, sharing != "pairs", sharing == "pairs"]


def test_groups_of_some() -> None:
    bank = 'holes = "T0 to T7"\nkind = "lamp"\n'
    groups = 'groups = { of = 4, style = "bracket", names = ["LOW", ""] }'
    low, rest = parse(panel(bank + groups)).group
    assert (low.name, low.holes, low.style) == ("LOW", ("T0", "T1", "T2", "T3"), "bracket")
    assert (rest.name, rest.holes) == ("", ("T4", "T5", "T6", "T7"))


def test_a_heading_without_words_is_left_out() -> None:
    groups = 'groups = { of = 4, style = "heading", names = ["LOW", ""] }'
    description = parse(panel('holes = "T0 to T7"\nkind = "lamp"\n' + groups))
    assert [group.name for group in description.group] == ["LOW"]


def test_everything_knows_its_line() -> None:
    bank = 'holes = "T0 to T1"\nkind = "lamp"\nnames = [\n  "IN",\n  "OUT",\n]\n'
    description = parse(panel(bank + "covers = 9\ngroups = { of = 2 }"))
    one, other = description.control
    assert (one.source.line, one.source_of("hole").line) == (4, 5)
    assert [c.source_of("name").line for c in (one, other)] == [8, 9]
    assert other.source_of("covers").line == 11
    assert description.group[0].source.line == 12


def test_counts_that_differ_are_told() -> None:
    assert faults('holes = "T0 to T7"\nkind = "lamp"\nnames = "0 to 6"') == [
        (
            7,
            'The bank of "T0 to T7" has 7 names for 8 holes; give 8, with "" for one that has '
            "none.",
        )
    ]
    of_pairs = 'holes = "T0 to T7"\nkind = "lamp"\nnames = ["A"]\nholes_per_name = 2'
    assert faults(of_pairs) == [
        (
            7,
            'The bank of "T0 to T7" has 1 name for 8 holes, 2 to each; give 4, with "" for one '
            "that has none.",
        )
    ]
    uneven = 'holes = "T0 to T7"\nkind = "lamp"\ngroups = { of = 3 }'
    assert faults(uneven) == [
        (7, 'The bank of "T0 to T7" has 8 holes, which groups.of = 3 does not divide evenly.')
    ]


@pytest.mark.parametrize(
    ("bank", "line", "said"),
    [
        (
            'holes = "T0 to T8"\nkind = "lamp"',
            5,
            'names hole "T8", which does not exist; the holes',
        ),
        ('holes = "X0 to X8"\nkind = "lamp"', 5, 'names holes "X0", "X1", "X2", "X3", "X4" and 4'),
        ('holes = ["T0", "X"]\nkind = "lamp"', 5, 'names hole "X", which does not exist'),
        ('holes = ["T0", "T0"]\nkind = "lamp"', 5, 'names hole "T0" twice'),
        ('holes = "T0"\nkind = "lamp"', 5, 'has holes = "T0", which is no range'),
        ('holes = "T0 to T7"\nkind = "lamp"\nnames = "FAN"', 7, "which is no range"),
        ('holes = "T0 to T7"\nkind = "lamp"\ndetent = 30', 7, "which a lamp does not take"),
        ('holes = "T0 to T7"\nkind = "lamp"\nlevels = 2', 7, "has levels, but no names"),
        ('holes = "T0 to T7"\nkind = "slide"\nshare_numerals = "pairs"', 7, "but no scale"),
        (
            'holes = "T0 to T1"\nkind = "jack"\nnames = "A to B"\nside = "left"\nlevels = 2',
            9,
            "only names above or below take that",
        ),
        (
            'holes = "T0 to T7"\nkind = "lamp"\ngroups = { of = 2, style = "heading" }',
            7,
            "need names",
        ),
    ],
)
def test_what_is_wrong_with_a_bank_is_told_where_it_stands(bank: str, line: int, said: str) -> None:
    ((at, message),) = faults(bank)
    assert said in message
    assert at == line


def test_no_panel_takes_any_number_of_controls_or_groups() -> None:
    bank = 'holes = "T0 to T299"\nkind = "lamp"\ngroups = { of = 1 }'
    with pytest.raises(DescriptionError, match="has 300 groups in all; no panel takes more than"):
        parse(panel(bank, holes=300))
    twice = "".join(
        f'\n[[bank]]\nholes = "T0 to T1499"\nkind = "{kind}"' for kind in ("jack", "lamp")
    )
    with pytest.raises(DescriptionError, match="has 3000 controls in all; no panel takes more"):
        parse(panel('holes = "T0 to T1"\nkind = "lamp"', 1500).split("[[bank]]")[0] + twice)


def test_a_name_or_a_scale_is_shared_with_what_is_fitted() -> None:
    control = 'hole = "T0"\nkind = "slide"\nname_for = ["T0", "T1"]\n'
    text = panel(control + 'scale = { from = 0, to = 10, shared_with = "T1" }')
    control_alone = text.replace("[[bank]]", "[[control]]")
    with pytest.raises(DescriptionError) as caught:
        parse(control_alone)
    lines = [(f.source.line, f.message) for f in caught.value.faults]
    assert [line for line, _ in lines] == [7, 8]
    assert all("in which nothing is fitted" in said for _, said in lines)
    parse(control_alone + '\n[[bank]]\nholes = "T1 to T2"\nkind = "slide"')


def test_a_hole_that_is_shared_with_or_named_for_must_exist() -> None:
    control = 'hole = "T0"\nkind = "slide"\nname_for = ["T0", "Q"]\n'
    text = panel(control + 'scale = { from = 0, to = 10, shared_with = "R" }')
    with pytest.raises(DescriptionError) as caught:
        parse(text.replace("[[bank]]", "[[control]]"))
    assert [(f.source.line, f.message.split(", which")[0]) for f in caught.value.faults] == [
        (7, 'The control in hole "T0" names hole "Q"'),
        (8, 'The scale of the control in hole "T0" is shared with hole "R"'),
    ]


# --- What one of them has of its own ---


_KNOBS = 'holes = "T0 to T2"\nkind = "knob"\ncovers = 12\nscale = { from = 0, to = 10 }\n'


def test_one_scale_is_that_of_all_but_for_one_that_has_its_own() -> None:
    own = "own = { T1 = { scale = { from = 1, to = 5 }, covers = 20 } }"
    controls = parse(panel(_KNOBS + own)).control
    assert [c.scale and c.scale.ends for c in controls] == [(0, 10), (1, 5), (0, 10)]
    assert [c.covers for c in controls] == [12, 20, 12]
    assert [c.source_of("scale").line for c in controls] == [8, 9, 8]


@pytest.mark.parametrize("kind", ["knob", "meter", "bargraph", "edge meter", "slide"])
def test_every_kind_with_a_scale_takes_it_once_for_a_bank(kind: str) -> None:
    bank = f'holes = "T0 to T2"\nkind = "{kind}"\nscale = {{ from = 0, to = 10, unit = "V" }}'
    assert [c.scale and c.scale.unit for c in parse(panel(bank)).control] == ["V"] * 3


def test_own_keys_stand_in_a_table_of_their_own_too() -> None:
    own = '[bank.own.T2]\npositions = ["A", "B"]\nmeant = ["two-positions"]\n'
    *_, last = parse(panel('holes = "T0 to T2"\nkind = "selector"\n' + own)).control
    assert (last.positions, last.meant) == (("A", "B"), ("two-positions",))


@pytest.mark.parametrize(
    ("sharing", "own", "told"),
    [
        ("pairs", "T1", ["alone", "own", "with T3", "none"]),
        ("neighbours", "T1", ["alone", "own", "with T3", "none"]),
        ("neighbours", "T0", ["own", "with T2", "with T3", "none"]),
    ],
)
def test_nobody_shares_numerals_with_one_that_has_its_own(
    sharing: str, own: str, told: list[str]
) -> None:
    bank = f'holes = "T0 to T3"\nkind = "bargraph"\nshare_numerals = "{sharing}"\n'
    bank += f"scale = {{ from = 0, to = 10 }}\nown.{own} = {{ scale = {{ from = 0, to = 5 }} }}"

    def how(scale: Scale | None) -> str:
        if not scale:
            return "none"
        if scale.to == 5:
            return "own"
        return f"with {scale.shared_with}" if scale.shared_with else "alone"

    assert [how(control.scale) for control in parse(panel(bank)).control] == told


@pytest.mark.parametrize(
    ("own", "line", "said"),
    [
        ("own = { T7 = { covers = 20 } }", 9, 'hole "T7" under own, which is none of its holes'),
        ("own = { T1 = { cover = 20 } }", 9, "cover"),
        ("own = { T1 = { frame = 1 } }", 9, "has a frame, which a knob does not take"),
        (
            'own = { T1 = { positions = { up = "A" } } }',
            9,
            "has positions by side, but those of a knob are a list in clockwise order",
        ),
        (
            "own = { T1 = { scale = { from = 0, to = 1, track = 320 } } }",
            9,
            "has a track of 320 degrees, which is more than the 300",
        ),
    ],
)
def test_what_is_wrong_with_own_keys_is_told_where_they_stand(
    own: str, line: int, said: str
) -> None:
    ((found, message), *_) = faults(_KNOBS + own)
    assert found == line
    assert said in message
