"""Materials and practice of a shop by the interface: seen as typed, changed in their files, every slip at its field."""

from __future__ import annotations

from typing import Any

import pytest
from benching import TestClient, folder_of

from bench_talk import API
from bendwright.shop.practice import Practice
from bendwright.shop.read import built_in_materials, read_shop
from bendwright.shop.shop import Shop

BRONZE = {
    "name": "house bronze: red",
    "aliases": "the yellow one, CuSn",
    "standard": "none",
    "family": "brass",
    "density_kg_per_m3": "8800",
    "youngs_modulus": "110 GPa",
    "poisson": "0,34",
    "yield_strength": "150",
    "tensile_strength": "48 ksi",
    "tensile_range": "300 to 370",
    "uniform_elongation": "0.4",
    "hardening.law": "swift",
    "hardening.k": "667",
    "hardening.e0": "0.0119",
    "hardening.n": "0.348",
    "provenance": "own tensile tests",
}
OWN = """\
# certificates
passport: {origin: certificates, date: "2026-11-25"}
materials:
  - name: DC01   # the usual
    based_on: DC01
    tensile_strength: 335
    provenance:
      strengths: mean of 2026   # ten certificates
      springback: test strips
"""


def shop_of(bench: TestClient, name: str) -> Shop:
    """A copy as the command reads it."""
    return read_shop(folder_of(bench, name))


def words(record: dict[str, Any], **fields: str) -> dict[str, Any]:
    """A record as the page sends it back, some fields typed otherwise."""
    texts = {item["key"]: item["typed"] for item in record["fields"] if item["typed"]}
    return {"fields": texts | fields, "rows": record["rows"]}


def material(page: dict[str, Any], name: str) -> dict[str, Any]:
    """A material of the page."""
    return next(item for item in page["materials"] if item["name"] == name)


@pytest.mark.origin("derived", "48 ksi = 48 x 6.894757 = 330.9 MPa; 110 GPa = 110000 MPa")
def test_a_material_is_added_changed_and_taken_out(bench: TestClient, own: str) -> None:
    """In a file of its own, which the shop had not; seen with its numbers; changed; gone."""
    path = f"{API}/shops/{own}/materials/house%20bronze:%20red"
    answer = bench.put(path, json={"fields": BRONZE})
    assert answer.status_code == 200, answer.text
    made = shop_of(bench, own).materials["house bronze: red"]
    assert (made.youngs_modulus_mpa, made.tensile_mpa) == (110000.0, pytest.approx(330.9, abs=0.1))
    assert (made.aliases, made.tensile_range_mpa) == (("the yellow one", "CuSn"), (300.0, 370.0))
    assert made.hardening is not None
    assert (made.hardening.law, made.hardening.n) == ("swift", 0.348)
    shown = material(answer.json(), "house bronze: red")
    assert (shown["own"], shown["record"]["missing"]["value"]) == (True, 0)
    assert {item["key"]: item["typed"] for item in shown["record"]["fields"]} == {**BRONZE, "tensile_range": "300 … 370"}
    less = words(shown["record"], **{"hardening.law": "voce", "hardening.k": "500", "hardening.b": "8"})
    for key in ("hardening.e0", "hardening.n", "tensile_range"):
        del less["fields"][key]
    after = bench.put(path, json=less).json()
    gaps = [
        item["key"] for item in material(after, "house bronze: red")["record"]["fields"] if item["state"] == "missing"
    ]
    assert gaps == ["tensile_range"]
    assert "house bronze: red" not in [item["name"] for item in bench.delete(path).json()["materials"]]
    assert bench.delete(path).json()["findings"][0]["code"] == "B252"


@pytest.mark.origin("law", "a material of the shop's own stands on a built-in one and says only what differs")
def test_a_built_in_material_is_made_ones_own(bench: TestClient, own: str) -> None:
    """What is not typed counts as before and is shown so; taken out, the built-in one counts again."""
    before = material(bench.get(f"{API}/shops/{own}").json(), "DC01")
    assert (before["own"], [item["key"] for item in before["record"]["fields"] if item["typed"]]) == (False, [])
    assert before["record"]["in_use"]["youngs_modulus"] == "210000 MPa"
    mine = {"name": "DC01", "based_on": "DC01", "yield_strength": "215", "provenance": "certificates"}
    page = bench.put(f"{API}/shops/{own}/materials/DC01", json={"fields": mine}).json()
    assert material(page, "DC01")["own"] is True
    kept, built_in = shop_of(bench, own).materials["DC01"], built_in_materials()["DC01"]
    assert (kept.yield_mpa, kept.hardening) == (215.0, built_in.hardening)
    bench.delete(f"{API}/shops/{own}/materials/DC01")
    assert shop_of(bench, own).materials["DC01"] == built_in


