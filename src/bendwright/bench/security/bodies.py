"""How much may be sent, and how slowly? Counted as it arrives, whatever the sender announced; nothing is unpacked."""

from __future__ import annotations

import asyncio
import re

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from bendwright.bench.problems import problem
from bendwright.bench.security.settings import MB, SecuritySettings
from bendwright.findings import Finding, found


class LimitedBodies:
    """Ends requests that are too large (413, B420), too slow (408, B421) or packed (415, B422)."""

    def __init__(self, app: ASGIApp, settings: SecuritySettings) -> None:
        self._app, self._settings = app, settings
        self._uploads = re.compile("|".join(f"(?:{path})" for path in settings.upload_paths) or r"(?!)")

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Hand the body on as it comes, up to the limits."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        upload = self._uploads.fullmatch(scope["path"]) is not None
        given = self._settings
        most, seconds = (given.upload_bytes, given.upload_seconds) if upload else (given.body_bytes, given.body_seconds)
        body = _Body(receive, send, most, seconds)
        body.look_at(Headers(scope=scope))
        if body.refused is None:
            try:
                await self._app(scope, body.receive, body.send)
            except Exception:
                if body.refused is None:
                    raise
        if body.refused is not None and not body.started:
            status, finding = body.refused
            answer = problem(status, [finding])
            answer.headers["Connection"] = "close"
            await answer(scope, receive, send)


class _RefusedError(Exception):
    """The body was refused while it was being read."""


class _Body:
    """The body of one request, watched. What the app answers after a refusal is not sent: the refusal is the answer."""

    def __init__(self, receive: Receive, send: Send, most: int, seconds: float) -> None:
        self._receive, self._send, self._most, self._seconds = receive, send, most, seconds
        self._size, self._whole, self._until = 0, False, 0.0
        self.refused: tuple[int, Finding] | None = None
        self.started = False

    def look_at(self, headers: Headers) -> None:
        """What the headers alone forbid."""
        announced = headers.get("content-length", "")
        packed = headers.get("content-encoding", "identity").strip().lower()
        if packed not in ("", "identity"):
            self.refused = 415, found("B422", where="Content-Encoding", came=packed[:40])
        elif announced.isascii() and announced.isdigit() and (len(announced) > 15 or int(announced) > self._most):
            self._too_large()

    async def receive(self) -> Message:
        """The next piece of the body."""
        if self.refused is not None:
            raise _RefusedError
        if self._whole:
            return await self._receive()
        self._until = self._until or asyncio.get_running_loop().time() + self._seconds
        try:
            async with asyncio.timeout_at(self._until):
                message = await self._receive()
        except TimeoutError:
            self.refused = 408, found("B421", where="body", allowed=round(self._seconds))
            raise _RefusedError from None
        if message["type"] == "http.request":
            self._size += len(message.get("body", b""))
            self._whole = not message.get("more_body", False)
            if self._size > self._most:
                self._too_large()
                raise _RefusedError
        return message

    async def send(self, message: Message) -> None:
        """Pass on the app's answer, unless the body was refused before it began."""
        if self.refused is not None and not self.started:
            return
        self.started = True
        await self._send(message)

    def _too_large(self) -> None:
        self.refused = 413, found("B420", where="body", allowed=self._most / MB)
