"""The addresses for signing in, on a network, with requests made up from their description: by whoever is signed in, and by nobody."""

from __future__ import annotations

import itertools
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from benching import TestClient, a_bench
from fuzzing import broken_by, operations_of

from bench_talk import API, PASSPHRASE
from bendwright.bench.security import sign_in
from bendwright.bench.security.attempts import FORGOTTEN_S, FREE, LONGEST_S, Attempts
from bendwright.bench.security.gate import CHECK_HEADER
from bendwright.bench.security.passphrases import hash_passphrase
from bendwright.bench.security.settings import SecuritySettings
from bendwright.bench.security.tokens import API_MARK, check_word, kept_hash, new_token
from bendwright.store.open_store import Store

Who = Callable[[], Mapping[str, str]]
USUAL, WRONG = 12, 3
GUESSES = 25
GUESSED_AT = (f"{API}/sign-in", f"{API}/sign-in/link")
WEEK = timedelta(days=7)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The clock of whoever counts guesses: it stands still until a test moves it."""
    now = [0.0]
    monkeypatch.setattr(sign_in, "Attempts", lambda: Attempts(lambda: now[0]))
    return now


@pytest.fixture
def target(clock: list[float], tmp_path: Path) -> Iterator[TestClient]:
    """A bench that lets others in by a passphrase."""
    with a_bench(tmp_path, security=SecuritySettings(lan=True)) as client:
        store_of(client).set_passphrase_hash(hash_passphrase(PASSPHRASE))
        yield client


def store_of(bench: TestClient) -> Store:
    """What the bench keeps."""
    store: Store = bench.app.state.place.store  # type: ignore[attr-defined]
    return store


def sign_ins(bench: TestClient) -> list[Any]:
    """The addresses looked at here."""
    found = [one for one in operations_of(bench.app.openapi()) if "sign-in" in (one.tags or [])]  # type: ignore[attr-defined]
    assert {one.path for one in found} >= {*GUESSED_AT, f"{API}/sessions", f"{API}/tokens", f"{API}/links"}
    return found


def with_session(store: Store, kind: str) -> dict[str, str]:
    """Headers of somebody who has just signed in."""
    token = new_token()
    store.add_session(kept_hash(token), kind=kind, label="L", address="192.0.2.1", idle=WEEK, longest=WEEK)
    return {"Cookie": f"bendwright={token}", CHECK_HEADER: check_word(token)}


def with_token(store: Store) -> dict[str, str]:
    """Headers of a script."""
    token = API_MARK + new_token()
    store.add_api_token(kept_hash(token), label="stock list")
    return {"Authorization": f"Bearer {token}"}


def whoever(store: Store) -> dict[str, Who]:
    """Everybody who may come, by what he is."""
    return {
        "nobody": dict,
        "office": lambda: with_session(store, "office"),
        "floor": lambda: with_session(store, "floor"),
        "script": lambda: with_token(store),
        "stranger": lambda: {"Cookie": "bendwright=" + "x" * 43, CHECK_HEADER: "x", "Authorization": "Bearer bw_x"},
    }


def there(store: Store) -> dict[str, Any]:
    """What is right, by the name of the field: the passphrase, links that work, sign-ins and tokens that may be ended."""
    links = [new_token() for _ in range(20)]
    for link in links:
        store.add_link(kept_hash(link), leads_to="/floor", label="tablet", lasts=WEEK)
    for _ in range(USUAL):
        with_session(store, "floor")
        with_token(store)
    return {
        "passphrase": [PASSPHRASE],
        "label": ["Office", "", "x" * 120],
        "token": links,
        "session_id": [session.id for session in store.sessions()],
        "token_id": [one.id for one in store.api_tokens()],
        "leads_to": ["/floor", "/floor/abc", "//elsewhere", "https://elsewhere"],
    }


@pytest.mark.origin(
    "law", "OpenAPI 3.1: a description binds the one who gives it; RFC 9110: 5xx is a failure of the server"
)
def test_no_request_breaks_signing_in(target: TestClient, clock: list[float]) -> None:
    """As the description wants to be asked and otherwise, about half of it with what is right; only the office gets anything."""
    store, operations = store_of(target), sign_ins(target)
    for kind, who in whoever(store).items():
        statuses: dict[str, set[int]] = defaultdict(set)

        def heard(answer: Any, statuses: dict[str, set[int]] = statuses) -> None:
            statuses[answer.request.url.path].add(answer.status_code)
            clock[0] += FORGOTTEN_S + LONGEST_S + 1.0  # no guess is remembered here

        known = there(store)
        broken = [
            line for one in operations for line in broken_by(target, one, known, USUAL, WRONG, who=who, heard=heard)
        ]
        assert not broken, kind + ": " + "\n\n".join(broken)
        for path in GUESSED_AT:
            assert {200, 401} <= statuses[path] <= {200, 400, 401, 403, 415, 422}, (kind, path)
        for path in ("sessions", "tokens", "links"):
            allowed = {status for status in statuses[f"{API}/{path}"] if status < 300}
            assert bool(allowed) == (kind == "office"), (kind, path)


@pytest.mark.origin("law", "however a guess is written, one address has three before it waits")
def test_no_request_gets_around_the_limit(target: TestClient, clock: list[float]) -> None:
    """While the clock stands: three answers that tell a guess was wrong, whatever is sent and by whomever it says it was sent; then none,
    not even to who knows the passphrase. What is no guess at all is not counted. When the clock has gone on, it is let in.
    """
    told, said_by = Counter[int](), itertools.count()

    def who() -> dict[str, str]:
        number = next(said_by)
        return {"X-Forwarded-For": f"198.51.100.{number % 250}", "Forwarded": f"for=198.51.100.{number % 250}"}

    def heard(answer: Any) -> None:
        told[answer.status_code] += 1
        assert answer.status_code != 429 or int(answer.headers["Retry-After"]) >= 1

    guesses = [one for one in sign_ins(target) if one.path in GUESSED_AT]
    assert len(guesses) == len(GUESSED_AT)
    broken = [line for one in guesses for line in broken_by(target, one, {}, GUESSES, WRONG, who=who, heard=heard)]
    assert not broken, "\n\n".join(broken)
    assert told[401] == FREE
    assert told[429] > GUESSES // 2
    assert set(told) <= {400, 401, 413, 415, 422, 429}
    right = {"json": {"passphrase": PASSPHRASE}}
    assert target.post(GUESSED_AT[0], **right).status_code == 429
    clock[0] += LONGEST_S
    assert target.post(GUESSED_AT[0], **right).status_code == 200
