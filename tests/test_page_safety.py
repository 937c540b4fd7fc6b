"""Nobody but this page changes a file, no path leaves the folder, and every answer says what it may do."""

from __future__ import annotations

import hashlib
import os
import re

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_parts import HOME, PORT, Shop
from starlette.testclient import TestClient

from hoopwright.case.read import parse_case
from hoopwright.page import guard
from hoopwright.page.edit import edited
from hoopwright.page.guard import Door
from hoopwright.page.parts import Parts, StaticFiles
from hoopwright.page.questions import log_fault
from hoopwright.starters import starter_text

PLAIN = starter_text("plain")
CHANGES = (
    "/new",
    "/case/mine.toml/set",
    "/case/mine.toml/units",
    "/case/mine.toml/cancel",
    "/case/mine.toml/do/piece/note",
)
FORM = {"content-type": "application/x-www-form-urlencoded"}


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("served")
    (folder / "mine.toml").write_text(PLAIN, "utf-8")
    with Shop(folder, tmp_path_factory.mktemp("templates")) as found:
        yield found


@pytest.fixture(autouse=True)
def file_is_unchanged(shop):
    yield
    assert (shop.folder / "mine.toml").read_text("utf-8") == PLAIN


def assert_guarded(answer):
    headers = answer.headers
    assert headers["content-security-policy"] == guard.POLICY
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cache-control"] == "no-store"
    assert "access-control-allow-origin" not in headers


