"""Settings for all tests."""

import os

from hypothesis import settings

# On CI the same examples are tried every time, so that a run says something of the change
# that it tests; at the desk they are new ones.
settings.register_profile("ci", derandomize=True)
if os.environ.get("CI"):
    settings.load_profile("ci")
