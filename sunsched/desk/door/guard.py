"""The door of the desk: who may ask, from where, and how much at once.

The desk is meant for the machine it runs on and, with `--lan`, for the set's own network, which it
trusts not to listen; it is no service for the internet.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs, urlencode

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import JSONResponse, PlainTextResponse, RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from sunsched.desk.door.access import Access, Keys

MAX_BODY_BYTES = 6_000_000  # a shot list may have five million
HEALTH = "/health"
READING = ("GET", "HEAD")
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}
NO_KEY = "This page needs its key: open it by the whole address that `sunsched desk` printed.\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class Door:
    """What is let through: the hosts under which the desk is known, `name:port`, and the keys."""

    hosts: Sequence[str]
    keys: Keys
    port: int

    @property
    def cookie(self) -> str:
        """Name of the cookie; browsers send those of one port to all of a machine."""
        return f"sunsched-desk-{self.port}"


class Guard:
    """Lets through what is asked under a known name, from our own pages, with a key."""

    def __init__(self, app: ASGIApp, *, door: Door) -> None:
        self._app = app
        self._door = door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request, or hand it on with `scope["access"]` set."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        guarded = _with_headers(send)
        headers = Headers(scope=scope)
        host, origin = headers.get("host", ""), headers.get("origin")
        is_reading = scope["method"] in READING
        if host not in self._door.hosts:
            # A foreign name that leads here is how a page elsewhere would reach into the machine.
            refused = PlainTextResponse("unknown host\n", 421)
        elif (origin is not None or not is_reading) and origin != f"http://{host}":
            refused = PlainTextResponse("asked by a page that is not of the desk\n", 403)
        elif _length(headers) > MAX_BODY_BYTES:
            refused = PlainTextResponse(f"longer than {MAX_BODY_BYTES:,} bytes\n", 413)
        elif scope["path"] == HEALTH and is_reading:
            await JSONResponse({"ok": True})(scope, receive, guarded)
            return
        else:
            await self._with_key(scope, _limited(receive), guarded)
            return
        await refused(scope, receive, guarded)

    async def _with_key(self, scope: Scope, receive: Receive, send: Send) -> None:
        asked = parse_qs(scope["query_string"].decode("latin-1"))
        if "key" in asked and scope["method"] == "GET":
            access = self._door.keys.opened_by(asked.pop("key")[-1])
            if access is not Access.NONE:
                # The key goes from the address into a cookie that no script can read.
                rest = urlencode(asked, doseq=True)
                target = "/" + scope["path"].lstrip("/") + (f"?{rest}" if rest else "")
                response = RedirectResponse(target, 303)
                key = self._door.keys.of(access)
                response.set_cookie(self._door.cookie, key, httponly=True, samesite="strict")
                await response(scope, receive, send)
                return
        access = self._door.keys.opened_by(_cookie(scope, self._door.cookie))
        if access is Access.NONE:
            await PlainTextResponse(NO_KEY, 401)(scope, receive, send)
            return
        scope["access"] = access
        await self._app(scope, receive, send)


class TooLong(Exception):
    """A body goes on past what is taken."""


def _limited(receive: Receive) -> Receive:
    """Stop a body that is longer than it said, or did not say."""
    taken = 0

    async def counted() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > MAX_BODY_BYTES:
            raise TooLong
        return message

    return counted


def _with_headers(send: Send) -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sent


def _length(headers: Headers) -> int:
    text = headers.get("content-length", "0")
    return int(text) if text.isdecimal() and len(text) < 12 else MAX_BODY_BYTES + 1


def _cookie(scope: Scope, name: str) -> str:
    jar: SimpleCookie = SimpleCookie()
    try:
        jar.load(Headers(scope=scope).get("cookie", ""))
    except CookieError:
        return ""
    return jar[name].value if name in jar else ""
