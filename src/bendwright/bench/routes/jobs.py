"""Jobs: made, listed, heard of, stopped, dropped."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter
from fastapi.responses import StreamingResponse

from bendwright.bench.asked import JobWords
from bendwright.bench.place import At
from bendwright.bench.problems import FindingShown, shown
from bendwright.findings import Finding
from bendwright.store.records import JobLine, JobState

router = APIRouter(prefix="/jobs", tags=["jobs"])


@dataclass(frozen=True, slots=True, kw_only=True)
class JobShown:
    """One job of the list: what part, for which shop, how far it is; ``dropped`` ones are off the list until they are taken back."""

    id: str
    made_at: str
    part_no: str
    revision: str
    title: str
    shop: str
    state: JobState
    dropped: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class JobAsked:
    """One job with what it was asked (part, sheet and wishes as they were sent, to be changed and sent again), what was found and the
    kinds of files it wrote.
    """

    job: JobShown
    part: dict[str, Any]
    sheet: dict[str, Any]
    wishes: dict[str, Any]
    findings: list[FindingShown]
    files: list[str]


@router.post("", status_code=202)
def add(words: JobWords, place: At) -> JobShown:
    """A new job; it is planned in the background."""
    place.check_room()
    place.shop_name(words.shop)
    job = place.jobs.add(
        part=words.part, sheet=words.sheet.model_dump(), shop=words.shop, wishes=words.wishes.model_dump()
    )
    return shown_job(job)


@router.get("")
def listed(place: At, dropped: bool = False) -> list[JobShown]:
    """All jobs, the newest first; with ``dropped`` those taken off the list."""
    return [shown_job(line) for line in place.store.jobs(dropped=dropped)]


@router.get("/{job_id}")
def one(job_id: str, place: At) -> JobAsked:
    """One job, and what it was asked."""
    job = place.store.job(job_id)
    return JobAsked(
        job=shown_job(job),
        part=job.part,
        sheet=job.sheet,
        wishes=job.wishes,
        findings=[shown(Finding.from_dict(item)) for item in job.findings],
        files=list((job.extras or {}).get("files", {})),
    )


@router.post("/{job_id}/stop", status_code=202)
def stop(job_id: str, place: At) -> JobShown:
    """Stop a job that waits or runs."""
    place.jobs.stop(job_id)
    return shown_job(place.store.job_line(job_id))


@router.delete("/{job_id}")
def drop(job_id: str, place: At) -> JobShown:
    """Take a job off the list; it can be taken back until the bench tidies up."""
    place.jobs.stop(job_id)
    return shown_job(place.store.drop_job(job_id))


@router.post("/{job_id}/take-back")
def take_back(job_id: str, place: At) -> JobShown:
    """Put a dropped job back on the list."""
    return shown_job(place.store.take_back_job(job_id))


@router.get("/{job_id}/events", response_class=StreamingResponse)
def events(job_id: str, place: At) -> StreamingResponse:
    """Server-sent events: {"state": ...}, {"stage": ...}, progress, until the job has ended."""
    place.store.job_line(job_id)

    async def lines() -> AsyncIterator[str]:
        async for word in place.jobs.heard(job_id):
            yield f"data: {json.dumps(word)}\n\n" if word else ": still here\n\n"

    return StreamingResponse(lines(), media_type="text/event-stream", headers={"X-Accel-Buffering": "no"})


def shown_job(line: JobLine) -> JobShown:
    """A job for the list."""
    return JobShown(
        id=line.id,
        made_at=line.made_at.isoformat(),
        part_no=line.part_no,
        revision=line.revision,
        title=line.title,
        shop=line.shop,
        state=line.state,
        dropped=line.dropped_at is not None,
    )
