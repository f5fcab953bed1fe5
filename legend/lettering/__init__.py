"""Set words: a text and a style in, outlines out."""
