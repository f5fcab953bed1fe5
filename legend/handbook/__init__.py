"""Tell people and their editors what a description may say and what is checked.

The pages `description.md` and `checks.md` lie beside this file; what they have of the schema,
the registries and the rules is made from the program by `python -m legend.handbook`.
"""
