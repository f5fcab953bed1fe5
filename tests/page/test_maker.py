"""Everything is made of the text on the screen, or nothing, and what stands there is named."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from page_server import Served, Tab, serving

pytest.importorskip("uvicorn", reason="the page takes the extra 'page'")
pytest.importorskip("watchfiles", reason="the page takes the extra 'page'")
httpx = pytest.importorskip("httpx")


_PANEL = """\
[panel]
size = [80, 60]
[holes]
A = { at = [40, 30], drill = 9.5 }
[[control]]
hole = "A"
kind = "knob"
name = "PUMP"
covers = 14
"""


@pytest.fixture
def panel(tmp_path: Path) -> Path:
    path = tmp_path / "panel.toml"
    path.write_text(_PANEL)
    return path


@pytest.fixture
def served(panel: Path) -> Iterator[Served]:
    with serving(panel) as served:
        yield served


@pytest.fixture
def tab(served: Served) -> Iterator[Tab]:
    tab = Tab(served)
    yield tab
    tab.close()


def _make(tab: Tab, ask: int, **more: Any) -> dict[str, Any]:
    """What comes of it: the first message with this number that is no progress."""
    tab.say("make", ask=ask, **more)
    while True:
        message = tab.next()
        if message.get("ask") == ask and message["kind"] != "progress":
            return message


def test_it_is_saved_and_made_where_make_would_and_stands_as_links(
    tab: Tab, served: Served, panel: Path
) -> None:
    tab.type(1, _PANEL.replace("PUMP", "VALVE"))
    made = _make(tab, 1)
    assert (made["kind"], made["folder"]) == ("made", "panel")
    assert "VALVE" in panel.read_text()
    words = [each["words"] for each in tab.heard if each["kind"] == "progress"]
    assert words == [
        "Saving panel.toml, which it is made from.",
        "Laying the panel out.",
        "Cutting the stencils.",
        "Drawing the overlay, the proofs and the job card.",
        "Writing the files.",
    ]
    names = {path.name for path in (panel.parent / "panel").iterdir()}
    assert {each["name"] for each in made["files"]} == names
    assert {"overlay.pdf", "stencil-1.svg", "job-card.html"} <= names
    http = httpx.Client(trust_env=False, verify=False)
    for each in made["files"]:
        assert each["what"]
        answer = http.get(served.address + each["link"])
        assert answer.content == (panel.parent / "panel" / each["name"]).read_bytes()


def test_what_was_edited_is_named_and_replaced_only_where_asked(tab: Tab, panel: Path) -> None:
    assert _make(tab, 1)["kind"] == "made"
    proof = panel.parent / "panel" / "proof.svg"
    before = (panel.parent / "panel" / "findings.json").stat().st_mtime_ns
    proof.write_text(proof.read_text() + "<!-- mine -->")
    told = _make(tab, 2)
    assert (told["kind"], told["replaceable"]) == ("intheway", True)
    assert "proof.svg was changed since" in told["words"]
    assert "mine" in proof.read_text()
    assert (panel.parent / "panel" / "findings.json").stat().st_mtime_ns == before
    assert _make(tab, 3, folder="other")["folder"] == "other"
    assert "mine" in proof.read_text()
    assert _make(tab, 4, replace=True)["kind"] == "made"
    assert "mine" not in proof.read_text()


def test_what_is_the_users_is_never_replaced(tab: Tab, panel: Path) -> None:
    mine = panel.parent / "panel" / "overlay.pdf"
    mine.parent.mkdir()
    mine.write_text("mine")
    for ask, replace in enumerate((False, True), 1):
        told = _make(tab, ask, replace=replace)
        assert (told["kind"], told["replaceable"]) == ("intheway", False)
        assert "overlay.pdf was not written by this program" in told["words"]
    assert [path.name for path in mine.parent.iterdir()] == ["overlay.pdf"]


def test_no_other_folder_than_one_beside_the_description(tab: Tab, panel: Path) -> None:
    outside = panel.parent.parent / "outside"
    (panel.parent / "link").symlink_to(panel.parent.parent)
    before = {path.name for path in panel.parent.parent.iterdir()}
    names = ["../outside", "/tmp/outside", "a/b", "a\\b", "..", ".", ".hidden", "C:", "a\0b", " a"]
    for ask, folder in enumerate([*names, "link", "a\nb"], 1):
        assert _make(tab, ask, folder=folder)["kind"] == "refused", folder
    assert not outside.exists()
    assert {path.name for path in panel.parent.parent.iterdir()} == before
    assert {path.name for path in panel.parent.iterdir()} == {"panel.toml", "link"}


def test_what_cannot_be_read_or_saved_makes_nothing(tab: Tab, panel: Path) -> None:
    tab.type(1, "[panel]\nsize = 1\n")
    told = _make(tab, 1)
    assert told["kind"] == "refused" and "panel.toml:2" in told["words"]
    tab.type(2, "mine\n")
    panel.write_text("theirs\n")
    told = _make(tab, 2)
    assert told["kind"] == "refused" and "could not be saved. First choose" in told["words"]
    assert panel.read_text() == "theirs\n"
    assert not (panel.parent / "panel").exists()
