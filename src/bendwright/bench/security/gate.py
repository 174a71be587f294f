"""Who is signed in? On a network everything of the interface asks that first; on one machine alone there is nobody to ask.

A browser brings a session cookie, and with whatever it changes the session's check word; a script brings a token. A tablet
that came in by a link is on the floor: it may look at everything and write readings, and nothing else.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal, TypeVar

import anyio
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from bendwright.bench.problems import problem
from bendwright.bench.security.origins import SAFE
from bendwright.bench.security.settings import API, SecuritySettings, Spell
from bendwright.bench.security.tokens import API_MARK, LONGEST, check_word_fits, kept_hash
from bendwright.findings import Finding, found
from bendwright.store.open_store import Store

Got = TypeVar("Got")
CHECK_HEADER = "X-Bendwright-Check"
"""The header the check word comes in."""
OPEN = {("GET", f"{API}/session"), ("POST", f"{API}/sign-in"), ("POST", f"{API}/sign-in/link")}
"""What may be asked before anybody has signed in."""
FLOOR_WRITES = re.compile(rf"{API}/(jobs/[a-z0-9]+/readings/[0-9a-fA-F-]+|sign-out)")
OFFICE_ONLY = re.compile(rf"{API}/(sessions|links|tokens)(/.*)?")
NOTED_EVERY = timedelta(minutes=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Who:
    """Who asks: ``session_id`` and ``token`` are empty for scripts and where nobody needs to sign in."""

    kind: Literal["office", "floor", "script", "here"]
    session_id: str = ""
    token: str = ""


HERE = Who(kind="here")


class Gate:
    """Lets in who is signed in: 401 (B403), without check word 403 (B404), not for the floor 403 (B405)."""

    def __init__(self, app: ASGIApp, settings: SecuritySettings, store: Callable[[], Store]) -> None:
        self._app, self._settings, self._store = app, settings, store
        self._threads: anyio.CapacityLimiter | None = None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on with ``request.state.who``, or answer why not."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        who: Who | None = HERE
        if self._settings.lan:
            who, send = await self._recognised(scope, send)
            refused = _refused(scope["method"], scope["path"], who, Headers(scope=scope))
            if refused is not None:
                status, finding = refused
                await problem(status, [finding])(scope, receive, send)
                return
        scope.setdefault("state", {})["who"] = who
        await self._app(scope, receive, send)

    async def _recognised(self, scope: Scope, send: Send) -> tuple[Who | None, Send]:
        """Who asks, and how to answer: a session that lives on is told to the browser too."""
        headers = Headers(scope=scope)
        bearer = headers.get("authorization", "")
        if bearer.lower().startswith("bearer "):
            token = bearer[7:].strip()
            if not token.startswith(API_MARK) or len(token) > LONGEST:
                return None, send
            known = await self._ask(lambda: self._store().api_token(kept_hash(token)))
            return (None if known is None else Who(kind="script")), send
        token = session_token(headers, self._settings)
        session = await self._ask(lambda: self._store().session(kept_hash(token))) if token else None
        if session is None:
            return None, send
        kind: Literal["office", "floor"] = "floor" if session.kind == "floor" else "office"
        if datetime.now(UTC) - session.seen_at > NOTED_EVERY:
            spell = spell_of(kind, self._settings)
            if await self._ask(lambda: self._store().see_session(kept_hash(token), idle=spell.idle)) is None:
                return None, send
            send = _with_cookie(send, session_cookie(token, spell, self._settings))
        return Who(kind=kind, session_id=session.id, token=token), send

    async def _ask(self, question: Callable[[], Got]) -> Got:
        self._threads = self._threads or anyio.CapacityLimiter(8)
        return await anyio.to_thread.run_sync(question, limiter=self._threads)


def cookie_name(settings: SecuritySettings) -> str:
    """The session cookie; under TLS its name makes browsers refuse it from anywhere else."""
    return "__Host-bendwright" if settings.https else "bendwright"


def session_cookie(token: str, spell: Spell, settings: SecuritySettings) -> str:
    """The Set-Cookie header of a session; of an empty token: one that takes it away."""
    lasts = int(spell.idle.total_seconds()) if token else 0
    secure = "; Secure" if settings.https else ""
    return f"{cookie_name(settings)}={token}; Path=/; Max-Age={lasts}; HttpOnly; SameSite=Strict{secure}"


def session_token(headers: Headers, settings: SecuritySettings) -> str:
    """The token in the session cookie; empty when there is none."""
    token = cookie_parser(headers.get("cookie", "")).get(cookie_name(settings), "")
    return token if len(token) <= LONGEST else ""


def spell_of(kind: str, settings: SecuritySettings) -> Spell:
    """How long a sign-in of this kind lasts."""
    return settings.floor if kind == "floor" else settings.office


def _refused(method: str, path: str, who: Who | None, headers: Headers) -> tuple[int, Finding] | None:
    """Why a request is not let in; None when it is."""
    page = method in SAFE and not path.startswith("/api/")
    if page or (method, path) in OPEN:
        return None
    if who is None:
        return 401, found("B403", where="session")
    if method not in SAFE and who.token and not check_word_fits(who.token, headers.get(CHECK_HEADER, "")):
        return 403, found("B404", where=CHECK_HEADER, header=CHECK_HEADER)
    writes = method not in SAFE and not FLOOR_WRITES.fullmatch(path)
    if who.kind == "floor" and (writes or OFFICE_ONLY.fullmatch(path)):
        return 403, found("B405", where="session")
    if who.kind == "script" and OFFICE_ONLY.fullmatch(path):
        return 403, found("B405", where="session")
    return None


def _with_cookie(send: Send, cookie: str) -> Send:
    async def dressed(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            if "set-cookie" not in headers:
                headers.append("Set-Cookie", cookie)
        await send(message)

    return dressed
