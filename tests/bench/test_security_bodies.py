"""What may be sent: so much, so fast, of these kinds, under plain names."""

from __future__ import annotations

import asyncio
import io
import socket
import threading
import time
import zipfile
from collections.abc import AsyncIterator, Iterator
from pathlib import Path

import httpx
import pytest
import uvicorn
from hypothesis import given
from hypothesis import strategies as some
from security_bench import HERE, TestClient, bench, bench_app, code_of

from bendwright.bench.security import slow_requests
from bendwright.bench.security.file_names import LONGEST_BYTES, attachment, inside, safe_name
from bendwright.bench.security.settings import SecuritySettings
from bendwright.bench.security.slow_requests import server_options
from bendwright.bench.security.uploads import Kind, check_room, kind_of, kinds_of
from bendwright.findings import InputError
from bendwright.store.open_store import open_store

pytestmark = pytest.mark.origin("law", "what is sent is counted, not believed")

SMALL = {"body_bytes": 10_000, "upload_bytes": 50_000, "body_seconds": 0.3, "upload_seconds": 0.3}
STEP = b"ISO-10303-21;\nHEADER;\nENDSEC;\n"
DXF = b"  0\r\nSECTION\r\n  2\r\nHEADER\r\n"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    """A bench with small limits."""
    with bench(tmp_path, **SMALL) as opened:
        yield opened


def send(folder: Path, path: str, pieces: list[bytes], pause_s: float = 0.0, **headers: str) -> httpx.Response:
    """Post ``pieces`` one by one, without saying how much there will be."""
    store = open_store(str(folder / "chunks.db"))

    async def body() -> AsyncIterator[bytes]:
        for piece in pieces:
            await asyncio.sleep(pause_s)
            yield piece

    async def post() -> httpx.Response:
        transport = SlowTransport(app=bench_app(SecuritySettings(**SMALL), store))  # type: ignore[arg-type]
        async with httpx.AsyncClient(transport=transport, base_url=HERE) as client:
            return await client.post(path, content=body(), headers={"Content-Type": "application/json", **headers})

    answer = asyncio.run(post())
    store.close()
    return answer


class SlowTransport(httpx.ASGITransport):
    """The in-process transport; the body is pulled piece by piece, as a server does."""


def test_too_large_by_its_own_word(client: TestClient) -> None:
    """B420 before a byte is read."""
    assert code_of(client.post("/api/v1/jobs", content=b"x" * 10_001)) == (413, "B420")
    answer = client.post("/api/v1/jobs", content=b"{}", headers={"Content-Length": "9" * 40})
    assert code_of(answer) == (413, "B420")
    assert answer.headers["connection"] == "close"
    assert client.app.state.seen == []  # type: ignore[attr-defined]


def test_too_large_without_a_word(tmp_path: Path) -> None:
    """A body in chunks is counted as it comes: B420, whatever the app made of the half of it."""
    pieces = [b'{"a": "'] + [b"x" * 1000] * 40 + [b'"}']
    assert code_of(send(tmp_path, "/api/v1/jobs", pieces)) == (413, "B420")
    assert code_of(send(tmp_path, "/api/v1/jobs", pieces, **{"Content-Length": "5"})) == (413, "B420")
    assert send(tmp_path, "/api/v1/jobs", [b'{"a": "', b"x" * 1000, b'"}']).status_code == 200


def test_too_large_as_a_form(tmp_path: Path) -> None:
    """Uploads have a limit of their own, and only at their own addresses."""
    head = b'--b\r\nContent-Disposition: form-data; name="file"; filename="a.step"\r\n\r\n'
    kind = {"Content-Type": "multipart/form-data; boundary=b"}
    fits = [head, STEP, b"\n" * 30_000, b"\r\n--b--\r\n"]
    assert send(tmp_path, "/api/v1/parts/file", fits, **kind).text == "step"
    assert code_of(send(tmp_path, "/api/v1/parts/file", [head, *[b"x" * 9000] * 8], **kind)) == (413, "B420")
    assert code_of(send(tmp_path, "/api/v1/jobs", fits, **kind)) == (413, "B420")


def test_too_slow(tmp_path: Path) -> None:
    """B421 when the whole has not arrived in its time, however steadily it drips."""
    answer = send(tmp_path, "/api/v1/jobs", [b" "] * 50, pause_s=0.02)
    assert code_of(answer) == (408, "B421")
    assert send(tmp_path, "/api/v1/jobs", [b"{", b"}"], pause_s=0.02).status_code == 200


