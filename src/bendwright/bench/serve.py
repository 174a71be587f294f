"""The bench started and ended: one address, one process that serves, others that work."""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable
from dataclasses import replace

import uvicorn

from bendwright.bench.app import create_app
from bendwright.bench.settings import BenchSettings
from bendwright.findings import InputError, found

ENDS_S = 5


def serve(settings: BenchSettings, *, opened: Callable[[str], object] | None, said: Callable[[str], object]) -> int:
    """Serve until the person ends it. ``opened`` is given the address once it answers. Raises InputError B210 for a port in use."""
    listening = _listening(settings.host, settings.port)
    address = settings.address or f"http://{_called(settings.host)}:{listening.getsockname()[1]}"
    config = uvicorn.Config(
        create_app(replace(settings, address=address)),
        log_level="warning",
        access_log=False,
        server_header=False,
        timeout_graceful_shutdown=ENDS_S,
        limit_concurrency=400,
        h11_max_incomplete_event_size=64 * 1024,
    )
    server = uvicorn.Server(config)
    said(f"The bench is at {address}/ (Ctrl-C ends it). Jobs are kept in {settings.data}.")
    if opened is not None:
        threading.Timer(0.8, opened, (f"{address}/",)).start()
    server.run(sockets=[listening])
    return 0


def _called(host: str) -> str:
    """What the bench is called in an address: by its name where it listens everywhere."""
    if host in ("127.0.0.1", "::1"):
        return "localhost"
    name = socket.gethostname() if host in ("0.0.0.0", "::") else host
    return f"[{name}]" if ":" in name else name


def _listening(host: str, port: int) -> socket.socket:
    listening = socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
    except OSError as error:
        raise InputError(
            found("B210", where="--port", host=host, port=port, why=error.strerror or str(error))
        ) from None
    return listening
