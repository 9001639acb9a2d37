"""Who may come in: the one person who started it, from the page itself, on this machine.

Every request is judged before anything else sees it. Another page in the same browser can send
requests here; it has no token, cannot read the cookie, and its Origin is its own. A name that is
turned to this machine (DNS rebinding) is another Host.
"""

from __future__ import annotations

import hmac
import secrets
from http.cookies import CookieError, SimpleCookie
from typing import TYPE_CHECKING
from urllib.parse import parse_qs

from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse, RedirectResponse

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

MOST_BYTES = 4_000_000
"""Of what is sent here: more than any saved page with a recipe that was tried."""
TOO_LARGE = (413, f"More than {MOST_BYTES // 1_000_000} MB are not taken.")
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    # Not "no-referrer": with that a browser sends no Origin with a form.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
_READING = ("GET", "HEAD")
_OURS = ("none", "same-origin")
_NO_KEY = "Open the address that was printed when it was started."


class Door:
    """Lets a request in or turns it away."""

    def __init__(self, app: ASGIApp, port: int, token: str) -> None:
        self.app = app
        self.host = f"127.0.0.1:{port}"
        # Ports share cookies: each has one of its own.
        self.cookie = f"clearfridge-{port}"
        self.token = token

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Judge a request; hand it on, or answer it here."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        headers = {
            name.decode("latin-1"): text.decode("latin-1") for name, text in scope["headers"]
        }
        no = self._refusal(scope, headers)
        shut = _shutting(send)
        if no is not None:
            await PlainTextResponse(no[1], no[0])(scope, receive, shut)
        elif self._has_token(scope):
            answer = RedirectResponse("/", 303)
            answer.set_cookie(self.cookie, self.token, path="/", httponly=True, samesite="strict")
            await answer(scope, receive, shut)
        else:
            await self._handed_on(scope, receive, shut)

    def _refusal(self, scope: Scope, headers: dict[str, str]) -> tuple[int, str] | None:
        """Say why a request is turned away; None where it may come in."""
        method, length = scope["method"], headers.get("content-length", "0")
        origin, ours = headers.get("origin"), f"http://{self.host}"
        site = headers.get("sec-fetch-site", "none")
        foreign = origin != ours and (method not in _READING or origin is not None)
        judged = (
            (headers.get("host") != self.host, 421, "This is not the address that was printed."),
            (method not in (*_READING, "POST"), 405, "That cannot be done here."),
            (foreign or site not in _OURS, 403, "This came from another page."),
            (not (self._has_cookie(headers) or self._has_token(scope)), 403, _NO_KEY),
            (not length.isdigit() or int(length) > MOST_BYTES, *TOO_LARGE),
        )
        return next(((code, why) for wrong, code, why in judged if wrong), None)

    def _has_token(self, scope: Scope) -> bool:
        if scope["path"] != "/" or scope["method"] != "GET":
            return False
        given = parse_qs(scope["query_string"].decode("latin-1")).get("token", [""])
        return _same(given[0], self.token)

    def _has_cookie(self, headers: dict[str, str]) -> bool:
        try:
            held = SimpleCookie(headers.get("cookie", "")).get(self.cookie)
        except CookieError:
            return False
        return held is not None and _same(held.value, self.token)

    async def _handed_on(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Hand a request on; of a body that is longer than it told no more is read."""
        taken = 0

        async def bounded() -> Message:
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > MOST_BYTES:
                raise HTTPException(*TOO_LARGE)
            return message

        await self.app(scope, bounded, send)


def new_token() -> str:
    """Make a token that nobody can guess.

    Returns
    -------
    str
        256 bits at random, fit for an address.

    Examples
    --------
    >>> len(new_token()), new_token() == new_token()
    (43, False)
    """
    return secrets.token_urlsafe(32)


def _same(given: str, token: str) -> bool:
    return hmac.compare_digest(given.encode(), token.encode())


def _shutting(send: Send) -> Send:
    """Give every answer the headers that shut out what is not of this page."""

    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            there = {name.lower() for name, _ in message["headers"]}
            message["headers"] = [
                *message["headers"],
                *(
                    (name.lower().encode(), text.encode())
                    for name, text in HEADERS.items()
                    if name.lower().encode() not in there
                ),
            ]
        await send(message)

    return sending
