"""The plan, its strokes and two plans side by side, by the interface."""

from __future__ import annotations

import re
from typing import Any

import pytest
from benching import TestClient, ended

from bench_talk import API
from bendwright.bench.pages.order_page import refusal_page
from bendwright.drawing.plan_file import plan_from_json
from bendwright.findings import found
from bendwright.plan.result import Plan
from bendwright.quantities import format_length
from bendwright.said import phrase
from bendwright.sheets.plan_words import ends_of


def _plan(bench: TestClient, job: str) -> Plan:
    return plan_from_json(bench.get(f"{API}/jobs/{job}/files/plan").text)


def _numbers(data: Any) -> list[dict[str, Any]]:
    """Every number anywhere in a page."""
    if isinstance(data, list):
        return [number for item in data for number in _numbers(item)]
    if not isinstance(data, dict):
        return []
    if {"kind", "value", "texts"} <= data.keys():
        return [data]
    return [number for item in data.values() for number in _numbers(item)]


@pytest.mark.origin("law", "the page shows the plan file's own numbers, in both units and both kinds of angle")
def test_the_page_shows_the_plan(bench: TestClient, planned: str) -> None:
    """Strokes, X, depth and angles are those of the file; what is not known is empty, never 0."""
    page = bench.get(f"{API}/jobs/{planned}/plan").json()
    plan = _plan(bench, planned)
    assert page["order"] == ["+".join(stroke.bend_ids) for stroke in plan.strokes]
    for card, stroke in zip(page["strokes"], plan.strokes, strict=True):
        assert card["x"]["value"] == stroke.gauging.x_mm
        assert card["x"]["texts"]["inch"] == format_length(stroke.gauging.x_mm, unit="inch")
        assert card["depth"]["texts"]["mm"] == f"{stroke.depth_mm:.3f} mm"
        assert card["angle_under"]["texts"]["turned"] == f"{180.0 - stroke.loaded_included_deg:.1f}°"
        for name in ("x", "depth", "angle_after", "angle_under", "springback", "force"):
            assert card[name]["source"], name
    assert all(bool(number["texts"]) == (number["value"] is not None) for number in _numbers(page))
    for shown, station in zip(page["stations"], plan.stations, strict=True):
        punch, die = ends_of(station)
        assert (shown["left"]["value"], shown["right"]["value"]) == (station.left_end_z_mm, punch)
        assert (shown["die_right"] or shown["right"])["value"] == pytest.approx(die, abs=0.05)
        assert shown["left"]["texts"]["inch"].endswith(" in")
    assert page["sheet"]["measured"] is True
    assert page["proof"]["proven"] is plan.optimal
    assert {row["what"] for row in page["moved"]} >= {"thickness", "blank width"}


@pytest.mark.origin("law", "what concerns a stroke stands beside it")
def test_findings_stand_beside_their_strokes(bench: TestClient, planned: str) -> None:
    """The radius below the recommended one concerns all four bends, the bars stand for every bend and size with causes that add up."""
    page = bench.get(f"{API}/jobs/{planned}/plan").json()
    radius = next(item for item in page["findings"] if item["code"] == "K102")
    assert radius["strokes"] == [1, 2, 3, 4]
    bars = page["doubt"]["bars"]
    assert {bar["name"] for bar in bars} >= {"b1", "b2", "b3", "b4"}
    for bar in bars:
        assert sum(cause["share"]["value"] for cause in bar["causes"]) == pytest.approx(100.0, abs=0.5)