def test_policy_allows_no_script_or_style_in_the_page():
    assert guard.POLICY.startswith("default-src 'none'")
    assert "unsafe" not in guard.POLICY
    assert "http" not in guard.POLICY


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        f"evil.example:{PORT}",
        f"127.0.0.1.evil.example:{PORT}",
        "127.0.0.1",
        "127.0.0.1:1",
        f"192.168.0.7:{PORT}",
        f"127.0.0.1:{PORT}@evil.example",
        "",
    ],
)
def test_foreign_host_is_refused(shop, host):
    answer = shop.client.get("/", headers={"host": host})
    assert answer.status_code == 400
    assert_guarded(answer)


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "LOCALHOST", "[::1]"])
def test_this_machine_is_known_by_its_names(shop, host):
    assert shop.client.get("/", headers={"host": f"{host}:{PORT}"}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:1"},
        {"origin": f"http://localhost:{PORT}"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_foreign_origin_is_refused_with_the_token_too(shop, headers):
    data = {"token": shop.door.form_token, "path": "title", "value": "theirs", "digest": "x"}
    answer = shop.client.post("/case/mine.toml/set", data=data, headers=headers)
    assert answer.status_code == 403
    assert_guarded(answer)


def test_own_origin_is_not_foreign(shop):
    own = {"origin": HOME, "sec-fetch-site": "same-origin"}
    assert shop.client.get("/", headers=own).status_code == 200


@pytest.mark.parametrize("address", CHANGES)
@pytest.mark.parametrize("token", ["", "wrong", "é"])
def test_every_change_needs_the_token(shop, address, token):
    answer = shop.post(address, token=token, file="new.toml", piece="plain", units="metric")
    assert answer.status_code == 403
    assert_guarded(answer)
    assert os.listdir(shop.folder) == ["mine.toml"]


def test_no_other_address_takes_a_change(shop):
    """Whatever takes a form is listed above, and nothing is changed by asking for a page."""
    posts = {
        r.path.replace("{file}", "mine.toml").replace("{step}/{action}", "piece/note")
        for r in shop.app.app.routes
        if "POST" in (r.methods or set())
    }
    assert posts == set(CHANGES)
    for address in CHANGES[1:]:
        assert shop.client.get(address).status_code in (404, 405)
    for method in ("PUT", "DELETE", "PATCH"):
        assert shop.client.request(method, "/case/mine.toml/piece").status_code == 405


def test_every_address_says_what_can_be_done_with_it(shop):
    """RFC 9110, 15.5.6: an answer 405 lists the methods that its address takes."""
    named = {"file": "mine.toml", "step": "piece", "action": "note"}
    for route in shop.app.app.routes:
        address = re.sub(r"{(\w+)(:path)?}", lambda found: named.get(found[1], "a"), route.path)
        for method in sorted({"GET", "POST", "PUT", "DELETE", "PATCH", "OPTIONS"} - route.methods):
            answer = shop.client.request(method, address, data={"token": shop.door.form_token})
            if method == "GET" and answer.status_code == 404:
                continue  # the address of a form is that of no step either
            assert answer.status_code == 405, (method, address)
            assert answer.headers["allow"] == ", ".join(sorted(route.methods)), (method, address)
            assert_guarded(answer)


def test_only_forms_are_taken(shop):
    token = {"x-hoopwright-token": shop.door.form_token}
    address = "/case/mine.toml/set"
    assert shop.client.post(address, json={"path": "title"}, headers=token).status_code == 415
    assert shop.client.post(address, content=b"path=%ff", headers={**FORM, **token}).status_code == 400
    many = "&".join(f"path={n}" for n in range(2000))
    assert shop.client.post(address, content=many, headers={**FORM, **token}).status_code == 400


@pytest.mark.parametrize("chunked", [False, True])
def test_large_body_is_refused(shop, chunked):
    body = b"token=x&value=" + 400_000 * b"a"
    content = (body[at : at + 50_000] for at in range(0, len(body), 50_000)) if chunked else body
    answer = shop.client.post("/case/mine.toml/set", content=content, headers=FORM)
    assert answer.status_code == 413
    assert_guarded(answer)


def test_long_address_is_refused(shop):
    answer = shop.client.get("/?" + 5000 * "a")
    assert answer.status_code == 414
    assert_guarded(answer)


@pytest.mark.parametrize(
    "name",
    [
        "..%2fout.toml",
        "%2e%2e%2fout.toml",
        "..%5cout.toml",
        "%2fetc%2fpasswd",
        "%2e%2e",
        "mine.toml%00",
        "mine.toml%00.toml",
        "link.toml",
        "circle.toml",
        "folder.toml",
        "notes.txt",
        "notes.txt%00.toml",
        ".hidden.toml",
        "mine.TOML",
        "~%2fx.toml",
        "a" * 300 + ".toml",
    ],
)
def test_no_name_leads_out_of_the_folder(shop, name, tmp_path):
    (tmp_path / "out.toml").write_text('title = "secret"', "utf-8")
    links = {"link.toml": tmp_path / "out.toml", "circle.toml": shop.folder / "circle.toml"}
    for link, target in links.items():
        os.symlink(target, shop.folder / link)
    (shop.folder / "folder.toml").mkdir()
    (shop.folder / "notes.txt").write_text('title = "secret"')
    (shop.folder / ".hidden.toml").write_text('title = "secret"')
    try:
        for address in (f"/case/{name}/piece", f"/case/{name}/curves.json", f"/case/{name}"):
            answer = shop.client.get(address)
            assert answer.status_code == 404
            assert "secret" not in answer.text
            assert_guarded(answer)
        assert shop.post(f"/case/{name}/set", path="title", value="x", digest="x").status_code == 404
        assert (tmp_path / "out.toml").read_text() == 'title = "secret"'
        listed = shop.client.get("/").text
        assert "mine.toml" in listed
        assert not any(
            one in listed for one in ("link.toml", "folder.toml", "notes", ".hidden", "circle.toml")
        )
    finally:
        for one in (*links, "notes.txt", ".hidden.toml"):
            (shop.folder / one).unlink()
        (shop.folder / "folder.toml").rmdir()


@pytest.mark.parametrize(
    "name", ["../out", "/tmp/out", "a/b", "a\\b", ".hidden", "", "a\0b", "a\nb", "mine", "C:x", "a" * 200]
)
def test_new_case_is_made_in_the_folder_and_over_nothing(shop, name):
    answer = shop.post("/new", file=name, piece="plain", units="metric")
    assert answer.status_code == 422
    assert os.listdir(shop.folder) == ["mine.toml"]
    assert_guarded(answer)


def test_press_log_outside_the_folder_is_not_read(tmp_path):
    def fault(log):
        text = edited(PLAIN, [("press.log", log)], "metric", file="mine.toml")
        return log_fault(parse_case(text), tmp_path)

    assert fault("press.csv") is None
    for log in ("/etc/passwd", "../press.csv"):
        assert fault(log).key == "log"


@pytest.mark.parametrize(
    "address", ["/nothing", "/case/mine.toml/nothing", "/static/..%2fapp.py", "/static/x"]
)
def test_errors_carry_the_headers_too(shop, address):
    answer = shop.client.get(address)
    assert answer.status_code == 404
    assert_guarded(answer)


def test_a_mistake_in_the_program_shows_nothing_of_it(shop, monkeypatch):
    monkeypatch.setattr(shop.work, "found", lambda _: 1 / 0)
    client = TestClient(shop.app, base_url=HOME, raise_server_exceptions=False)
    answer = client.get("/case/mine.toml/piece")
    assert answer.status_code == 500
    assert "ZeroDivision" not in answer.text
    assert_guarded(answer)


def test_static_file_is_cached_only_under_its_own_version(shop):
    versioned = StaticFiles(Parts().static).address("htmx.min.js")
    address, _, version = versioned.partition("?v=")
    for other in (address, f"{address}?v=0"):
        assert_guarded(shop.client.get(other))
    answer = shop.client.get(versioned)
    assert answer.headers["cache-control"].endswith("immutable")
    assert hashlib.sha256(answer.content).hexdigest().startswith(version)


def test_other_machines_need_the_key_and_it_leaves_the_address(tmp_path):
    door = Door(PORT, frozenset({"bench.local"}), key="the key of this page")
    with Shop(tmp_path / "served", tmp_path / "templates", door) as shop:
        client = shop.client
        for address in ("/", "/static/htmx.min.js", "/?token=wrong", "/?token="):
            assert client.get(address).status_code == 403
        assert client.get("/", headers={"cookie": f"{door.cookie}=wrong"}).status_code == 403
        assert client.get("/", headers={"cookie": "\x7f;=;;"}).status_code == 403
        let_in = client.get("/?token=the+key+of+this+page&x=1")
        assert (let_in.status_code, let_in.headers["location"]) == (303, "/?x=1")
        cookie = let_in.headers["set-cookie"].lower()
        assert "httponly" in cookie
        assert "samesite=strict" in cookie
        assert client.get("/").status_code == 200  # the client has the cookie now
        for host, status in (("bench.local", 200), ("192.168.0.7", 200), ("evil.example", 400)):
            key = {"host": f"{host}:{PORT}", "cookie": f'{door.cookie}="the key of this page"'}
            assert client.get("/", headers=key).status_code == status
        for away in ("//evil.example/", "/%5Cevil.example", "/\\evil.example"):
            answer = client.get(f"{HOME}{away}?token=the+key+of+this+page")
            assert not answer.headers["location"].startswith(("//", "/\\"))
