"""Lay out the lines and headings of groups."""
