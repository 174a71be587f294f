"""The bench as one application: interface under /api/v1, its description, and the pages."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware

import bendwright
from bendwright.bench.described import describe_problems
from bendwright.bench.place import Place, started
from bendwright.bench.problems import answer_problems
from bendwright.bench.routes import about, demos, files, floor, jobs, looks, parts, plans, shops, site
from bendwright.bench.security.secure import secure
from bendwright.bench.settings import BenchSettings

API = "/api/v1"
LEAST_PACKED = 2000
"""Bytes from which an answer is packed; words that guard a session are shorter."""


def create_app(settings: BenchSettings, place: Place | None = None) -> FastAPI:
    """The application; its processes and its store live as long as it does, unless a ``place`` that was started before is given."""

    @asynccontextmanager
    async def life(app: FastAPI) -> AsyncIterator[None]:
        app.state.place = place or started(settings)
        app.state.place.start_quick()
        try:
            yield
        finally:
            if place is None:
                app.state.place.end()

    app = FastAPI(
        title="bendwright bench",
        version=bendwright.__version__,
        description="Parts, jobs, plans and readings of a press-brake shop. Errors are RFC 9457 problem details with findings.",
        openapi_url=f"{API}/openapi.json",
        docs_url=None,
        redoc_url=None,
        lifespan=life,
    )
    answer_problems(app)
    app.add_middleware(GZipMiddleware, minimum_size=LEAST_PACKED, compresslevel=5)
    secure(app, settings.security, lambda: app.state.place.store)
    for routes in (about, parts, looks, demos, jobs, plans, files, floor, shops):
        app.include_router(routes.router, prefix=API)
    describe_problems(app)
    site.serve_site(app)
    return app
