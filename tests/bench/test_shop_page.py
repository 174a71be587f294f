"""The shop by the interface: seen, copied, changed, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from benching import TestClient, folder_of

from bench_talk import API
from bendwright.shop.missing import missing_fields
from bendwright.shop.read import built_in_shop, read_shop


def typed(record: dict[str, Any], **fields: str) -> dict[str, Any]:
    """A record as the page sends it back, some fields typed otherwise."""
    texts = {item["key"]: item["typed"] for item in record["fields"] if item["typed"]}
    return {"fields": {**texts, **fields}, "rows": [dict(row) for row in record["rows"]], "outline": record["outline"]}


def named(page: dict[str, Any], kind: str, name: str) -> dict[str, Any]:
    """A tool or brake of a page."""
    return next(item for item in page[kind] if item["id"] == name)


@pytest.mark.origin("law", "the page lists what the command lists")
def test_missing_fields_are_those_of_the_command(bench: TestClient) -> None:
    """Numbers of fields nobody has filled in; a missing one has no text and no number."""
    page = bench.get(f"{API}/shops/saltmarsh").json()
    gaps = missing_fields(built_in_shop())
    for kind, word in (("brakes", "brake"), ("punches", "punch"), ("dies", "die")):
        for record in page[kind]:
            assert record["missing"]["value"] >= len(gaps.get(f"{word} {record['id']}", []))
            assert (record["missing"]["value"] == 0) == (f"{word} {record['id']}" not in gaps)
    third = {item["key"]: item for item in named(page, "brakes", "M3")["fields"]}
    assert third["min_force"]["state"] == "missing"
    assert third["min_force"]["shown"]["value"] is None
    assert third["rated_force"]["shown"]["texts"] == {"mm": "2200 kN", "inch": "247 US ton-force"}
    assert third["gauge.x_range"]["shown"]["texts"] == {"mm": "5.00 – 800.00 mm", "inch": "0.197 – 31.496 in"}
    assert {key for key in third if key.startswith("beams.ram")} == {
        f"beams.ram.{key}" for key in ("thickness", "height", "youngs_modulus", "supports", "ends")
    }


@pytest.mark.origin("law", "what is sent back as it came changes nothing on disk")
def test_the_same_again(bench: TestClient, own: str) -> None:
    """Every record of every kind."""
    page = bench.get(f"{API}/shops/{own}").json()
    before = {path.name: path.read_bytes() for path in folder_of(bench, own).iterdir()}
    for kind in ("brakes", "punches", "dies"):
        first = page[kind][0]
        assert bench.put(f"{API}/shops/{own}/{kind}/{first['id']}", json=typed(first)).status_code == 200
    assert {path.name: path.read_bytes() for path in folder_of(bench, own).iterdir()} == before


@pytest.mark.origin("derived", "typed as 0.25 inch, 6.35 mm")
def test_a_tool_is_changed_added_and_taken_out(bench: TestClient, own: str) -> None:
    """The shop read anew has it; the file before lies beside the new one."""
    page = bench.get(f"{API}/shops/{own}").json()
    folder = folder_of(bench, own)
    old = (folder / "dies.yaml").read_bytes()
    answer = bench.put(f"{API}/shops/{own}/dies/V16", json=typed(named(page, "dies", "V16"), shoulder_radius='0.05"'))
    assert answer.status_code == 200, answer.text
    assert read_shop(folder).cabinet.die("V16").shoulder_radius_mm == pytest.approx(1.27)
    assert (folder / "dies~1.yaml").read_bytes() == old
    new = typed(named(page, "dies", "V16"), id="V16/b", name="second set", location="")
    assert bench.put(f"{API}/shops/{own}/dies/V16%2Fb", json=new).status_code == 200
    assert read_shop(folder).cabinet.die("V16/b").location == ""
    assert bench.get(f"{API}/shops/{own}/dies/V16%2Fb/profile.svg").status_code == 200
    left = bench.delete(f"{API}/shops/{own}/dies/V16%2Fb").json()
    assert "V16/b" not in {die["id"] for die in left["dies"]}
    gone = bench.delete(f"{API}/shops/{own}/dies/V16%2Fb")
    assert (gone.status_code, gone.json()["findings"][0]["code"]) == (422, "B252")


@pytest.mark.origin("law", "unknown is unknown: a field that is emptied is missing again")
def test_a_brake_field_is_emptied_and_filled(bench: TestClient, own: str) -> None:
    """A blank text takes the line out; a pair is typed as two lengths."""
    page = bench.get(f"{API}/shops/{own}").json()
    words = typed(named(page, "brakes", "M1"), stroke="", **{"gauge.x_range": "5 to 650 mm"})
    after = bench.put(f"{API}/shops/{own}/brakes/M1", json=words).json()
    fields = {item["key"]: item for item in named(after, "brakes", "M1")["fields"]}
    assert fields["stroke"]["state"] == "missing"
    brake = read_shop(folder_of(bench, own)).brakes["M1"]
    assert (brake.stroke_mm, brake.gauge.x_range_mm) == (None, (5.0, 650.0))
    assert "stroke" in next(item["sentence"] for item in after["findings"] if "M1" in item["sentence"])


@pytest.mark.origin("law", "every wrong field is named, nothing is written")
def test_wrong_fields(bench: TestClient, own: str) -> None:
    """One finding at each field, by its key."""
    page = bench.get(f"{API}/shops/{own}").json()
    before = (folder_of(bench, own) / "punches.yaml").read_bytes()
    words = typed(named(page, "punches", "P1"), height="12 furlong", kind="strait")
    words["rows"][1]["length"] = "long"
    answer = bench.put(f"{API}/shops/{own}/punches/P1", json=words)
    assert answer.status_code == 422
    assert {item["where"] for item in answer.json()["findings"]} == {"height", "kind", "pieces[1].length"}
    assert (folder_of(bench, own) / "punches.yaml").read_bytes() == before
    twice = bench.put(f"{API}/shops/{own}/punches/P1", json=typed(named(page, "punches", "P1"), id="P2"))
    assert [(item["code"], item["where"]) for item in twice.json()["findings"]] == [("S110", "id")]


@pytest.mark.origin("law", "the demo shop is the program's")
def test_the_demo_shop_stays(bench: TestClient) -> None:
    """B254, for each way to change it."""
    page = bench.get(f"{API}/shops/saltmarsh").json()
    for answer in (
        bench.put(f"{API}/shops/saltmarsh/punches/P1", json=typed(named(page, "punches", "P1"))),
        bench.delete(f"{API}/shops/saltmarsh/punches/P1"),
    ):
        assert (answer.status_code, answer.json()["findings"][0]["code"]) == (422, "B254")


@pytest.mark.origin("law", "a name is no path")
@pytest.mark.parametrize("name", ["../x", "/etc", "a/b", ".", "..", "", "x" * 60, "a\n", "nul\0"])
def test_names_of_copies(bench: TestClient, name: str) -> None:
    """B250 (or the interface's own limits); nothing outside the folder of shops is made."""
    answer = bench.post(f"{API}/shops/saltmarsh/copy", json={"name": name})
    assert answer.status_code == (201 if name == "a\n" else 422)
    if name != "a\n":
        assert answer.json()["findings"][0]["code"] in ("B250", "B201")
    assert not (Path(bench.app.state.place.own_shops).parent / "x").exists()  # type: ignore[attr-defined]


@pytest.mark.origin("law", "two shops of one name cannot be told apart")
def test_a_name_that_is_taken(bench: TestClient, own: str) -> None:
    """B251; the demo shop's own name is taken too."""
    for name in (own, "saltmarsh"):
        answer = bench.post(f"{API}/shops/saltmarsh/copy", json={"name": name})
        assert answer.json()["findings"][0]["code"] == "B251"
    assert own in [shop["id"] for shop in bench.get(f"{API}/shops").json()]


@pytest.mark.origin("derived", "at scale 1 the picture of a 120 mm punch is 122 mm high with its 1 mm edges")
def test_profiles_are_true_to_scale(bench: TestClient) -> None:
    """Height of the bare section; sizes in the large one, in the unit asked for; B252 for a tool there is not."""
    bare = bench.get(f"{API}/shops/saltmarsh/punches/P1/profile.svg", params={"scale": 1}).text
    assert 'width="16mm" height="122mm"' in bare
    large = bench.get(f"{API}/shops/saltmarsh/dies/V16/profile.svg", params={"unit": "inch"}).text
    assert all(text in large for text in ("2.362 in", "V 0.63 in", "88°", "1 in"))
    assert bench.get(f"{API}/shops/saltmarsh/dies/V17/profile.svg").json()["findings"][0]["code"] == "B252"


@pytest.mark.origin("law", "a small length is not nothing, in no unit")
def test_small_lengths_are_seen(bench: TestClient) -> None:
    """The repeat of a ram, 0.01 mm; the picture with a decimal comma."""
    page = bench.get(f"{API}/shops/saltmarsh").json()
    repeat = next(item for item in named(page, "brakes", "M1")["fields"] if item["key"] == "y_repeat")
    assert repeat["shown"]["texts"] == {"mm": "0.010 mm", "inch": "0.0004 in"}
    picture = bench.get(f"{API}/shops/saltmarsh/punches/P1/profile.svg", params={"comma": True}).text
    assert all(text in picture for text in ("120,00 mm", "14,0 mm", "R 0,8 mm"))


@pytest.mark.origin("law", "whatever is sent is answered: taken, or refused with findings")
@pytest.mark.parametrize(
    "change",
    [
        {"fields": {"id": "Z\x00", "name": "nul"}},
        {"fields": {"id": "Z", "name": "\ud800"}},
        {"fields": {"colour": "red", "shape": "x", "shape.form.deep": "y"}},
        {"fields": {}},
        {"fields": {"id": "Z", "name": "a\nb: [c", "height": "1e400"}, "rows": [{"size": "3"}]},
        {"outline": [["0", "0"], ["x", "1"]]},
        {"fields": {"id": "Z", "name": "&a *b !c |", "kind": "straight", "height": "-3"}},
        {"fields": {"id": "Z", "name": "\u2028\u0085\ufeff"}},
        {"rows": [{"length": "10", "ear.side": "left"}]},
    ],
)
def test_odd_records_are_refused(bench: TestClient, own: str, change: dict[str, Any]) -> None:
    """422 each, and the shop still reads."""
    base = {"fields": {"id": "Z", "name": "z", "kind": "straight"}, "rows": [{"length": "10"}], "outline": []}
    body = json.dumps(base | change).encode()
    answer = bench.put(f"{API}/shops/{own}/punches/Z", content=body, headers={"Content-Type": "application/json"})
    assert answer.status_code == 422, answer.text
    assert answer.json()["findings"]
    assert bench.get(f"{API}/shops/{own}").status_code == 200


@pytest.mark.origin("law", "any name that can be typed is kept as it was typed")
@pytest.mark.parametrize(
    "name", ["a\nb: [c", "&a *b !c |", "\u2028x", "yes", "null", "~", "# no", "'\"", "Ø 12 – Übung", "x\x00y"]
)
def test_odd_names_are_kept(bench: TestClient, own: str, name: str) -> None:
    """Taken, and read from the shop again."""
    page = bench.get(f"{API}/shops/{own}").json()
    answer = bench.put(f"{API}/shops/{own}/punches/P6", json=typed(named(page, "punches", "P6"), name=name))
    assert answer.status_code == 200, answer.text
    assert read_shop(folder_of(bench, own)).cabinet.punch("P6").name == name.strip()
