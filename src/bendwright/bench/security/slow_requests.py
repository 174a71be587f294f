"""A connection that does not get its request said is closed: whoever drips a header byte by byte holds no place for long.

The server itself has a limit for idle connections and none for slow ones. Its limits, and why these:

- ``limit_concurrency`` 400: fifty browsers with six connections each, and room; the next is told 503 at once;
- ``timeout_keep_alive`` 5 s: an idle connection costs a place;
- ``h11_max_incomplete_event_size`` 64 kB: the largest head of a request;
- headers from proxies are believed only behind a proxy that is known (``https``), so that nobody can lie about an address.
"""

from __future__ import annotations

import asyncio
from typing import Any

from uvicorn.protocols.http.h11_impl import H11Protocol

from bendwright.bench.security.settings import SecuritySettings

HEAD_S = 10.0
"""Seconds in which the head of a request has to be there; at most twice that on a connection used before."""


class PatientProtocol(H11Protocol):
    """HTTP/1.1, with an end to patience before a request has begun."""

    _watch: asyncio.TimerHandle | None = None
    _seen: object = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to watch."""
        super().connection_made(transport)
        self._watch = self.loop.call_later(HEAD_S, self._look)

    def connection_lost(self, exc: Exception | None) -> None:
        """Nothing more to watch."""
        if self._watch is not None:
            self._watch.cancel()
        super().connection_lost(exc)

    def _look(self) -> None:
        """Close the connection when nothing has begun since the last look and nothing is being answered."""
        answering = self.cycle is not None and not self.cycle.response_complete
        if not answering and self._seen is self.cycle:
            self.transport.close()
            return
        self._seen = self.cycle
        self._watch = self.loop.call_later(HEAD_S, self._look)


def server_options(settings: SecuritySettings) -> dict[str, Any]:
    """Keyword arguments for ``uvicorn.Config``."""
    return {
        "http": PatientProtocol,
        "ws": "none",
        "limit_concurrency": 400,
        "timeout_keep_alive": 5,
        "h11_max_incomplete_event_size": 64 * 1024,
        "server_header": False,
        "access_log": False,
        "proxy_headers": settings.https,
        "forwarded_allow_ips": "127.0.0.1",
    }