@pytest.mark.origin("law", "the curves pass through the plan's own numbers")
def test_a_stroke_in_full(bench: TestClient, planned: str) -> None:
    """The relaxed angle reaches the target at the depth of the way down, loads are held against limits, both models stand side by side."""
    stroke = _plan(bench, planned).strokes[1]
    page = bench.get(f"{API}/jobs/{planned}/strokes/2").json()
    assert [row["name"] for row in page["checks"]] == [check.name for check in (*stroke.loads, *stroke.checks)]
    load, angle = page["plots"]
    assert stroke.mechanics is not None
    assert max(y for _, y in load["curves"][0]["points"]) == pytest.approx(
        max(point.line_load_kn_per_m for point in stroke.mechanics.curve)
    )
    for plot in (load, angle):
        for curve in plot["curves"]:
            assert all(plot["x"]["low"] <= x <= plot["x"]["high"] for x, _ in curve["points"])
            assert all(plot["y"]["low"] <= y <= plot["y"]["high"] for _, y in curve["points"])
    assert [model["model"] for model in page["models"]] == ["mechanics", "charts"]
    assert [model["counts"] for model in page["models"]] == [True, False]
    assert stroke.crown is not None
    assert stroke.crown.before_deg is not None
    middle = page["crown"]["plot"]["curves"][0]["points"]
    assert max(deg for _, deg in middle) == pytest.approx(stroke.crown.before_deg.centre_deg, rel=1e-3)


@pytest.mark.origin("law", "what is not there is said")
@pytest.mark.parametrize(
    ("path", "code", "sentence"),
    [
        ("strokes/9", "B231", "The plan has no stroke 9; it has 4."),
        ("pictures/stroke-9", "B232", "The plan has no picture 'stroke-9'."),
        ("pictures/..%5C..", "B232", "The plan has no picture '..\\..'."),
    ],
)
def test_strokes_and_pictures_that_are_not_there(
    bench: TestClient, planned: str, path: str, code: str, sentence: str
) -> None:
    """B231 and B232, with what there is."""
    answer = bench.get(f"{API}/jobs/{planned}/{path}")
    assert answer.status_code in (404, 422)
    assert (answer.json()["findings"][0]["code"], answer.json()["findings"][0]["sentence"]) == (code, sentence)


@pytest.mark.origin("law", "pictures are drawn from the plan alone")
def test_pictures(bench: TestClient, planned: str) -> None:
    """Blank, stations and every stroke, small and large, as soon as the plan is there."""
    for name in ("blank", "stations", "stroke-1", "stroke-4", "section-2"):
        answer = bench.get(f"{API}/jobs/{planned}/pictures/{name}")
        assert answer.headers["content-type"].startswith("image/svg+xml"), name
        assert answer.text.startswith("<svg")


@pytest.mark.origin("practice", "German calls a bend Biegung and writes a decimal comma")
def test_pictures_in_german(bench: TestClient, planned: str) -> None:
    """Title and words of each picture in German, sizes with a comma, names as they are; nothing in them is drawn elsewhere."""
    own = re.compile(r">([^<>]+)</t")
    for name, words in (
        ("blank", "Zuschnitt 1200,00 x "),
        ("stations", "Station 1"),
        ("section-2", "Hub 2, Biegung b1: Schnitt"),
    ):
        english, german = (
            bench.get(f"{API}/jobs/{planned}/pictures/{name}", params={"language": language}).text
            for language in ("en", "de")
        )
        told = " ".join(own.findall(german))
        assert words in told
        assert not re.search(r"\d\.\d|\b(station|bend|stroke|grain|from|the)\b", told)
        assert "data-de" not in german
        assert own.sub("", english).count("<text") == own.sub("", german).count("<text")
        assert own.findall(english) != own.findall(german)


@pytest.mark.origin("practice", "the lips of a lipped channel come first; a lip last runs into the punch")
def test_an_order_by_hand(bench: TestClient, planned: str) -> None:
    """The plan's own order works as fast as the plan; one with a lip last is refused at that stroke, by mm; nonsense is told."""
    order = bench.get(f"{API}/jobs/{planned}/plan").json()["order"]
    own = bench.post(f"{API}/jobs/{planned}/order", json={"order": order}).json()
    assert own["works"] is True
    assert own["more"] is None
    assert "P1" in own["punches"]
    late = bench.post(f"{API}/jobs/{planned}/order", json={"order": ["b4", "b2", "b1", "b3"]}).json()
    assert [stroke["verdict"] for stroke in late["strokes"]] == ["works", "works", "refused", "not reached"]
    assert late["strokes"][2]["by"]["value"] < 0.0
    wrong = bench.post(f"{API}/jobs/{planned}/order", json={"order": ["b4", "b4"]})
    assert wrong.json()["findings"][0]["code"] == "O115"


