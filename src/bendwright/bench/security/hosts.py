"""Is a request meant for us? A page elsewhere may point a name of its own at this machine (DNS rebinding); such a name is refused.

Addresses written as numbers cannot be pointed anywhere, so on a network every one of them is ours; without ``lan`` only loopback is.
"""

from __future__ import annotations

import re
from ipaddress import ip_address

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Receive, Scope, Send

from bendwright.bench.problems import problem
from bendwright.bench.security.settings import SecuritySettings
from bendwright.findings import found

HOST = re.compile(r"(?P<name>\[[0-9a-f:.]{2,45}\]|[a-z0-9](?:[a-z0-9.-]{0,252}))(?::\d{1,5})?")


def host_is_ours(host: str, settings: SecuritySettings) -> bool:
    """True when the Host header names this bench."""
    match = HOST.fullmatch(host.lower())
    if match is None:
        return False
    name = match["name"].strip("[]").removesuffix(".")
    if name == "localhost" or name in {given.lower() for given in settings.names}:
        return True
    try:
        address = ip_address(name)
    except ValueError:
        return False
    return settings.lan or address.is_loopback


class OnlyOurHosts:
    """Refuses requests that are addressed to somebody else (B401), and WebSockets, of which the bench has none."""

    def __init__(self, app: ASGIApp, settings: SecuritySettings) -> None:
        self._app, self._settings = app, settings

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on what is ours."""
        if scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
            return
        if scope["type"] == "http":
            hosts = Headers(scope=scope).getlist("host")
            if len(hosts) != 1 or not host_is_ours(hosts[0], self._settings):
                came = (hosts[0] if hosts else "")[:80]
                await problem(403, [found("B401", where="Host", came=repr(came))])(scope, receive, send)
                return
        await self._app(scope, receive, send)
