"""Readings from the floor: sent as often as the network likes, kept once; changed ones are kept beside the old."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, Row, insert, select
from sqlalchemy.exc import IntegrityError

from bendwright.findings import InputError, found
from bendwright.store.checks import check_row, json_text, uuid_text
from bendwright.store.database import Database
from bendwright.store.jobs import check_id
from bendwright.store.records import Json, KeptReading, PutReading
from bendwright.store.tables import jobs, readings

MOST_VERSIONS = 200
"""A reading changed more often than this is a loop in the sender, not a person."""


class Readings:
    """What the store does with readings."""

    def __init__(self, database: Database) -> None:
        """``database`` has its newest schema."""
        self._database = database

    def put_reading(
        self,
        reading_id: str,
        *,
        job_id: str,
        stroke: int,
        bend_ids: Sequence[str],
        values: Json,
        taken_at: datetime,
        withdrawn: bool = False,
    ) -> PutReading:
        """Keep a reading under the sender's UUID; sending it again changes nothing.

        Other content under the same UUID is a new version beside the old ones. Content that any version has already is
        not kept again: a late repeat of an old message undoes nothing. InputError: B110 to B115, B120 no such job, B130
        the UUID belongs to another job, B131 changed too often, B132 no such stroke number.
        """
        content = {
            "id": uuid_text(reading_id),
            "job_id": job_id,
            "stroke": stroke,
            "bend_ids": list(bend_ids),
            "readings": dict(values),
            "taken_at": taken_at,
            "withdrawn": withdrawn,
        }
        check_row(readings, content)
        check_id(job_id)
        if not 1 <= stroke <= 1000:
            raise InputError(found("B132", where="stroke", came=stroke))
        said = json_text(content | {"taken_at": taken_at.astimezone(UTC).isoformat()})
        row = content | {"digest": hashlib.sha256(said.encode()).hexdigest(), "received_at": datetime.now(UTC)}
        try:
            with self._database.writing() as connection:
                return _put(connection, row)
        except IntegrityError:  # somebody else wrote under this UUID in the same moment: now his row is seen
            with self._database.writing() as connection:
                return _put(connection, row)

    def readings(self, job_id: str, *, every_version: bool = False) -> tuple[KeptReading, ...]:
        """The readings of a job, as they were taken in time: of each the version that holds, withdrawn ones left out.

        The version that holds is the one taken last, whenever it arrived; a tablet whose clock is ahead took it when it was received.
        ``every_version`` gives all that was ever sent.
        """
        check_id(job_id)
        with self._database.reading() as connection:
            rows = connection.execute(select(readings).where(readings.c.job_id == job_id)).all()
        kept = sorted(
            (_reading(row) for row in rows),
            key=lambda item: (min(item.taken_at, item.received_at), item.version, item.id),
        )
        if every_version:
            return tuple(kept)
        holds = {item.id: item for item in kept}
        return tuple(item for item in kept if holds[item.id] is item and not item.withdrawn)


def _put(connection: Connection, row: dict[str, Any]) -> PutReading:
    job = select(jobs.c.id).where(jobs.c.id == row["job_id"]).with_for_update()
    if connection.execute(job).one_or_none() is None:
        raise InputError(found("B120", where="job", job=row["job_id"]))
    earlier = connection.execute(select(readings).where(readings.c.id == row["id"])).all()
    if any(other.job_id != row["job_id"] for other in earlier):
        raise InputError(found("B130", where=row["id"], reading=row["id"]))
    same = next((other for other in earlier if other.digest == row["digest"]), None)
    if same is not None:
        return PutReading(reading=_reading(same), new=False)
    if len(earlier) >= MOST_VERSIONS:
        raise InputError(found("B131", where=row["id"], reading=row["id"], allowed=MOST_VERSIONS))
    row = row | {"version": len(earlier) + 1}
    connection.execute(insert(readings).values(row))
    kept = select(readings).where(readings.c.id == row["id"], readings.c.version == row["version"])
    return PutReading(reading=_reading(connection.execute(kept).one()), new=True)


def _reading(row: Row[Any]) -> KeptReading:
    return KeptReading(
        id=row.id,
        version=row.version,
        job_id=row.job_id,
        stroke=row.stroke,
        bend_ids=tuple(row.bend_ids),
        values=row.readings,
        withdrawn=row.withdrawn,
        taken_at=row.taken_at,
        received_at=row.received_at,
    )
