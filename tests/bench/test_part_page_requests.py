"""The part page through its requests, in one process with the test; the work is done in the bench's own processes."""

from __future__ import annotations

from pathlib import Path

import pytest
from benching import TestClient

from bench_talk import API
from bendwright.drawing.demo_parts import demo_file, demo_files

S9 = {"profile": "15 u90 40 u90 80 u90 40 u90 15 x 1200", "part_no": "S9", "revision": "A"}


@pytest.mark.origin("law", "what is typed is read, looked at, and typed on")
def test_typed_then_looked_at(bench: TestClient) -> None:
    """Draft, full look, quick look in its tools."""
    draft = bench.post(f"{API}/parts/typed", json={**S9, "material": "S235JR", "thickness": "2"})
    assert draft.status_code == 200
    full = bench.post(f"{API}/parts/look", json={"part": draft.json()["part"]})
    assert full.status_code == 200
    assert (full.json()["settled"], full.json()["brake"]) == (True, "M1")
    asked = {"part": draft.json()["part"], "quick": True, "tools": full.json()["tools"]}
    quick = bench.post(f"{API}/parts/look", json=asked)
    assert quick.json()["blank"] == full.json()["blank"]
    wide = bench.post(f"{API}/parts/look", json={**asked, "wishes": {"die": "V20"}})
    assert {bend["die"] for bend in wide.json()["bends"]} == {"V20"}


@pytest.mark.origin("law", "nobody said of what the part is made")
def test_a_look_without_a_sheet_asks_for_it(bench: TestClient) -> None:
    """Unknown is unknown: no material is taken for the person."""
    draft = bench.post(f"{API}/parts/typed", json=S9).json()
    said = bench.post(f"{API}/parts/look", json={"part": draft["part"], "quick": True})
    assert said.status_code == 422
    assert [item["code"] for item in said.json()["findings"]] == ["C114", "C114"]
    there = bench.post(
        f"{API}/parts/look", json={"part": draft["part"], "sheet": {"material": "S235JR", "thickness": "2 mm"}}
    )
    assert there.status_code == 200


@pytest.mark.origin("law", "every example opens and can be laid out")
def test_examples(bench: TestClient) -> None:
    """The list, a picture, and each example as a draft."""
    listed = bench.get(f"{API}/demos").json()
    assert [item["id"] for item in listed] == list(demo_files())
    picture = bench.get(f"{API}/demos/cable_tray/picture.svg")
    assert picture.headers["content-type"] == "image/svg+xml"
    assert picture.text.startswith("<svg")
    for item in listed:
        draft = bench.post(f"{API}/demos/{item['id']}").json()
        assert draft["part_no"] == item["part_no"]
        assert not [finding for finding in draft["findings"] if finding["severity"] == "error"]
    gone = bench.get(f"{API}/demos/nothing/picture.svg")
    assert (gone.status_code, gone.json()["findings"][0]["code"]) == (422, "B221")


@pytest.mark.origin("law", "a panel typed in the fields of a part file is the part of that file")
def test_a_panel_typed_is_the_panel_dropped(bench: TestClient) -> None:
    """The same bends either way, and the fields come back."""
    with demo_file("station_tray").open("rb") as stream:
        dropped = bench.post(f"{API}/parts/file", files={"file": ("tray.yaml", stream)}).json()
    assert dropped["panel"]["base"]
    words = {"part_no": "T", "revision": "B", "material": dropped["material"], "thickness": "1.5 mm"}
    typed = bench.post(f"{API}/parts/panel", json={**words, "panel": dropped["panel"]})
    assert typed.status_code == 200
    assert (typed.json()["bends"], typed.json()["panel"]) == (dropped["bends"], dropped["panel"])
    wrong = bench.post(f"{API}/parts/panel", json={**words, "panel": {"base": {"width": "2oo", "depth": "5"}}})
    assert (wrong.status_code, wrong.json()["findings"][0]["where"]) == (422, "panel.base.width")


@pytest.mark.origin("law", "names that are in the shop's own files")
def test_choices(bench: TestClient) -> None:
    """Materials, brakes and tools to pick from."""
    said = bench.get(f"{API}/parts/choices").json()
    assert [brake["id"] for brake in said["brakes"]] == ["M1", "M2", "M3", "M4"]
    assert "DC01" in [material["id"] for material in said["materials"]]
    assert {"V12", "V16"} <= {die["id"] for die in said["dies"]}
    unknown = bench.get(f"{API}/parts/choices", params={"shop": "none"})
    assert (unknown.status_code, unknown.json()["findings"][0]["code"]) == (422, "B207")


@pytest.mark.origin("law", "a part is what a draft gave, or it is refused")
@pytest.mark.parametrize("part", [{}, {"schema": "bendwright-part/1"}, {"part": []}])
def test_mangled_parts_are_refused(bench: TestClient, part: dict[str, object]) -> None:
    """A finding, never a fault."""
    said = bench.post(f"{API}/parts/look", json={"part": part, "quick": True})
    assert said.status_code == 422
    assert said.json()["findings"]


@pytest.mark.origin("law", "a drawing without a bend angle needs one; what is typed beside it is taken")
def test_choices_for_a_dxf(bench: TestClient, tmp_path: Path) -> None:
    """Lines of a DXF picked to be bends, all bent up by ninety degrees."""
    import ezdxf

    drawing = ezdxf.new()
    space = drawing.modelspace()
    space.add_lwpolyline([(0, 0), (100, 0), (100, 60), (0, 60)], close=True)
    space.add_line((40, 0), (40, 60), dxfattribs={"layer": "FOLD"})
    path = tmp_path / "flat.dxf"
    drawing.saveas(path)
    words = {
        "revision": "A",
        "all_bends": "up 90",
        "thickness": "1.5",
        "material": "DC01",
        "drawing_unit": "mm",
        "picked": ["40,30"],
    }
    with path.open("rb") as stream:
        said = bench.post(f"{API}/parts/file", files={"file": ("flat.dxf", stream)}, data=words)
    assert said.status_code == 200, said.json()
    assert [(bend["direction"], bend["bend_angle"]["value"]) for bend in said.json()["bends"]] == [("up", 90.0)]
