"""Cut the stencils of a panel: Artwork in, Sheets out."""

from legend.stencil.cutting import cut

__all__ = ["cut"]
