"""What a job wrote: setup sheet, blank, plan, stroke table, pictures, film, folded model."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import FileResponse

from bendwright.bench.place import At
from bendwright.bench.security.file_names import attachment, inside
from bendwright.findings import InputError, found
from bendwright.said import phrase

router = APIRouter(prefix="/jobs", tags=["files"])
WRITES_S = 30.0
MEDIA = {
    ".pdf": "application/pdf",
    ".dxf": "image/vnd.dxf",
    ".json": "application/json",
    ".csv": "text/csv; charset=utf-8",
    ".svg": "image/svg+xml",
    ".glb": "model/gltf-binary",
    ".step": "model/step",
}


@router.get("/{job_id}/files/{kind}", response_class=FileResponse)
def written(job_id: str, kind: str, place: At, keep: bool = False) -> FileResponse:
    """One file of a job by its kind; with ``keep`` to be saved under its name instead of shown."""
    job = place.store.job_line(job_id)
    if job.state == "done" and kind not in (job.extras or {}).get("files", {}):
        place.jobs.wait_written(job_id, WRITES_S)
        job = place.store.job_line(job_id)
    files = (job.extras or {}).get("files", {})
    path = inside(place.jobs.folder_of(job.folder), files[kind]) if kind in files else None
    if path is None or not path.is_file():
        raise InputError(found("B208", where="kind", kind=kind, known=", ".join(files) or phrase("nothing")))
    media = MEDIA.get(path.suffix, "application/octet-stream")
    name = f"{job.part_no}-{job.revision}-{path.name}"
    headers = {"Content-Disposition": attachment(name)} if keep else None
    return FileResponse(path, media_type=media, headers=headers)
