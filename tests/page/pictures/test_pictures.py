"""Pictures are taken in, looked at one after the other, shown, and gone afterwards."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from page_server import Served, Tab, eventually, serving

from legend.failures import PlainError
from legend.page.pictures.picture_messages import Seen, SeenThing
from legend.page.pictures.seer import Named, Sight

pytest.importorskip("uvicorn", reason="the page takes the extra 'page'")
pytest.importorskip("watchfiles", reason="the page takes the extra 'page'")
httpx = pytest.importorskip("httpx")


class _StandIn:
    """Sees in a picture what it holds; "fail" and nothing else is refused."""

    def __init__(self, panel: Path) -> None:
        self._panel = panel
        self.tell: Any = None

    def holes(self, ask: int, number: int, text: str, pictures: list[Named]) -> Sight:
        said = [f"{name}: {path.read_text()}" for name, path in pictures]
        self.tell(f"Reading {pictures[0][0]}.")
        if any("fail" in each for each in said):
            raise PlainError("Lay paper behind it, and take it again.")
        hole = SeenThing("A", "true", "", "", (1.0, 2.0), (0.0, 1.0, 2.0, 3.0), "A")
        words = f"{text.strip()}. {'; '.join(said)}"
        seen = Seen(ask, number, "holes", words, (hole,), (), f"picture-{number}.png", 10.0)
        return Sight(seen, f"\x89PNG {number}".encode())


@pytest.fixture
def served(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Served]:
    monkeypatch.setattr("legend.page.open_panel.Seer", _StandIn)
    monkeypatch.setattr("tempfile.tempdir", str(_folder(tmp_path, "apart")))
    panel = _folder(tmp_path, "own") / "panel.toml"
    panel.write_text("text")
    with serving(panel) as served:
        yield served


@pytest.fixture
def tab(served: Served) -> Iterator[Tab]:
    tab = Tab(served)
    yield tab
    tab.close()


def _folder(parent: Path, name: str) -> Path:
    folder = parent / name
    folder.mkdir()
    return folder


def _send(served: Served, name: str, content: Any, **headers: str) -> Any:
    origin = {"origin": f"http://127.0.0.1:{served.port}"}
    return httpx.post(
        f"{served.address}pictures",
        params={"name": name},
        content=content,
        headers=origin | headers,
    )


def _left(tmp_path: Path) -> list[str]:
    """The names of pictures that still lie about."""
    return sorted(path.name for path in (tmp_path / "apart").rglob("*") if path.is_file())


def test_pictures_are_seen_together_and_are_gone_then(
    served: Served, tab: Tab, tmp_path: Path
) -> None:
    names = ("one.jpg", "C:\\scans\\tw\no.jpg")
    numbers = [
        _send(served, name, f"content {k}").json()["picture"] for k, name in enumerate(names)
    ]
    assert len(_left(tmp_path)) == 2
    tab.say("see", ask=5, revision=1, of="holes", pictures=numbers)
    seen = tab.until("seen")
    assert (seen["ask"], seen["words"]) == (5, "text. one.jpg: content 0; tw�o.jpg: content 1")
    assert seen["things"][0]["at"] == [1.0, 2.0]
    assert [each["words"] for each in tab.heard if each["kind"] == "progress"] == [
        "Reading one.jpg."
    ]
    assert _left(tmp_path) == []
    assert [path.name for path in (tmp_path / "own").iterdir()] == ["panel.toml"]
    shown = httpx.get(served.address + seen["picture"])
    assert (shown.headers["content-type"], shown.content) == (
        "image/png",
        b"\x89PNG 1".decode("latin-1").encode(),
    )
    assert httpx.get(served.address + "picture-99.png").status_code == 404
    tab.say("see", ask=6, revision=1, of="holes", pictures=numbers)
    assert "here no more" in tab.until("refused", ask=6)["words"]


def test_refusals_are_told_and_leave_nothing(served: Served, tab: Tab, tmp_path: Path) -> None:
    for ask, (of, words) in enumerate(
        {"holes": "Lay paper behind", "fish": "not understood"}.items(), 1
    ):
        number = _send(served, "a.jpg", "fail").json()["picture"]
        tab.say("see", ask=ask, revision=1, of=of, pictures=[number])
        assert words in tab.until("refused", ask=ask)["words"]
    tab.say("see", ask=3, revision=1, of="holes", pictures=[])
    assert "once more" in tab.until("refused", ask=3)["words"]
    tab.say("takeover", ask=4, revision=1, seen=1)
    assert "once more" in tab.until("refused", ask=4)["words"]
    tab.send(json.dumps({"kind": "see", "ask": 5, "revision": 1, "of": "holes", "pictures": ["1"]}))
    assert "not understood" in tab.until("refused", ask=0)["words"]
    assert len(_left(tmp_path)) == 1  # what nobody could have had looked at
    served.end()
    assert _left(tmp_path) == []


def test_no_picture_is_taken_from_elsewhere(served: Served, tmp_path: Path) -> None:
    for headers in (
        {"origin": "http://evil.example"},
        {"host": "evil.example"},
        {"origin": "null"},
    ):
        assert _send(served, "a.jpg", "content", **headers).status_code == 403
    assert httpx.post(f"{served.address}pictures", content="content").status_code == 403
    elsewhere = served.address.replace(served.token, "guessed")
    assert (
        httpx.post(
            f"{elsewhere}pictures", headers={"origin": f"http://127.0.0.1:{served.port}"}
        ).status_code
        == 404
    )
    assert httpx.get(f"{served.address}pictures").status_code == 405
    assert _left(tmp_path) == []


def test_what_is_too_long_is_not_kept(
    served: Served, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("legend.page.pictures.uploads.LONGEST_PICTURE", 1000)
    parts = (b"x" * 600 for _ in range(3))
    for content in (b"x" * 1001, parts):
        answer = _send(served, "scans/long.jpg", content)
        assert answer.status_code == 413
        assert answer.text.startswith("long.jpg is longer than")
    assert _left(tmp_path) == []
    assert _send(served, "a.jpg", b"x" * 1000).status_code == 200


def test_older_pictures_make_room(
    served: Served, tab: Tab, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("legend.page.pictures.uploads._MOST_WAITING", 3)
    numbers = [_send(served, "a.jpg", "a").json()["picture"] for _ in range(5)]
    eventually(lambda: len(_left(tmp_path)) == 3)
    for ask, (number, kind) in enumerate(zip(numbers[1:3], ("refused", "seen"), strict=True), 1):
        tab.say("see", ask=ask, revision=1, of="holes", pictures=[number])
        assert tab.until(kind, ask=ask)
