"""A description that is open loses nothing, and tells every page how it stands."""

import errno
import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from page_server import Served, Tab, eventually, serving

from legend.limits import LONGEST_MESSAGE

pytest.importorskip("uvicorn", reason="the page takes the extra 'page'")
exceptions = pytest.importorskip("websockets.exceptions")
pytest.importorskip("watchfiles", reason="the page takes the extra 'page'")


@pytest.fixture
def panel(tmp_path: Path) -> Path:
    path = tmp_path / "panel.toml"
    path.write_bytes(b"a\nb\nc\n")
    return path


@pytest.fixture
def served(panel: Path) -> Iterator[Served]:
    with serving(panel, end_awaited=False) as served:
        yield served


@pytest.fixture
def tab(served: Served) -> Iterator[Callable[[], Tab]]:
    tabs: list[Tab] = []

    def opened() -> Tab:
        tabs.append(Tab(served))
        return tabs[-1]

    yield opened
    for each in tabs:
        each.close()


def _draft(panel: Path) -> Path:
    return panel.with_name(".panel.toml.unsaved")


def _names(panel: Path) -> set[str]:
    return {path.name for path in panel.parent.iterdir()}


# --- What a page is told ---


def test_the_drawing_comes_before_what_was_found_and_what_is_cut(tab: Callable[[], Tab]) -> None:
    one = tab()
    assert one.until("opened")["file"] == "panel.toml"
    assert one.until("text")["state"] == "saved"
    one.until("cutting", revision=1)
    told = one.type(1, "a\nb\nc\nd\n")
    assert told["revision"] == 2
    one.until("cutting", revision=2)
    kinds = [each["kind"] for each in one.heard if each.get("revision") == 2]
    assert kinds == ["text", "drawing", "found", "cutting"]
    other = tab()  # a page that comes later is told all that there is
    other.until("cutting", revision=2)
    assert {each["kind"] for each in other.heard} == {
        "opened",
        "text",
        "drawing",
        "found",
        "cutting",
    }


def test_what_cannot_be_read_is_told_and_the_good_picture_stays(tab: Callable[[], Tab]) -> None:
    one = tab()
    one.until("drawing")
    one.type(1, "unread")
    assert one.until("unread")["faults"][0]["message"] == "It is unread."
    other = tab()
    other.until("unread")
    assert [each["kind"] for each in other.heard if each["kind"] in ("drawing", "unread")] == [
        "drawing",
        "unread",
    ]


def test_while_one_is_drawn_only_the_newest_waits(panel: Path) -> None:
    with serving(panel, apart=True) as served:
        one = Tab(served)
        one.until("drawing")
        for k in range(40):
            one.say("edit", base=1, text=f"held {'x' * k}", ask=k + 1)
        one.until("text", answers=40)
        (panel.parent / "go on").touch()
        last = one.until("drawing", revision=41)
        # The first text, the one that was held, and the newest.
        assert int(last["title"].rpartition(" ")[2]) <= 3
        one.close()


def test_questions_are_answered_each_by_its_number(tab: Callable[[], Tab]) -> None:
    one = tab()
    one.say("pick", ask=5, at=[3, 4])
    assert one.until("picked", ask=5)["words"] == "At 3."
    one.say("pick", ask=6, at=[-1, 4])
    one.until("refused", ask=6)
    one.say("complete", ask=7, text="a", at=1)
    one.until("completions", ask=7)
    one.say("putin", ask=8, revision=1, ready="knob", line=1)
    assert one.until("change", ask=8)["text"] == "knob"
    one.say("putin", ask=9, revision=99, ready="knob", line=1)
    one.until("refused", ask=9)


def test_what_is_no_message_harms_nothing(tab: Callable[[], Tab]) -> None:
    one = tab()
    for raw in ("nonsense", b"\0\1", '{"kind": "edit"}', "[" * 50_000, ""):
        one.send(raw)
        assert one.until("refused", ask=0)["words"]
    assert one.type(1, "still here\n")["state"] == "unsaved"


def test_one_that_draws_for_ever_is_given_up(panel: Path) -> None:
    with serving(panel, apart=True) as served:
        one = Tab(served)
        one.until("drawing")
        served.panel.drawing.patience = 0.3
        one.type(1, "slow")
        assert "was given up" in one.until("unread")["faults"][0]["message"]
        served.panel.drawing.patience = 60.0
        one.type(2, "quick")
        one.until("drawing", revision=3)
        one.close()


