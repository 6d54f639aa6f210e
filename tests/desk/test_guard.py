"""Who the desk answers to: one browser on this machine, and no page but its own.

After the Fetch Metadata Request Headers (W3C), RFC 6265bis (SameSite), CSP Level 3, and OWASP's
Cross-Site Request Forgery Prevention Cheat Sheet (verifying origin).
"""

from __future__ import annotations

import base64
import hashlib
import re

import pytest
from desk_folder import FORM, FROM_HERE, HOME, PORT, TOKEN, some
from starlette.testclient import TestClient

from crossproof.desk.app import make_app
from crossproof.desk.desk import Desk
from crossproof.desk.guard import MOST_BODY

PAGES = ["/", "/record/3", "/rulings", "/rulings.csv", "/photo/61/0", "/icon.svg"]


@pytest.fixture
def stranger(desk: Desk) -> TestClient:
    """A browser that has not opened the desk."""
    return TestClient(make_app(desk, token=TOKEN, port=PORT), base_url=HOME)


@pytest.mark.parametrize("page", PAGES)
def test_nothing_is_shown_without_the_token(stranger: TestClient, page: str) -> None:
    answer = stranger.get(page)
    assert answer.status_code == 403
    assert "address it printed" in answer.text


def test_a_wrong_token_opens_nothing(stranger: TestClient) -> None:
    assert stranger.get("/", params={"token": f"{TOKEN}x"}).status_code == 403
    assert stranger.get("/").status_code == 403


def test_the_token_is_changed_for_a_strict_cookie(stranger: TestClient) -> None:
    answer = stranger.get("/", params={"token": TOKEN})
    cookie = answer.headers["set-cookie"]
    assert TOKEN not in cookie
    assert {"HttpOnly", "SameSite=Strict", "Path=/"} <= set(cookie.split("; "))
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert stranger.get("/").status_code == 200


@pytest.mark.parametrize("host", ["desk.example", f"desk.example:{PORT}", "127.0.0.1", "[::1]", ""])
def test_another_name_for_this_machine_is_not_answered(client: TestClient, host: str) -> None:
    """DNS rebinding: a page whose name is made to point here sends its own name as Host."""
    assert client.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize(
    "headers",
    [
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},  # another port of this machine
        {"origin": "http://example.invalid"},
        {"origin": "null"},
        {"origin": f"http://127.0.0.1:{PORT + 1}"},
    ],
)
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_other_pages_get_nothing_and_change_nothing(
    client: TestClient, desk: Desk, headers: dict[str, str], method: str
) -> None:
    number, _ = some(desk.folder, "lowered")[0]
    form = {**FORM, "action": "ask", "record": f"{number}.."}
    answer = (
        client.post("/rule", data=form, headers=headers)
        if method == "POST"
        else client.get(f"/record/{number}", headers=headers)
    )
    assert answer.status_code == 403
    assert desk.store.ledger.entries() == []


def test_a_form_that_does_not_say_where_it_comes_from_is_refused(client: TestClient) -> None:
    assert client.post("/rule", data=FORM).status_code == 403


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "TRACE", "PATCH"])
def test_other_methods_are_refused(client: TestClient, method: str) -> None:
    assert client.request(method, "/").status_code == 405


def test_a_form_is_bounded(client: TestClient) -> None:
    kind = {"content-type": "application/x-www-form-urlencoded", **FROM_HERE}
    body = b"reason=" + b"x" * MOST_BODY
    assert client.post("/rule", content=body, headers=kind).status_code == 413
    pieces = (b"x" * 4096 for _ in range(100))  # sent piece by piece, its length not told
    assert client.post("/rule", content=pieces, headers=kind).status_code == 413
    many = b"&".join(b"record=1.." for _ in range(20_000))
    assert client.post("/rule", content=many, headers=kind).status_code in (413, 422)


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/json", "multipart/form-data; boundary=a"]
)
def test_uploads_and_other_bodies_are_refused(client: TestClient, kind: str) -> None:
    answer = client.post("/rule", content=b"a=b", headers={"content-type": kind, **FROM_HERE})
    assert answer.status_code == 415


@pytest.mark.parametrize("page", PAGES)
def test_every_answer_carries_the_policy(client: TestClient, page: str) -> None:
    headers = client.get(page).headers
    policy = headers["content-security-policy"]
    assert policy.startswith("default-src 'none'")
    assert "unsafe" not in policy
    assert "http" not in policy
    assert "frame-ancestors 'none'" in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"


@pytest.mark.parametrize("page", ["/", "/record/3", "/rulings"])
def test_the_hashes_are_of_what_stands_in_the_page(client: TestClient, page: str) -> None:
    answer = client.get(page)
    policy = answer.headers["content-security-policy"]
    for tag in ("style", "script"):
        (text,) = re.findall(rf"<{tag}>(.*?)</{tag}>", answer.text, re.DOTALL)
        digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert f"{tag}-src 'sha256-{digest}'" in policy
    assert not re.search(r"\son\w+=|\sstyle=|javascript:", answer.text.partition("<script>")[0])
    assert not re.search(r'(?:src|href|action)="(?:https?:)?//', answer.text)
