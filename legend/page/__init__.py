"""Serve the live page: the panel as it will be painted, and under it its description."""
