"""The schema is brought up to date when a store is opened, in one transaction; the file as it was is kept beside it."""

from __future__ import annotations

from contextlib import closing
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, inspect

from bendwright.findings import found
from bendwright.said import say
from bendwright.store.database import Database
from bendwright.store.tables import metadata
from bendwright.store.trouble import StoreError, told

if TYPE_CHECKING:
    from alembic.config import Config

VERSION_TABLE = "bendwright_schema"
"""Where the database says which schema it has."""
ONE_AT_A_TIME = 8_211_926
"""Number of the lock PostgreSQL holds while a schema is upgraded (any number nobody else uses)."""


def upgrade(database: Database, to: str = "head") -> None:
    """Bring the schema to revision ``to``. StoreError: B101, B106 not ours, B108 newer than known, and what a database can do."""
    with told(database.name), closing(database.bare()) as connection:
        sqlite = database.path is not None
        if sqlite:
            connection.exec_driver_sql("PRAGMA foreign_keys = OFF")
            connection.rollback()
        try:
            with connection.begin():
                _upgrade(database, connection, to)
        finally:
            if sqlite:
                connection.rollback()
                connection.connection.driver_connection.execute("PRAGMA foreign_keys = ON")  # type: ignore[union-attr]


def revision_of(connection: Connection) -> str | None:
    """The schema's revision as the database tells it; None for a database that has none yet."""
    from alembic.migration import MigrationContext

    context = MigrationContext.configure(connection, opts={"version_table": VERSION_TABLE})
    return context.get_current_revision()


def known_revisions() -> tuple[str, ...]:
    """All revisions this version knows, oldest first."""
    from alembic.script import ScriptDirectory

    scripts = ScriptDirectory.from_config(_config())
    return tuple(script.revision for script in reversed(list(scripts.walk_revisions())))


def _upgrade(database: Database, connection: Connection, to: str) -> None:
    from alembic import command

    if database.path is None:
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({ONE_AT_A_TIME})")
    now = revision_of(connection)
    there = set(inspect(connection).get_table_names())
    if now is None and (there if database.path is not None else there & set(metadata.tables)):
        raise StoreError(found("B106", where=database.name, name=database.name))
    if now is not None and now not in known_revisions():
        known = known_revisions()[-1]
        raise StoreError(found("B108", where=database.name, name=database.name, came=now, known=known))
    if now == (known_revisions()[-1] if to == "head" else to):
        return
    if now is not None and database.path is not None:
        _keep_as_it_was(database.path, now)
    config = _config()
    config.attributes["connection"] = connection
    command.upgrade(config, to)
    if database.path is not None and (broken := connection.exec_driver_sql("PRAGMA foreign_key_check").first()):
        raise StoreError(
            found("B109", where=database.name, name=database.name, problem=say("typed.row_torn", table=broken[0]))
        )


@cache
def _config() -> Config:
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", (Path(__file__).parent / "migrations").as_posix().replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config


def _keep_as_it_was(path: Path, revision: str) -> None:
    """Copy the database beside itself as ``name~REVISION.db`` before it is changed; an older copy stays."""
    import sqlite3

    kept = path.with_name(f"{path.stem}~{revision}{path.suffix}")
    if not kept.exists():
        with closing(sqlite3.connect(path)) as old, closing(sqlite3.connect(kept)) as new:
            old.backup(new)
        kept.chmod(0o600)
