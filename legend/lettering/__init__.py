"""Set words in a style as outlines."""
