"""Jobs and readings."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from bendwright.store.tables import UtcTime

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make both tables."""
    op.create_table(
        "jobs",
        sa.Column("id", sa.String(16), nullable=False),
        sa.Column("made_at", UtcTime(), nullable=False),
        sa.Column("changed_at", UtcTime(), nullable=False),
        sa.Column("part_no", sa.String(80), nullable=False),
        sa.Column("revision", sa.String(40), nullable=False),
        sa.Column("title", sa.String(200), nullable=False),
        sa.Column("shop", sa.String(80), nullable=False),
        sa.Column("state", sa.String(16), nullable=False),
        sa.Column("folder", sa.String(80), nullable=False),
        sa.Column("dropped_at", UtcTime()),
        sa.Column("part", sa.JSON(), nullable=False),
        sa.Column("sheet", sa.JSON(), nullable=False),
        sa.Column("wishes", sa.JSON(), nullable=False),
        sa.Column("findings", sa.JSON(), nullable=False),
        sa.Column("extras", sa.JSON()),
        sa.Column("plan", sa.JSON()),
        sa.CheckConstraint(
            "state IN ('waiting', 'running', 'done', 'refused', 'stopped', 'failed')", name=op.f("ck_jobs_state")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jobs")),
    )
    op.create_index(op.f("ix_jobs_made_at"), "jobs", ["made_at"])
    op.create_table(
        "readings",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("job_id", sa.String(16), nullable=False),
        sa.Column("stroke", sa.Integer(), nullable=False),
        sa.Column("bend_ids", sa.JSON(), nullable=False),
        sa.Column("readings", sa.JSON(), nullable=False),
        sa.Column("taken_at", UtcTime(), nullable=False),
        sa.Column("received_at", UtcTime(), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("withdrawn", sa.Boolean(), nullable=False, server_default=sa.false()),
        sa.CheckConstraint("version >= 1", name=op.f("ck_readings_version")),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_readings_job_id")),
        sa.PrimaryKeyConstraint("id", "version", name=op.f("pk_readings")),
        sa.UniqueConstraint("id", "digest", name=op.f("uq_readings_id_digest")),
    )
    op.create_index(op.f("ix_readings_job_id"), "readings", ["job_id"])
