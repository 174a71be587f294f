"""Tools out of a spreadsheet and out of a drawing."""

from __future__ import annotations

import io
import itertools
import math
import time
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from benching import TestClient

from bench_talk import API
from bendwright.drawing.dxf.tool_profile import read_tool_profile
from bendwright.findings import PartFileError, ShopFileError
from bendwright.shop.read import built_in_shop, read_shop
from bendwright.shop.tools_csv import read_tool_table

HEAD = "id;name;kind;Included Angle;nose radius;height [mm];form;half width;max_line_load;pieces"
ROW = "N1;reed;straight;88;0,8;120;straight;7;600;835 x 2 + 10 + 100 left 20/25"


def sent(bench: TestClient, shop: str, text: str, **data: str) -> Any:
    """The answer to a table."""
    files = {"file": ("tools.csv", text.encode())}
    return bench.post(f"{API}/shops/{shop}/import/csv", files=files, data={"kind": "punches", **data})


@pytest.fixture(scope="module")
def own(bench: TestClient) -> str:
    """A copy of the demo shop."""
    assert bench.post(f"{API}/shops/saltmarsh/copy", json={"name": "tables"}).status_code == 201
    return "tables"


@pytest.mark.origin("derived", "one row written out by hand")
def test_a_row_becomes_a_tool(bench: TestClient, own: str) -> None:
    """First shown, then written, then the same."""
    page = sent(bench, own, f"{HEAD}\n{ROW}\n").json()
    assert [row["state"] for row in page["rows"]] == ["new"]
    folder = Path(bench.app.state.place.own_shops) / own  # type: ignore[attr-defined]
    assert "N1" not in {punch.id for punch in read_shop(folder).cabinet.punches}
    assert sent(bench, own, f"{HEAD}\n{ROW}\n", apply="true").json()["applied"] is True
    punch = read_shop(folder).cabinet.punch("N1")
    assert (punch.height_mm, punch.nose_radius_mm, punch.max_line_load_kn_per_m) == (120.0, 0.8, 600.0)
    assert [(piece.length_mm, piece.count) for piece in punch.pieces] == [(835.0, 2), (10.0, 1), (100.0, 1)]
    ear = punch.pieces[2].ear
    assert ear is not None
    assert (ear.side, ear.foot_height_mm, ear.overhang_mm) == ("left", 20.0, 25.0)
    assert [row["state"] for row in sent(bench, own, f"{HEAD}\n{ROW}\n").json()["rows"]] == ["same"]


@pytest.mark.origin("law", "errors by row and column; with one of them nothing is written")
def test_errors_by_row_and_column(bench: TestClient, own: str) -> None:
    """A wrong angle in the third row of the file, wrong pieces in the fourth, an id twice in the fifth."""
    rows = [ROW.replace("N1", "A1"), ROW.replace("N1;", "A2;").replace(";88;", ";8x;")]
    rows += [ROW.replace("N1", "A3").replace("100 left", "left"), ROW.replace("N1", "A1")]
    text = "\n".join([HEAD, *rows])
    page = sent(bench, own, text).json()
    places = [(row["number"], item["where"], item["code"]) for row in page["rows"] for item in row["findings"]]
    assert (3, "Included Angle", "Q105") in places
    assert (4, "pieces", "B259") in places
    assert (5, "id", "S110") in places
    assert [row["state"] for row in page["rows"]] == ["new", "refused", "refused", "refused"]
    answer = sent(bench, own, text, apply="true")
    assert (answer.status_code, answer.json()["findings"][0]["code"]) == (422, "B260")
    assert "3 rows cannot be used" in answer.json()["findings"][0]["sentence"]


@pytest.mark.origin("law", "a table without a section leaves a known tool its own")
def test_a_table_of_loads_alone_keeps_the_shapes(bench: TestClient, own: str) -> None:
    """P2 keeps its gooseneck."""
    text = "id,name,kind,included_angle,nose_radius,height,max_line_load,pieces\n"
    page = sent(bench, own, text + "P2,Heron,gooseneck,88,0.8,150,300,835\n").json()
    assert [(row["state"], row["findings"]) for row in page["rows"]] == [("changed", [])]
    assert page["rows"][0]["texts"]["shape.form"] == "gooseneck"


@pytest.mark.origin("law", "200 rows in less than 5 s")
def test_two_hundred_rows(bench: TestClient, own: str) -> None:
    """Read, checked and written, in processor time of this machine."""
    text = "\n".join([HEAD, *(ROW.replace("N1", f"T{i}") for i in range(200))])
    began = time.process_time()
    assert sent(bench, own, text, apply="true").json()["new"]["value"] == 200
    assert time.process_time() - began < 5.0


