"""What strangers bring: every panel here is made as `legend make` does, and comes out whole.

Each is described as its builder would, from the README alone. A panel whose warning is true says
so in `TRUE_WARNINGS`, with the reason.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
import shapely
from card_judge import judge
from place_judge import judge_places

from legend.description.reading.description_file import read
from legend.description.tables.control import Control
from legend.layout.artwork import Artwork, Role
from legend.making import panel_files
from legend.stencil.cards.sharing import cards_for
from legend.stencil.sheet import Cut, Lines, Sheet, pieces_of
from legend.stencil.sheet import Path as CutPath

FOLDER = Path(__file__).parent
_ALL = {path.name: path.read_text(encoding="utf-8") for path in FOLDER.glob("*.toml")}
#: What panels name as their style is no panel.
_STYLES = {name for text in _ALL.values() for name in re.findall(r'^style = "(.+)"', text, re.M)}
PANELS = [FOLDER / name for name in sorted(_ALL.keys() - _STYLES)]

#: Of each panel the codes of the warnings that it has rightly, each with the reason.
TRUE_WARNINGS: Mapping[str, Mapping[str, str]] = {}


@pytest.fixture(scope="module", params=PANELS, ids=lambda path: path.stem)
def panel(request: pytest.FixtureRequest) -> Path:
    path: Path = request.param
    return path


def test_it_is_made_whole(panel: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One test a panel, which is made once, because that is what takes the time."""
    on_the_way: dict[str, Any] = {}
    for step in ("laid_out", "cut_from"):
        monkeypatch.setattr(panel_files, step, _noting(step, on_the_way))
    made = panel_files.make(panel_files.Order(panel, tmp_path))
    (_, artwork), (sheets, _) = on_the_way["laid_out"], on_the_way["cut_from"]

    # Nothing spoils it, and nothing may that is not known to be true.
    told = [each for each in made.findings if each.severity != "note"]
    known = TRUE_WARNINGS.get(panel.stem, {})
    assert [each.message for each in told if each.severity == "error"] == []
    assert [each.message for each in told if each.code not in known] == []
    assert set(known) <= {each.code for each in told}, "it is no longer found: leave it out"
    assert all(reason.endswith(".") for reason in known.values())
    assert not [each.message for each in made.findings if each.code == "meant-in-vain"]

    everything_asked_for_is_drawn(artwork)
    codes = {each.code for each in made.findings}
    every_mark_is_in_one_piece(artwork, sheets, was_split="piece-split" in codes)
    every_piece_is_on_the_stock(artwork, sheets, codes)
    every_side_is_cut_and_none_twice(sheets)
    every_piece_can_be_placed(artwork, sheets, tmp_path)
    judge_places(artwork, sheets, (tmp_path / "placing.html").read_text("utf-8"))
    cards = cards_for(artwork, sheets)
    judge(artwork, sheets, cards)
    assert cards.cards or cards.bolted or cards.flush
    the_files_are_there(tmp_path, len(sheets), len(cards.cards))


def _noting(step: str, on_the_way: dict[str, Any]) -> Callable[[Any], Any]:
    """A step of the making that notes what it gives."""
    does: Callable[[Any], Any] = getattr(panel_files, step)

    def noting(given: Any) -> Any:
        on_the_way[step] = does(given)
        return on_the_way[step]

    return noting


def everything_asked_for_is_drawn(artwork: Artwork) -> None:
    """Each name, note, position, text and heading is among the marks, and each scale has some."""
    description = artwork.description
    said: Counter[tuple[str, str]] = Counter()
    for mark in artwork.marks:
        if mark.text:
            said[mark.owner, _bare(mark.text)] += 1
    scaled = {mark.owner for mark in artwork.marks if mark.role is Role.GRADUATION}
    for control in description.control:
        for ways in _said_by(control):
            assert any(said[control.hole, _bare(text)] for text in ways), f"{control.hole}: {ways}"
        if control.scale is not None:
            assert control.hole in scaled or said, control.hole
            assert control.hole in {mark.owner for mark in artwork.marks}
    for text in (*(text.text for text in description.text), *(g.name for g in description.group)):
        if _bare(text):
            assert said["", _bare(text)], text
    every_rule_is_drawn(artwork)
    frames = [mark for mark in artwork.marks if mark.role is Role.FRAME and not mark.owner]
    lined = [group for group in description.group if group.style != "heading"]
    assert len(frames) == len(lined)


def _said_by(control: Control) -> Iterator[tuple[str, ...]]:
    """Each text of a control, in the ways in which it may be among the marks.

    The unit of a concentric knob goes with its name, and a sign that is a name is a symbol.
    """
    yield from ((text,) for text in [control.note] if _bare(text))
    for knob in control.knobs:
        positions = knob.positions
        words = positions.values() if isinstance(positions, Mapping) else positions
        yield from ((text,) for text in words if _bare(text))
        if knob.name:
            unit = knob.scale.unit if knob.scale else ""
            symbol = {"-": "symbol:minus", "+": "symbol:plus"}.get(knob.name, knob.name)
            yield knob.name, f"{knob.name} ({unit})", symbol


def every_rule_is_drawn(artwork: Artwork) -> None:
    """Along its middle, a rule is inked wherever no fitted part, hole or bare metal is by."""
    inked = shapely.union_all([m.outline.shape for m in artwork.marks if m.role is Role.RULE])
    parting = [keep_out.shape for keep_out in artwork.keep_outs]
    for rule in artwork.description.rule:
        corners = [rule.from_, *rule.through, rule.to]
        middle = shapely.LineString(map(artwork.description.panel.from_datum, corners))
        reach = 1.1 + 1.1 * (rule.width or 1.0)  # the gap, and what a slanting line is cut back by
        missing = middle.difference(inked.buffer(0.01))
        assert missing.difference(shapely.buffer(shapely.union_all(parting), reach)).is_empty
        assert missing.length < middle.length


