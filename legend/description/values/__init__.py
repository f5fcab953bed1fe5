"""Define the types of value that a key of a description may hold, which check themselves.

A value as TOML has it goes in; a plain Python value comes out, lengths in mm. Each type
that is more than one of Python's own carries its `Form`: pydantic's annotations by which it is
checked, what JSON Schema can say of it, and the words by which a fault tells what is allowed.
What a check raises is a ValueError whose text goes on from "which ...".
"""
