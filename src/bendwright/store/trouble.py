"""What a database can fail at, told so that a person can act on it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from bendwright.findings import BendwrightError, Finding, found

SIGNS = {
    "file is not a database": "B101",
    "malformed": "B101",
    "unable to open": "B102",
    "could not connect": "B102",
    "connection failed": "B102",
    "connection refused": "B102",
    "failed to resolve": "B102",
    "locked": "B103",
    "busy": "B103",
    "disk is full": "B104",
    "no space left": "B104",
    "could not extend file": "B104",
    "readonly": "B105",
    "read-only": "B105",
    "permission denied": "B105",
}
"""Words of a database's complaint, and the finding they mean; the first that is in it counts."""


class StoreError(BendwrightError, RuntimeError):
    """The store cannot be opened, read or written; what was in it is as it was before."""


@contextmanager
def told(name: str) -> Iterator[None]:
    """Turn the database's own errors into a StoreError about the store ``name``; IntegrityError goes through."""
    try:
        yield
    except IntegrityError:
        raise
    except PoolTimeout:
        raise StoreError(found("B103", where=name, name=name)) from None
    except DBAPIError as error:
        raise StoreError(_finding(name, error)) from None


def _finding(name: str, error: DBAPIError) -> Finding:
    words = " ".join(str(error.orig).split())
    signs = (code for sign, code in SIGNS.items() if sign in words.lower())
    code = next(signs, "B102" if isinstance(error, OperationalError) and error.connection_invalidated else "B109")
    return found(code, where=name, name=name, problem=words[:300])
