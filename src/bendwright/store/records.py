"""What the store hands out: frozen records, JSON data as they were given."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

Json = dict[str, Any]
"""A JSON object; the store looks at its size, never at its meaning."""


JobState = Literal["waiting", "running", "done", "refused", "stopped", "failed"]
"""Where a job stands. The last four are ends; a job that ended may be started again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobLine:
    """One line in the list of jobs: everything of a job that is small. ``dropped_at`` is None unless it was dropped.

    ``findings`` are findings as JSON, ``extras`` whatever the bench keeps with the job, None while there is nothing.
    """

    id: str
    made_at: datetime
    changed_at: datetime
    part_no: str
    revision: str
    title: str
    shop: str
    state: JobState
    folder: str
    dropped_at: datetime | None
    findings: tuple[Json, ...]
    extras: Json | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Job(JobLine):
    """A job whole: its line, what it was asked with, and its plan (None while there is none)."""

    part: Json
    sheet: Json
    wishes: Json
    plan: Json | None


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptReading:
    """One reading as it was sent. ``id`` is the sender's UUID, ``version`` counts from 1 what was sent under it.

    ``taken_at`` is the sender's clock, ``received_at`` ours. ``withdrawn`` means the person took the reading back.
    """

    id: str
    version: int
    job_id: str
    stroke: int
    bend_ids: tuple[str, ...]
    values: Json
    withdrawn: bool
    taken_at: datetime
    received_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class PutReading:
    """What a write did: the reading as it is kept, and whether it was new (False = the same was here already)."""

    reading: KeptReading
    new: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """Somebody signed in. ``kind`` is ``office`` or ``floor``; ``ends_at`` comes however much the session is used."""

    id: str
    kind: str
    label: str
    address: str
    made_at: datetime
    seen_at: datetime
    expires_at: datetime
    ends_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A sign-in link that works once: where it leads, and until when."""

    leads_to: str
    label: str
    made_at: datetime
    expires_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class ApiToken:
    """A token for a script, by name; the token itself is kept nowhere."""

    id: str
    label: str
    made_at: datetime
    seen_at: datetime | None
