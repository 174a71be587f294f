"""On a network: who is not signed in gets nothing, guesses are slowed, links work once, a tablet may only read and measure."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as some
from security_bench import SHOP, TestClient, bench, code_of, sign_in

from bench_talk import PASSPHRASE
from bendwright.bench.security.attempts import (
    EVERY_S,
    FREE,
    LONGEST_S,
    MOST_ADDRESSES,
    TOGETHER,
    Attempts,
    neighbourhood,
)
from bendwright.bench.security.gate import CHECK_HEADER
from bendwright.bench.security.links import safe_way
from bendwright.bench.security.passphrases import (
    check_passphrase,
    hash_passphrase,
    passphrase_fits,
    settle_passphrase,
)
from bendwright.bench.security.settings import Spell
from bendwright.bench.security.tokens import check_word, check_word_fits, kept_hash, new_token
from bendwright.findings import InputError
from bendwright.store.open_store import open_store

pytestmark = pytest.mark.origin("law", "no right without a secret, no secret kept readable, no right after its end")

READING = "/api/v1/jobs/abc/readings/0f8fad5b-d9cb-469f-a165-70867728950e"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    """A bench for the network."""
    with bench(tmp_path, base_url=SHOP, lan=True, names=("bench.shop",)) as opened:
        yield opened


def test_nobody_gets_anything(client: TestClient) -> None:
    """B403 for every address of the interface, known or not; the empty pages themselves are open."""
    for method, path in (("GET", "jobs"), ("POST", "jobs"), ("GET", "nothing"), ("GET", "sessions"), ("POST", "links")):
        assert code_of(client.request(method, f"/api/v1/{path}")) == (401, "B403")
    assert code_of(client.post("/plan")) == (401, "B403")
    assert client.get("/sign-in").status_code == 200
    assert client.get("/api/v1/session").json() == {"lan": True, "kind": None, "check": None, "leads_to": None}
    assert client.app.state.seen == []  # type: ignore[attr-defined]


def test_the_right_passphrase_lets_in(client: TestClient) -> None:
    """The cookie is out of reach of scripts and other sites, and the token stands nowhere in the store."""
    answer = client.post("/api/v1/sign-in", json={"passphrase": PASSPHRASE})
    cookie = answer.headers["set-cookie"]
    assert answer.json()["kind"] == "office"
    assert {"HttpOnly", "SameSite=Strict", "Path=/", "Max-Age=43200"} <= set(cookie.split("; "))
    assert client.get("/api/v1/jobs").json() == ["office"]
    token = client.cookies["bendwright"]
    assert len(token) == 43
    database = client.app.state.store._database.path  # type: ignore[attr-defined]
    written = database.read_bytes() + database.with_name(database.name + "-wal").read_bytes()
    assert token.encode() not in written
    assert PASSPHRASE.encode() not in written
    assert kept_hash(token).encode() in written


def test_the_cookie_under_tls(tmp_path: Path) -> None:
    """Secure, and named so that no other host can set it."""
    with bench(tmp_path, base_url="https://bench.shop", lan=True, https=True, names=("bench.shop",)) as client:
        cookie = client.post("/api/v1/sign-in", json={"passphrase": PASSPHRASE}).headers["set-cookie"]
    assert cookie.startswith("__Host-bendwright=")
    assert {"Secure", "HttpOnly", "SameSite=Strict"} <= set(cookie.split("; "))


@pytest.mark.parametrize("wrong", ["", PASSPHRASE.upper(), PASSPHRASE + " ", "x" * 1000, "\ud83d"])
def test_a_wrong_one_does_not(client: TestClient, wrong: str) -> None:
    """B407, no cookie."""
    body = '{"passphrase": "' + wrong.encode("utf-16", "surrogatepass").decode("utf-16", "replace") + '"}'
    answer = client.post("/api/v1/sign-in", content=body.encode(), headers={"Content-Type": "application/json"})
    assert code_of(answer) == (401, "B407")
    assert "set-cookie" not in answer.headers


def test_changes_need_the_check_word(client: TestClient) -> None:
    """B404 without it, with a wrong one, with that of another session; reading needs none."""
    check = sign_in(client)
    other = check_word(new_token())
    for headers in ({}, {CHECK_HEADER: ""}, {CHECK_HEADER: other}, {CHECK_HEADER: check[CHECK_HEADER][:-1]}):
        assert code_of(client.post("/api/v1/jobs", json={}, headers=headers)) == (403, "B404")
        assert code_of(client.put(READING, json={}, headers=headers)) == (403, "B404")
        assert code_of(client.post("/api/v1/sign-out", headers=headers)) == (403, "B404")
    assert client.get("/api/v1/jobs").status_code == 200
    assert client.app.state.seen == ["jobs"]  # type: ignore[attr-defined]
    assert client.post("/api/v1/jobs", json={}, headers=check).status_code == 200
    assert client.get("/api/v1/session").json()["check"] == check[CHECK_HEADER]


def test_the_rules_for_other_pages_hold_here_too(client: TestClient) -> None:
    """With cookie and check word: B402 from elsewhere, B401 under a strange name; numbers and given names are ours."""
    check = sign_in(client)
    from_elsewhere = check | {"Origin": "http://attacker.example"}
    assert code_of(client.post("/api/v1/jobs", json={}, headers=from_elsewhere)) == (403, "B402")
    assert code_of(client.post("/api/v1/sign-in", json={"passphrase": PASSPHRASE}, headers=from_elsewhere)) == (
        403,
        "B402",
    )
    assert code_of(client.get("/", headers={"Host": "attacker.example"})) == (403, "B401")
    for host in ("192.168.7.20:4117", "[fd00::7]:4117", "bench.shop", "localhost"):
        assert client.get("/", headers={"Host": host}).status_code == 200


def test_a_session_brought_along_is_not_taken(client: TestClient) -> None:
    """Session fixation: whatever cookie came, the sign-in is under a new one, and the old one ends."""
    chosen = {"Cookie": "bendwright=chosen-by-somebody-else"}
    answer = client.post("/api/v1/sign-in", json={"passphrase": PASSPHRASE}, headers=chosen)
    assert answer.status_code == 200
    first = client.cookies["bendwright"]
    assert first != "chosen-by-somebody-else"
    sign_in(client)
    second = client.cookies["bendwright"]
    assert second != first
    client.cookies.clear()
    assert code_of(client.get("/api/v1/jobs", headers={"Cookie": f"bendwright={first}"})) == (401, "B403")
    assert client.get("/api/v1/jobs", headers={"Cookie": f'odd cookie; x="1; bendwright={second}'}).status_code == 200


def test_signing_out_ends_it_here_and_there(client: TestClient) -> None:
    """The cookie is taken away, and a copy of it opens nothing."""
    check = sign_in(client)
    copy = client.cookies["bendwright"]
    answer = client.post("/api/v1/sign-out", headers=check)
    assert answer.status_code == 204
    assert "Max-Age=0" in answer.headers["set-cookie"]
    assert code_of(client.get("/api/v1/jobs", headers={"Cookie": f"bendwright={copy}"})) == (401, "B403")


def test_sessions_are_listed_and_ended(client: TestClient) -> None:
    """A lost tablet is signed out from the office (B409 a second time)."""
    check = sign_in(client)
    link = client.post("/api/v1/links", json={"label": "Tablet at Wrack"}, headers=check).json()["address"]
    tablet = TestClient(client.app, base_url=SHOP)
    tablet.post("/api/v1/sign-in/link", json={"token": link.split("link=")[1]})
    listed = {item["label"]: item for item in client.get("/api/v1/sessions").json()}
    assert {label: (item["kind"], item["own"]) for label, item in listed.items()} == {
        "Office": ("office", True),
        "Tablet at Wrack": ("floor", False),
    }
    assert tablet.get("/api/v1/jobs").status_code == 200
    lost = f"/api/v1/sessions/{listed['Tablet at Wrack']['id']}"
    assert client.delete(lost, headers=check).status_code == 204
    assert code_of(tablet.get("/api/v1/jobs")) == (401, "B403")
    assert code_of(client.delete(lost, headers=check)) == (404, "B409")


def test_a_session_slides_and_ends(tmp_path: Path) -> None:
    """Unused for its time it is over; used it goes on and the browser is told; after its longest time it is over however used."""
    with bench(
        tmp_path, base_url=SHOP, lan=True, office=Spell(idle=timedelta(0), longest=timedelta(hours=1))
    ) as client:
        cookie = client.post("/api/v1/sign-in", json={"passphrase": PASSPHRASE}).headers["set-cookie"]
        assert code_of(client.get("/api/v1/jobs", headers={"Cookie": cookie.split(";")[0]})) == (401, "B403")
    with bench(tmp_path, base_url=SHOP, lan=True) as client:
        sign_in(client)
        assert "set-cookie" not in client.get("/api/v1/jobs").headers
        with client.app.state.store._database.writing() as connection:  # type: ignore[attr-defined]
            connection.exec_driver_sql("UPDATE sessions SET seen_at = '2026-01-01 00:00:00'")
        assert "Max-Age=43200" in client.get("/api/v1/jobs").headers["set-cookie"]
        with client.app.state.store._database.writing() as connection:  # type: ignore[attr-defined]
            connection.exec_driver_sql("UPDATE sessions SET expires_at = '2026-01-01 00:00:00'")
        assert code_of(client.get("/api/v1/jobs")) == (401, "B403")


def test_a_link_works_once(client: TestClient) -> None:
    """B408 for the second who tries it, for one made up, and after its time."""
    check = sign_in(client)
    made = client.post("/api/v1/links", json={"leads_to": "/floor/abc/1", "minutes": 5}, headers=check).json()
    assert made["qr_svg"].startswith("<svg")
    assert made["address"].startswith(f"{SHOP}/sign-in#link=")
    token = made["address"].split("link=")[1]
    tablet, thief = TestClient(client.app, base_url=SHOP), TestClient(client.app, base_url=SHOP)
    answer = tablet.post("/api/v1/sign-in/link", json={"token": token}).json()
    assert (answer["kind"], answer["leads_to"]) == ("floor", "/floor/abc/1")
    for said in (token, new_token(), ""):
        answer = thief.post("/api/v1/sign-in/link", json={"token": said})
        assert code_of(answer) == (401, "B408")
        assert "set-cookie" not in answer.headers
    assert tablet.get("/api/v1/jobs").json() == ["floor"]


@pytest.mark.parametrize(
    "way",
    [
        "//attacker.example",
        "http://attacker.example",
        "/\\attacker.example",
        "/floor/../api/v1/jobs",
        "javascript:alert(1)",
        "/floor?x=1",
        "/a\r\nSet-Cookie: x=1",
        "/api/v1/jobs",
        "floor",
        "",
    ],
)
def test_a_link_leads_nowhere_else(client: TestClient, way: str) -> None:
    """B414 for anything but a plain path of a page."""
    assert code_of(client.post("/api/v1/links", json={"leads_to": way}, headers=sign_in(client))) == (422, "B414")
    assert safe_way("/floor/2b7x9k4mnp/12") == "/floor/2b7x9k4mnp/12"


def test_a_tablet_may_look_and_measure(client: TestClient) -> None:
    """Readings and signing out, nothing else that writes, and no list of sign-ins (B405)."""
    link = client.post("/api/v1/links", json={}, headers=sign_in(client)).json()["address"]
    tablet = TestClient(client.app, base_url=SHOP)
    check = {CHECK_HEADER: tablet.post("/api/v1/sign-in/link", json={"token": link.split("link=")[1]}).json()["check"]}
    assert tablet.put(READING, json={}, headers=check).status_code == 200
    assert tablet.get("/api/v1/jobs").status_code == 200
    for method, path in (
        ("POST", "/api/v1/jobs"),
        ("DELETE", "/api/v1/jobs/abc"),
        ("POST", "/api/v1/links"),
        ("GET", "/api/v1/sessions"),
        ("GET", "/api/v1/tokens"),
        ("PUT", READING + "/../../../../shops/a"),
        ("PUT", READING + "%2f..%2fx"),
    ):
        assert code_of(tablet.request(method, path, headers=check)) == (403, "B405"), path
    assert tablet.post("/api/v1/sign-out", headers=check).status_code == 204


def test_a_token_for_a_script(client: TestClient) -> None:
    """It needs no check word, cannot make itself another, is told once, and ends when it is ended."""
    check = sign_in(client)
    made = client.post("/api/v1/tokens", json={"label": "Stock list"}, headers=check).json()
    assert made["token"].startswith("bw_")
    assert [item["token"] for item in client.get("/api/v1/tokens").json()] == [None]
    script = TestClient(client.app, base_url=SHOP, headers={"Authorization": f"Bearer {made['token']}"})
    assert script.post("/api/v1/jobs", json={}).status_code == 200
    assert script.get("/api/v1/jobs").json() == ["script"]
    assert code_of(script.post("/api/v1/tokens", json={"label": "more"})) == (403, "B405")
    for wrong in ("Bearer bw_wrong", "Bearer ", f"Basic {made['token']}", "Bearer " + made["token"][3:]):
        assert code_of(script.get("/api/v1/jobs", headers={"Authorization": wrong})) == (401, "B403")
    assert client.delete(f"/api/v1/tokens/{made['id']}", headers=check).status_code == 204
    assert code_of(script.get("/api/v1/jobs")) == (401, "B403")
    assert code_of(client.delete(f"/api/v1/tokens/{made['id']}", headers=check)) == (404, "B409")


def test_guessing_is_slowed(client: TestClient) -> None:
    """B406 after three, with the seconds to wait, even for the right one; who is signed in goes on working."""
    sign_in(client)
    guesser = TestClient(client.app, base_url=SHOP)
    for _ in range(FREE):
        assert code_of(guesser.post("/api/v1/sign-in", json={"passphrase": "guess guess guess"})) == (401, "B407")
    answer = guesser.post("/api/v1/sign-in", json={"passphrase": PASSPHRASE})
    assert code_of(answer) == (429, "B406")
    assert 1 <= int(answer.headers["retry-after"]) <= 3
    assert code_of(guesser.post("/api/v1/sign-in/link", json={"token": "guess"})) == (429, "B406")
    assert client.get("/api/v1/jobs").status_code == 200


def test_the_wait_doubles_to_a_quarter_of_an_hour() -> None:
    """1, 2, 4 ... s between tries that are wrong; a day of guessing from one address is about a hundred tries."""
    now = [0.0]
    attempts = Attempts(lambda: now[0])
    tries, waits = 0, []
    while now[0] < 86_400.0:
        wait = attempts.begin("192.0.2.7")
        tries, now[0] = tries + (wait == 0.0), now[0] + max(wait, 0.01)
        waits += [round(wait)] if wait else []
    assert waits[:6] == [1, 2, 4, 8, 16, 32]
    assert max(waits) == LONGEST_S
    assert 90 < tries < 120


def test_all_guessers_together_are_slowed() -> None:
    """From ten thousand addresses at once: thirty tries, then one in six seconds; memory does not grow with them."""
    now = [0.0]
    attempts = Attempts(lambda: now[0])
    at_once = sum(attempts.begin(f"10.0.{number // 250}.{number % 250}") == 0.0 for number in range(10_000))
    assert at_once == TOGETHER
    now[0] += 600 * EVERY_S
    assert sum(attempts.begin(f"10.1.{number // 250}.{number % 250}") == 0.0 for number in range(10_000)) == TOGETHER
    for number in range(MOST_ADDRESSES + 500):
        now[0] += EVERY_S
        assert attempts.begin(f"10.2.{number // 250}.{number % 250}") == 0.0
    assert len(attempts) == MOST_ADDRESSES


def test_who_signs_in_rightly_is_not_slowed() -> None:
    """However often, and after a few slips."""
    attempts = Attempts(lambda: 0.0)
    for _ in range(100):
        assert [attempts.begin("192.0.2.7"), attempts.begin("192.0.2.7")] == [0.0, 0.0]
        attempts.succeeded("192.0.2.7")
        attempts._level = 0.0


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("192.0.2.7", "192.0.2.8", False),
        ("2001:db8::1", "2001:db8::ffff:1", True),
        ("2001:db8::1", "2001:db8:0:1::1", False),
        ("::ffff:192.0.2.7", "192.0.2.7", True),
        ("fe80::1%eth0", "fe80::1%eth1", True),
        ("testclient", "other", False),
    ],
)
def test_who_counts_as_one_guesser(one: str, other: str, same: bool) -> None:
    """An IPv4 address in any spelling, a whole /64 of IPv6."""
    assert (neighbourhood(one) == neighbourhood(other)) == same


@pytest.mark.parametrize("weak", ["", "eleven char", "aaaaaaaaaaaaaaaa", "abababababababab", "x" * 201])
def test_a_weak_passphrase_is_not_taken(weak: str) -> None:
    """B410 says what is asked."""
    with pytest.raises(InputError, match=r"B410 .*it must have 12 to 200, of at least 5 different kinds"):
        check_passphrase(weak)
    check_passphrase(PASSPHRASE)


@given(some.text(min_size=1, max_size=30), some.text(min_size=1, max_size=30))
def test_what_is_hashed_fits_itself_alone(one: str, other: str) -> None:
    """The check word of a token fits no other token, and no token is its own check word; of two tokens two hashes are kept."""
    assert check_word_fits(one, check_word(one))
    assert check_word_fits(one, check_word(other)) == (one == other)
    assert not check_word_fits(one, one)
    assert (kept_hash(one) == kept_hash(other)) == (one == other)


def test_the_kept_hash() -> None:
    """Salted, with its cost; the same passphrase typed on another keyboard fits; nothing fits where none is kept."""
    kept = hash_passphrase("Blechbörse am Deich")
    assert kept.startswith("scrypt$15$8$1$")
    assert kept != hash_passphrase("Blechbörse am Deich")
    assert passphrase_fits("Blechbo\u0308rse am Deich", kept)
    assert not passphrase_fits("Blechborse am Deich", kept)
    assert not passphrase_fits("", None)
    assert not passphrase_fits("Blechbörse am Deich" + "x" * 500, kept)


def test_the_passphrase_is_settled_before_others_come(tmp_path: Path) -> None:
    """Given, kept from before, or asked for; B411 when there is none and nobody to ask."""
    store = open_store(str(tmp_path / "bench.db"))
    with pytest.raises(InputError, match=r"B411 .*by passphrase only, and none is set.*BENDWRIGHT_PASSPHRASE"):
        settle_passphrase(store, given=None)
    with pytest.raises(InputError, match=r"B410"):
        settle_passphrase(store, given="short")
    assert store.passphrase_hash() is None
    assert settle_passphrase(store, given=None, ask=lambda: PASSPHRASE)
    kept = store.passphrase_hash()
    assert not settle_passphrase(store, given=None, ask=lambda: "never asked for this")
    assert not settle_passphrase(store, given=PASSPHRASE)
    assert store.passphrase_hash() == kept
    assert settle_passphrase(store, given="another one altogether")
    assert passphrase_fits("another one altogether", store.passphrase_hash())
    store.close()
