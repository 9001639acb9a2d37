"""Each way in that is not the one person's own is tried, and shut."""

from __future__ import annotations

import pytest

from models.words.errors import InputError
from optimiser.table.door import HEADERS, MOST_BYTES
from optimiser.table.serving import MOST_FIELDS

from .window import ELSEWHERE, GONE, REFUSED, TOO_LARGE, WRONG, Window


def test_who_has_no_token_sees_and_does_nothing(window: Window) -> None:
    stranger, was = window.stranger(), window.text
    for path in ("/", "/?token=", "/?token=wrong", "/table.js", "/events", "/lunch/x/y"):
        assert stranger.get(path).status_code == REFUSED, path
    for cookie in ("", "wrong", window.serving.token[:-1], "\u00e4", "a;b=\u00ff"):
        whole = f"clearfridge-{window.serving.port}={cookie}".encode()
        headers = {b"cookie": whole, b"origin": window.base.encode()}
        assert stranger.get("/", headers=headers).status_code == REFUSED
        assert stranger.post("/undo", headers=headers).status_code == REFUSED
    # The token opens the first page and nothing else.
    assert stranger.post(f"/undo?token={window.serving.token}").status_code == REFUSED
    assert stranger.get(f"/table.js?token={window.serving.token}").status_code == REFUSED
    assert window.text == was


def test_the_token_becomes_a_cookie_that_no_script_and_no_other_site_has(window: Window) -> None:
    asked = window.stranger().get(
        "/", params={"token": window.serving.token}, follow_redirects=False
    )
    root = window.serving.app.root
    assert (asked.status_code, asked.headers["location"]) == (303, f"{root}/")
    assert f"; Path={root}/;" in asked.headers["set-cookie"]
    assert window.serving.token not in root
    cookie = asked.headers["set-cookie"].casefold()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert "domain" not in cookie


def test_outside_of_the_path_nothing_is_there_even_with_the_token(window: Window) -> None:
    cookie = f"clearfridge-{window.serving.port}={window.serving.token}"
    root = window.serving.app.root
    for path in ("/", "/who", "/table.js", root, f"{root}x/", f"{root[:-1]}/", "//"):
        for asked in (path, f"{path}?token={window.serving.token}"):
            got = window.client.get(f"{window.base}{asked}", headers={"cookie": cookie})
            assert got.status_code == REFUSED, asked


def test_another_name_for_this_machine_is_turned_away(window: Window) -> None:
    port = window.serving.port
    for host in (
        "rebound.example",
        f"rebound.example:{port}",
        "127.0.0.1",
        "127.0.0.1:1",
        f"localhost:{port}",
        "",
    ):
        for path in ("/", f"/?token={window.serving.token}"):
            assert window.client.get(path, headers={"host": host}).status_code == ELSEWHERE


def test_another_page_can_send_nothing(window: Window) -> None:
    undo = {"on": window.sitting.file.digest}
    for origin in (None, "null", "http://rebound.example", f"{window.base}0", "http://127.0.0.1"):
        headers = {} if origin is None else {"origin": origin}
        assert window.client.post("/undo", data=undo, headers=headers).status_code == REFUSED
    for site in ("cross-site", "same-site"):
        headers = {"origin": window.base, "sec-fetch-site": site}
        assert window.client.post("/undo", data=undo, headers=headers).status_code == REFUSED
        assert window.client.get("/", headers=headers).status_code == REFUSED
    assert window.client.put("/undo", headers={"origin": window.base}).status_code == 405