@pytest.mark.origin("derived", "the lines that change, by hand")
def test_a_materials_file_stays_as_it_was_typed(bench: TestClient, own: str) -> None:
    """One line changes; the group of sources and all comments stay."""
    path = folder_of(bench, own) / "materials.yaml"
    path.write_text(OWN, encoding="utf-8")
    record = material(bench.get(f"{API}/shops/{own}").json(), "DC01")["record"]
    assert next(item["typed"] for item in record["fields"] if item["key"] == "provenance") == (
        "strengths: mean of 2026; springback: test strips"
    )
    answer = bench.put(f"{API}/shops/{own}/materials/DC01", json=words(record, tensile_strength="341"))
    assert answer.status_code == 200, answer.text
    assert path.read_text(encoding="utf-8") == OWN.replace("335", "341")
    assert (path.parent / "materials~1.yaml").read_text(encoding="utf-8") == OWN


@pytest.mark.origin("law", "every wrong field is named, nothing is written")
@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"yield_strength": "strong"}, {"yield_strength"}),
        ({"yield_strength": "500"}, {"yield_strength"}),
        ({"tensile_range": "370 to 300"}, {"tensile_range"}),
        ({"hardening.n": "2", "poisson": "0.9"}, {"hardening.n", "poisson"}),
        ({"based_on": "unobtainium"}, {"based_on"}),
        ({"provenance": "", "family": ""}, {"provenance", "family"}),
        ({"thickness": "2 mm"}, {"thickness"}),
        ({"name": "other"}, {"name"}),
    ],
)
def test_wrong_materials(bench: TestClient, own: str, change: dict[str, str], where: set[str]) -> None:
    """Words for numbers, ranges the wrong way round, numbers no sheet has, a base nobody knows, fields missing or unknown."""
    answer = bench.put(f"{API}/shops/{own}/materials/house%20bronze:%20red", json={"fields": BRONZE | change})
    assert answer.status_code == 422
    assert {item["where"].replace("[0]", "") for item in answer.json()["findings"]} == where
    assert not (folder_of(bench, own) / "materials.yaml").exists()


@pytest.mark.origin("law", "a shop that could not be read any more is not written")
def test_a_material_that_is_needed_stays(bench: TestClient, own: str) -> None:
    """A rule of the practice and a row of the bend table hang on it; the refusal names them."""
    path = f"{API}/shops/{own}/materials/house%20bronze:%20red"
    bench.put(path, json={"fields": BRONZE})
    table = "# origin: strips\n# date: 2026-11-25\nmaterial,thickness_mm,die_opening_mm,turned_deg,bend_deduction_mm,measured_to\n"
    (folder_of(bench, own) / "bend_table.csv").write_text(
        f"{table}house bronze: red,2,16,90,3.9,mould_line\n", encoding="utf-8"
    )
    gone = bench.delete(path)
    assert gone.status_code == 422
    assert [(item["code"], item["where"][:16]) for item in gone.json()["findings"]] == [("S128", "bend_table.csv:4")]
    assert "house bronze: red" in shop_of(bench, own).materials


@pytest.mark.origin("law", "what is sent back as it came changes nothing on disk")
def test_the_same_practice_again(bench: TestClient, own: str) -> None:
    """Comments, blanks and all."""
    path = folder_of(bench, own) / "practice.yaml"
    before = path.read_bytes()
    record = bench.get(f"{API}/shops/{own}").json()["practice_record"]
    assert bench.put(f"{API}/shops/{own}/practice", json=words(record)).status_code == 200
    assert path.read_bytes() == before


