"""Settings for all tests."""

import os
import sys

from hypothesis import settings

# Nothing is told of the program by how long an example takes while the machine does something
# else besides. On CI the same examples are tried every time, so that a run says something of
# the change that it tests; at the desk they are new ones.
settings.register_profile("desk", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "desk")

# Tests start the program in many processes, each of which would compile all of it anew where
# Python is told to keep nothing that it compiled.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False