def test_what_is_too_large_is_not_read(window: Window) -> None:
    headers = {"origin": window.base, "content-type": "application/x-www-form-urlencoded"}
    told = {**headers, "content-length": str(MOST_BYTES + 1)}
    assert window.client.post("/undo", headers=told).status_code == TOO_LARGE
    assert window.client.post("/undo", headers={**told, "content-length": "x"}).status_code == 413

    def endless() -> object:
        # It does not say how long it is.
        for _ in range(MOST_BYTES // 500_000 + 2):
            yield b"a" * 500_000

    got = window.client.post("/undo", content=endless(), headers=headers)  # type: ignore[arg-type]
    assert got.status_code == TOO_LARGE


@pytest.mark.parametrize("path", ["/", "/table.css", "/nowhere", "/undo"])
def test_every_answer_shuts_out_what_is_not_of_the_page(path: str, window: Window) -> None:
    for client in (window.client, window.stranger()):
        got = client.get(path)
        assert {name: got.headers[name] for name in HEADERS} == HEADERS
    page = window.client.get("/").text
    assert "default-src 'none'" in HEADERS["Content-Security-Policy"]
    assert "unsafe" not in HEADERS["Content-Security-Policy"]
    assert "style=" not in page
    assert "<style" not in page
    assert " on" + "click" not in page
    assert "//" not in page.replace("<!DOCTYPE", "")


@pytest.mark.parametrize(
    "path",
    [
        "/../secret.yaml",
        "/%2e%2e/secret.yaml",
        "/..%2fsecret.yaml",
        "/take/../../secret.yaml",
        "/take/..%2f..%2fsecret.yaml",
        "/take/%2e%2e%5csecret.yaml",
        "/lunch/..%2f..%2fsecret.yaml/Ilse",
        "/secret.yaml",
        "/week.yaml",
        "//secret.yaml",
    ],
)
def test_no_path_leads_to_a_file(path: str, window: Window) -> None:
    (window.file.parent.parent / "secret.yaml").write_text("very secret", encoding="utf-8")
    (window.file.parent / "secret.yaml").write_text("very secret", encoding="utf-8")
    for base in (window.base, f"{window.base}{window.serving.app.root}"):
        got = window.client.get(f"{base}{path}")
        assert got.status_code in (GONE, REFUSED, 200)
        assert "very secret" not in got.text
        assert "# mine" not in got.text


def test_a_link_that_is_laid_meanwhile_is_neither_read_nor_written_through(window: Window) -> None:
    window.look()
    was = window.text
    secret = window.file.parent / "elsewhere.yaml"
    for content in ("very secret", was):
        secret.write_text(content, encoding="utf-8")
        window.file.unlink()
        window.file.symlink_to(secret)
        page = window.look()
        assert "it leads to another file" in page
        assert "very secret" not in page
        assert "very secret" not in window.do("/take", WRONG)
        window.do("/who/eaters", WRONG, floor0="7")
        with pytest.raises(InputError):
            window.sitting.write(f"{was}# more\n", "more")
        assert secret.read_text(encoding="utf-8") == content
    window.file.unlink()
    window.file.write_text(was, encoding="utf-8")
    window.do("/who/eaters", floor0="7")


def test_a_plan_that_is_a_link_is_no_plan_of_the_week(window: Window) -> None:
    window.look()
    secret = window.file.parent / "elsewhere.json"
    secret.write_text("very secret", encoding="utf-8")
    for link in ("week-2026-11-30.plan.json", "week-2026-11-30.1.plan.json"):
        (window.file.parent / link).symlink_to(secret)
    assert "very secret" not in window.look()
    assert "there already" in window.do("/today/next", WRONG)
    assert secret.read_text(encoding="utf-8") == "very secret"


def test_what_is_uploaded_is_bounded_and_written_nowhere(window: Window) -> None:
    there = sorted(path.name for path in window.file.parent.iterdir())
    headers = {"origin": window.base}
    page = ("../../evil.html", b"Pot\n500 g carrots", "text/html")
    got = window.client.post("/food/look", files={"file": page}, headers=headers)
    assert "500 g carrots" in got.text
    many = {f"f{at}": "x" for at in range(MOST_FIELDS + 1)}
    some = [("file", (f"{at}.html", b"x", "text/html")) for at in range(21)]
    for sent in ({"data": many, "files": {"file": page}}, {"files": some}):
        refused = window.client.post("/food/look", headers=headers, **sent)  # type: ignore[arg-type]
        assert refused.status_code == 400
    large = ("large.html", b"a" * (MOST_BYTES + 1), "text/html")
    got = window.client.post("/food/look", files={"file": large}, headers=headers)
    assert got.status_code == TOO_LARGE
    assert sorted(path.name for path in window.file.parent.iterdir()) == there
