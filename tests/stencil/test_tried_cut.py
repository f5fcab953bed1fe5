"""What is offered against findings of the cut is written into the text, and cures them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from remedy_text import as_toml, offered, with_remedy

from legend.description.reading.description_file import read
from legend.layout import lay_out
from legend.layout.artwork import Finding
from legend.stencil import cut
from legend.stencil.tried_cut import with_cut_remedies

HOLES = {"A": {"at": [60, 60], "drill": 6}, "B": {"at": [300, 60], "drill": 6}}
PANEL: dict[str, Any] = {
    "panel": {"size": [360, 120]},
    "holes": HOLES,
    "control": [
        {"hole": "A", "kind": "toggle", "name": "PUMP"},
        {"hole": "B", "kind": "toggle", "name": "FILL"},
    ],
}
LONG = [{"at": [180, 20], "text": "VENTILATIONSKANAL", "height": 8}]
SHEET = {"method": "paint-through", "stock": "sheet"}
CASES: dict[str, tuple[str, dict[str, Any]]] = {
    "a sheet in two": ("piece-split", PANEL | {"stencil": SHEET | {"stock_size": [150, 300]}}),
    "a long word": ("cut-through", PANEL | {"text": LONG, "stencil": {"stock_size": [40, 200]}}),
    "a long text": ("piece-split", PANEL | {"text": LONG, "stencil": {"stock_size": [40, 200]}}),
}


def found(path: Path, text: str, tried: bool = False) -> list[Finding]:
    path.write_text(text, encoding="utf-8")
    artwork = lay_out(read(path))
    findings = cut(artwork).findings
    return with_cut_remedies(artwork, findings) if tried else list(findings)


@pytest.mark.parametrize("case", CASES)
def test_what_is_offered_cures_what_was_found_in_cutting(case: str, tmp_path: Path) -> None:
    code, tables = CASES[case]
    text = as_toml(tables)
    told = [each for each in found(tmp_path / "panel.toml", text, tried=True) if each.code == code]
    assert told
    for each in told:
        changes = [*offered(each.remedy)]
        assert changes, each.remedy
        for these in changes:
            cured = with_remedy(text, each.source.line, these)
            after = found(tmp_path / "cured.toml", cured)
            assert sum(f.code == code for f in after) < len(told), (each.remedy, these)
            assert all(f.severity != "error" for f in after)


def test_where_no_stock_helps_that_is_said(tmp_path: Path) -> None:
    """A piece that cannot be turned because it may be already is not offered it again."""
    tables = PANEL | {"text": LONG, "stencil": {"stock_size": [40, 60], "turn": True}}
    told = found(tmp_path / "panel.toml", as_toml(tables), tried=True)
    (split,) = [each for each in told if each.code == "cut-through"]
    assert "turn" not in split.remedy
