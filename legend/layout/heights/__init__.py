"""Find the heights of letters that are asked for by what fits, and those of panels that match."""
