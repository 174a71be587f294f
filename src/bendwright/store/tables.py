"""The tables, as the newest schema has them. The migrations lead here from an empty database; a test holds both together."""

from __future__ import annotations

from datetime import UTC, datetime

from sqlalchemy import (
    JSON,
    CheckConstraint,
    Column,
    DateTime,
    Dialect,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    TypeDecorator,
    UniqueConstraint,
    false,
)
from sqlalchemy.types import Boolean

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}
"""How indexes and constraints are called, so that a migration can speak of them on every database."""

metadata = MetaData(naming_convention=NAMES)


class UtcTime(TypeDecorator[datetime]):
    """An aware time, kept in UTC; SQLite drops the zone, so it is put back on the way out."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """To UTC. ValueError for a time without zone: nobody knows when that was."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a time without zone cannot be kept")
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Back as an aware UTC time."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)


Json = JSON(none_as_null=True)
STATES = "state IN ('waiting', 'running', 'done', 'refused', 'stopped', 'failed')"

jobs = Table(
    "jobs",
    metadata,
    Column("id", String(16), primary_key=True),
    Column("made_at", UtcTime, nullable=False),
    Column("changed_at", UtcTime, nullable=False),
    Column("part_no", String(80), nullable=False),
    Column("revision", String(40), nullable=False),
    Column("title", String(200), nullable=False),
    Column("shop", String(80), nullable=False),
    Column("state", String(16), nullable=False),
    Column("folder", String(80), nullable=False),
    Column("dropped_at", UtcTime),
    Column("part", Json, nullable=False),
    Column("sheet", Json, nullable=False),
    Column("wishes", Json, nullable=False),
    Column("findings", Json, nullable=False),
    Column("extras", Json),
    Column("plan", Json),
    CheckConstraint(STATES, name="state"),
    Index(None, "made_at"),
)

readings = Table(
    "readings",
    metadata,
    Column("id", String(36), primary_key=True),
    Column("version", Integer, primary_key=True, autoincrement=False),
    Column("job_id", String(16), ForeignKey("jobs.id"), nullable=False),
    Column("stroke", Integer, nullable=False),
    Column("bend_ids", Json, nullable=False),
    Column("readings", Json, nullable=False),
    Column("withdrawn", Boolean, nullable=False, server_default=false()),
    Column("taken_at", UtcTime, nullable=False),
    Column("received_at", UtcTime, nullable=False),
    Column("digest", String(64), nullable=False),
    UniqueConstraint("id", "digest"),
    CheckConstraint("version >= 1", name="version"),
    Index(None, "job_id"),
)

passphrases = Table(
    "passphrases",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("hash", String(200), nullable=False),
    Column("set_at", UtcTime, nullable=False),
    CheckConstraint("id = 1", name="only_one"),
)

sessions = Table(
    "sessions",
    metadata,
    Column("token_hash", String(64), primary_key=True),
    Column("id", String(16), nullable=False),
    Column("kind", String(16), nullable=False),
    Column("label", String(120), nullable=False),
    Column("address", String(64), nullable=False),
    Column("made_at", UtcTime, nullable=False),
    Column("seen_at", UtcTime, nullable=False),
    Column("expires_at", UtcTime, nullable=False),
    Column("ends_at", UtcTime, nullable=False),
    UniqueConstraint("id"),
    CheckConstraint("kind IN ('office', 'floor')", name="kind"),
)

links = Table(
    "links",
    metadata,
    Column("token_hash", String(64), primary_key=True),
    Column("leads_to", String(200), nullable=False),
    Column("label", String(120), nullable=False),
    Column("made_at", UtcTime, nullable=False),
    Column("expires_at", UtcTime, nullable=False),
)

api_tokens = Table(
    "api_tokens",
    metadata,
    Column("token_hash", String(64), primary_key=True),
    Column("id", String(16), nullable=False),
    Column("label", String(120), nullable=False),
    Column("made_at", UtcTime, nullable=False),
    Column("seen_at", UtcTime),
    UniqueConstraint("id"),
)