# --- Typing ---


def test_letters_typed_quickly_keep_their_order(tab: Callable[[], Tab], panel: Path) -> None:
    one, other = tab(), tab()
    typed = ""
    for k in range(200):  # each upon what it has seen, which is always behind
        typed += chr(ord("a") + k % 26)
        one.say("edit", base=1, text=f"a\nb\nc\n{typed}", ask=k + 1)
    assert one.until("text", answers=200)["text"] == f"a\nb\nc\n{typed}"
    other.until("text", text=f"a\nb\nc\n{typed}")
    eventually(lambda: _draft(panel).exists() and _draft(panel).read_text().endswith(typed))


def test_two_pages_merge_and_settle(tab: Callable[[], Tab]) -> None:
    one, other = tab(), tab()
    one.type(1, "A\nb\nc\n")
    assert other.type(1, "a\nb\nC\n")["text"] == "A\nb\nC\n"
    one.until("text", text="A\nb\nC\n")
    told = other.type(3, "A\nother\nC\n")
    assert told["state"] == "unsaved"
    told = one.type(3, "A\none\nC\n")
    assert (told["state"], told["text"], told["theirs"]) == ("two", "A\none\nC\n", "A\nother\nC\n")
    one.say("make", ask=77)  # of which text?
    assert "First choose" in one.until("refused", ask=77)["words"]
    one.say("settle", text="A\nboth\nC\n", revision=told["revision"])
    assert one.until("text")["state"] == "unsaved"
    other.until("text", text="A\nboth\nC\n")


def test_a_closed_page_leaves_its_own_text_to_the_others(tab: Callable[[], Tab]) -> None:
    one, other = tab(), tab()
    one.type(1, "a\none\nc\n")
    assert other.type(1, "a\nother\nc\n")["state"] == "two"
    other.close()
    assert one.until("text", state="two")["theirs"] == "a\nother\nc\n"


# --- Saving ---


def test_saving_writes_the_file_and_takes_the_draft_away(
    tab: Callable[[], Tab], panel: Path
) -> None:
    panel.write_bytes(b"\xef\xbb\xbfa\r\nb\r\n")
    one = tab()
    told = one.until("text", text="a\nb\n", state="saved")
    told = one.type(told["revision"], "a\nb\nc\n")
    eventually(lambda: _draft(panel).exists())
    assert panel.read_bytes() == b"\xef\xbb\xbfa\r\nb\r\n"
    one.say("save", revision=told["revision"])
    assert one.until("text", state="saved")["words"] == "Saved."
    assert panel.read_bytes() == b"\xef\xbb\xbfa\r\nb\r\nc\r\n"
    assert _names(panel) == {"panel.toml"}


def test_on_a_full_disk_it_says_so_and_goes_on(
    tab: Callable[[], Tab], panel: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_what: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(panel))

    one = tab()
    monkeypatch.setattr("legend.page.text.draft._put_there", full)
    monkeypatch.setattr("legend.page.open_panel.save_whole", full)
    monkeypatch.setattr("legend.page.open_panel._KEPT_AGAIN", 0.1)
    told = one.type(1, "typed\n")
    told = one.until("text", state="not-kept")
    assert "no room left on the disk" in told["words"]
    one.say("save", revision=told["revision"])
    assert "panel.toml cannot be written" in one.until("text", state="not-kept")["words"]
    assert ("drawing", 2) in [(each["kind"], each.get("revision")) for each in one.heard]
    assert panel.read_bytes() == b"a\nb\nc\n"
    monkeypatch.undo()
    one.until("text", state="unsaved")
    assert _draft(panel).read_text() == "typed\n"
    one.say("save", revision=told["revision"])
    one.until("text", state="saved")
    assert panel.read_bytes() == b"typed\n"


def test_half_a_character_is_kept_in_the_page_and_told(tab: Callable[[], Tab]) -> None:
    one = tab()
    assert one.type(1, "a\n\ud800")["text"] == "a\n\ud800"
    assert "Line 2 holds half a character" in one.until("text", state="not-kept")["words"]
    one.say("save", revision=2)
    one.until("text", state="not-kept")
    one.type(2, "a\n")
    assert one.until("text")["words"] == "Not saved."


# --- Other programs ---


