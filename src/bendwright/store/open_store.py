"""The one way to a store: its address in, its schema brought up to date, everything to do with it as methods."""

from __future__ import annotations

from bendwright.store.database import Database
from bendwright.store.jobs import Jobs
from bendwright.store.readings import Readings
from bendwright.store.schema import upgrade
from bendwright.store.sign_ins import SignIns


class Store(Jobs, Readings, SignIns):
    """Jobs, readings and sign-ins in one database. Threads may share it; ``close`` it at the end."""

    def close(self) -> None:
        """Let go of every connection."""
        self._database.close()

    @property
    def name(self) -> str:
        """The store's address, without any password."""
        return self._database.name


def open_store(url: str) -> Store:
    """The store at ``url``: a path or ``sqlite:///path`` (made when absent), or ``postgresql+psycopg://...``.

    Raises StoreError: B100 no such kind, B101 unreadable, B102 cannot be reached, B103 locked, B104 disk full, B105 not
    writable, B106 somebody else's tables, B107 driver missing, B108 written by a newer version.
    """
    database = Database(url)
    try:
        upgrade(database)
    except BaseException:
        database.close()
        raise
    return Store(database)
