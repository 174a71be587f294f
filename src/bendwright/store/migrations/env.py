"""Runs the steps on the connection the store hands over, inside its transaction."""

from __future__ import annotations

from alembic import context

from bendwright.store.schema import VERSION_TABLE
from bendwright.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    version_table=VERSION_TABLE,
    render_as_batch=True,
    compare_type=True,
    transaction_per_migration=False,
)
context.run_migrations()
