"""A small bench to attack: a few addresses of each kind behind all the guards, without plans and processes."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, Any

import httpx
from fastapi import FastAPI, File, Request, UploadFile
from fastapi.responses import PlainTextResponse, Response

from bench_talk import PASSPHRASE
from bendwright.bench.problems import answer_problems
from bendwright.bench.security.file_names import attachment
from bendwright.bench.security.gate import CHECK_HEADER
from bendwright.bench.security.passphrases import hash_passphrase
from bendwright.bench.security.secure import secure
from bendwright.bench.security.settings import SecuritySettings
from bendwright.bench.security.uploads import HEAD_BYTES, kind_of
from bendwright.store.open_store import Store, open_store

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from fastapi.testclient import TestClient

KEPT = hash_passphrase(PASSPHRASE)
HERE = "http://localhost:4117"
SHOP = "http://192.168.7.20:4117"


def bench_app(settings: SecuritySettings, store: Store) -> FastAPI:
    """The app; ``app.state.seen`` counts how often an address behind the guards was reached."""
    app = FastAPI()
    app.state.seen = []
    answer_problems(app)
    secure(app, settings, lambda: store)

    @app.post("/api/v1/jobs")
    def add(words: dict[str, Any], request: Request) -> dict[str, str]:
        request.app.state.seen.append("job")
        return {"id": "abc"}

    @app.get("/api/v1/jobs")
    def listed(request: Request) -> list[str]:
        request.app.state.seen.append("jobs")
        return [request.state.who.kind]

    @app.put("/api/v1/jobs/{job_id}/readings/{name}")
    def reading(job_id: str, name: str, words: dict[str, Any]) -> dict[str, str]:
        return {"id": name}

    @app.post("/api/v1/parts/file")
    def upload(file: Annotated[UploadFile, File()]) -> Response:
        kind = kind_of(file.file.read(HEAD_BYTES), ("step", "dxf", "yaml", "json"))
        return PlainTextResponse(kind, headers={"Content-Disposition": attachment(file.filename or "")})

    @app.get("/api/v1/fault")
    def fault() -> None:
        raise RuntimeError("something private")

    @app.get("/api/v1/picture")
    def picture() -> Response:
        return Response("<svg/>", media_type="image/svg+xml")

    @app.get("/{path:path}")
    def page(path: str) -> Response:
        return PlainTextResponse("page", 404 if "missing" in path else 200)

    return app


@contextmanager
def bench(folder: Path, *, base_url: str = HERE, **settings: Any) -> Iterator[TestClient]:
    """A client of a fresh bench; with ``lan`` the passphrase is set."""
    store = open_store(str(folder / "bench.db"))
    given = SecuritySettings(**settings)
    if given.lan:
        store.set_passphrase_hash(KEPT)
    app = bench_app(given, store)
    app.state.store = store
    with TestClient(app, base_url=base_url, raise_server_exceptions=False) as client:
        yield client
    store.close()


def sign_in(client: TestClient) -> dict[str, str]:
    """Sign in by passphrase; the headers that changes need from then on."""
    answer = client.post("/api/v1/sign-in", json={"passphrase": PASSPHRASE, "label": "Office"})
    assert answer.status_code == 200, answer.text
    return {CHECK_HEADER: answer.json()["check"]}


def code_of(answer: httpx.Response) -> tuple[int, str]:
    """Status and first finding of a problem."""
    assert answer.headers["content-type"] == "application/problem+json", answer.text
    return answer.status_code, answer.json()["findings"][0]["code"]
