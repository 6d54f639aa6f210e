"""Who may talk to the desk: one browser on this machine, and no page but the desk's own."""

from __future__ import annotations

import secrets
from collections.abc import Awaitable, Callable, MutableMapping
from http.cookies import CookieError, SimpleCookie
from typing import Any
from urllib.parse import parse_qs

MOST_BODY = 256 * 1024  # bytes of one form
BODY = "crossproof.body"  # where a form's bytes stand in the request's scope

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

_WELCOME = (
    '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>The desk opens</title>'
    '<link rel="icon" href="/icon.svg"><meta http-equiv="refresh" content="0;url=/"></head>'
    '<body><p><a href="/">Open the desk</a></p></body></html>'
)


class Refusal(Exception):
    """A request that is not answered: its HTTP status and a sentence that says why."""

    def __init__(self, status: int, message: str) -> None:
        super().__init__(message)
        self.status = status
        self.message = message


class Guard:
    """Stands before the pages. What it does not let through never reaches them.

    * Only `127.0.0.1` and `localhost` at the port are answered to, so that no other name can be
      pointed at this machine (DNS rebinding).
    * The address with the token gives the browser a cookie (`HttpOnly`, `SameSite=Strict`);
      everything else needs the cookie. So the token leaves the address bar at once.
    * Browsers say where a request comes from (Fetch Metadata, `Origin`): what another page sends or
      embeds is refused, and a form has to come from the desk itself.
    """

    def __init__(self, app: App, *, token: str, port: int, policy: str) -> None:
        self._app = app
        self._token = token
        self._session = secrets.token_urlsafe(32)
        self._cookie = f"crossproof-desk-{port}"
        self._hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}
        self._headers = _headers(policy)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
        if scope["type"] != "http":  # no WebSocket is ever answered
            return
        headers = {
            name.decode("latin-1").lower(): value.decode("latin-1")
            for name, value in scope["headers"]
        }

        async def guarded(message: MutableMapping[str, Any]) -> None:
            if message["type"] == "http.response.start":
                known = {name.lower() for name, _ in message["headers"]}
                more = [(n, v) for n, v in self._headers if n not in known]
                message["headers"] = [*message["headers"], *more]
            await send(message)

        try:
            if self._check(scope, headers):
                cookie = f"{self._cookie}={self._session}; Path=/; HttpOnly; SameSite=Strict"
                extra = [(b"set-cookie", cookie.encode()), (b"referrer-policy", b"no-referrer")]
                await _answer(guarded, 200, _WELCOME, "text/html; charset=utf-8", extra)
                return
            if scope["method"] == "POST":
                scope[BODY] = await _body(headers, receive)
        except Refusal as refusal:
            text = f"{refusal.message}\n"
            await _answer(guarded, refusal.status, text, "text/plain; charset=utf-8", [])
            return
        await self._app(scope, receive, guarded)

    def _check(self, scope: Scope, headers: dict[str, str]) -> bool:
        """True for the address with the token; refuses what may not pass."""
        host = headers.get("host", "")
        if host not in self._hosts:
            raise Refusal(421, "This desk answers to 127.0.0.1 alone.")
        method = scope["method"]
        if method not in ("GET", "HEAD", "POST"):
            raise Refusal(405, "The desk knows GET and POST.")
        query = parse_qs(scope["query_string"].decode("latin-1"), max_num_fields=100)
        given = query.get("token", [""])[0]
        if method == "GET" and scope["path"] == "/" and given:
            if secrets.compare_digest(given.encode(), self._token.encode()):
                return True
            raise Refusal(403, "This token is not the desk's. Take the address it printed.")
        if not secrets.compare_digest(self._session.encode(), self._held(headers).encode()):
            raise Refusal(403, "Open the desk with the address it printed when it started.")
        site = headers.get("sec-fetch-site", "none" if method != "POST" else "")
        allowed = ("same-origin",) if method == "POST" else ("same-origin", "none")
        origin = headers.get("origin", "")
        if (site and site not in allowed) or (origin and origin != f"http://{host}"):
            raise Refusal(403, "The desk takes nothing from other pages.")
        if method == "POST" and not origin and not site:
            raise Refusal(403, "The form does not say where it comes from.")
        return False

    def _held(self, headers: dict[str, str]) -> str:
        cookies: SimpleCookie = SimpleCookie()
        try:
            cookies.load(headers.get("cookie", ""))
        except CookieError:
            return ""
        return cookies[self._cookie].value if self._cookie in cookies else ""


def _headers(policy: str) -> list[tuple[bytes, bytes]]:
    return [
        (b"content-security-policy", policy.encode()),
        (b"x-content-type-options", b"nosniff"),
        (b"x-frame-options", b"DENY"),
        (b"referrer-policy", b"same-origin"),
        (b"cross-origin-opener-policy", b"same-origin"),
        (b"cross-origin-resource-policy", b"same-origin"),
        (b"cross-origin-embedder-policy", b"require-corp"),
        (b"permissions-policy", b"camera=(), geolocation=(), microphone=()"),
        (b"cache-control", b"no-store"),
    ]


async def _body(headers: dict[str, str], receive: Receive) -> bytes:
    kind = headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != "application/x-www-form-urlencoded":
        raise Refusal(415, "The desk takes plain forms only.")
    length = headers.get("content-length", "0")
    if not length.isdecimal() or len(length) > 9 or int(length) > MOST_BODY:
        raise Refusal(413, f"The form is larger than {MOST_BODY >> 10} kB.")
    parts: list[bytes] = []
    size, more = 0, True
    while more:
        message = await receive()
        if message["type"] != "http.request":
            raise Refusal(400, "The form broke off.")
        part = message.get("body", b"")
        size += len(part)
        if size > MOST_BODY:
            raise Refusal(413, f"The form is larger than {MOST_BODY >> 10} kB.")
        parts.append(part)
        more = message.get("more_body", False)
    return b"".join(parts)


async def _answer(
    send: Send, status: int, text: str, kind: str, extra: list[tuple[bytes, bytes]]
) -> None:
    body = text.encode()
    headers = [
        (b"content-type", kind.encode()),
        (b"content-length", str(len(body)).encode()),
        *extra,
    ]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
