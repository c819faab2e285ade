"""Who may talk to the page, and what it says of itself."""

from __future__ import annotations

from pathlib import Path

import pytest
from httpx2 import Response

from cli.page.web.guard import MOST_BODY
from cli.page.web.server import STATIC
from tests.cli.page.client import HOME, PORT, Page, served

SCRIPTS = [path.stem for path in STATIC.glob("*.js")]


def enter(page: Page, key: str, **headers: str) -> Response:
    return page.client.post("/enter", data={"key": key}, headers=headers)


def test_the_key_is_exchanged_for_a_cookie_and_stands_in_no_address(case: Path) -> None:
    with served(case, admitted=False) as page:
        given = enter(page, page.keys[0])
        shown = page.client.get("/")

    assert 200 == given.status_code
    assert 'content="0; url=/"' in given.text
    assert ["HttpOnly", "Path=/", "SameSite=Strict"] == sorted(
        part.strip() for part in given.headers["set-cookie"].split(";")[1:]
    )
    assert given.headers["set-cookie"].startswith(f"regrip-{PORT}=")
    assert page.keys[0] not in given.headers["set-cookie"] + given.text
    assert 'id="cards"' in shown.text


def test_a_key_lets_in_once_and_then_there_is_another(case: Path) -> None:
    with served(case, admitted=False) as page:
        enter(page, page.keys[0])
        page.client.cookies.clear()
        again = enter(page, page.keys[0])
        inside = page.client.get("/form").status_code
        other = enter(page, page.keys[1])

    assert (403, 403, 200) == (again.status_code, inside, other.status_code)
    assert "set-cookie" not in again.headers
    assert 3 == len(set(page.keys))


@pytest.mark.parametrize("key", ["", "wrong", "x" * 2000, "\0", "Ünknown"])
def test_without_the_key_nobody_gets_in_and_it_stays_good(case: Path, key: str) -> None:
    with served(case, admitted=False) as page:
        refused = enter(page, key)
        asked = page.client.get("/", params={"token": page.keys[0], "key": page.keys[0]})
        good = enter(page, page.keys[0])

    assert (403, 403, 200) == (refused.status_code, asked.status_code, good.status_code)
    assert "That is not the key" in refused.text
    assert '<input id="key"' in asked.text
    assert "set-cookie" not in refused.headers | asked.headers


def test_the_key_may_come_from_the_file_that_the_browser_was_given_but_under_the_own_name_only(case: Path) -> None:
    """The browser calls a file an origin of none, and the way from there one across sites."""
    from_file = {"origin": "null", "sec-fetch-site": "cross-site"}
    with served(case, admitted=False) as page:
        rebound = enter(page, page.keys[0], **from_file, host="attacker.example:8000")
        given = enter(page, page.keys[0], **from_file)

    assert (403, 200) == (rebound.status_code, given.status_code)


@pytest.mark.parametrize("path", ["/form", "/state", "/answer?job=plan", "/case.yaml", "/static/page.css", "/begin"])
def test_without_the_cookie_no_part_is_shown(case: Path, path: str) -> None:
    with served(case, admitted=False) as page:
        refused = page.client.get(path)

    assert (403, "open the page at its address, with the key that `regrip page` printed") == (
        refused.status_code, refused.text,
    )  # fmt: skip


@pytest.mark.parametrize(
    "cookie",
    [
        '{}; settings={"theme": "dark", "open": ["a", "b"]}',
        'settings={"a":1,"b":[2,3]}; {}',
        "=x; ;;a b=c d; {}; n\xe9=\xff",
        'quoted="half; {}',
        "{own}=another; {}; {own}=yet-another",
        "regrip-8001=theirs; {}",
    ],
    ids=["json-after", "json-before", "nonsense", "half-quoted", "same-name", "other-port"],
)
def test_the_cookies_of_other_programs_of_this_machine_lock_nobody_out(case: Path, cookie: str) -> None:
    with served(case, admitted=False) as page:
        enter(page, page.keys[0])
        own = f"regrip-{PORT}"
        mine = f"{own}={page.client.cookies[own]}"
        page.client.cookies.clear()
        sent = cookie.replace("{own}", own).replace("{}", mine).encode("latin-1")
        inside = page.client.get("/state", headers={b"cookie": sent})
        outside = page.client.get("/state", headers={b"cookie": sent.replace(mine.encode(), b"")})

    assert (200, 403) == (inside.status_code, outside.status_code)


