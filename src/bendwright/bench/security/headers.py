"""What a browser is told with every answer: what a page may load, what it may be embedded in, what may be kept."""

from __future__ import annotations

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from bendwright.bench.problems import problem
from bendwright.bench.security.settings import SecuritySettings
from bendwright.findings import found

PAGES = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "connect-src 'self'",
        "font-src 'self'",
        "worker-src 'self' blob:",
        "frame-ancestors 'none'",
        "base-uri 'none'",
        "form-action 'self'",
    )
)
"""Content-Security-Policy of everything the bench serves: our own files, no inline script, no embedding."""
DRAWINGS = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; frame-ancestors 'none'; sandbox"
"""Of a drawing opened by itself: it may be coloured, and nothing else."""
ALWAYS = {
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=(), payment=(), usb=(), serial=(), midi=()",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
A_YEAR = "public, max-age=31536000, immutable"


class SafeHeaders:
    """Puts the headers on every answer, those of a fault of the program too (B290)."""

    def __init__(self, app: ASGIApp, settings: SecuritySettings) -> None:
        self._app, self._https = app, settings.https

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer with headers; a fault is answered here and then passed on, to be logged."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        started = False

        async def dressed(message: Message) -> None:
            nonlocal started
            if message["type"] == "http.response.start":
                started = True
                self._dress(scope["path"], message)
            await send(message)

        try:
            await self._app(scope, receive, dressed)
        except Exception as error:
            if not started:
                await problem(500, [found("B290", kind=type(error).__name__)])(scope, receive, dressed)
            raise

    def _dress(self, path: str, message: Message) -> None:
        headers = MutableHeaders(scope=message)
        for name, value in ALWAYS.items():
            headers[name] = value
        drawing = headers.get("content-type", "").startswith("image/svg")
        headers["Content-Security-Policy"] = DRAWINGS if drawing else PAGES
        if self._https:
            headers["Strict-Transport-Security"] = "max-age=31536000"
        if path.startswith("/assets/") and message["status"] in (200, 206, 304):
            headers["Cache-Control"] = A_YEAR
        else:
            headers.setdefault("Cache-Control", "no-store" if path.startswith("/api/") else "no-cache")
