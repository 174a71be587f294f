"""The pages: files built from ``web/``, one page for the office, one for the floor."""

from __future__ import annotations

from pathlib import Path

from fastapi import FastAPI
from fastapi.responses import FileResponse, PlainTextResponse, Response
from fastapi.staticfiles import StaticFiles

SITE = Path(__file__).parents[1] / "site"
WHY_NOT = "not_built.txt"
NOT_BUILT = (
    "The pages were not built with this installation; the interface under /api/v1 and the command work. {why}\n"
    "To have them, install again with 'pip install .' from the sources, with access to the packages the pages need.\n"
)


def missing_pages(folder: Path = SITE) -> str | None:
    """Why there are no pages, in words, and what helps; None where they are there."""
    if (folder / "office.html").is_file():
        return None
    note = folder / WHY_NOT
    return NOT_BUILT.format(why=note.read_text(encoding="utf-8").strip() if note.is_file() else "").replace(" \n", "\n")


def serve_site(app: FastAPI, folder: Path = SITE) -> None:
    """Serve assets by name, ``docs.html`` under /api/docs, ``floor.html`` under /floor, and ``office.html`` under every other address that
    is not the interface's.
    """
    if (folder / "assets").is_dir():
        app.mount("/assets", StaticFiles(directory=folder / "assets"), name="assets")

    @app.get("/floor/worker.js", include_in_schema=False)
    def floor_worker() -> Response:
        file = folder / "floor" / "worker.js"
        headers = {"Cache-Control": "no-cache", "Service-Worker-Allowed": "/floor"}
        return (
            FileResponse(file, media_type="text/javascript", headers=headers)
            if file.is_file()
            else Response(status_code=404)
        )

    def html(name: str) -> Response:
        file = folder / name
        return (
            FileResponse(file, media_type="text/html")
            if file.is_file()
            else PlainTextResponse(missing_pages(folder), 503)
        )

    @app.get("/api/docs", include_in_schema=False)
    def docs() -> Response:
        return html("docs.html")

    @app.get("/{path:path}", include_in_schema=False)
    def page(path: str) -> Response:
        if path.startswith("api/"):
            from starlette.exceptions import HTTPException

            raise HTTPException(404, "nothing has this address")
        return html("floor.html" if path.split("/")[0] == "floor" else "office.html")
