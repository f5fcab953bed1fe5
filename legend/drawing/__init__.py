"""Artwork, sheets and findings in, files out: each writer in a module of its own.

What is heavy (the PDF, SVG and HTML libraries) is imported by a writer when it is called.
"""

from __future__ import annotations

from legend.drawing.findings_json import write_findings
from legend.drawing.job_card import write_card
from legend.drawing.overlay import write_overlay
from legend.drawing.proof import write_proof
from legend.drawing.proof_svg import write_proof_svg

__all__ = ["write_card", "write_findings", "write_overlay", "write_proof", "write_proof_svg"]
