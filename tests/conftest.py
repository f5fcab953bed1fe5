"""Settings for all tests."""

import gc
import os
import sys

import pytest
from hypothesis import settings

#: The files that take the longest, the longest first. They are begun before all others, in this
#: order, so that none is left over when everything else is done.
LONGEST = (
    "test_sweep.py",
    "panels/test_panels.py",
    "commands/test_cli.py",
    "test_same_out.py",
    "reference/test_other_readers.py",
    "camera/test_accuracy.py",
    "page/test_panel_in_browser.py",
    "page/test_in_browser.py",
    "test_bad_input.py",
    "lettering/faces/test_stroke_face.py",
    "camera/panel/test_scan.py",
    "layout/inspection/test_inspection.py",
    "test_every_key.py",
    "page/test_pictures_in_browser.py",
    "test_memory.py",
    "stencil/bridging/test_bridges.py",
    "stencil/pieces/test_splitting.py",
    "lettering/symbols/test_symbols.py",
    "reference/test_stencil_bridges.py",
    "lettering/test_carried.py",
    "lettering/outlines/test_counters.py",
)
_PLACE = {name: place for place, name in enumerate(LONGEST)}


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Put the tests of the longest files first."""
    here = config.rootpath / "tests"

    def place(item: pytest.Item) -> int:
        if not item.path.is_relative_to(here):
            return len(LONGEST)
        return _PLACE.get(item.path.relative_to(here).as_posix(), len(LONGEST))

    items.sort(key=place)


# Nothing is told of the program by how long an example takes while the machine does something
# else besides. On CI the same examples are tried every time, so that a run says something of
# the change that it tests; at the desk they are new ones.
settings.register_profile("desk", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "desk")

# As the program does: threads for matrices that are all small wait for each other, most of all
# where tests run side by side.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# As the program does: there are no cycles to speak of, and very many values to look through.
gc.set_threshold(100_000, 20, 20)

# Tests start the program in many processes, each of which would compile all of it anew where
# Python is told to keep nothing that it compiled.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
sys.dont_write_bytecode = False