@pytest.mark.parametrize("packed", ["gzip", "br", "deflate", "zstd", "gzip, identity", "x"])
def test_nothing_is_unpacked(client: TestClient, packed: str) -> None:
    """B422 for a body that would grow."""
    assert code_of(client.post("/api/v1/jobs", json={}, headers={"Content-Encoding": packed})) == (415, "B422")
    assert client.post("/api/v1/jobs", json={}, headers={"Content-Encoding": "identity"}).status_code == 200


def test_an_archive_is_not_opened(client: TestClient) -> None:
    """A zip bomb is 1 MB of zeros in a kilobyte: B424, nothing of it is unpacked, under whatever name it comes."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("part.step", bytes(1_000_000))
    for name in ("part.step", "part.zip", "part.dxf"):
        answer = client.post("/api/v1/parts/file", files={"file": (name, packed.getvalue(), "model/step")})
        assert code_of(answer) == (422, "B424")


@pytest.mark.parametrize(
    ("data", "kind"),
    [
        (STEP, "step"),
        (b"\xef\xbb\xbf\r\n/* made by hand */ ISO-10303-21 ;\nHEADER;", "step"),
        (DXF, "dxf"),
        (b"999\nby hand\n999\nagain\n0\nSECTION\n", "dxf"),
        (b"twenty two signs..\r\n\x1a\x00\x00\x01", "dxf"),
        (b'{"kind": "bendwright part"}', "json"),
        (b"part_no: SI-104\nrevision: C\n", "yaml"),
        ("# Blech für Köpfe\nprofile: 15 u90 40\n".encode(), "yaml"),
        (b"id;opening\nV8;8\n", "csv"),
        ("Größe,Länge\n1,2\n".encode("cp1252"), "csv"),
    ],
)
def test_a_file_is_what_is_in_it(data: bytes, kind: Kind) -> None:
    """Each kind by its beginning; a cut through a letter at the end does no harm."""
    everything: tuple[Kind, ...] = ("step", "dxf", "json", "csv", "yaml")
    assert kinds_of(data)[0] == kind
    assert kind_of(data, [kind]) == kind
    assert kind_of(data + b"\n" * 70_000 + b"\xc3", everything) == kind


@pytest.mark.parametrize(
    "data",
    [
        b"\x7fELF\x02\x01\x01\x00",
        b"MZ\x90\x00\x03\x00",
        b"\x89PNG\r\n\x1a\n\x00\x00",
        b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n",
        b"<html><script>alert(1)</script></html>",
        b"<?xml version='1.0'?><!DOCTYPE x [<!ENTITY a 'aaaa'>]><svg>&a;</svg>",
        b"#!/bin/sh\nrm -rf\n",
        bytes(range(256)),
    ],
)
def test_anything_else_is_refused(client: TestClient, data: bytes) -> None:
    """B423 for programs, pictures and pages, also when they are called a drawing."""
    answer = client.post("/api/v1/parts/file", files={"file": ("part.step", data, "model/step")})
    assert code_of(answer) == (422, "B423")


@pytest.mark.parametrize(
    "data",
    [
        b"\n" * 70_000,
        b"/**/" * 20_000,
        b"/*" * 40_000,
        b" " * 70_000 + b"x",
        b"999\n\n" * 20_000,
        b"- " * 40_000,
        b"a" * 70_000,
        b'"' * 70_000 + b",",
        (b"a" * 79 + b"\n") * 900,
        b"\n\t" * 40_000,
    ],
)
def test_no_file_holds_the_look_up(data: bytes) -> None:
    """Beginnings made to send a pattern back and forth are done with in the time of any other."""
    began = time.process_time()
    kinds_of(data[:65_536])
    assert time.process_time() - began < 0.5


def test_an_empty_file(client: TestClient) -> None:
    """B425, blanks included."""
    for data in (b"", b" \r\n\t\n"):
        assert code_of(client.post("/api/v1/parts/file", files={"file": ("a.dxf", data)})) == (422, "B425")


@pytest.mark.parametrize(
    ("came", "kept"),
    [
        ("../../etc/passwd", "passwd"),
        ("..\\..\\windows\\system.ini", "system.ini"),
        ("C:\\Users\\x\\Rail (2).STEP", "Rail (2).STEP"),
        ("/", "drawing"),
        ("..", "drawing"),
        (".bashrc", "bashrc"),
        ("a\0b.dxf", "ab.dxf"),
        ("rail\r\nSet-Cookie: x=1.dxf", "railSet-Cookie_ x_1.dxf"),
        ('rail"; filename="evil.exe', "rail__ filename__evil.exe"),
        ("gpj.\u202exfd.exe", "gpj.xfd.exe"),
        ("Dachrinne für Köpfe.dxf", "Dachrinne für Köpfe.dxf"),
        ("con", "drawing_con"),
        ("NUL.step", "drawing_NUL.step"),
        ("rail.step. . .", "rail.step"),
        ("a/b/\u2215etc", "_etc"),
        ("$(reboot)`x`;|", "_(reboot)_x___"),
        ("~root", "_root"),
        ("-rf", "-rf"),
    ],
)
def test_a_name_is_only_a_name(came: str, kept: str) -> None:
    """No folders, no line ends, no quotes, no letters that turn the direction, none of the system's own names."""
    assert safe_name(came) == kept


