"""Run the commands of the `legend` command line, one module each.

Each imports what it needs when it is called, so that `legend check` does not pay for paper
and paint.
"""