@pytest.mark.parametrize(
    "headers",
    [
        {"host": "attacker.example:8000"},
        {"host": "127.0.0.1"},
        {"host": "127.0.0.1:9999"},
        {"host": ""},
        {"origin": "http://attacker.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
    ids=lambda headers: "-".join(*headers.items()),
)
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_a_request_from_elsewhere_is_turned_away(case: Path, headers: dict[str, str], method: str) -> None:
    """DNS rebinding comes under a name of its own; a page of another site or port comes with its own origin."""
    with served(case) as page:
        refused = page.client.request(method, "/state", headers={"origin": HOME} | headers)

    assert 403 == refused.status_code


def test_an_entry_without_an_origin_is_turned_away(case: Path) -> None:
    with served(case) as page:
        assert 403 == page.client.post("/undo", json={}).status_code
        assert 403 == page.client.request("PUT", "/state", headers={"origin": HOME}).status_code


def test_every_answer_forbids_what_the_page_has_no_use_for(case: Path) -> None:
    with served(case) as page:
        answers = [page.client.get(path) for path in ("/", "/static/page.js", "/nowhere", "/answer?job=x")]

    for answer in answers:
        policy = answer.headers["content-security-policy"]
        assert policy.startswith("default-src 'none'; script-src 'self'; style-src 'self'")
        assert "unsafe" not in policy
        assert ("nosniff", "DENY", "no-referrer", "no-store") == tuple(
            answer.headers[name]
            for name in ("x-content-type-options", "x-frame-options", "referrer-policy", "cache-control")
        )
    assert [200, 200, 404, 400] == [answer.status_code for answer in answers]


def test_the_page_has_no_code_and_no_style_inside_and_asks_nobody_else(case: Path) -> None:
    """What the policy forbids is not tried, and nothing has an address of its own."""
    with served(case) as page:
        text = page.client.get("/").text
        text += "".join(page.client.get(f"/static/{name}.js").text for name in SCRIPTS)

    for forbidden in ("<style", " style=", "onclick=", "javascript:", "eval(", "//cdn", "https://"):
        assert forbidden not in text
    assert ["http://127.0.0.1"] * 0 == [word for word in text.split() if word.startswith("http:")]


def test_large_things_are_not_taken(case: Path) -> None:
    with served(case) as page:
        announced = page.client.post("/edit", content=b"x" * (MOST_BODY + 1), headers={"origin": HOME})
        pieces = page.client.post(
            "/edit",
            content=(b"x" * 1000 for _ in range(MOST_BODY // 1000 + 2)),
            headers={"origin": HOME, "content-type": "application/json"},
        )
        long_word = page.post("/edit", at="case", value="x" * 5000)

    assert (413, 413) == (announced.status_code, pieces.status_code)
    assert "this is longer than 4000 letters" == long_word["problem"]


@pytest.mark.parametrize(
    "content",
    [b"", b"[]", b"{", b"\xff", b'{"at": 3}', b'{"at": "case", "base": "x"}', b"[" * 100_000, b'{"at": "nowhere"}'],
    ids=["nothing", "list", "torn", "bytes", "number", "word", "deep", "field"],
)
def test_nonsense_is_refused_without_inner_workings(case: Path, content: bytes) -> None:
    with served(case) as page:
        whole = (
            content.replace(b"{", b'{"opening": 1, "tab": "x", ', 1) if content[:1] == b"{" != content else content
        )
        refused = page.client.post(
            "/edit", content=whole, headers={"origin": HOME, "content-type": "application/json"}
        )

    assert 400 == refused.status_code
    assert "Traceback" not in refused.text
    assert len(refused.text) < 100


@pytest.mark.parametrize("path", ["/static/../server.py", "/static/%2e%2e/server.py", "/static//etc/passwd"])
def test_only_its_own_files_are_served(case: Path, path: str) -> None:
    with served(case) as page:
        assert 404 == page.client.get(path).status_code