def test_another_program_is_followed(tab: Callable[[], Tab], panel: Path) -> None:
    one = tab()
    one.until("drawing")
    panel.write_bytes(b"theirs\n")
    assert one.until("text", text="theirs\n")["state"] == "saved"
    one.until("drawing", revision=2)
    new = panel.with_name("new")
    new.write_bytes(b"again\n")
    new.replace(panel)  # as editors do
    one.until("text", text="again\n", state="saved")


def test_another_program_does_not_win_over_what_was_typed(
    tab: Callable[[], Tab], panel: Path
) -> None:
    one = tab()
    told = one.type(1, "mine\n")
    panel.write_bytes(b"theirs\n")
    told = one.until("text", state="two")
    assert (told["text"], told["theirs"]) == ("mine\n", "theirs\n")
    one.say("save", revision=told["revision"])
    one.until("text", state="two")
    assert panel.read_bytes() == b"theirs\n"
    one.say("settle", text="mine and theirs\n", revision=told["revision"])
    told = one.until("text", state="unsaved")
    one.say("save", revision=told["revision"])
    one.until("text", state="saved")
    assert panel.read_bytes() == b"mine and theirs\n"


def test_a_change_in_the_last_moment_is_seen_before_saving(
    tab: Callable[[], Tab], panel: Path, served: Served
) -> None:
    one = tab()
    one.type(1, "mine\n")
    stat = panel.stat()
    panel.write_bytes(b"A\nB\nC\n")
    os.utime(panel, ns=(stat.st_atime_ns, stat.st_mtime_ns))  # which no watching can see
    one.say("save", revision=2)
    assert one.until("text", state="two")["theirs"] == "A\nB\nC\n"


def test_a_file_that_goes_is_told(tab: Callable[[], Tab], panel: Path) -> None:
    one = tab()
    one.until("text")
    panel.unlink()
    assert "removed or renamed" in one.until("text", state="unsaved")["words"]
    eventually(lambda: _draft(panel).exists())
    panel.mkdir()
    told = one.until("text")
    assert "is a folder" in told["words"]
    one.say("save", revision=told["revision"])
    assert "is a folder" in one.until("text")["words"]
    panel.rmdir()
    one.until("text")
    one.say("save", revision=told["revision"])
    one.until("text", state="saved")
    assert panel.read_bytes() == b"a\nb\nc\n"


def test_a_list_or_style_that_changes_is_drawn_anew(tab: Callable[[], Tab], panel: Path) -> None:
    one = tab()
    one.type(1, 'style = "../style.toml"\nhole_list = "sub/holes.csv"\n')
    one.until("drawing", revision=2)
    (panel.parent / "sub").mkdir()
    (panel.parent / "sub" / "holes.csv").write_text("id,x,y\n")
    told = one.until("drawing", revision=3)
    assert told["title"] == "panel.toml, call 1"  # by a bench that knows nothing of before
    style = panel.parent.parent / "style.toml"
    style.write_text("units = 'mm'\n")
    try:
        one.until("drawing", revision=4)
    finally:
        style.unlink()


# --- Beginning and ending ---


def test_what_was_not_saved_is_offered_at_the_next_start(panel: Path) -> None:
    with serving(panel) as served:
        one = Tab(served)
        one.type(1, "typed, and then")
        served.end()
    assert _draft(panel).read_text() == "typed, and then"
    with serving(panel) as served:
        one = Tab(served)
        told = one.until("text")
        assert (told["draft"], told["text"], told["theirs"]) == (
            True,
            "typed, and then",
            "a\nb\nc\n",
        )
        one.say("settle", text="a\nb\nc\n", revision=told["revision"])
        assert one.until("text")["state"] == "saved"
        eventually(lambda: not _draft(panel).exists())


def test_a_draft_beside_a_file_that_was_saved_since_stands_beside_it(panel: Path) -> None:
    _draft(panel).write_text("typed\n")
    os.utime(_draft(panel), ns=(1, 1))
    with serving(panel) as served:
        told = Tab(served).until("text")
        assert (told["state"], told["draft"], told["theirs"]) == ("two", True, "a\nb\nc\n")
    with serving(panel) as served:  # and again, where that was not settled
        one = Tab(served)
        assert one.until("text")["state"] == "two"
        assert one.type(1, "typed on\n")["state"] == "two"
    with serving(panel) as served:
        told = Tab(served).until("text")
        assert (told["state"], told["text"]) == ("two", "typed on\n")


