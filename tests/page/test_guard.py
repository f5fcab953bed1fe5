"""Nobody is let in but the page that was opened, and no other file can be had by any address."""

import socket
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from page_server import Served, serving

pytest.importorskip("uvicorn", reason="the page takes the extra 'page'")
pytest.importorskip("watchfiles", reason="the page takes the extra 'page'")
httpx = pytest.importorskip("httpx")
sockets = pytest.importorskip("websockets.sync.client")

#: One client for all, since making one takes long.
http = httpx.Client(trust_env=False, verify=False)


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("guard")
    (folder / "panel.toml").write_text("a\n")
    (folder / "secret.txt").write_text("secret")
    with serving(folder / "panel.toml") as served:
        yield served


def _filled(headers: dict[str, str], served: Served) -> dict[str, str]:
    return {name: said.replace("PORT", str(served.port)) for name, said in headers.items()}


def test_the_page_bears_what_keeps_others_out(served: Served) -> None:
    for name in ("", "browser/main.js", "overlay.pdf", "nothing"):
        headers = http.get(served.address + name).headers
        policy = headers["content-security-policy"].split("; ")
        for part in (
            "default-src 'self'",
            "script-src 'self'",
            "style-src 'self'",
            "img-src 'self' data:",
            "frame-ancestors 'none'",
        ):
            assert part in policy, name
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert headers["cache-control"] in ("no-cache", "no-store")
        assert "access-control-allow-origin" not in headers
        assert "server" not in headers


def test_what_the_page_is_made_of_is_served(served: Served) -> None:
    page = http.get(served.address)
    assert page.headers["content-type"] == "text/html; charset=utf-8"
    script = http.get(served.address + "browser/main.js")
    assert script.status_code == 200
    assert script.headers["content-type"] == "text/javascript; charset=utf-8"
    assert http.get(served.address + "browser/page.html").status_code == 404
    assert http.get(served.address + "overlay.pdf").content.startswith(b"%PDF")


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 200),
        ({"host": "localhost:PORT"}, 200),
        ({"host": "127.0.0.1"}, 403),
        ({"host": "127.0.0.1:1"}, 403),
        ({"host": "evil.example:PORT"}, 403),
        ({"host": "127.0.0.1.evil.example:PORT"}, 403),
        ({"host": "[::1]:PORT"}, 403),
        ({"host": ""}, 403),
        ({"origin": "http://127.0.0.1:PORT"}, 200),
        ({"origin": "http://localhost:PORT"}, 200),
        ({"origin": ""}, 403),
        ({"origin": "null"}, 403),
        ({"origin": "http://evil.example"}, 403),
        ({"origin": "https://127.0.0.1:PORT"}, 403),
        ({"origin": "http://127.0.0.1:PORT.evil.example"}, 403),
        ({"origin": "http://127.0.0.1:1"}, 403),
    ],
)
def test_host_and_origin_of_requests(served: Served, headers: dict[str, str], status: int) -> None:
    for name in ("", "browser/main.js"):
        answer = http.get(served.address + name, headers=_filled(headers, served))
        assert answer.status_code == status


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "null"},
        {"Origin": "http://evil.example"},
        {"Origin": "https://127.0.0.1:PORT"},
        {"Origin": "http://127.0.0.1:PORT", "Cookie": "a=b", "path": "wrong/talk"},
        {"Origin": "http://127.0.0.1:PORT", "path": "talk"},
    ],
)
def test_origin_and_token_of_sockets(served: Served, headers: dict[str, str]) -> None:
    address = served.address.replace("http", "ws")
    path = headers.get("path")
    here = f"ws://127.0.0.1:{served.port}/{path}" if path else f"{address}talk"
    others = {name: said for name, said in headers.items() if name != "path"}
    with pytest.raises(sockets.InvalidStatus) as told:
        sockets.connect(here, additional_headers=_filled(others, served))
    assert told.value.response.status_code == 403
    assert "server" not in told.value.response.headers


