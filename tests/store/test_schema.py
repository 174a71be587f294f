"""The schema: the steps lead where the tables say, older stores are brought up with what is in them, newer ones are left alone."""

from __future__ import annotations

import sqlite3
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import CheckConstraint, inspect

from bendwright.store.database import Database
from bendwright.store.open_store import open_store
from bendwright.store.schema import VERSION_TABLE, known_revisions, revision_of, upgrade
from bendwright.store.tables import metadata
from bendwright.store.trouble import StoreError

pytestmark = pytest.mark.origin("law", "an upgraded store holds what it held before, under the newest tables")

OLD_JOB = """INSERT INTO jobs (id, made_at, changed_at, part_no, revision, title, shop, state, folder, part, sheet, wishes, findings)
VALUES ('oldjob2345', '2026-11-01 08:00:00', '2026-11-01 08:00:00', 'SI-1', 'A', 'Stair tread', 'saltmarsh', 'done', 'oldjob2345',
'{"a": 1}', '{}', '{}', '[]')"""


def test_the_steps_lead_to_the_tables(url: str) -> None:
    """From an empty database to the newest schema: columns, types, indexes, unique keys, foreign keys, checks, defaults."""
    database = Database(url)
    upgrade(database)
    with database.reading() as connection:
        context = MigrationContext.configure(
            connection, opts={"version_table": VERSION_TABLE, "compare_type": True, "compare_server_default": True}
        )
        assert compare_metadata(context, metadata) == []
        assert revision_of(connection) == known_revisions()[-1]
        found = inspect(connection)
        for table in metadata.sorted_tables:
            wanted = {
                str(check.name) for check in table.constraints if isinstance(check, CheckConstraint) and check.name
            }
            assert {str(check["name"]) for check in found.get_check_constraints(table.name)} == wanted
            assert found.get_pk_constraint(table.name)["constrained_columns"] == [c.name for c in table.primary_key]
            assert found.get_pk_constraint(table.name)["name"] == f"pk_{table.name}"
    database.close()


def test_an_old_store_is_brought_up_with_what_is_in_it(tmp_path: Path) -> None:
    """The jobs are there, and the file as it was lies beside it."""
    path = tmp_path / "bench.db"
    first = known_revisions()[0]
    database = Database(str(path))
    upgrade(database, first)
    with database.writing() as connection:
        connection.exec_driver_sql(OLD_JOB)
    database.close()
    store = open_store(str(path))
    assert (store.job("oldjob2345").title, store.job("oldjob2345").part) == ("Stair tread", {"a": 1})
    assert store.passphrase_hash() is None
    store.close()
    kept = sqlite3.connect(tmp_path / f"bench~{first}.db")
    assert kept.execute("SELECT title FROM jobs").fetchall() == [("Stair tread",)]
    assert kept.execute(f"SELECT version_num FROM {VERSION_TABLE}").fetchall() == [(first,)]
    kept.close()


def test_a_store_opened_again_is_not_touched(tmp_path: Path) -> None:
    """No copy is made when there is nothing to do."""
    for _ in range(2):
        open_store(str(tmp_path / "bench.db")).close()
    assert [path.name for path in tmp_path.glob("*~*")] == []


def test_many_open_an_empty_store_at_once(url: str) -> None:
    """One makes the tables, the others wait and find them."""
    with ThreadPoolExecutor(4) as threads:
        for store in list(threads.map(open_store, [url] * 4)):
            assert store.jobs() == ()
            store.close()


def test_a_newer_store_is_left_alone(url: str) -> None:
    """B108 with both schemas; the revision in it is still the newer one."""
    database = Database(url)
    upgrade(database)
    with database.writing() as connection:
        connection.exec_driver_sql(f"UPDATE {VERSION_TABLE} SET version_num = '9999'")
    with pytest.raises(StoreError, match=r"B108 .*newer version \(schema 9999; this version knows up to \d{4}\)"):
        open_store(url)
    with database.reading() as connection:
        assert revision_of(connection) == "9999"
    database.close()
