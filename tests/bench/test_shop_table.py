"""The measured bend deductions of a shop by the interface: rows as typed, written into the file in the form it has."""

from __future__ import annotations

from typing import Any

import pytest
from benching import TestClient, folder_of

from bench_talk import API
from bendwright.shop.bend_table import BendTable
from bendwright.shop.read import read_shop

ROW = {
    "material": "S235JR",
    "thickness_mm": "2",
    "die_opening_mm": "16",
    "turned_deg": "90",
    "bend_deduction_mm": "3,90",
    "measured_to": "mould_line",
}
CSV = """\
# origin: strips bent on M1, three each
# date: 2026-11-25
# note: the night shift
material;thickness_mm;die_opening_mm;turned_deg;bend_deduction_mm;measured_to
S235JR;2;16;45;1,10;mould_line
 S235JR ;2.0;16;90;3,9;mould_line
"""
YAML = """\
passport: {origin: strips, date: "2026-11-25", length_unit: inch}   # by the night shift
rows:
  # measured twice
  - {material: S235JR, thickness_mm: 2 mm, die_opening_mm: 16 mm, turned_deg: 90, bend_deduction_mm: 0.15, measured_to: mould_line}
"""


def table_of(bench: TestClient, name: str) -> BendTable:
    """The table as the command reads it."""
    table = read_shop(folder_of(bench, name)).bend_table
    assert table is not None
    return table


def put(bench: TestClient, name: str, rows: list[dict[str, str]]) -> Any:
    """The rows sent as the page sends them."""
    return bench.put(f"{API}/shops/{name}/bend-table", json={"fields": {}, "rows": rows})


@pytest.mark.origin("derived", "3,90 is 3.9 mm; 0.079 in is 2.0066 mm")
def test_a_table_is_begun_changed_and_emptied(bench: TestClient, own: str) -> None:
    """Where there was none; a row more, a radius in a column; all rows out leaves a table that can be filled again."""
    page = bench.get(f"{API}/shops/{own}").json()
    assert (page["bend_table"]["value"], page["table_record"]["rows"]) == (None, [])
    made = put(
        bench,
        own,
        [ROW, {**ROW, "turned_deg": "45", "thickness_mm": "0.079 in", "inside_radius_mm": "2.6", "count": "3"}],
    )
    assert made.status_code == 200, made.text
    first, second = table_of(bench, own).rows
    assert (first.bend_deduction_mm, first.punch_radius_mm, first.count) == (3.9, None, None)
    assert (second.thickness_mm, second.inside_radius_mm, second.count) == (pytest.approx(2.0066), 2.6, 3)
    assert made.json()["bend_table"]["value"] == 2
    assert made.json()["table_record"]["rows"][0] == ROW
    assert put(bench, own, []).json()["bend_table"]["value"] == 0
    assert put(bench, own, [ROW]).json()["bend_table"]["value"] == 1


@pytest.mark.origin("law", "what is not changed stays as it was typed")
def test_a_csv_keeps_its_lines(bench: TestClient, own: str) -> None:
    """Sent back as it came nothing is written; a row more is a line more, with the file's own separator; a new column changes all."""
    path = folder_of(bench, own) / "bend_table.csv"
    path.write_text(CSV, encoding="utf-8")
    rows = bench.get(f"{API}/shops/{own}").json()["table_record"]["rows"]
    assert put(bench, own, rows).status_code == 200
    assert path.read_text(encoding="utf-8") == CSV
    put(bench, own, [*rows, {**ROW, "turned_deg": "135", "measured_to": "outer_tangent"}])
    assert path.read_text(encoding="utf-8") == f"{CSV}S235JR;2;16;135;3,90;outer_tangent\n"
    put(bench, own, [{**rows[1], "count": "3"}])
    assert path.read_text(encoding="utf-8").splitlines()[2:] == [
        "# note: the night shift",
        "material;thickness_mm;die_opening_mm;turned_deg;bend_deduction_mm;measured_to;count",
        "S235JR;2.0;16;90;3,9;mould_line;3",
    ]
    assert (path.parent / "bend_table~2.csv").exists()


@pytest.mark.origin("derived", "0.15 in is 3.81 mm, 0.04 in is 1.016 mm")
def test_a_yaml_table_stays_yaml(bench: TestClient, own: str) -> None:
    """Its comments and its unit stay; no second table is made beside it."""
    path = folder_of(bench, own) / "bend_table.yaml"
    path.write_text(YAML, encoding="utf-8")
    rows = bench.get(f"{API}/shops/{own}").json()["table_record"]["rows"]
    made = put(bench, own, [*rows, {**rows[0], "turned_deg": "45", "bend_deduction_mm": "0.04"}])
    assert made.status_code == 200, made.text
    assert [row.bend_deduction_mm for row in table_of(bench, own).rows] == pytest.approx([3.81, 1.016])
    text = path.read_text(encoding="utf-8")
    assert text.startswith(YAML)
    assert not (path.parent / "bend_table.csv").exists()


@pytest.mark.origin("law", "every wrong cell is named, nothing is written")
@pytest.mark.parametrize(
    ("rows", "where"),
    [
        ([{**ROW, "thickness_mm": "thin"}], {"rows[0].thickness_mm"}),
        ([ROW, {**ROW, "turned_deg": "270", "measured_to": "edge"}], {"rows[1].turned_deg", "rows[1].measured_to"}),
        ([{**ROW, "material": "unobtainium"}], {"rows[0].material"}),
        ([{key: text for key, text in ROW.items() if key != "measured_to"}], {"rows[0].measured_to"}),
        ([ROW, {}, dict(ROW)], {"rows[2]"}),
        ([{**ROW, "count": "1.5"}], {"rows[0].count"}),
        ([{**ROW, "colour": "red"}], {"rows[0].colour"}),
    ],
)
def test_wrong_cells(bench: TestClient, own: str, rows: list[dict[str, str]], where: set[str]) -> None:
    """Words for lengths, angles there are not, no mark for the legs, a cell that stands twice, columns nobody knows."""
    answer = put(bench, own, rows)
    assert answer.status_code == 422
    assert {item["where"] for item in answer.json()["findings"]} == where
    assert not (folder_of(bench, own) / "bend_table.csv").exists()


@pytest.mark.origin("law", "the demo shop is the program's; a table of thousands is not for a form")
def test_tables_that_are_not_typed(bench: TestClient, own: str) -> None:
    """B254; more rows than a form holds are counted and left to their file."""
    assert [item["code"] for item in put(bench, "saltmarsh", [ROW]).json()["findings"]] == ["B254"]
    head = ",".join(ROW)
    rows = "\n".join(f"S235JR,2,16,{10 + 0.25 * i:g},3.9,mould_line" for i in range(401))
    text = f"# origin: us\n# date: 2026-11-25\n{head}\n{rows}\n"
    (folder_of(bench, own) / "bend_table.csv").write_text(text, encoding="utf-8")
    page = bench.get(f"{API}/shops/{own}").json()
    assert (page["bend_table"]["value"], page["table_record"]) == (401, None)