@pytest.mark.origin("law", "a pin holds; what moved is told; nothing moved is told too")
def test_planned_again_and_compared(bench: TestClient, planned: str) -> None:
    """With b1 before b4 pinned and a thicker sheet: the order keeps the pin, thickness and depth moved, the brake did not."""
    change = {"sheet": {"readings": ["2.08 mm"]}, "wishes": {"pins": ["b1<b4"]}}
    other = bench.post(f"{API}/jobs/{planned}/again", json=change).json()["id"]
    assert ended(bench, other) == "done"
    kept = bench.get(f"{API}/jobs/{other}").json()
    before = bench.get(f"{API}/jobs/{planned}").json()
    assert kept["sheet"] == {**before["sheet"], "readings": ["2.08 mm"]}
    page = bench.get(f"{API}/jobs/{other}/plan").json()
    assert page["pins"] == ["b1<b4"]
    assert page["order"].index("b1") < page["order"].index("b4")
    moved = bench.get(f"{API}/compare", params={"a": planned, "b": other}).json()
    numbers = {(row["key"], row["of"]): row for row in moved["numbers"]}
    assert numbers["thickness", ""]["change"]["texts"]["mm"] == "+0.11 mm"
    assert numbers["depth", "b1"]["state"] == "moved"
    assert {row["key"]: row["state"] for row in moved["words"]}["brake"] == "same"
    alone = bench.get(f"{API}/compare", params={"a": planned, "b": planned}).json()
    assert alone["moved"] == 0


@pytest.mark.origin("law", "a refused job says why; with the wish taken back it is made")
def test_a_refused_job_is_planned_again(bench: TestClient, draft: dict[str, object]) -> None:
    """A die too narrow for the sheet was wished: the refusal names it, there is no plan, and without the wish there is one."""
    asked = {"part": draft["part"], "wishes": {"brake": "M1", "die": "V6"}}
    job = bench.post(f"{API}/jobs", json=asked).json()["id"]
    assert ended(bench, job) == "refused"
    none = bench.get(f"{API}/jobs/{job}/plan").json()["findings"][0]
    assert (none["code"], none["sentence"]) == ("B206", f"Job {job} has no plan: it is refused.")
    page = bench.get(f"{API}/jobs/{job}/refusal").json()
    assert {reason["code"] for reason in page["reasons"]} == {"O102"}
    assert page["wished"] == {"brake": "M1", "die": "V6"}
    assert page["may_look"] is False
    again = bench.post(f"{API}/jobs/{job}/again", json={"wishes": {"die": None}}).json()["id"]
    assert ended(bench, again) == "done"
    assert bench.get(f"{API}/jobs/{again}").json()["wishes"]["brake"] == "M1"


@pytest.mark.origin("law", "no wish changes what lies in the part itself")
def test_a_part_that_runs_into_itself_is_not_cured_by_a_wish() -> None:
    """Neither is a wish to be taken back nor a cure to be looked for; where no order works both are."""
    of_part = found("M105", where="flanges a, b", first="a", second="b", mm=3.0, place="", cure="Cut it").as_dict()
    page = refusal_page("j", "SI-1", "A", "", [of_part], wished={"brake": "M1"})
    assert (page.wished, page.may_look) == ({}, False)
    no_order = found("O101", dies=phrase("die V16"), brake="M1", reason="the lip is in the way", cure="").as_dict()
    page = refusal_page("j", "SI-1", "A", "", [no_order], wished={"brake": "M1", "die": None})
    assert (page.wished, page.may_look) == ({"brake": "M1"}, True)