def test_a_page_that_outlived_its_server_brings_its_text_back(panel: Path) -> None:
    with serving(panel) as served:
        told = Tab(served).type(-1, "a\nb\nc\ntyped\n", base_text="a\nb\nc\n")
        assert (told["text"], told["state"]) == ("a\nb\nc\ntyped\n", "unsaved")


def test_a_new_panel_writes_nothing_before_it_is_saved(tmp_path: Path) -> None:
    panel = tmp_path / "panel.toml"
    with serving(panel, "begin\n") as served:
        one = Tab(served)
        assert one.until("text")["words"] == "Not saved: there is no panel.toml yet."
        one.until("cutting")
        assert list(tmp_path.iterdir()) == []
    assert list(tmp_path.iterdir()) == []
    with serving(panel, "begin\n") as served:
        one = Tab(served)
        told = one.type(1, "begun\n")
        one.say("save", revision=told["revision"])
        one.until("text", state="saved")
    assert _names(panel) == {"panel.toml"}


def test_what_cannot_be_read_is_not_written_over(tab: Callable[[], Tab], panel: Path) -> None:
    one = tab()
    one.type(1, "typed\n")
    panel.write_bytes(b"\xff\xfe not ours")
    assert "not UTF-8" in one.until("text")["words"]
    one.say("save", revision=2)
    assert "not UTF-8" in one.until("text", state="unsaved")["words"]
    assert panel.read_bytes() == b"\xff\xfe not ours"


def test_a_message_that_is_too_long_ends_that_page_alone(tab: Callable[[], Tab]) -> None:
    one, other = tab(), tab()
    with pytest.raises(exceptions.ConnectionClosed):
        one.send("x" * (LONGEST_MESSAGE + 1))
        while True:
            one.next()
    assert other.type(1, "still here\n")["state"] == "unsaved"


def test_where_nothing_tells_of_changes_files_are_looked_at(
    panel: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_what: object, **_more: object) -> None:
        raise OSError("no more may be watched")

    monkeypatch.setattr("legend.page.text.files.awatch", refused)
    with serving(panel) as served:
        one = Tab(served)
        panel.write_bytes(b"theirs\n")
        one.until("text", text="theirs\n", state="saved")
        one.close()


def test_two_runs_keep_what_was_typed_in_either(panel: Path) -> None:
    with serving(panel) as first, serving(panel) as second:
        one, other = Tab(first), Tab(second)
        one.type(1, "in the first\n")
        eventually(lambda: _draft(panel).exists())
        other.type(1, "in the second\n")
        assert "another run" in other.until("text", state="not-kept")["words"]
        assert _draft(panel).read_text() == "in the first\n"
        one.say("save", revision=2)
        one.until("text", state="saved")
        told = other.until("text", state="two")
        assert (told["text"], told["theirs"]) == ("in the second\n", "in the first\n")
        one.close()
        other.close()


def test_names_that_no_file_can_have_harm_nothing(tab: Callable[[], Tab], panel: Path) -> None:
    one = tab()
    long = "/".join(["x" * 300] * 3)
    (panel.parent / "round").symlink_to("round")
    one.type(1, f'style = "{long}"\nhole_list = "round/holes.csv"\n')
    one.until("drawing", revision=2)
    time.sleep(1.2)  # in which the files are looked at
    one.type(2, "style = 'style.toml'\n")
    (panel.parent / "style.toml").write_text("units = 'mm'\n")
    one.until("drawing", revision=4)
    assert not [each for each in one.heard if each["kind"] == "refused"]


@pytest.mark.parametrize(
    "name", ["<img src=x onerror=alert(1)>.toml", "é ' ? # %2e.toml", os.fsdecode(b"\xff.toml")]
)
def test_names_of_any_sort_are_opened_kept_and_saved(tmp_path: Path, name: str) -> None:
    panel = tmp_path / name
    try:
        panel.write_bytes(b"a\n")
    except OSError:
        pytest.skip("this system has no such names")
    with serving(panel) as served:
        one = Tab(served)
        assert one.until("opened")["file"] == name
        one.type(1, "b\n")
        eventually((tmp_path / f".{name}.unsaved").exists)
        one.say("save", revision=2)
        one.until("text", state="saved")
        assert panel.read_bytes() == b"b\n"
        one.close()
