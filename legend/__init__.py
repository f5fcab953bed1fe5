"""Make panel legends and stencil artwork for hand-built equipment, from the holes as drilled.

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
>>> legend.write_placing_page(artwork, sheets, folder / "placing.html")
>>> legend.write_findings(findings, folder / "findings.json")

A description that cannot be read raises `DescriptionError`, which carries every fault with
its file and line. All other values are frozen, and lengths in them are in mm.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