@pytest.mark.origin("derived", "an eighth of an inch is 3.175 mm")
def test_rules_and_times_are_changed(bench: TestClient, own: str) -> None:
    """Rules, a table by family, the least radii, times and spreads; blank ones fall back to the default and say so."""
    record = bench.get(f"{API}/shops/{own}").json()["practice_record"]
    assert (record["in_use"]["times.stroke_s"], record["in_use"]["finger_contact"]) == ("12", "8 mm")
    typed = words(
        record,
        finger_contact="1/8 in",
        bend_model="charts",
        **{"times.stroke_s": "9,5", "springback.copper": "0.5", "spreads.ram": "0.02", "spreads.tolerance_class": "c"},
    )
    typed["fields"].pop("hand_room")
    typed["rows"] = [*typed["rows"][:1], {"of": "EN AW-5754 H111", "ratio": "1.1"}]
    page = bench.put(f"{API}/shops/{own}/practice", json=typed)
    assert page.status_code == 200, page.text
    practice = shop_of(bench, own).practice
    assert (practice.finger_contact_mm, practice.bend_model) == (pytest.approx(3.175), "charts")
    assert (practice.times.stroke_s, practice.springback_deg["copper"]) == (9.5, 0.5)
    assert (practice.spreads.ram_mm, practice.spreads.tolerance_class) == (0.02, "c")
    assert practice.minimum_radius_over_thickness == {"S355MC": 1.6, "EN AW-5754 H111": 1.1}
    assert practice.hand_room_mm == Practice(passport=practice.passport).hand_room_mm
    text = (folder_of(bench, own) / "practice.yaml").read_text(encoding="utf-8")
    assert "springback:  # degrees" in text
    assert "hand_room" not in text
    stated = {rule["key"]: rule["stated"] for rule in page.json()["practice"]}
    assert (stated["finger_contact_mm"], stated["hand_room_mm"]) == (True, False)


@pytest.mark.origin("law", "every wrong rule is named, nothing is written")
@pytest.mark.parametrize(
    ("fields", "rows", "where"),
    [
        ({"finger_contact": "much", "times.stroke_s": "soon"}, [], {"finger_contact", "times.stroke_s"}),
        ({"k_factor": "0.9", "springback.steel": "40"}, [], {"k_factor", "springback.steel"}),
        ({"allowance": "guess"}, [], {"allowance"}),
        ({"allowance": "k_factor", "k_factor": ""}, [], {"allowance"}),
        ({"springback.gold": "1"}, [], {"springback.gold"}),
        ({}, [{"of": "gold", "ratio": "1"}], {"minimum_radius_over_thickness"}),
        ({}, [{"of": "steel", "ratio": "thick"}], {"minimum_radius_over_thickness[0].ratio"}),
        (
            {},
            [{"of": "steel"}, {"ratio": "2"}],
            {"minimum_radius_over_thickness[0].ratio", "minimum_radius_over_thickness[1].of"},
        ),
        ({}, [{"of": "steel", "ratio": "1"}, {"of": " steel ", "ratio": "2"}], {"minimum_radius_over_thickness[1].of"}),
        ({}, [{"weight": "1"}], {"minimum_radius_over_thickness[0].weight"}),
    ],
)
def test_wrong_rules(
    bench: TestClient, own: str, fields: dict[str, str], rows: list[dict[str, str]], where: set[str]
) -> None:
    """Words for numbers, numbers out of range, words nobody knows, rows that would be lost."""
    record = bench.get(f"{API}/shops/{own}").json()["practice_record"]
    before = (folder_of(bench, own) / "practice.yaml").read_bytes()
    answer = bench.put(f"{API}/shops/{own}/practice", json={**words(record, **fields), "rows": rows})
    assert answer.status_code == 422
    assert {item["where"] for item in answer.json()["findings"]} == where
    assert (folder_of(bench, own) / "practice.yaml").read_bytes() == before


@pytest.mark.origin("law", "the demo shop is the program's; a page on one line cannot be changed field by field")
def test_what_cannot_be_changed(bench: TestClient, own: str) -> None:
    """B254 for the demo shop, B253 for a practice written on one line."""
    record = bench.get(f"{API}/shops/saltmarsh").json()["practice_record"]
    demo = bench.put(f"{API}/shops/saltmarsh/practice", json=words(record))
    assert [item["code"] for item in demo.json()["findings"]] == ["B254"]
    demo = bench.put(f"{API}/shops/saltmarsh/materials/X", json={"fields": BRONZE})
    assert [item["code"] for item in demo.json()["findings"]] == ["B254"]
    path = folder_of(bench, own) / "practice.yaml"
    path.write_text('{passport: {origin: us, date: "2026-11-25"}, hand_room: 90}\n', encoding="utf-8")
    line = bench.put(f"{API}/shops/{own}/practice", json={"fields": {"hand_room": "80"}})
    assert [item["code"] for item in line.json()["findings"]] == ["B253"]
