"""Bad input of every sort, as `bench/hammer.py` makes it: a case each, always the same.

Run that by itself for thousands.
"""

import subprocess
import sys
from pathlib import Path

import pytest

_HAMMER = Path(__file__).parent / "bench" / "hammer.py"
_CASES = 1
#: Of the first five of each sort, these together take the least time.
_FIRST = 3


@pytest.mark.skipif(sys.platform != "linux", reason="it measures and confines as Linux does")
def test_bad_input_of_every_sort_ends_well() -> None:
    ended = subprocess.run(
        [sys.executable, str(_HAMMER), "--times", str(_CASES), "--first", str(_FIRST)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert ended.returncode == 0, ended.stdout + ended.stderr
    rows = [line.split() for line in ended.stdout.splitlines()[1:-1]]
    assert {row[0] for row in rows} >= {"description-bytes", "font-bytes", "holes-csv", "outputs"}
    assert all(row[1] == str(_CASES) for row in rows)
