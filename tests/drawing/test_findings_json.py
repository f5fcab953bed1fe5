"""Findings for other programs."""

from __future__ import annotations

import json
from pathlib import Path

from legend.drawing.findings_json import write_findings
from legend.layout.artwork import Finding
from legend.writing import is_ours


def test_every_finding_is_written_in_full(findings: tuple[Finding, ...], tmp_path: Path) -> None:
    path = tmp_path / "findings.json"
    write_findings(findings, path)
    assert is_ours(path)
    written = json.loads(path.read_text(encoding="utf-8"))
    assert written["format"] == 1
    assert written["findings"] == [
        {
            "severity": "note",
            "code": "fitted",
            "message": "The toggle covers <11> mm.",
            "remedy": "See.",
            "rule": "common practice, no source",
            "file": "panel.toml",
            "line": 7,
            "place": None,
            "places": [],
        },
        {
            "severity": "error",
            "code": "over-hole",
            "message": "O & I meet.",
            "remedy": "Move <b>one</b>.",
            "rule": "common practice, no source",
            "file": "panel.toml",
            "line": 7,
            "place": [60.0, 45.0],
            "places": [],
        },
    ]
