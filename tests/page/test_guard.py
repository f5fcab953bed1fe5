"""Nobody is let in but the page that was opened, and no other file can be had by any address."""

import os
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

pytest.importorskip("uvicorn", reason="the page takes the extra 'page'")
pytest.importorskip("watchfiles", reason="the page takes the extra 'page'")

from page_server import Served, serving
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from legend.page.app import page_app
from legend.page.open_panel import OpenPanel
from stand_in_bench import StandIn

_PORT, _TOKEN = 28310, "token-of-the-test"
_HERE = f"http://127.0.0.1:{_PORT}"


@pytest.fixture(scope="module")
def panel(tmp_path_factory: pytest.TempPathFactory) -> OpenPanel:
    folder = tmp_path_factory.mktemp("guard")
    (folder / "panel.toml").write_text("a\n")
    (folder / "secret.txt").write_text("secret")
    return OpenPanel(folder / "panel.toml", "", StandIn)


@pytest.fixture(scope="module")
def client(panel: OpenPanel) -> Iterator[TestClient]:
    with TestClient(page_app(panel, _TOKEN, _PORT), base_url=_HERE) as client:
        yield client


def test_the_page_bears_what_keeps_others_out(client: TestClient) -> None:
    for name in ("", "ace/ace.js", "nothing"):
        headers = client.get(f"/{_TOKEN}/{name}").headers
        policy = headers["content-security-policy"]
        for part in (
            "default-src 'self'",
            "script-src 'self'",
            "img-src 'self' data:",
            "frame-ancestors 'none'",
        ):
            assert part in policy.split("; "), name
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["cache-control"] in ("no-cache", "no-store")
        assert "access-control-allow-origin" not in headers


def test_the_editor_is_served_and_nothing_else_of_its_package(client: TestClient) -> None:
    assert "ace.define" in client.get(f"/{_TOKEN}/ace/ace.js").text
    for name in ("mode-php.js", "../../../../../__init__.py", "worker-javascript.js"):
        assert client.get(f"/{_TOKEN}/ace/{name}").status_code == 404


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 200),
        ({"host": f"localhost:{_PORT}"}, 200),
        ({"host": "127.0.0.1"}, 403),
        ({"host": f"127.0.0.1:{_PORT + 1}"}, 403),
        ({"host": f"evil.example:{_PORT}"}, 403),
        ({"host": f"127.0.0.1.evil.example:{_PORT}"}, 403),
        ({"host": ""}, 403),
        ({"origin": _HERE}, 200),
        ({"origin": f"http://localhost:{_PORT}"}, 200),
        ({"origin": "null"}, 403),
        ({"origin": "http://evil.example"}, 403),
        ({"origin": f"https://127.0.0.1:{_PORT}"}, 403),
        ({"origin": f"{_HERE}.evil.example"}, 403),
        ({"origin": "http://127.0.0.1:1"}, 403),
    ],
)
def test_host_and_origin_of_requests(
    client: TestClient, headers: dict[str, str], status: int
) -> None:
    assert client.get(f"/{_TOKEN}/ace/ace.js", headers=headers).status_code == status


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"origin": "null"},
        {"origin": "http://evil.example"},
        {"origin": f"https://127.0.0.1:{_PORT}"},
        {"origin": _HERE, "host": "evil.example"},
    ],
)
def test_host_and_origin_of_sockets(client: TestClient, headers: dict[str, str]) -> None:
    told = {"host": f"127.0.0.1:{_PORT}", **headers}
    with pytest.raises(WebSocketDisconnect), client.websocket_connect(
        f"/{_TOKEN}/talk", headers=told
    ):  # fmt: skip
        pass
    with pytest.raises(WebSocketDisconnect), client.websocket_connect(
        "/wrong/talk", headers={"host": f"127.0.0.1:{_PORT}", "origin": _HERE}
    ):  # fmt: skip
        pass


@pytest.mark.parametrize("token", ["", "wrong", _TOKEN[:-1], _TOKEN + "x", _TOKEN.upper(), "é"])
def test_without_the_token_there_is_nothing(client: TestClient, token: str) -> None:
    for name in ("", "ace/ace.js", "overlay.pdf"):
        assert client.get(f"/{token}/{name}").status_code == 404
    assert client.get(f"/{_TOKEN}").status_code == 404