def test_without_the_token_there_is_nothing(served: Served) -> None:
    token = served.token
    for wrong in ("", "wrong", token[:-1], token + "x", token.swapcase(), "é", "%00"):
        for name in ("", "browser/main.js", "overlay.pdf"):
            address = f"http://127.0.0.1:{served.port}/{wrong}/{name}"
            assert http.get(address).status_code == 404
    assert http.get(f"http://127.0.0.1:{served.port}/{token}").status_code == 404
    assert len(token) >= 32


def test_an_answer_waits_for_nothing(served: Served) -> None:
    """The least of many times, since the machine may do something else besides."""
    took = []
    for _ in range(20):
        begun = time.perf_counter()
        http.get(served.address)
        took.append(time.perf_counter() - begun)
    assert min(took[1:]) < 0.02  # 0.04 s where each waits for the one before to be acknowledged


def test_nothing_but_reading(served: Served) -> None:
    for method in ("POST", "PUT", "DELETE", "PATCH", "OPTIONS"):
        assert http.request(method, served.address).status_code == 403
        from_page = {"origin": f"http://127.0.0.1:{served.port}"}
        assert http.request(method, served.address, headers=from_page).status_code == 405


def test_of_what_was_made_only_that(served: Served) -> None:
    folder = served.panel.panel.parent
    made = {name: folder / name for name in ("proof.svg", "sheet.pdf", "link.svg", "gone.svg")}
    for name in ("proof.svg", "sheet.pdf"):
        made[name].write_text("made")
    made["link.svg"].symlink_to(folder / "secret.txt")
    served.panel.made = made
    answer = http.get(served.address + "made/proof.svg")
    assert answer.text == "made"
    assert answer.headers["content-type"].startswith("image/svg+xml")
    assert "sandbox" in answer.headers["content-security-policy"]
    for name in ("link.svg", "gone.svg", "secret.txt", "panel.toml", "%2e%2e%2fsecret.txt"):
        assert http.get(f"{served.address}made/{name}").status_code == 404


# --- As it comes over the wire, where no client makes it tidy ---


def _answer(served: Served, path: str, *headers: str) -> bytes:
    host = f"Host: 127.0.0.1:{served.port}"
    lines = [f"GET {path} HTTP/1.1", *(headers or (host,)), "Connection: close", "", ""]
    with socket.create_connection(("127.0.0.1", served.port), 60) as wire:
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
        "/{}/browser/main.js%00.py",
        "/{}/browser/main.js/",
        "/{}/made/..%2fsecret.txt",
        "/{}/made/%2e%2e/secret.txt",
        "/{}/%2e%2e/panel.toml",
        "/{}/panel.toml",
        "/{}/.panel.toml.unsaved",
        "/{}/..\\secret.txt",
        "/{}x/../{}/browser/main.js",
        "//{}/browser/main.js",
        "/etc/passwd",
        "/../../etc/passwd",
        "http://evil.example/{}/browser/main.js",
    ],
)
def test_no_way_leads_elsewhere(served: Served, path: str) -> None:
    said = _answer(served, path.replace("{}", served.token))
    assert said.split(b" ", 2)[1] in (b"400", b"404")
    assert not any(word in said for word in (b"secret", b"root:", b"import"))


def test_the_head_of_a_page_is_guarded_as_it_is(served: Served) -> None:
    assert http.head(served.address).headers == http.get(served.address).headers
    assert http.head(served.address, headers={"host": "evil.example"}).status_code == 403


def test_two_hosts_are_none(served: Served) -> None:
    host = f"Host: 127.0.0.1:{served.port}"
    path = f"/{served.token}/browser/main.js"
    assert b" 200 " in _answer(served, path, host)[:20]
    for headers in (("Host: evil.example", host), (host, "Host: evil.example"), ("X: y",)):
        assert _answer(served, path, *headers).split(b" ", 2)[1] in (b"400", b"403")


_SOCKETS = Path("/proc/net/tcp")


@pytest.mark.skipif(not _SOCKETS.exists(), reason="the system tells of its sockets otherwise")
def test_it_listens_on_this_computer_alone(served: Served) -> None:
    local = [line.split()[1] for line in _SOCKETS.read_text().splitlines()[1:]]
    ours = {
        address.partition(":")[0] for address in local if address.endswith(f"{served.port:04X}")
    }
    assert ours == {"0100007F"}
