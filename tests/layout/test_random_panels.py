"""Any panel at all: whatever overlaps is told."""

from typing import Any

import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from legend.description.tables.description import Description
from legend.layout import lay_out
from legend.layout.artwork import Severity
from legend.layout.inspection import inspect

WORDS = st.sampled_from(["FAN", "MAIN LIGHT", "PUMP", "HUMIDITY", "SET", "A", "OUTER DOOR"])
SIDES = st.sampled_from(["above", "below", "left", "right"])

KINDS: dict[str, dict[str, Any]] = {
    "knob": {"scale": {"from": 0, "to": 10}},
    "selector": {"positions": ["OFF", "LOW", "HIGH", "AUTO"]},
    "toggle": {"positions": {"up": "ON", "down": "OFF"}},
    "jack": {},
    "lamp": {},
}


@st.composite
def panels(draw: st.DrawFn) -> dict[str, Any]:
    count = draw(st.integers(1, 7))
    places = st.tuples(st.floats(2, 158), st.floats(2, 98))
    holes = {
        f"H{i}": {"at": list(draw(places)), "drill": draw(st.floats(3, 16))} for i in range(count)
    }
    controls = []
    for hole in holes:
        kind = draw(st.sampled_from(sorted(KINDS)))
        controls.append(
            {"hole": hole, "kind": kind, "name": draw(WORDS), "side": draw(SIDES)} | KINDS[kind]
        )
    texts = [
        {"at": list(draw(places)), "text": draw(WORDS)} for _ in range(draw(st.integers(0, 2)))
    ]
    groups = []
    if count >= 3 and draw(st.booleans()):
        groups = [{"name": "AIR", "holes": ["H0", "H1"]}]
    return {
        "panel": {"size": [160, 100]},
        "holes": holes,
        "control": controls,
        "text": texts,
        "group": groups,
    }


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(panels())
def test_no_overlap_goes_unsaid(tables: dict[str, Any]) -> None:
    artwork = lay_out(Description.model_validate(tables, context={"units": "mm"}))
    errors = [f for f in inspect(artwork) if f.severity == Severity.ERROR]
    told = {(f.code, place) for f in errors for place in (f.place, *f.places)}
    panel = artwork.panel.shape
    for mark in artwork.marks:
        x0, y0, x1, y1 = mark.outline.bounds
        place = (round((x0 + x1) / 2, 3), round((y0 + y1) / 2, 3))
        shape = mark.outline.shape
        if not panel.covers(shape):
            assert ("off-panel", place) in told
        if any(shape.intersects(cover.shape) for cover in artwork.keep_outs):
            assert ("hidden", place) in told
        if any(shape.intersects(opening.outline.shape) for opening in artwork.openings):
            assert ("over-hole", place) in told
    shapes = [mark.outline.shape for mark in artwork.marks]
    pairs = shapely.STRtree(shapes).query(shapes, predicate="intersects")
    for i, j in pairs[:, pairs[0] < pairs[1]].T:
        a, b = artwork.marks[i], artwork.marks[j]
        if a.owner != b.owner or (a.text and b.text and a.owner):
            assert any(code == "touching" for code, _ in told)


@settings(max_examples=40)
@given(panels())
def test_every_name_is_centred_on_its_hole(tables: dict[str, Any]) -> None:
    artwork = lay_out(Description.model_validate(tables, context={"units": "mm"}))
    for control in artwork.description.control:
        x, y = artwork.opening(control.hole).centre
        for mark in artwork.marks:
            if mark.owner == control.hole and mark.role == "name":
                x0, y0, x1, y1 = mark.outline.bounds
                if control.side in ("above", "below"):
                    assert abs((x0 + x1) / 2 - x) < 0.01
                else:
                    assert abs((y0 + y1) / 2 - y) < 1.0
