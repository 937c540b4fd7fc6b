"""Whatever stands between the network and the page: who may ask, how much, and what every answer carries.

The page changes files on this machine. A page of another site, open in the same browser, must neither read
nor change them: so the Host is checked (a name of another site that is made to lead to this machine), the
Origin (a form of another site), and every change carries a token that only this page knows. Where other
machines may reach it, they need the token that stands in the printed address.
"""

from __future__ import annotations

import asyncio
import ipaddress
import re
import secrets
from dataclasses import dataclass, field
from http.cookies import SimpleCookie
from typing import Any
from urllib.parse import parse_qsl, urlencode

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

MAX_BODY = 300_000
"""Greatest body of a request, bytes: more than a case file."""
MAX_TARGET = 4_000
"""Longest address, bytes."""
BODY_WITHIN = 10.0
"""Time, s, within which a body arrives."""
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
FILE_POLICY = (
    "sandbox; default-src 'none'; img-src data:; style-src 'unsafe-inline'; form-action 'none'; "
    "base-uri 'none'; frame-ancestors 'none'"
)
"""Of a file that somebody may have written: nothing in it runs, asks for anything, or is of our origin."""
PAPER_POLICY = (
    "default-src 'none'; object-src 'self'; style-src 'unsafe-inline'; form-action 'none'; "
    "base-uri 'none'; frame-ancestors 'none'"
)
"""Of a PDF: what shows it in a browser is an object, which a sandbox would not let in."""
OTHER_POLICIES = (FILE_POLICY, PAPER_POLICY)
POLICY_HEADER = "Content-Security-Policy"
HEADERS = {
    POLICY_HEADER: POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",  # with no-referrer a browser hides the origin of our own forms too
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
}
LOOPBACK = ("127.0.0.1", "localhost", "::1")
_HOST = re.compile(r"(?:\[(?P<six>[0-9A-Fa-f:.]+)\]|(?P<name>[A-Za-z0-9._-]+))(?::(?P<port>[0-9]{1,5}))?")
_OWN_PATH = re.compile(r"/(?!/)[A-Za-z0-9/%._~-]*")
"""Path of an address that cannot lead to another machine."""
NOT_LET_IN = (
    "<!doctype html><html lang='en'><title>hoopwright</title><p>Open the address that "
    "<code>hoopwright page</code> printed: it carries the token. "
    "If you just did, <a href='/'>go on</a>.</p></html>"
)


@dataclass(frozen=True)
class Door:
    """Who is let in. port: that the page is served on. names: of this machine beside those of loopback, in
    small letters. key: what others than this machine must know, "" where only this machine can ask. cookie:
    name of that which carries the key. form_token: what every change carries."""

    port: int
    names: frozenset[str] = frozenset()
    key: str = ""
    cookie: str = field(default_factory=lambda: f"hoopwright-{secrets.token_hex(4)}")
    form_token: str = field(default_factory=lambda: secrets.token_urlsafe(32))

    def knows(self, host: str) -> bool:
        """Whether a Host header names this page. With a key any address in numbers does: no name of another
        site hides behind one."""
        found = _HOST.fullmatch(host)
        if found is None or int(found["port"] or 80) != self.port:
            return False
        name = (found["six"] or found["name"]).lower()
        return name in LOOPBACK or name in self.names or (bool(self.key) and _is_address(name))


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


class TooMuchError(Exception):
    """A body that is too large, or does not arrive; status and words of the answer."""

    def __init__(self, status: int, words: str) -> None:
        super().__init__(status, words)
        self.status, self.words = status, words


