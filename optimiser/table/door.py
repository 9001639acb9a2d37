"""Who may come in: the one person who started it, from the page itself, on this machine.

Every request is judged before anything else sees it. Another page in the same browser can send
requests here; it has no token, cannot read the cookie, and its Origin is its own. A name that is
turned to this machine (DNS rebinding) is another Host. Cookies know no ports: so that a browser
brings this one to no other program on this machine, all is served below a path that nobody else
knows, and the cookie is bound to it.
"""

from __future__ import annotations

import hmac
import re
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
        self.root = f"/{secrets.token_urlsafe(16)}"

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
        inside = self._inside(scope)
        no = self._refusal(scope, headers, inside=inside)
        scope = inside or scope
        shut = _shutting(send, self.root)
        if no is not None:
            await PlainTextResponse(no[1], no[0])(scope, receive, shut)
        elif self._has_token(scope):
            answer = RedirectResponse("/", 303)
            answer.set_cookie(
                self.cookie, self.token, path=f"{self.root}/", httponly=True, samesite="strict"
            )
            await answer(scope, receive, shut)
        else:
            await self._handed_on(scope, receive, shut)

    def _inside(self, scope: Scope) -> Scope | None:
        """Give a request as if all stood at the top; None for what is not below the path."""
        end = len(self.root)
        if not _same(scope["path"][: end + 1], f"{self.root}/"):
            return None
        raw = scope.get("raw_path") or b""
        return {**scope, "path": scope["path"][end:], "raw_path": raw[end:]}

    def _refusal(
        self, scope: Scope, headers: dict[str, str], *, inside: Scope | None
    ) -> tuple[int, str] | None:
        """Say why a request is turned away; None where it may come in."""
        method, length = scope["method"], headers.get("content-length", "0")
        origin, ours = headers.get("origin"), f"http://{self.host}"
        site = headers.get("sec-fetch-site", "none")
        foreign = origin != ours and (method not in _READING or origin is not None)
        judged = (
            (headers.get("host") != self.host, 421, "This is not the address that was printed."),
            (method not in (*_READING, "POST"), 405, "That cannot be done here."),
            (foreign or site not in _OURS, 403, "This came from another page."),
            (inside is None, 403, _NO_KEY),
            (not (self._has_cookie(headers) or self._has_token(inside or scope)), 403, _NO_KEY),
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


def _shutting(send: Send, root: str) -> Send:
    """Give every answer the headers that shut out what is not of this page, and the path.

    Pages name addresses as if they stood at the top. What stands in quotes in a page is escaped,
    so nothing that somebody typed is taken for an address.
    """
    start: Message | None = None

    async def sending(message: Message) -> None:
        nonlocal start
        if message["type"] == "http.response.start":
            headers = [(name.lower(), text) for name, text in message["headers"]]
            there = {name for name, _ in headers}
            headers = [
                (name, root.encode() + text if name == b"location" else text)
                for name, text in headers
            ]
            for name, text in HEADERS.items():
                if name.lower().encode() not in there:
                    headers.append((name.lower().encode(), text.encode()))
            message = {**message, "headers": headers}
            if any(text.startswith(b"text/html") for name, text in headers if name == _KIND):
                start = message
                return
        elif start is not None:
            # A page comes in one piece.
            body = _ADDRESS.sub(rb"\g<0>" + root.encode(), message.get("body", b""))
            length = (b"content-length", str(len(body)).encode())
            headers = [header for header in start["headers"] if header[0] != length[0]]
            await send({**start, "headers": [*headers, length]})
            message, start = {**message, "body": body}, None
        await send(message)

    return sending


_KIND = b"content-type"
_ADDRESS = re.compile(rb'\b(?:href|action|src|formaction|data-tries)="(?=/)')
