"""A panel typed in fields, kept as a part file and dropped again, by the interface."""

from __future__ import annotations

from typing import Any

import pytest
from benching import TestClient

from bench_talk import API

PANEL: dict[str, Any] = {
    "base": {
        "width": "180",
        "depth": "120",
        "cutouts": [{"width": "30", "height": "20", "from_left": "90", "from_front": "60"}],
        "notches": [{"edge": "back", "width": "8", "depth": "5"}],
    },
    "flanges": [
        {
            "edge": "front",
            "leg": "40",
            "direction": "up",
            "left": "20",
            "right": "20",
            "relief": {"width": "2", "depth": "4"},
            "holes": [{"diameter": "6", "at": [["20", "20"], ["120", "20"]]}],
            "hem": [{"kind": "closed", "length": "9", "direction": "up", "left": "3", "right": "3"}],
        }
    ],
}
WORDS: dict[str, Any] = {
    "part_no": "SI-77.2",
    "revision": "A",
    "title": "Lid",
    "material": "DC01",
    "thickness": "1,5",
    "customer": "Saltmarsh",
    "visible_side": "top",
    "notes": ["deburr"],
    "panel": PANEL,
}


def drop(bench: TestClient, text: str, name: str = "again.yaml") -> dict[str, Any]:
    """The draft of a dropped file."""
    answer = bench.post(f"{API}/parts/file", files={"file": (name, text.encode())})
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


@pytest.mark.origin("law", "typed, kept, dropped again: the same part and the same fields")
def test_there_and_back(bench: TestClient) -> None:
    """Openings, notch, relief and hem; all that the head says."""
    typed = bench.post(f"{API}/parts/panel", json=WORDS).json()
    kept = bench.post(f"{API}/parts/panel/file", json=WORDS)
    assert kept.status_code == 200, kept.text
    assert kept.json()["name"] == "SI-77.2.yaml"
    again = drop(bench, kept.json()["text"])
    assert again["part"]["part"] == typed["part"]["part"]
    assert again["panel"] == PANEL
    assert again["part"]["part"]["header"]["notes"] == ["deburr"]
    assert bench.post(f"{API}/parts/panel/file", json={**WORDS, "panel": again["panel"]}).json() == kept.json()


@pytest.mark.origin("law", "everything typed is in the blank: its openings are counted there and folded with it")
def test_what_is_typed_is_looked_at(bench: TestClient) -> None:
    """Two holes and the cut-out as windows of the folded plates' triangles, the notch and the relief in the outline."""
    part = bench.post(f"{API}/parts/panel", json=WORDS).json()["part"]
    base, front, hem = part["part"]["flanges"]
    assert [len(flange["features"]) for flange in (base, front, hem)] == [1, 2, 0]
    whole = bench.post(f"{API}/parts/look", json={"part": part, "quick": True}).json()
    plain = {**PANEL, "base": {"width": "180", "depth": "120"}}
    bare = bench.post(f"{API}/parts/panel", json={**WORDS, "panel": plain}).json()["part"]
    without = bench.post(f"{API}/parts/look", json={"part": bare, "quick": True}).json()
    # steel sheet of 7850 kg/m3, 1.5 mm: a window of 30 x 20 and a notch of 8 x 5
    assert without["blank"]["mass"]["value"] - whole["blank"]["mass"]["value"] == pytest.approx(
        640.0 * 1.5e-9 * 7850, rel=1e-3
    )


@pytest.mark.origin("law", "what cannot be read is not kept, and said at its field")
@pytest.mark.parametrize(
    ("group", "change", "where"),
    [
        ("holes", {"diameter": "6"}, "panel.flanges[1].holes[1]"),
        ("holes", {"diameter": "6", "at": [["1", "2", "3"]]}, "panel.flanges[1].holes[1].at[1]"),
        (
            "cutouts",
            {"width": "9", "height": "x", "from_left": "9", "from_bend": "9"},
            "panel.flanges[1].cutouts[1].height",
        ),
        ("cutouts", {"width": "900", "height": "9", "from_left": "9", "from_bend": "9"}, "panel.flanges[1].cutouts[1]"),
        ("notches", {"edge": "far", "width": "9", "depth": "deep"}, "panel.flanges[1].notches[1].depth"),
        ("notches", {"edge": "top", "width": "9", "depth": "2"}, "panel.flanges[1].notches[1]"),
    ],
)
def test_slips_are_told_at_their_field(bench: TestClient, group: str, change: dict[str, Any], where: str) -> None:
    """A place missing, a pair of three, a word for a length, an opening beyond its plate, an edge there is not."""
    front = {**PANEL["flanges"][0], "hem": [], group: [change]}
    words = {**WORDS, "panel": {"base": PANEL["base"], "flanges": [front]}}
    for path in ("panel", "panel/file"):
        answer = bench.post(f"{API}/parts/{path}", json=words)
        assert answer.status_code == 422
        assert where in [item["where"] for item in answer.json()["findings"]]


@pytest.mark.origin("law", "a file says what part it is of")
def test_a_file_needs_its_head(bench: TestClient) -> None:
    """No number, no revision."""
    answer = bench.post(f"{API}/parts/panel/file", json={**WORDS, "part_no": "", "revision": " "})
    assert [item["where"] for item in answer.json()["findings"]] == ["part_no", "revision"]