@pytest.mark.origin("law", "what is no table of tools is refused with what is wanted")
@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "B267"),
        (b"\n\n", "B267"),
        (b"PK\x03\x04\0\0", "B267"),
        (HEAD.encode(), "B255"),
        (b"id,ID,pieces\n1,2,3", "B256"),
        (b"name,pieces\nx,3", "B258"),
        (b"a" * 5000 + b"\n", "B267"),
        (b"id,pieces\n" * 6000, "B267"),
    ],
)
def test_no_table(data: bytes, code: str) -> None:
    """Each with its code."""
    with pytest.raises(ShopFileError) as caught:
        read_tool_table(data, "punches")
    assert code in {finding.code for finding in caught.value.findings}


@pytest.mark.origin("law", "a file is what is in it, whatever it is called")
@pytest.mark.parametrize(
    ("data", "code"),
    [(b"", "B425"), (b"PK\x03\x04 and more", "B424"), (b"\x89PNG\r\n\x1a\n\0\0", "B423"), (b"pieces", "B423")],
)
@pytest.mark.parametrize("way", ["csv", "dxf"])
def test_something_else_than_the_name_says(bench: TestClient, own: str, way: str, data: bytes, code: str) -> None:
    """Refused before any reader sees it."""
    files = {"file": (f"tools.{way}", data)}
    answer = bench.post(f"{API}/shops/{own}/import/{way}", files=files, data={"kind": "punches"})
    assert (answer.status_code, [item["code"] for item in answer.json()["findings"]]) == (422, [code])


@pytest.mark.origin("derived", "140000 rows of 73 signs and a head of 89 are 10220089 bytes, 10.2 MB")
def test_a_table_that_is_too_large(bench: TestClient, own: str) -> None:
    """B209 with the size it has (140,000 rows of 73 bytes), not the part of it that was read."""
    answer = sent(bench, own, f"{HEAD}\n" + f"{ROW}\n" * 140_000)
    assert "is 10.2 MB; at most 8 MB" in answer.json()["findings"][0]["sentence"]


@pytest.mark.origin("law", "what a column means is said, also when it means nothing")
def test_columns(bench: TestClient) -> None:
    """Units in the head, blanks for underscores, B257 for the colour."""
    table = read_tool_table(
        b"\xef\xbb\xbfID\tpieces (in)\theight [in]\tcolour\nx\t10; 1/2 x 3\t4 1/2\tred\n", "punches"
    )
    assert [column.key for column in table.columns] == ["id", "pieces", "height", ""]
    assert table.rows[0].words.fields["height"] == "4 1/2 in"
    assert [dict(row) for row in table.rows[0].words.rows] == [
        {"length": "10 in"},
        {"length": "1/2 in", "count": "3"},
    ]
    assert [(finding.code, finding.where) for finding in table.findings] == [("B257", "colour")]


def section(path: Path, outline: list[tuple[float, float]], *, unit_code: int = 4, per_unit: float = 1.0) -> Path:
    """A drawing of one closed line, somewhere on the sheet."""
    document = ezdxf.new()
    document.header["$INSUNITS"] = unit_code
    moved = [((x + 210.0) / per_unit, (y - 37.0) / per_unit) for x, y in outline]
    document.modelspace().add_lwpolyline(moved, close=True)
    document.saveas(path)
    return path


def drawn_punch(path: Path, *, gap_mm: float = 0.0, crossed: bool = False, unit_code: int = 4) -> Path:
    """A straight punch of 88 degrees, nose 0.8, 14 wide, 120 high in lines and a true arc, tip at 300,50."""
    half, radius = math.radians(44.0), 0.8
    foot = (radius * math.cos(half), radius - radius * math.sin(half))
    reach = 7.0 / math.tan(half) - radius * (1.0 / math.sin(half) - 1.0)
    right = [foot, (7.0, reach), (7.0, 120.0)]
    corners = [*right, *((-x, y) for x, y in reversed(right))]
    if crossed:
        corners[2], corners[3] = corners[3], corners[2]
    document = ezdxf.new()
    document.header["$INSUNITS"] = unit_code
    space = document.modelspace()
    for i, (start, end) in enumerate(itertools.pairwise(corners)):
        off = gap_mm if i == 2 else 0.0
        space.add_line((start[0] + 300.0, start[1] + 50.0), (end[0] + 300.0 + off, end[1] + 50.0))
    space.add_arc((300.0, 50.0 + radius), radius, 270.0 - 46.0, 270.0 + 46.0)
    document.saveas(path)
    return path


