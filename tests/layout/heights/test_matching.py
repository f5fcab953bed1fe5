"""Panels that are to match: units of one panel, and panels that share a style."""

from typing import Any

import pytest

from legend.description.tables.description import Description
from legend.layout import inspect, match
from legend.layout.artwork import Artwork

NAMES = {"A": "SUCTION", "B": "PRESSURE", "C": "VENT"}


def unit(name: str = "", up: float = 0.0, **x: float) -> Description:
    """A panel with a row of three toggles whose holes came out where it is said."""
    at = {"A": 25.0, "B": 45.0, "C": 65.0}
    raw = {
        "panel": {"size": [120, 60]},
        "holes": {id: {"at": [x, 30], "drill": 6.5} for id, x in at.items()},
        "as_drilled": {
            "holes": {id: {"at": [x, 30 + up]} for id, x in (at | x).items()},
        },
        "control": [
            {"hole": id, "kind": "toggle", "name": name, "covers": 11} for id, name in NAMES.items()
        ],
    }
    return Description.model_validate(raw).after_drilling().of_unit(name)


def panel(y: float = 30.0, **tables: Any) -> Description:
    raw = {
        "panel": {"size": [80, 60]},
        "holes": {"A": {"at": [40, y], "drill": 6.5}},
        "control": [{"hole": "A", "kind": "toggle", "name": "FAN", "covers": 11}],
    }
    # Every panel is of a file of its own.
    sources = {"": (tables.pop("source"))}
    return Description.model_validate(raw | tables | {"@sources": sources})


def sizes(artwork: Artwork) -> dict[str, tuple[float, float]]:
    """The height of each name, and the width of its ink, to a tenth."""
    found = {}
    for mark in artwork.marks:
        x0, _, x1, _ = mark.outline.bounds
        found[mark.text] = mark.height, pytest.approx(x1 - x0, abs=0.1)
    return found


def told(artwork: Artwork) -> list[str]:
    return [f.message for f in inspect(artwork) if f.code == "not-alike"]


def test_names_of_all_units_have_the_size_that_suits_all() -> None:
    alone = [match([each])[0].laid() for each in (unit(), unit(B=43.5))]
    assert alone[0].marks[1].height > alone[1].marks[1].height
    together = [each.laid() for each in match([unit("one.csv"), unit("two.csv", B=43.5)])]
    assert sizes(together[0]) == sizes(together[1])
    assert together[0].marks[1].height == alone[1].marks[1].height


def test_a_unit_whose_row_came_out_higher_is_told() -> None:
    first, second = (each.laid() for each in match([unit("one.csv"), unit("two.csv", up=0.4)]))
    assert told(first) == []
    assert told(second) == [
        "'SUCTION', 'PRESSURE' and 'VENT' stand 0.4 mm higher than on one.csv, which this panel "
        "is to match."
    ]


def test_units_that_came_out_alike_are_told_nothing() -> None:
    assert [told(each.laid()) for each in match([unit("one.csv"), unit("two.csv")])] == [[], []]


def test_heights_that_are_found_are_found_once_for_all() -> None:
    lettering = {"name": {"height": "as large as fits"}}
    from legend.description.source import Source

    large = panel(source=Source("1.toml"), lettering=lettering)
    small = panel(source=Source("2.toml"), lettering=lettering, panel={"size": [80, 45]})
    one, other = (each.laid() for each in match([large, small]))
    assert one.styles["name"].height == other.styles["name"].height
    alone = [match([each])[0].laid().styles["name"].height for each in (large, small)]
    assert min(alone) == one.styles["name"].height < max(alone)


def test_rows_at_one_height_share_their_baseline_across_panels() -> None:
    from legend.description.source import Source

    high = {"hole": "A", "kind": "toggle", "name": "FAN", "covers": 11, "positions": {"up": "ON"}}
    panels = [
        panel(source=Source("1.toml")),
        panel(30.2, source=Source("2.toml"), control=[high]),
        panel(45, source=Source("3.toml")),
    ]
    lines = [each.laid().marks[-1].baselines for each in match(panels)]
    assert lines[0] == pytest.approx(lines[1])
    assert lines[2] == pytest.approx(match([panels[2]])[0].laid().marks[-1].baselines)
