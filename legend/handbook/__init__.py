"""What a description may say and what is checked, told to people and to their editors.

The schema, the registries and the rules in; a JSON Schema, and the reference in the README, out.
`python -m legend.handbook README.md` brings a README up to date.
"""
