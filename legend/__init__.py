"""Panel legends and stencil artwork for hand-built equipment, from the holes as they were drilled.

A description of the panel goes in; cutter-ready stencils, a true-scale overlay for placing
them, a picture of the finished panel and a job card for the bench come out:

>>> import legend
>>> from pathlib import Path
>>> description = legend.read("samples/enlarger-timer/panel.toml")
>>> artwork = legend.lay_out(description)
>>> sheets = legend.cut(artwork).sheets
>>> findings = legend.inspect(artwork)
>>> [finding for finding in findings if finding.severity == "error"]
[]
>>> folder = Path("build/enlarger-timer")
>>> stencils = legend.write_stencils(sheets, artwork, folder)
>>> legend.write_overlay(artwork, sheets, folder / "overlay.pdf")
>>> cards = legend.write_placement_cards(artwork, sheets, folder)
>>> legend.write_proof(artwork, sheets, folder / "proof.png", dpi=150)
>>> legend.write_proof_svg(artwork, folder / "proof.svg")
>>> legend.write_card(artwork, sheets, findings, folder / "job-card.html")
>>> legend.write_findings(findings, folder / "findings.json")

A description that cannot be read raises `DescriptionError`, which carries every fault with
its file and line. All other values are frozen, and lengths in them are in mm.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from legend.description.faults import DescriptionError, Fault
    from legend.description.reading import parse, read
    from legend.description.schema import Description
    from legend.description.source import Source
    from legend.drawing.drilling_template import write_drilling_template
    from legend.drawing.findings_json import write_findings
    from legend.drawing.job_card import write_card
    from legend.drawing.overlay import write_overlay
    from legend.drawing.placement_card import write_placement_cards
    from legend.drawing.proof import write_proof
    from legend.drawing.proof_svg import write_proof_svg
    from legend.drawing.stencil_svg import write_coupon, write_stencils
    from legend.drawing.writing import ForeignFileError
    from legend.layout import inspect, lay_out
    from legend.layout.artwork import Artwork, Finding, Mark, Role, Severity
    from legend.lettering.face import FaceError
    from legend.lettering.outline import Outline
    from legend.stencil import cut
    from legend.stencil.coupon import coupon
    from legend.stencil.sheet import Piece, Sheet

__all__ = [
    "Artwork",
    "Description",
    "DescriptionError",
    "FaceError",
    "Fault",
    "Finding",
    "ForeignFileError",
    "Mark",
    "Outline",
    "Piece",
    "Role",
    "Severity",
    "Sheet",
    "Source",
    "coupon",
    "cut",
    "inspect",
    "lay_out",
    "parse",
    "read",
    "write_card",
    "write_coupon",
    "write_drilling_template",
    "write_findings",
    "write_overlay",
    "write_placement_cards",
    "write_proof",
    "write_proof_svg",
    "write_stencils",
]

#: Where each public name lives; it is loaded when first asked for, and with it only what it needs.
_HOMES = {
    "legend.description.faults": ("DescriptionError", "Fault"),
    "legend.description.reading": ("parse", "read"),
    "legend.description.schema": ("Description",),
    "legend.description.source": ("Source",),
    "legend.drawing.drilling_template": ("write_drilling_template",),
    "legend.drawing.findings_json": ("write_findings",),
    "legend.drawing.job_card": ("write_card",),
    "legend.drawing.overlay": ("write_overlay",),
    "legend.drawing.placement_card": ("write_placement_cards",),
    "legend.drawing.proof": ("write_proof",),
    "legend.drawing.proof_svg": ("write_proof_svg",),
    "legend.drawing.stencil_svg": ("write_coupon", "write_stencils"),
    "legend.drawing.writing": ("ForeignFileError",),
    "legend.layout": ("inspect", "lay_out"),
    "legend.layout.artwork": ("Artwork", "Finding", "Mark", "Role", "Severity"),
    "legend.lettering.face": ("FaceError",),
    "legend.lettering.outline": ("Outline",),
    "legend.stencil": ("cut",),
    "legend.stencil.coupon": ("coupon",),
    "legend.stencil.sheet": ("Piece", "Sheet"),
}


def __getattr__(name: str) -> Any:
    from importlib import import_module

    for home, names in _HOMES.items():
        if name in names:
            value = globals()[name] = getattr(import_module(home), name)
            return value
    raise AttributeError(f"module 'legend' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
