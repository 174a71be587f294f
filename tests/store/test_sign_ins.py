"""Sessions end when they should, links work once, and nothing in the store is a token anybody could use."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest

from bendwright.findings import InputError
from bendwright.store.open_store import Store
from bendwright.store.records import Session

pytestmark = pytest.mark.origin("law", "a right that has ended is never given again")

DAY, NOW = timedelta(days=1), timedelta(0)
HASH, OTHER = "a" * 64, "b" * 64


def sign_in(store: Store, token_hash: str = HASH, idle: timedelta = DAY, longest: timedelta = 7 * DAY) -> Session:
    """Somebody in the office."""
    return store.add_session(token_hash, kind="office", label="Office", address="192.0.2.7", idle=idle, longest=longest)


def test_a_session_lives_as_long_as_it_is_used(store: Store) -> None:
    """Seen again it expires later, but never after its end; other hashes open nothing."""
    made = sign_in(store, idle=timedelta(minutes=1), longest=timedelta(hours=1))
    assert store.session(HASH) == made
    assert store.session(OTHER) is None
    seen = store.see_session(HASH, idle=timedelta(minutes=5))
    assert seen is not None
    assert made.expires_at + timedelta(minutes=3) < seen.expires_at <= seen.ends_at
    longest = store.see_session(HASH, idle=DAY)
    assert longest is not None
    assert longest.expires_at == longest.ends_at == made.ends_at


def test_a_session_that_is_over_opens_nothing(store: Store) -> None:
    """Neither by looking nor by using it, and the next sign-in sweeps it out."""
    sign_in(store, idle=NOW)
    assert (store.session(HASH), store.see_session(HASH, idle=DAY), store.sessions()) == (None, None, ())
    sign_in(store, HASH)
    assert store.session(HASH) is not None


def test_sessions_are_listed_and_ended_by_id(store: Store) -> None:
    """The list tells no token and no hash."""
    one, other = sign_in(store), sign_in(store, OTHER)
    assert {item.id for item in store.sessions()} == {one.id, other.id}
    assert HASH not in repr(store.sessions())
    assert store.end_session(one.id)
    assert not store.end_session(one.id)
    assert (store.session(HASH), store.session(OTHER)) == (None, other)


def test_a_new_passphrase_signs_everybody_out(store: Store) -> None:
    """Sessions and open links end; tokens for scripts are named and ended by hand."""
    store.set_passphrase_hash("scrypt$1")
    sign_in(store)
    store.add_link(OTHER, leads_to="/floor", label="Tablet", lasts=DAY)
    token = store.add_api_token(HASH, label="Stock list")
    store.set_passphrase_hash("scrypt$2")
    assert store.passphrase_hash() == "scrypt$2"
    assert (store.sessions(), store.use_link(OTHER)) == ((), None)
    assert [item.id for item in store.api_tokens()] == [token.id]


def test_a_link_works_once(store: Store) -> None:
    """Of eight who try it at once, one gets in."""
    store.add_link(HASH, leads_to="/floor/abc/1", label="Tablet at Wrack", lasts=DAY)
    gate = threading.Barrier(8)

    def use(_: int) -> bool:
        gate.wait()
        return store.use_link(HASH) is not None

    with ThreadPoolExecutor(8) as threads:
        assert sum(threads.map(use, range(8))) == 1
    assert store.use_link(HASH) is None


def test_a_link_that_is_over_opens_nothing(store: Store) -> None:
    """Nor does it come to life again."""
    store.add_link(HASH, leads_to="/floor", label="", lasts=NOW)
    assert (store.use_link(HASH), store.use_link(HASH)) == (None, None)


def test_a_token_for_a_script(store: Store) -> None:
    """Found by its hash, its use noted, ended by id."""
    made = store.add_api_token(HASH, label="Stock list")
    assert store.api_token(OTHER) is None
    found = store.api_token(HASH)
    assert found is not None
    assert (found.id, made.seen_at) == (made.id, None)
    assert store.api_tokens()[0].seen_at is not None
    assert (store.end_api_token(made.id), store.api_token(HASH)) == (True, None)


def test_labels_are_held_to_their_length(store: Store) -> None:
    """B110 here too."""
    with pytest.raises(InputError, match=r"B110 .*label has 121 characters; allowed are 120 at most"):
        store.add_api_token(HASH, label="x" * 121)
