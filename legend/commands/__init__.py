"""The commands, one module each: words on the command line in, files and a short account out.

Each imports what it needs when it is called, so that `legend check` does not pay for paper
and paint.
"""
