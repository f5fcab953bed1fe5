"""Cut the stencils of a panel: Artwork in, Stencils out."""

from legend.stencil.cutting import cut

__all__ = ["cut"]
