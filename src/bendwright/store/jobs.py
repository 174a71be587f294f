"""Jobs: added, changed, listed, dropped, taken back, purged."""

from __future__ import annotations

import secrets
from collections.abc import Collection, Mapping, Sequence
from dataclasses import fields
from datetime import UTC, datetime, timedelta
from typing import Any, TypeVar

from sqlalchemy import Connection, Row, delete, insert, select, update

from bendwright.findings import InputError, found
from bendwright.store.checks import check_row
from bendwright.store.database import Database
from bendwright.store.records import Job, JobLine, JobState
from bendwright.store.tables import jobs, readings

SIGNS = "23456789abcdefghjkmnpqrstuvwxyz"
"""Signs of an id: none that is taken for another when read off a sheet of paper."""
ID_LENGTH, LONGEST_ID = 10, 16
COLUMNS = {kind: tuple(jobs.c[field.name] for field in fields(kind)) for kind in (JobLine, Job)}
Kept = TypeVar("Kept", bound=JobLine)


def new_id() -> str:
    """A short id that can stand in an address, a file name and a QR code (about 50 bits)."""
    return "".join(secrets.choice(SIGNS) for _ in range(ID_LENGTH))


class Jobs:
    """What the store does with jobs."""

    def __init__(self, database: Database) -> None:
        """``database`` has its newest schema."""
        self._database = database

    def add_job(
        self,
        *,
        part: Mapping[str, Any],
        sheet: Mapping[str, Any],
        wishes: Mapping[str, Any],
        shop: str,
        part_no: str = "",
        revision: str = "",
        title: str = "",
        state: JobState = "waiting",
    ) -> Job:
        """Keep a new job under a new id, which is its folder's name too. InputError: B110 to B112, B115."""
        now, name = datetime.now(UTC), new_id()
        row: dict[str, Any] = {
            "id": name,
            "made_at": now,
            "changed_at": now,
            "part_no": part_no,
            "revision": revision,
            "title": title,
            "shop": shop,
            "state": state,
            "folder": name,
            "part": dict(part),
            "sheet": dict(sheet),
            "wishes": dict(wishes),
            "findings": [],
        }
        check_row(jobs, row)
        with self._database.writing() as connection:
            connection.execute(insert(jobs).values(row))
            return _one(connection, Job, name)

    def job(self, job_id: str) -> Job:
        """One job whole, dropped ones too. InputError (B120) when there is none of this id."""
        with self._database.reading() as connection:
            return _one(connection, Job, job_id)

    def job_line(self, job_id: str) -> JobLine:
        """One job without its part and plan: quick however large they are. InputError (B120)."""
        with self._database.reading() as connection:
            return _one(connection, JobLine, job_id)

    def jobs(
        self,
        *,
        states: Collection[JobState] = (),
        dropped: bool = False,
        limit: int | None = None,
        offset: int = 0,
    ) -> tuple[JobLine, ...]:
        """The jobs, newest first; only those in ``states`` if given; ``dropped`` lists the dropped ones instead."""
        lines = select(*COLUMNS[JobLine])
        lines = lines.where(jobs.c.dropped_at.is_not(None) if dropped else jobs.c.dropped_at.is_(None))
        if states:
            lines = lines.where(jobs.c.state.in_(states))
        lines = lines.order_by(jobs.c.made_at.desc(), jobs.c.id).limit(limit).offset(offset)
        with self._database.reading() as connection:
            return tuple(_record(JobLine, row) for row in connection.execute(lines))

    def change_job(
        self,
        job_id: str,
        *,
        only_in: Collection[JobState] = (),
        state: JobState | None = None,
        findings: Sequence[Mapping[str, Any]] | None = None,
        plan: Mapping[str, Any] | None = None,
        extras: Mapping[str, Any] | None = None,
        title: str | None = None,
    ) -> JobLine:
        """Change what is given, all at once; None leaves a field as it is.

        With ``only_in`` the change is made only while the job is in one of these states, so that an end that comes late
        cannot undo a stop. InputError: B120 no such job, B121 in another state, B110 to B115.
        """
        given = {"state": state, "findings": findings, "plan": plan, "extras": extras, "title": title}
        row = {name: value for name, value in given.items() if value is not None} | {"changed_at": datetime.now(UTC)}
        check_row(jobs, row)
        check_id(job_id)
        change = update(jobs).where(jobs.c.id == job_id).values(row)
        if only_in:
            change = change.where(jobs.c.state.in_(only_in))
        with self._database.writing() as connection:
            changed = connection.execute(change).rowcount
            job = _one(connection, JobLine, job_id)
            if not changed:
                raise InputError(found("B121", where=job_id, job=job_id, came=job.state, allowed=", ".join(only_in)))
            return job

    def drop_job(self, job_id: str) -> JobLine:
        """Take a job off the list. It stays, with its readings, until it is purged. InputError (B120)."""
        return self._set_dropped(job_id, datetime.now(UTC))

    def take_back_job(self, job_id: str) -> JobLine:
        """Undo a drop: the job is on the list again as it was. InputError (B120)."""
        return self._set_dropped(job_id, None)

    def purge_jobs(self, *, older_than: timedelta = timedelta(days=30)) -> tuple[str, ...]:
        """Delete for good what was dropped longer than this ago, with its readings; returns the names of their folders."""
        old = select(jobs.c.id, jobs.c.folder).where(jobs.c.dropped_at < datetime.now(UTC) - older_than)
        with self._database.writing() as connection:
            rows = connection.execute(old.with_for_update()).all()
            names = [row.id for row in rows]
            connection.execute(delete(readings).where(readings.c.job_id.in_(names)))
            connection.execute(delete(jobs).where(jobs.c.id.in_(names)))
        return tuple(row.folder for row in rows)

    def _set_dropped(self, job_id: str, when: datetime | None) -> JobLine:
        check_id(job_id)
        other = jobs.c.dropped_at.is_(None) if when is not None else jobs.c.dropped_at.is_not(None)
        with self._database.writing() as connection:
            connection.execute(update(jobs).where(jobs.c.id == job_id, other).values(dropped_at=when))
            return _one(connection, JobLine, job_id)


def check_id(job_id: str) -> None:
    """Raise InputError (B120) for what can be no job's id; such a text is not even asked for."""
    if len(job_id) > LONGEST_ID or not (job_id.isascii() and job_id.isalnum()):
        raise InputError(found("B120", where="job", job=repr(job_id[:40])))


def _one(connection: Connection, kind: type[Kept], job_id: str) -> Kept:
    check_id(job_id)
    row = connection.execute(select(*COLUMNS[kind]).where(jobs.c.id == job_id)).one_or_none()
    if row is None:
        raise InputError(found("B120", where="job", job=job_id))
    return _record(kind, row)


def _record(kind: type[Kept], row: Row[Any]) -> Kept:
    return kind(**{**row._mapping, "findings": tuple(row.findings)})