class Guard:
    """The application behind the door."""

    def __init__(self, app: ASGIApp, door: Door) -> None:
        self.app, self.door = app, door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return  # no other protocol is spoken here

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                own = headers.get(POLICY_HEADER, "")
                headers.update(HEADERS)
                if own in OTHER_POLICIES:
                    headers[POLICY_HEADER] = own
                headers.setdefault("Cache-Control", "no-store")
            await send(message)

        refused = self._refused(scope)
        if refused is not None:
            await refused(scope, receive, send_guarded)
            return
        try:
            body = await asyncio.wait_for(_body(scope, receive), BODY_WITHIN)
        except (TooMuchError, TimeoutError) as error:
            status, words = (408, "The request did not arrive in time.")
            if isinstance(error, TooMuchError):
                status, words = error.status, error.words
            answer = PlainTextResponse(words, status, {"Connection": "close"})
            await answer(scope, receive, send_guarded)
            return
        await self.app(scope, _replayed(body, receive), send_guarded)

    def _refused(self, scope: Scope) -> Response | None:
        """The answer to one who is not let in; None for one who is."""
        headers = Headers(scope=scope)
        hosts, origins = headers.getlist("host"), headers.getlist("origin")
        if len(hosts) != 1 or not self.door.knows(hosts[0]):
            return PlainTextResponse("This page has another address.", 400)
        if any(origin not in (f"http://{hosts[0]}", f"https://{hosts[0]}") for origin in origins):
            return PlainTextResponse("Asked by a page of another site.", 403)
        safe = scope["method"] in ("GET", "HEAD")
        site = headers.get("sec-fetch-site", "none")
        if not safe and site not in ("none", "same-origin"):
            return PlainTextResponse("Asked by a page of another site.", 403)
        if len(scope.get("raw_path", b"")) + len(scope["query_string"]) > MAX_TARGET:
            return PlainTextResponse("The address is too long.", 414)
        return self._without_key(scope, headers) if self.door.key else None

    def _without_key(self, scope: Scope, headers: Headers) -> Response | None:
        """The answer to one who does not know the key, or who brings it in the address: from then on it is
        in a cookie, and in no address that a browser remembers."""
        query = parse_qsl(scope["query_string"].decode("latin-1"), keep_blank_values=True)
        given = next((value for name, value in query if name == "token"), None)
        if given is not None and _same(given, self.door.key) and scope["method"] == "GET":
            rest = urlencode([(name, value) for name, value in query if name != "token"])
            path = scope.get("raw_path", b"/").decode("latin-1")
            path = path if _OWN_PATH.fullmatch(path) else "/"
            answer = RedirectResponse(f"{path}?{rest}" if rest else path, 303)
            answer.set_cookie(self.door.cookie, self.door.key, httponly=True, samesite="strict")
            return answer
        cookies: SimpleCookie = SimpleCookie()
        try:
            cookies.load("; ".join(headers.getlist("cookie")))
        except Exception:  # whatever is wrong with them, they hold no key
            cookies.clear()
        found = cookies.get(self.door.cookie)
        if found is not None and _same(found.value, self.door.key):
            return None
        return HTMLResponse(NOT_LET_IN, 403)


def _same(given: str, wanted: str) -> bool:
    return secrets.compare_digest(given.encode("utf-8", "replace"), wanted.encode())


def may_change(door: Door, given: Any) -> bool:
    """Whether a change carries the token of this page."""
    return isinstance(given, str) and _same(given, door.form_token)


async def _body(scope: Scope, receive: Receive) -> bytes:
    """The whole body of a request. Raises TooMuchError."""
    length = Headers(scope=scope).get("content-length", "0")
    too_large = TooMuchError(413, f"More than {MAX_BODY // 1000} kB: not taken.")
    if not length.isdigit() or int(length[:12]) > MAX_BODY:
        raise too_large
    body = bytearray()
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            return bytes(body)
        body += message.get("body", b"")
        if len(body) > MAX_BODY:
            raise too_large
        if not message.get("more_body", False):
            return bytes(body)


def _replayed(body: bytes, receive: Receive) -> Receive:
    """A receiver that gives the body once, and then whatever comes."""
    given = False

    async def again() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return again
