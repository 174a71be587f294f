"""Everything that guards the bench, put in place by one call."""

from __future__ import annotations

from collections.abc import Callable
from ipaddress import ip_address

from fastapi import FastAPI

from bendwright.bench.security.bodies import LimitedBodies
from bendwright.bench.security.gate import Gate
from bendwright.bench.security.headers import SafeHeaders
from bendwright.bench.security.hosts import OnlyOurHosts
from bendwright.bench.security.origins import OnlyOurPages
from bendwright.bench.security.settings import API, SecuritySettings
from bendwright.bench.security.sign_in import sign_in_routes
from bendwright.findings import InputError, found
from bendwright.store.open_store import Store


def secure(app: FastAPI, settings: SecuritySettings, store: Callable[[], Store]) -> None:
    """Guard ``app``: headers, host, origin, sign-in and body limits, in this order, and the addresses to sign in at.

    ``store`` is asked for when it is needed, after the app has started. Call it before any route that takes every path.
    """
    app.include_router(sign_in_routes(settings, store), prefix=API)
    app.add_middleware(LimitedBodies, settings=settings)
    app.add_middleware(Gate, settings=settings, store=store)
    app.add_middleware(OnlyOurPages)
    app.add_middleware(OnlyOurHosts, settings=settings)
    app.add_middleware(SafeHeaders, settings=settings)


def check_bind(host: str, settings: SecuritySettings) -> str:
    """The address to listen at. Raises InputError (B412) for one that others reach, when others are not let in."""
    try:
        here = ip_address(host).is_loopback
    except ValueError:
        here = host == "localhost"
    if not here and not settings.lan:
        raise InputError(found("B412", where="--host", came=repr(host)[:60]))
    return host