@pytest.mark.origin("law", "the drawing of a known tool gives that tool's sizes back")
def test_every_tool_of_the_demo_shop_is_read_from_its_drawing(tmp_path: Path) -> None:
    """Angles, radii, openings and heights of all but the offset tools, whose arcs are drawn as chords; in mm and in inches."""
    cabinet = built_in_shop().cabinet
    for punch in cabinet.punches:
        if punch.kind != "offset":
            path = section(tmp_path / "a.dxf", list(punch.outline), unit_code=1, per_unit=25.4)
            fields = read_tool_profile(path, "punches").words.fields
            assert fields["height"] == f"{punch.height_mm:g} mm"
            if punch.kind != "flattening":
                assert fields["included_angle"] == f"{punch.angle_deg:g}"
                assert fields["nose_radius"] == f"{punch.nose_radius_mm:g} mm"
            assert fields["kind"] in (punch.kind, "straight")
    for die in cabinet.dies:
        if die.kind == "vee":
            fields = read_tool_profile(section(tmp_path / "b.dxf", list(die.outline)), "dies").words.fields
            assert fields["opening"] == f"{die.opening_mm:g} mm"
            assert fields["included_angle"] == f"{die.angle_deg:g}"
            assert fields["shoulder_radius"] == f"{die.shoulder_radius_mm:g} mm"


@pytest.mark.origin("derived", "drawn with these sizes")
def test_a_true_arc(bench: TestClient, own: str, tmp_path: Path) -> None:
    """By the interface, and what it gives is a tool the shop takes; cut off at the clamp shoulder."""
    data = drawn_punch(tmp_path / "p.dxf").read_bytes()
    answer = bench.post(
        f"{API}/shops/{own}/import/dxf",
        files={"file": ("p.dxf", io.BytesIO(data))},
        data={"kind": "punches", "height": "100 mm"},
    )
    assert answer.status_code == 200, answer.text
    read = answer.json()
    assert read["texts"] == {"kind": "straight", "included_angle": "88", "nose_radius": "0.8 mm", "height": "100 mm"}
    assert [item["code"] for item in read["findings"]] == ["B265"]
    words = {**read["texts"], "id": "D1", "name": "drawn"}
    tool = {"fields": words, "rows": [{"length": "500"}], "outline": read["outline"]}
    assert bench.put(f"{API}/shops/{own}/punches/D1", json=tool).status_code == 200


@pytest.mark.origin("law", "what is no closed section of a tool in true scale is refused with its place")
def test_refused_drawings(tmp_path: Path) -> None:
    """Open by 2 mm, crossing, an inch unit on millimetres, an offset tool, nothing at all."""

    def code(path: Path, kind: str = "punches") -> str:
        with pytest.raises(PartFileError) as caught:
            read_tool_profile(path, kind)  # type: ignore[arg-type]
        return caught.value.findings[-1].code

    opened = drawn_punch(tmp_path / "open.dxf", gap_mm=2.0)
    assert code(opened) == "B261"
    assert code(drawn_punch(tmp_path / "crossed.dxf", crossed=True)) == "B262"
    assert code(drawn_punch(tmp_path / "inch.dxf", unit_code=1)) == "B263"
    assert read_tool_profile(tmp_path / "inch.dxf", "punches", unit="mm").words.fields["height"] == "120 mm"
    offset = next(punch for punch in built_in_shop().cabinet.punches if punch.kind == "offset")
    assert code(section(tmp_path / "offset.dxf", list(offset.outline))) == "B264"
    document = ezdxf.new()
    document.saveas(tmp_path / "empty.dxf")
    assert code(tmp_path / "empty.dxf") == "B264"


@pytest.mark.origin("law", "what else is drawn is said")
def test_more_than_one_outline(tmp_path: Path) -> None:
    """B266: a hole in the section and a line beside it."""
    path = drawn_punch(tmp_path / "p.dxf")
    document = ezdxf.readfile(path)
    document.modelspace().add_circle((300.0, 140.0), 3.0)
    document.modelspace().add_line((400.0, 0.0), (420.0, 0.0))
    document.saveas(path)
    said = read_tool_profile(path, "punches").findings
    assert "2 other closed outlines or loose lines" in next(str(item) for item in said if item.code == "B266")
