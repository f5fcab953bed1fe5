"""What is not saved is kept beside the description, and nothing of others is harmed by it."""

from pathlib import Path

import pytest

from legend.failures import PlainError
from legend.page.text.draft import Draft


def test_it_is_kept_found_again_and_removed(tmp_path: Path) -> None:
    draft = Draft(tmp_path / "panel.toml")
    draft.keep("a")
    draft.keep("typed é\n")
    assert draft.path.name == ".panel.toml.unsaved"
    found = Draft(tmp_path / "panel.toml").found()
    assert found is not None and found.text == "typed é\n"
    draft.remove()
    assert list(tmp_path.iterdir()) == []


def test_what_another_run_keeps_there_stays(tmp_path: Path) -> None:
    one, other = (Draft(tmp_path / "panel.toml") for _ in range(2))
    one.keep("ours")
    with pytest.raises(PlainError, match="another run"):
        other.keep("theirs")
    other.remove()
    assert one.path.read_text() == "ours"
    assert other.found() is not None  # from now on it is its own
    other.keep("both")
    with pytest.raises(PlainError, match="another run"):
        one.keep("ours again")
    one.remove()
    assert one.path.read_text() == "both"


def test_a_link_is_not_followed(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.write_text("mine")
    draft = Draft(tmp_path / "panel.toml")
    draft.path.symlink_to(elsewhere)
    assert draft.found() is None
    with pytest.raises(PlainError):
        draft.keep("typed")
    assert elsewhere.read_text() == "mine"


def test_without_a_folder_the_failure_names_the_file(tmp_path: Path) -> None:
    draft = Draft(tmp_path / "gone" / "panel.toml")
    with pytest.raises(OSError) as told:
        draft.keep("typed")
    assert told.value.filename == str(draft.path)


def test_one_that_is_behind_is_found_as_older(tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    panel.write_text("saved by another program")
    draft = Draft(panel)
    draft.keep("typed")
    assert draft.is_newer
    draft.keep("typed", is_behind=True)
    assert not draft.is_newer
    draft.keep("typed on")
    assert draft.is_newer
    draft.remove()
    assert not draft.path.exists()