def _bare(text: str) -> str:
    """A text without the spaces at which its lines may have been broken."""
    return "".join(text.split())


def every_mark_is_in_one_piece(
    artwork: Artwork, sheets: tuple[Sheet, ...], was_split: bool
) -> None:
    """All of each mark is among what one piece has to be painted, and in no other's.

    A piece that is longer than the stock is split between letters, and its parts share them.
    """
    cuts = [
        shapely.union_all([path.outline.shape for path in piece.paths if path.cut is Cut.MARK])
        for piece in pieces_of(sheets)
    ]
    tree = shapely.STRtree(cuts)
    for mark in artwork.marks:
        inked = mark.outline.shape
        held = [float(cuts[i].intersection(inked).area) for i in tree.query(inked, "intersects")]
        held = [area / inked.area for area in held if area > 0.01 * inked.area]
        what = f"{mark.role} {mark.text!r} of {mark.owner}"
        assert len(held) == 1 or (was_split and held), f"{what} is in {len(held)} pieces"
        # Bridges, and the join of a line that was split, take some of it.
        bridged = artwork.description.stencil.stock == "sheet" or _is_bridged(artwork, mark.role)
        assert sum(held) > (0.5 if bridged else 0.9 if was_split else 0.999), what


def _is_bridged(artwork: Artwork, role: str) -> bool:
    lettering = artwork.description.lettering
    own = getattr(lettering, role, None)
    return bool(lettering.bridged or (own and own.bridged))


def every_piece_is_on_the_stock(
    artwork: Artwork, sheets: tuple[Sheet, ...], codes: set[str]
) -> None:
    """Each lies on its sheet, clear of the others, as often as copies are asked for."""
    stencil = artwork.description.stencil
    width, length = stencil.stock_size
    placed_of: Counter[int] = Counter()
    for sheet in sheets:
        assert sheet.size[0] <= width + 1e-6 and sheet.size[1] <= length + 1e-6
        boxes = [shapely.box(*placed.box) for placed in sheet.placed]
        for i, box in enumerate(boxes):
            placed_of[sheet.placed[i].piece.number] += 1
            x0, y0, x1, y1 = box.bounds
            assert x0 > -1e-6 and y0 > -1e-6, "off the stock"
            assert x1 < sheet.size[0] + 1e-6 and y1 < sheet.size[1] + 1e-6, "off the stock"
    assert set(placed_of.values()) <= {stencil.copies}
    assert "piece-too-large" not in codes


def every_side_is_cut_and_none_twice(sheets: tuple[Sheet, ...]) -> None:
    """What is cut of weeding boxes is all of their sides, and no more."""
    for sheet in sheets:
        rings = [placed.shapes[-1].outline.shape.exterior for placed in sheet.placed]
        wanted = shapely.union_all(shapely.set_precision(rings, 1e-5))
        done = [
            line
            for placed in sheet.placed
            for path in placed.paths
            if path.cut is Cut.WEEDING
            for line in _lines_of(path)
        ]
        lines = shapely.union_all(shapely.set_precision(done, 1e-5))
        assert lines.hausdorff_distance(wanted) < 0.01
        assert sum(line.length for line in done) == pytest.approx(wanted.length, abs=0.05)


def _lines_of(path: CutPath | Lines) -> list[shapely.LineString]:
    rows = path.rows if isinstance(path, Lines) else [c.points for c in path.outline.contours]
    return [shapely.LineString(row) for row in rows]


def every_piece_can_be_placed(artwork: Artwork, sheets: tuple[Sheet, ...], folder: Path) -> None:
    """A piece has a registration mark, or its distances from the panel's edges on the card."""
    card = (folder / "job-card.html").read_text("utf-8")
    distance = r'<td class="number">(−?[\d./ ]+(?:left|right|below|above)?)</td>'
    row = rf'<td class="number id">(\d+)</td><td>[^<]*</td>{distance}{distance}'
    placed = {int(number): (across, up) for number, across, up in re.findall(row, card)}
    for piece in pieces_of(sheets):
        registered = any(path.cut is Cut.REGISTRATION for path in piece.paths)
        assert registered or piece.number in placed, f"{piece.name} cannot be placed"


def the_files_are_there(folder: Path, sheets: int, cards: int) -> None:
    """Overlay, card, proofs and findings are written, and each sheet as a drawing with cuts."""
    assert (folder / "overlay.pdf").read_bytes().startswith(b"%PDF-")
    assert (folder / "proof.png").read_bytes().startswith(b"\x89PNG")
    ElementTree.parse(folder / "proof.svg")
    assert 'class="piece"' in (folder / "placing.html").read_text("utf-8")
    json.loads((folder / "findings.json").read_text("utf-8"))
    for number in range(1, sheets + 1):
        drawing = ElementTree.parse(folder / f"stencil-{number}.svg").getroot()
        assert len(drawing.findall(".//{*}path")) > 0
    assert len(list(folder.glob("placement-card-*.svg"))) == cards


def test_there_are_panels() -> None:
    """In both units, and some whose edge is not that of a rectangle."""
    panels = [read(path) for path in PANELS]
    kinds = {(panel.units, bool(panel.panel.outline)) for panel in panels}
    assert {("in", False), ("mm", False), ("mm", True)} <= kinds
    assert set(TRUE_WARNINGS) <= {path.stem for path in PANELS}
