"""Who may come in: the passphrase's hash, sessions, links that work once, tokens for scripts. Tokens are kept hashed only."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from datetime import UTC, datetime, timedelta
from typing import Any, TypeVar

from sqlalchemy import Table, delete, insert, select, update

from bendwright.store.checks import check_row
from bendwright.store.database import Database
from bendwright.store.jobs import new_id
from bendwright.store.records import ApiToken, Link, Session
from bendwright.store.tables import api_tokens, links, passphrases, sessions

Kept = TypeVar("Kept", Session, Link, ApiToken)


class SignIns:
    """What the store does with sign-ins. Every ``token_hash`` is the SHA-256 of a random token, in hex."""

    def __init__(self, database: Database) -> None:
        """``database`` has its newest schema."""
        self._database = database

    def passphrase_hash(self) -> str | None:
        """The hash of the passphrase with its salt and cost; None while none is set."""
        with self._database.reading() as connection:
            return connection.execute(select(passphrases.c.hash)).scalar_one_or_none()

    def set_passphrase_hash(self, text: str) -> None:
        """Set or change the passphrase. Everybody who is signed in is signed out, open links are void."""
        row = {"id": 1, "hash": text, "set_at": datetime.now(UTC)}
        check_row(passphrases, row)
        with self._database.writing() as connection:
            for table in (passphrases, sessions, links):
                connection.execute(delete(table))
            connection.execute(insert(passphrases).values(row))

    def add_session(
        self, token_hash: str, *, kind: str, label: str, address: str, idle: timedelta, longest: timedelta
    ) -> Session:
        """Sign somebody in: until unused for ``idle``, and for ``longest`` at most. Sessions that are over are swept out."""
        now = datetime.now(UTC)
        row = {
            "token_hash": token_hash,
            "id": new_id(),
            "kind": kind,
            "label": label,
            "address": address,
            "made_at": now,
            "seen_at": now,
            "expires_at": min(now + idle, now + longest),
            "ends_at": now + longest,
        }
        check_row(sessions, row)
        with self._database.writing() as connection:
            connection.execute(delete(sessions).where(sessions.c.expires_at <= now))
            connection.execute(insert(sessions).values(row))
        return _record(Session, row)

    def session(self, token_hash: str) -> Session | None:
        """The session of this token; None when there is none or it is over."""
        live = select(sessions).where(sessions.c.token_hash == token_hash, sessions.c.expires_at > datetime.now(UTC))
        with self._database.reading() as connection:
            row = connection.execute(live).one_or_none()
        return None if row is None else _record(Session, row._mapping)

    def see_session(self, token_hash: str, *, idle: timedelta) -> Session | None:
        """The session was used just now: it expires ``idle`` later, never after its end. None when it is over."""
        now = datetime.now(UTC)
        live = sessions.c.token_hash == token_hash, sessions.c.expires_at > now
        with self._database.writing() as connection:
            row = connection.execute(select(sessions).where(*live)).one_or_none()
            if row is None:
                return None
            seen = {"seen_at": now, "expires_at": min(now + idle, row.ends_at)}
            connection.execute(update(sessions).where(*live).values(seen))
            return _record(Session, connection.execute(select(sessions).where(*live)).one()._mapping)

    def sessions(self) -> tuple[Session, ...]:
        """Everybody signed in now, the last one first."""
        live = select(sessions).where(sessions.c.expires_at > datetime.now(UTC))
        with self._database.reading() as connection:
            rows = connection.execute(live.order_by(sessions.c.made_at.desc(), sessions.c.id)).all()
        return tuple(_record(Session, row._mapping) for row in rows)

    def end_session(self, session_id: str) -> bool:
        """Sign a session out; False when there was none of this id."""
        return self._delete(sessions, session_id)

    def add_link(self, token_hash: str, *, leads_to: str, label: str, lasts: timedelta) -> Link:
        """Keep a link that works once and for ``lasts``. Links that are over are swept out."""
        now = datetime.now(UTC)
        row = {
            "token_hash": token_hash,
            "leads_to": leads_to,
            "label": label,
            "made_at": now,
            "expires_at": now + lasts,
        }
        check_row(links, row)
        with self._database.writing() as connection:
            connection.execute(delete(links).where(links.c.expires_at <= now))
            connection.execute(insert(links).values(row))
        return _record(Link, row)

    def use_link(self, token_hash: str) -> Link | None:
        """Take a link and with it use it up: of many who try at once, one gets it. None when there is none or it is over."""
        with self._database.writing() as connection:
            row = connection.execute(select(links).where(links.c.token_hash == token_hash)).one_or_none()
            gone = connection.execute(delete(links).where(links.c.token_hash == token_hash)).rowcount
        return _record(Link, row._mapping) if row is not None and gone and row.expires_at > datetime.now(UTC) else None

    def add_api_token(self, token_hash: str, *, label: str) -> ApiToken:
        """Keep a token for a script, until it is ended."""
        row = {"token_hash": token_hash, "id": new_id(), "label": label, "made_at": datetime.now(UTC), "seen_at": None}
        check_row(api_tokens, row)
        with self._database.writing() as connection:
            connection.execute(insert(api_tokens).values(row))
        return _record(ApiToken, row)

    def api_token(self, token_hash: str) -> ApiToken | None:
        """The token of this hash, and note that it was used (to the hour); None when there is none."""
        now, own = datetime.now(UTC), api_tokens.c.token_hash == token_hash
        with self._database.reading() as connection:
            row = connection.execute(select(api_tokens).where(own)).one_or_none()
        if row is not None and (row.seen_at is None or now - row.seen_at > timedelta(hours=1)):
            with self._database.writing() as connection:
                connection.execute(update(api_tokens).where(own).values(seen_at=now))
        return None if row is None else _record(ApiToken, row._mapping)

    def api_tokens(self) -> tuple[ApiToken, ...]:
        """All tokens, the last made first."""
        with self._database.reading() as connection:
            rows = connection.execute(select(api_tokens).order_by(api_tokens.c.made_at.desc())).all()
        return tuple(_record(ApiToken, row._mapping) for row in rows)

    def end_api_token(self, token_id: str) -> bool:
        """End a token; False when there was none of this id."""
        return self._delete(api_tokens, token_id)

    def _delete(self, table: Table, row_id: str) -> bool:
        with self._database.writing() as connection:
            return connection.execute(delete(table).where(table.c.id == row_id)).rowcount > 0


def _record(kind: type[Kept], row: Mapping[Any, Any]) -> Kept:
    return kind(**{field.name: row[field.name] for field in fields(kind)})
