"""Find the panel in a picture by its own edges: how it lies, how finely, and how surely."""
