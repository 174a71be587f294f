"""Passphrase, sessions, links that work once, tokens for scripts."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

from bendwright.store.tables import UtcTime

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Make the four tables."""
    op.create_table(
        "passphrases",
        sa.Column("id", sa.Integer(), nullable=False, autoincrement=False),
        sa.Column("hash", sa.String(200), nullable=False),
        sa.Column("set_at", UtcTime(), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_passphrases_only_one")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_passphrases")),
    )
    op.create_table(
        "sessions",
        sa.Column("token_hash", sa.String(64), nullable=False),
        sa.Column("id", sa.String(16), nullable=False),
        sa.Column("kind", sa.String(16), nullable=False),
        sa.Column("label", sa.String(120), nullable=False),
        sa.Column("address", sa.String(64), nullable=False),
        sa.Column("made_at", UtcTime(), nullable=False),
        sa.Column("seen_at", UtcTime(), nullable=False),
        sa.Column("expires_at", UtcTime(), nullable=False),
        sa.Column("ends_at", UtcTime(), nullable=False),
        sa.CheckConstraint("kind IN ('office', 'floor')", name=op.f("ck_sessions_kind")),
        sa.PrimaryKeyConstraint("token_hash", name=op.f("pk_sessions")),
        sa.UniqueConstraint("id", name=op.f("uq_sessions_id")),
    )
    op.create_table(
        "links",
        sa.Column("token_hash", sa.String(64), nullable=False),
        sa.Column("leads_to", sa.String(200), nullable=False),
        sa.Column("label", sa.String(120), nullable=False),
        sa.Column("made_at", UtcTime(), nullable=False),
        sa.Column("expires_at", UtcTime(), nullable=False),
        sa.PrimaryKeyConstraint("token_hash", name=op.f("pk_links")),
    )
    op.create_table(
        "api_tokens",
        sa.Column("token_hash", sa.String(64), nullable=False),
        sa.Column("id", sa.String(16), nullable=False),
        sa.Column("label", sa.String(120), nullable=False),
        sa.Column("made_at", UtcTime(), nullable=False),
        sa.Column("seen_at", UtcTime()),
        sa.PrimaryKeyConstraint("token_hash", name=op.f("pk_api_tokens")),
        sa.UniqueConstraint("id", name=op.f("uq_api_tokens_id")),
    )