@given(some.text(max_size=400))
def test_no_name_leads_out(tmp_path_factory: pytest.TempPathFactory, came: str) -> None:
    """Whatever is typed stays in its folder, fits every file system, and cannot break a header."""
    name = safe_name(came)
    assert name == Path(name).name
    assert 1 <= len(name.encode()) <= LONGEST_BYTES
    assert not name.startswith(".")
    assert safe_name(name) == name
    folder = tmp_path_factory.getbasetemp()
    assert inside(folder, came).parent == folder.resolve()
    header = attachment(came)
    assert header.isascii()
    assert header.isprintable()
    assert header.count('"') == 2


def test_a_link_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    """Nor is the folder itself ever the file."""
    (tmp_path / "jobs").mkdir()
    (tmp_path / "secret").write_text("x")
    (tmp_path / "jobs" / "plan.json").symlink_to(tmp_path / "secret")
    assert inside(tmp_path / "jobs", "plan.json") == tmp_path / "jobs" / "drawing"
    assert inside(tmp_path / "jobs", ".") == tmp_path / "jobs" / "drawing"


def test_a_file_name_comes_back_in_the_header_unharmed(client: TestClient) -> None:
    """Through the whole way: a name with line ends makes no second header."""
    name = "rail\r\nX-Evil: 1\r\n\r\n<script>.step"
    answer = client.post("/api/v1/parts/file", files={"file": (name, STEP)})
    assert answer.text == "step"
    assert "x-evil" not in answer.headers
    assert answer.headers["content-disposition"].startswith('attachment; filename="')


def test_the_disk_has_a_quota(tmp_path: Path) -> None:
    """B426 says what is needed and what is left; a full disk counts too."""
    (tmp_path / "deep").mkdir()
    (tmp_path / "deep" / "a.bin").write_bytes(bytes(600_000))
    check_room(tmp_path, coming_bytes=400_000, quota_bytes=1_000_000)
    with pytest.raises(InputError, match=r"B426 .*needs 0.5 MB; there is room for 0.4 MB"):
        check_room(tmp_path, coming_bytes=500_000, quota_bytes=1_000_000)
    with pytest.raises(InputError, match=r"B426"):
        check_room(tmp_path, coming_bytes=1 << 60, quota_bytes=1 << 62)


def test_a_connection_that_says_nothing_is_closed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A real server: a head that drips is cut off, a slow answer and an honest request are not."""
    monkeypatch.setattr(slow_requests, "HEAD_S", 0.3)
    store = open_store(str(tmp_path / "bench.db"))
    options = server_options(SecuritySettings())
    listening = socket.create_server(("127.0.0.1", 0))
    port = listening.getsockname()[1]
    server = uvicorn.Server(uvicorn.Config(bench_app(SecuritySettings(), store), log_level="critical", **options))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
    thread.start()
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=5) as drip:
            began, closed = time.monotonic(), False
            while not closed and time.monotonic() - began < 5:
                try:
                    drip.sendall(b"X")
                    drip.settimeout(0.05)
                    closed = drip.recv(1) == b""
                except TimeoutError:
                    continue
                except OSError:
                    closed = True
            assert closed
            assert time.monotonic() - began < 3
        answer = httpx.get(f"http://127.0.0.1:{port}/api/v1/jobs")
        assert (answer.status_code, answer.headers.get("server")) == (200, None)
    finally:
        server.should_exit = True
        thread.join(10)
        listening.close()
        store.close()
