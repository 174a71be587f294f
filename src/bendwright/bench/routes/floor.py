"""The floor: all screens of a job at once, readings sent as often as the network likes, corrections."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Annotated, Any
from uuid import UUID

from fastapi import APIRouter, Query, Response

from bendwright.bench.asked_reading import ReadingWords
from bendwright.bench.kept_plan import plan_of
from bendwright.bench.pages.floor_page import FloorPlan, floor_plan
from bendwright.bench.pages.readings_page import CorrectionsPage, ReadingKept, corrections_page, reading_kept
from bendwright.bench.place import At
from bendwright.findings import Finding, InputError, found
from bendwright.plan.result import Plan
from bendwright.trial.readings import check_piece, length_slips, slips
from bendwright.wanted.job_words import read_shop_named
from bendwright.wanted.reading_words import Measured, corrections_of, job_for, piece_of, read_measured

router = APIRouter(prefix="/jobs", tags=["floor"])


@router.get("/{job_id}/floor")
def floor(job_id: str, place: At) -> FloorPlan:
    """Everything the screens at the brake need of this job, pictures too."""
    screens = _screens(plan_of(place, job_id), job_id)
    return replace(screens, dropped=place.store.job_line(job_id).dropped_at is not None)


@router.put("/{job_id}/readings/{reading_id}", responses={201: {"model": ReadingKept}})
def put_reading(job_id: str, reading_id: UUID, words: ReadingWords, place: At, response: Response) -> ReadingKept:
    """Keep a reading under the sender's UUID: 201 when it is new or says something new, 200 when the very same was here already.

    Nothing is kept of words that cannot be read (422); what is doubted is kept and said.
    """
    plan = plan_of(place, job_id)
    typed = words.model_dump(mode="json", exclude={"stroke", "withdrawn", "taken_at"})
    measured = read_measured(typed)
    findings = _held_against(plan, words, measured)
    put = place.store.put_reading(
        str(reading_id),
        job_id=job_id,
        stroke=words.stroke,
        bend_ids=list(measured.angles_deg),
        values=typed,
        taken_at=words.taken_at,
        withdrawn=words.withdrawn,
    )
    response.status_code = 201 if put.new else 200
    return reading_kept(put.reading, measured, findings)


@router.get("/{job_id}/readings")
def readings(job_id: str, place: At) -> list[ReadingKept]:
    """The readings of a job that hold, in the order they were taken."""
    plan = plan_of(place, job_id)
    kept = ((reading, read_measured(reading.values)) for reading in place.store.readings(job_id))
    return [reading_kept(reading, measured, _doubts(plan, measured)) for reading, measured in kept]


@router.get("/{job_id}/corrections")
def corrections(job_id: str, place: At, piece: Annotated[int, Query(ge=1, le=10_000_000)] = 1) -> CorrectionsPage:
    """What the readings of a piece, the first if no other is named, ask for at the brake as the shop has it now."""
    plan = plan_of(place, job_id)
    kept = [reading.values for reading in place.store.readings(job_id)]
    entries = [read_measured(typed) for typed in kept if typed["piece"] == piece]
    shop = read_shop_named(place.shop_name(place.store.job_line(job_id).shop))
    answer = corrections_of(plan, piece_of(entries))
    return corrections_page(plan, answer, shop.brakes.get(plan.brake_id), piece=piece, entries=len(entries))


@lru_cache(maxsize=8)
def _screens(plan: Plan, job_id: str) -> FloorPlan:
    return floor_plan(plan, job=job_id)


def _held_against(plan: Plan, words: ReadingWords, measured: Measured) -> list[Finding]:
    """What is doubted about an entry. Raises InputError: B231 no such stroke, B241 nothing read, T102 to T104, T108."""
    if words.stroke > len(plan.strokes):
        raise InputError(found("B231", where="stroke", number=words.stroke, count=len(plan.strokes)))
    if not words.withdrawn and not _anything(measured):
        raise InputError(found("B241", where="bends"))
    piece = piece_of([measured])
    check_piece(piece, job_for(plan))
    return _doubts(plan, measured)


def _anything(measured: Measured) -> bool:
    return bool(any(measured.angles_deg.values()) or measured.legs_mm or measured.thickness_mm)


def _doubts(plan: Plan, measured: Measured) -> list[Finding]:
    piece = piece_of([measured])
    job = job_for(plan)
    aims: dict[str, Any] = {aim.bend_id: aim for aim in job.bends}
    return [
        *(item for reading in piece.readings for item in slips(reading, aims[reading.bend_id])),
        *length_slips(piece, job),
    ]
