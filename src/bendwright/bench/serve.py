"""The bench started and ended: one address, one process that serves, others that work."""

from __future__ import annotations

import os
import socket
import threading
from collections.abc import Callable
from dataclasses import replace

import uvicorn

from bendwright.bench.place import Place, started
from bendwright.bench.security.passphrases import VARIABLE, settle_passphrase
from bendwright.bench.security.secure import check_bind
from bendwright.bench.security.slow_requests import server_options
from bendwright.bench.settings import BenchSettings
from bendwright.findings import InputError, found
from bendwright.said import phrase
from bendwright.store.open_store import open_store

ENDS_S = 5


def serve(
    settings: BenchSettings,
    *,
    opened: Callable[[str], object] | None,
    said: Callable[[str], object],
    ask: Callable[[], str] | None = None,
) -> int:
    """Serve until the person ends it. ``opened`` is given the address once it answers; ``ask`` asks for a passphrase where others are let
    in and none is kept. Raises InputError B210 for a port in use, B410 to B412 for what does not go with letting others in.
    """
    check_bind(settings.host, settings.security)
    if settings.security.lan:
        _settle(settings, ask)
    listening = listening_at(settings.host, settings.port)
    address = settings.address or f"http://{_called(settings.host)}:{listening.getsockname()[1]}"
    settings = replace(settings, address=address)
    place = started(settings)
    try:
        server, missing = _server(settings, place)
        if missing is not None:
            said(missing)
            opened = None
        said(f"The bench is at {address}/ (Ctrl-C ends it). Jobs are kept in {settings.data}.")
        if opened is not None:
            threading.Timer(0.8, opened, (f"{address}/",)).start()
        server.run(sockets=[listening])
    finally:
        place.end()
    return 0


def _server(settings: BenchSettings, place: Place) -> tuple[uvicorn.Server, str | None]:
    """What serves, and why there are no pages, if so. The application is imported only here: meanwhile the processes get ready."""
    from bendwright.bench.app import create_app
    from bendwright.bench.routes.site import missing_pages

    config = uvicorn.Config(
        create_app(settings, place),
        log_level="warning",
        timeout_graceful_shutdown=ENDS_S,
        **server_options(settings.security),
    )
    return uvicorn.Server(config), missing_pages()


def _settle(settings: BenchSettings, ask: Callable[[], str] | None) -> None:
    """Before others may come in there is a passphrase."""
    store = open_store(settings.database)
    try:
        settle_passphrase(store, given=os.environ.get(VARIABLE), ask=ask)
    finally:
        store.close()


def _called(host: str) -> str:
    """What the bench is called in an address: by its name where it listens everywhere."""
    if host in ("127.0.0.1", "::1"):
        return "localhost"
    name = socket.gethostname() if host in ("0.0.0.0", "::") else host
    return f"[{name}]" if ":" in name else name


def listening_at(host: str, port: int) -> socket.socket:
    """The socket the bench listens with. Raises InputError (B210) for an address or port it cannot have."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    # with the protocol named, asyncio sends small answers at once (TCP_NODELAY); without, many of them wait 40 ms for the other side
    listening = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
    except OSError as error:
        listening.close()
        raise InputError(
            found("B210", where="--port", host=host, port=port, why=phrase(error.strerror or str(error)))
        ) from None
    return listening
