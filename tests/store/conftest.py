"""Stores to test with: a fresh SQLite file, and a database of a PostgreSQL server that lives as long as the tests."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import tempfile
import time
import uuid
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from bendwright.store.open_store import Store, open_store

NOBODY = "nobody"


@pytest.fixture(scope="session")
def postgres() -> Iterator[Callable[[], str]]:
    """Makes the address of an empty place in a PostgreSQL database; skips where there is neither a server nor the programs of one."""
    pytest.importorskip("psycopg", reason="the PostgreSQL driver is not installed (extra postgres)")
    given = os.environ.get("BENDWRIGHT_TEST_POSTGRES")
    if given:
        yield lambda: _fresh(given)
        return
    initdb, postgres = _program("initdb"), _program("postgres")
    if not initdb or not postgres:
        pytest.skip("no PostgreSQL server on this machine, and BENDWRIGHT_TEST_POSTGRES names none")
    folder = Path(tempfile.mkdtemp(prefix="bw"))
    user = NOBODY if os.geteuid() == 0 else None
    if user:
        shutil.chown(folder, user)
    data = folder / "data"
    quiet = {"user": user, "cwd": folder, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    subprocess.run([initdb, "-D", data, "-A", "trust", "-U", "bench", "--no-sync", "-E", "UTF8"], check=True, **quiet)  # type: ignore[call-overload]
    server = subprocess.Popen([postgres, "-D", data, "-k", folder, "-c", "listen_addresses=", "-F"], **quiet)  # type: ignore[call-overload]
    try:
        for _ in range(200):
            if (folder / ".s.PGSQL.5432").exists():
                break
            time.sleep(0.05)
        yield lambda: _fresh(f"postgresql+psycopg://bench@/postgres?host={folder}")
    finally:
        server.send_signal(signal.SIGQUIT)
        server.wait(10)
        shutil.rmtree(folder, ignore_errors=True)


def _program(name: str) -> str | None:
    """Where a program of the server is: on the path, or where Debian keeps those of each version."""
    kept = sorted(map(str, Path("/usr/lib/postgresql").glob("*/bin")), reverse=True)
    return shutil.which(name) or shutil.which(name, path=os.pathsep.join(kept))


def _fresh(url: str) -> str:
    """A new, empty schema in the database at ``url``, and the address that leads into it."""
    import sqlalchemy

    name = f"bench_{uuid.uuid4().hex[:12]}"
    address = sqlalchemy.make_url(url)
    for attempt in range(100):
        engine = sqlalchemy.create_engine(address, isolation_level="AUTOCOMMIT")
        try:
            with engine.connect() as connection:
                connection.exec_driver_sql(f"CREATE SCHEMA {name}")
            break
        except sqlalchemy.exc.OperationalError:
            if attempt == 99:
                raise
            time.sleep(0.1)
        finally:
            engine.dispose()
    return address.update_query_dict({"options": f"-csearch_path={name}"}).render_as_string(hide_password=False)


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The address of an empty store, on each kind of database."""
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path / 'bench.db'}"
    made: str = request.getfixturevalue("postgres")()
    return made


@pytest.fixture
def store(url: str) -> Iterator[Store]:
    """A fresh store on each kind of database."""
    opened = open_store(url)
    yield opened
    opened.close()