def test_nothing_but_reading(client: TestClient) -> None:
    for method in ("POST", "PUT", "DELETE", "PATCH", "OPTIONS"):
        assert client.request(method, f"/{_TOKEN}/ace/ace.js").status_code == 405


def test_of_what_was_made_only_that(client: TestClient, panel: OpenPanel) -> None:
    folder = panel.panel.parent
    made = {name: folder / name for name in ("proof.svg", "overlay.pdf", "link.svg", "gone.svg")}
    for name in ("proof.svg", "overlay.pdf"):
        made[name].write_text("made")
    made["link.svg"].symlink_to(folder / "secret.txt")
    panel.made = made
    try:
        answer = client.get(f"/{_TOKEN}/made/proof.svg")
        assert answer.text == "made" and answer.headers["content-type"] == "image/svg+xml"
        assert "sandbox" in answer.headers["content-security-policy"]
        assert "sandbox" not in client.get(f"/{_TOKEN}/made/overlay.pdf").headers[
            "content-security-policy"
        ]  # fmt: skip
        for name in ("link.svg", "gone.svg", "secret.txt", "panel.toml", "../secret.txt"):
            assert client.get(f"/{_TOKEN}/made/{name}").status_code == 404
    finally:
        panel.made = {}


# --- As it comes over the wire, where no client makes it tidy ---


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("wire")
    (folder / "panel.toml").write_text("a\n")
    (folder / "secret.txt").write_text("secret")
    with serving(folder / "panel.toml") as served:
        yield served


def _answer(served: Served, path: str, *headers: str) -> bytes:
    host = f"127.0.0.1:{served.port}"
    lines = [f"GET {path} HTTP/1.1", *(headers or (f"Host: {host}",)), "Connection: close", "", ""]
    with socket.create_connection(("127.0.0.1", served.port), 5) as wire:
        wire.sendall("\r\n".join(lines).encode())
        said = b""
        while part := wire.recv(65536):
            said += part
    return said


@pytest.mark.parametrize(
    "path",
    [
        "/{}/browser/../app.py",
        "/{}/browser/..%2fapp.py",
        "/{}/browser/%2e%2e/app.py",
        "/{}/browser/%2e%2e%2fmessages.py",
        "/{}/browser//etc/passwd",
        "/{}/browser/%2fetc%2fpasswd",
        "/{}/made/..%2fsecret.txt",
        "/{}/made/%2e%2e/secret.txt",
        "/{}/ace/..%2f..%2f__init__.py",
        "/{}/%2e%2e/panel.toml",
        "/{}/panel.toml",
        "/{}/.panel.toml.unsaved",
        "/{}/..\\secret.txt",
        "/{}/browser/page.css%00.py",
        "/{}x/../{}/ace/ace.js",
        "//{}/ace/ace.js",
        "/etc/passwd",
        "/../../etc/passwd",
    ],
)
def test_no_way_leads_elsewhere(served: Served, path: str) -> None:
    token = served.token
    said = _answer(served, path.replace("{}", token))
    assert said.split(b" ", 2)[1] in (b"400", b"404")
    assert b"secret" not in said and b"root:" not in said and b"import" not in said


def test_two_hosts_are_none(served: Served) -> None:
    host = f"Host: 127.0.0.1:{served.port}"
    path = f"/{served.token}/ace/ace.js"
    assert b" 200 " in _answer(served, path, host)[:20]
    for headers in (("Host: evil.example", host), (host, "Host: evil.example"), ("X: y",)):
        assert _answer(served, path, *headers).split(b" ", 2)[1] in (b"400", b"403")


@pytest.mark.skipif(not os.path.exists("/proc/net/tcp"), reason="tells of its sockets otherwise")
def test_it_listens_on_this_computer_alone(served: Served) -> None:
    lines = Path("/proc/net/tcp").read_text().splitlines()[1:]
    ours = [line.split()[1] for line in lines if line.split()[1].endswith(f":{served.port:04X}")]
    assert {address.partition(":")[0] for address in ours} == {"0100007F"}
