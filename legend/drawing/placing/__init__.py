"""Tell where each piece goes: its two distances, a picture of it, and a page for a phone."""
