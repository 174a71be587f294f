"""Which page asks? A browser says so; what another site's page sends is refused, before anything is read of it.

Programs that are no browsers say nothing and are let through: they cannot be talked into asking by a page elsewhere.
"""

from __future__ import annotations

from urllib.parse import urlsplit

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Receive, Scope, Send

from bendwright.bench.problems import problem
from bendwright.findings import found

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
"""Methods that change nothing."""
OWN = frozenset({"same-origin", "none"})


class OnlyOurPages:
    """Refuses what another site's page sends or embeds (B402)."""

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on what our own pages, the person, or a program asks."""
        if scope["type"] == "http" and not asked_by_us(scope["method"], scope["path"], Headers(scope=scope)):
            came = Headers(scope=scope).get("origin", "another site")[:80]
            await problem(403, [found("B402", where="Origin", came=came)])(scope, receive, send)
            return
        await self._app(scope, receive, send)


def asked_by_us(method: str, path: str, headers: Headers) -> bool:
    """Whether a request may come from where the browser says it comes from.

    A link on another site may lead to a page of ours; it may not write, and it may not fetch from the interface.
    """
    origins, site = headers.getlist("origin"), headers.get("sec-fetch-site", "none")
    if any(not _same(origin, headers.get("host", "")) for origin in origins) or len(origins) > 1:
        return False
    if site in OWN:
        return True
    visit = headers.get("sec-fetch-mode") == "navigate" and headers.get("sec-fetch-dest") == "document"
    return method in SAFE and visit and not path.startswith("/api/")


def _same(origin: str, host: str) -> bool:
    try:
        parts = urlsplit(origin)
    except ValueError:
        return False
    return parts.scheme in ("http", "https") and bool(host) and parts.netloc.lower() == host.lower()
