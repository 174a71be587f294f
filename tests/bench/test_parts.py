"""Parts by the interface: typed, dropped in, refused with findings."""

from __future__ import annotations

import json
from pathlib import Path

import ezdxf
import pytest
from benching import TestClient

from bench_talk import API, PROFILE
from bendwright.drawing.part_file import read_part
from bendwright.drawing.saved_part import part_from_json

EXAMPLES = Path(__file__).parents[2] / "examples" / "parts"


@pytest.mark.origin("derived", "four bends of 90 degrees, typed so")
def test_a_typed_profile(bench: TestClient, draft: dict[str, object]) -> None:
    """Bends, angles both ways, line lengths in both units, and the head of the drawing."""
    bends = draft["bends"]
    assert isinstance(bends, list)
    assert len(bends) == 4
    assert {bend["bend_angle"]["texts"]["included"] for bend in bends} == {"90.0°"}
    assert bends[0]["line"]["texts"] == {"mm": "1200.00 mm", "inch": "47.244 in"}
    assert bends[0]["drawn_radius"]["value"] is None
    assert (draft["part_no"], draft["revision"], draft["material"]) == ("SI-4410", "B", "S235")


@pytest.mark.origin("law", "what is sent back is the part the file holds")
def test_a_part_file_is_the_part_it_holds(bench: TestClient) -> None:
    """The part in the answer, read again, is the part of the file, whatever path its name pretends."""
    path = EXAMPLES / "cable_tray.yaml"
    with path.open("rb") as stream:
        answer = bench.post(f"{API}/parts/file", files={"file": ("../../etc/cable_tray.yaml", stream)})
    assert answer.status_code == 200, answer.text
    assert answer.json()["read_from"] == "cable_tray.yaml"
    assert part_from_json(json.dumps(answer.json()["part"])) == read_part(path)


@pytest.mark.origin("law", "every word that does not fit is named, in one shape")
def test_what_cannot_be_read_is_a_problem_with_findings(bench: TestClient) -> None:
    """RFC 9457: media type, status, title; every finding with its cure."""
    answer = bench.post(f"{API}/parts/typed", json={**PROFILE, "profile": "15 u90 40 q 80"})
    assert answer.status_code == 422
    assert answer.headers["content-type"] == "application/problem+json"
    body = answer.json()
    assert body["status"] == 422
    assert body["type"].endswith(body["findings"][0]["code"])
    assert {item["code"] for item in body["findings"]} >= {"P161", "P162"}
    assert all(item["cure"] for item in body["findings"] if item["severity"] == "error")


@pytest.mark.origin("law", "the interface says no to what it does not know")
@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"unit": "furlong"}, "unit"),
        ({"profile": "x" * 5000}, "profile"),
        ({"colour": "blue"}, "colour"),
        ({"quantity": 0}, "quantity"),
        ({"part_no": None}, "part_no"),
    ],
)
def test_fields_that_cannot_be_used(bench: TestClient, change: dict[str, object], field: str) -> None:
    """B201 names the field, what came and why not."""
    answer = bench.post(f"{API}/parts/typed", json={**PROFILE, **change})
    assert answer.status_code == 422
    first = answer.json()["findings"][0]
    assert (first["code"], first["where"]) == ("B201", field)
    assert len(first["sentence"]) < 500


@pytest.mark.origin("law", "a shop is one of those the bench was started with")
def test_an_unknown_shop(bench: TestClient) -> None:
    """B207 names the shops there are; a path is no shop."""
    answer = bench.post(f"{API}/parts/typed", json={**PROFILE, "shop": "/etc"})
    assert answer.status_code == 422
    assert answer.json()["findings"][0]["code"] == "B207"
    assert "saltmarsh" in answer.json()["findings"][0]["sentence"]


@pytest.mark.origin("law", "a file is read up to a stated size")
def test_a_file_that_is_too_large(bench: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    """B209 says how large it is and what is read."""
    monkeypatch.setattr("bendwright.bench.routes.parts.MOST_MB", 1)
    answer = bench.post(f"{API}/parts/file", files={"file": ("big.dxf", b"0\nSECTION\n" * (1 << 18))})
    assert answer.status_code == 422
    assert answer.json()["findings"][0]["code"] == "B209"
    assert "big.dxf is 2.6 MB; at most 1 MB" in answer.json()["findings"][0]["sentence"]


@pytest.mark.origin("law", "a drawing without a revision must not reach the floor")
def test_a_drawing_needs_a_revision(bench: TestClient) -> None:
    """The finding names the field of the form, not an option of the command."""
    answer = bench.post(
        f"{API}/parts/file", files={"file": ("lid.dxf", b"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n")}
    )
    assert answer.status_code == 422
    assert answer.json()["findings"][0]["code"] == "C117"


@pytest.mark.origin("derived", "the lines as they are drawn below")
def test_bend_lines_are_asked_for_as_numbers(bench: TestClient, tmp_path: Path) -> None:
    """The finding carries each line with where it lies, whatever words and language its sentence has; what the layer says is known."""
    drawing = ezdxf.new(units=4)
    space = drawing.modelspace()
    space.add_lwpolyline([(0, 0), (100, 0), (100, 60), (0, 60)], close=True, dxfattribs={"layer": "OUTLINE"})
    space.add_line((30, 0), (30, 60), dxfattribs={"layer": "BEND"})
    space.add_line((70, 0), (70, 60), dxfattribs={"layer": "BEND DOWN"})
    drawing.saveas(tmp_path / "plate.dxf")
    said = {"revision": "A", "material": "S235JR", "thickness": "2"}
    file = {"file": ("plate.dxf", (tmp_path / "plate.dxf").read_bytes())}
    answer = bench.post(f"{API}/parts/file", data=said, files=file)
    assert answer.status_code == 422
    (asked,) = [finding for finding in answer.json()["findings"] if finding["bend_lines"]]
    assert [(line["number"], *line["start"], *line["end"]) for line in asked["bend_lines"]] == [
        (1, 30, 0, 30, 60),
        (2, 70, 0, 70, 60),
    ]
    assert [line["length_mm"] for line in asked["bend_lines"]] == [60, 60]
    assert [line["direction"] for line in asked["bend_lines"]] == [None, "down"]
    assert [line["turned_deg"] for line in asked["bend_lines"]] == [None, None]
