"""The square code on the setup sheet: where it leads when the bench planned the job, and what it holds when the command did."""

from __future__ import annotations

import io
import json
import threading
from pathlib import Path
from typing import Any

import pytest
import segno

from bench_talk import PROFILE
from bendwright.bench import serve
from bendwright.bench.jobs import Jobs
from bendwright.bench.security.settings import SecuritySettings
from bendwright.bench.settings import BenchSettings
from bendwright.bench.tasks import plan as task
from bendwright.drawing.quick_profile import quick_profile
from bendwright.drawing.saved_part import part_to_json
from bendwright.part.model import Header
from bendwright.store.open_store import open_store


class Heard:
    """Stands in for the planners: remembers what it was asked."""

    def __init__(self) -> None:
        self.given: list[dict[str, Any]] = []
        self.asked = threading.Event()

    def ask(self, name: str, given: dict[str, Any], **_: Any) -> task.Files:
        """One job planned, with nothing written."""
        self.given.append(given)
        self.asked.set()
        return task.Files(names={}, findings=())


def _part() -> dict[str, Any]:
    header = Header(part_no="SI-4410", revision="B", material="S235", thickness_mm=2.0)
    return dict(json.loads(part_to_json(quick_profile(PROFILE["profile"], header=header), read_from="typed")))


@pytest.mark.origin("law", "a code is of use only where a tablet can follow it")
def test_jobs_hand_the_address_on(tmp_path: Path) -> None:
    """A job planned by the bench is given its own page for the floor; without an address none is made up."""
    store = open_store(f"sqlite:///{tmp_path / 'bench.sqlite'}")
    for address, wanted in (("http://brake-hall:4117", "http://brake-hall:4117/floor/{id}"), ("", "")):
        planners = Heard()
        jobs = Jobs(store, planners, tmp_path, lambda name: name, address)  # type: ignore[arg-type]
        jobs.start()
        job = jobs.add(part=_part(), sheet={}, shop="saltmarsh", wishes={})
        assert planners.asked.wait(10.0)
        jobs.end()
        assert [given["address"] for given in planners.given] == [wanted.format(id=job.id)]
    store.close()


@pytest.mark.origin("law", "the code on the sheet holds the address letter for letter")
def test_the_sheet_carries_the_address(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The picture on the sheet is the code of the address, made anew here; the command's holds the plan's mark."""
    import bendwright.sheets.setup_sheet as sheet

    codes: list[str] = []
    real = sheet.setup_content

    def content(*args: Any, **kwargs: Any) -> dict[str, Any]:
        out = real(*args, **kwargs)
        codes.append(out["code"])
        return out

    monkeypatch.setattr(sheet, "setup_content", content)
    words = {
        "material": "S235",
        "thickness": "2 mm",
        "readings": [],
        "tensile": None,
        "film": None,
        "grain": None,
        "batch": None,
    }
    wishes = {
        "brake": None,
        "die": None,
        "punch": None,
        "quantity": 1,
        "model": None,
        "pins": [],
        "bumps": [],
        "cure_seconds": 0.0,
    }
    given = {"part": _part(), "sheet": words, "wishes": wishes, "shop": "saltmarsh"}
    address = "http://brake-hall:4117/floor/abc2345678"
    task.plan({**given, "folder": str(tmp_path / "bench"), "address": address}, lambda _: None)
    assert set(codes) == {_code(address)}
    codes.clear()
    task.plan({**given, "folder": str(tmp_path / "command")}, lambda _: None)
    assert len(set(codes)) == 1
    assert _code(address) not in codes


def _code(text: str) -> str:
    stream = io.BytesIO()
    segno.make(text, error="m", micro=False).save(
        stream, kind="svg", xmldecl=False, dark="#000000", light="#ffffff", border=3, svgclass=None, lineclass=None
    )
    return stream.getvalue().decode("utf-8")


@pytest.mark.origin(
    "law", "what listens everywhere is called by the machine's name, what listens here alone by localhost"
)
@pytest.mark.parametrize(
    ("settings", "wanted"),
    [
        ({"host": "127.0.0.1"}, "http://localhost:{port}"),
        ({"host": "0.0.0.0", "security": SecuritySettings(lan=True)}, "http://brake-hall:{port}"),
        ({"host": "127.0.0.1", "address": "http://hall.lan"}, "http://hall.lan"),
    ],
)
def test_the_bench_knows_its_address(
    settings: dict[str, Any], wanted: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The address given to the jobs is the one that is told to the person."""
    made: list[Any] = []
    ports: list[int] = []

    class Place:
        def end(self) -> None:
            made.append("ended")

    class Server:
        def run(self, sockets: list[Any]) -> None:
            ports.append(sockets[0].getsockname()[1])
            sockets[0].close()

    monkeypatch.setattr(serve.socket, "gethostname", lambda: "brake-hall")
    monkeypatch.setattr(serve, "_settle", lambda settings, ask: None)
    monkeypatch.setattr(serve, "started", lambda settings: made.append(settings) or Place())
    monkeypatch.setattr(serve, "_server", lambda settings, place: (Server(), None))
    said: list[str] = []
    serve.serve(BenchSettings(data=tmp_path, port=0, **settings), opened=None, said=said.append)
    assert (made[0].address, made[1]) == (wanted.format(port=ports[0]), "ended")
    assert f"is at {made[0].address}/ (" in said[0]
