from __future__ import annotations

import logging
import sys

import pytest

from legend.commands.progress import progress_told


@pytest.mark.parametrize("in_a_terminal", [True, False])
def test_progress_is_told_where_somebody_looks_on(
    in_a_terminal: bool, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys.stderr, "isatty", lambda: in_a_terminal)
    log = logging.getLogger("legend.layout.heights")
    with progress_told():
        log.info("Still trying, %d layouts.", 3)
    log.info("Nobody listens.")
    told = capsys.readouterr()
    assert told.err == ("Still trying, 3 layouts.\n" if in_a_terminal else "")
    assert not told.out
