"""Write findings to a JSON file, for other programs."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

from legend.layout.artwork import Finding
from legend.writing import MARK, write_whole

#: Counts up when a program that reads the file would have to change.
FORMAT_VERSION = 1


def write_findings(findings: Sequence[Finding], path: Path) -> None:
    """Write all findings, in the order they are given.

    Each has severity, code, message, remedy, the source of its rule, file, line (0: the file
    as a whole) and place, which is [x, y] in mm from the panel's lower left corner, or null;
    and places, those of all that it stands for, where it stands for several.
    Errors: as `write_whole`.
    """
    write_whole(path, findings_text(findings).encode())


def findings_text(findings: Sequence[Finding]) -> str:
    """The text of the file, as `write_findings` describes it."""
    written = {
        "made_by": MARK,
        "format": FORMAT_VERSION,
        "findings": [
            {
                "severity": finding.severity.value,
                "code": finding.code,
                "message": finding.message,
                "remedy": finding.remedy,
                "rule": finding.rule,
                "file": finding.source.file,
                "line": finding.source.line,
                "place": finding.place and _rounded(finding.place),
                "places": [_rounded(place) for place in finding.places],
            }
            for finding in findings
        ],
    }
    return json.dumps(written, ensure_ascii=False, indent=2) + "\n"


def _rounded(place: tuple[float, float]) -> list[float]:
    return [round(v, 3) for v in place]
