"""The floor by the interface: its screens show the plan, readings are kept once and read as typed, corrections agree with the command."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from benching import TestClient
from click.testing import CliRunner

from bench_talk import API
from bendwright.cli.trial import command as trial
from bendwright.drawing.plan_file import plan_from_json
from bendwright.plan.result import Plan
from bendwright.quantities import format_length
from bendwright.sheets.plan_words import finger_places


@pytest.fixture
def plan(bench: TestClient, planned: str) -> Plan:
    """The plan of the planned job."""
    return plan_from_json(json.dumps(bench.app.state.place.store.job(planned).plan))  # type: ignore[attr-defined]


def entry(**words: Any) -> dict[str, Any]:
    """What a tablet sends after stroke 1 of the first piece, changed by ``words``."""
    return {"stroke": 1, "piece": 1, "taken_at": "2026-03-02T09:00:00Z", **words}


def put(bench: TestClient, job: str, words: dict[str, Any], reading: str | None = None) -> Any:
    """The answer to one reading."""
    return bench.put(f"{API}/jobs/{job}/readings/{reading or uuid4()}", json=words)


def codes(answer: Any) -> list[str]:
    """Codes of the findings in an answer."""
    return [finding["code"] for finding in answer.json()["findings"]]


def triple(bend: str, left: str, centre: str, right: str) -> dict[str, str]:
    """Angles of one bend as typed."""
    return {"bend": bend, "left": left, "centre": centre, "right": right}


@pytest.mark.origin("law", "the floor shows the plan file's own numbers, in both units and both kinds of angle")
def test_the_screens_show_the_plan(bench: TestClient, planned: str, plan: Plan) -> None:
    """Every stroke with X, R, Z, depth and angle; every piece of every station where it stands."""
    page = bench.get(f"{API}/jobs/{planned}/floor").json()
    assert [screen["number"] for screen in page["strokes"]] == [stroke.number for stroke in plan.strokes]
    for screen, stroke in zip(page["strokes"], plan.strokes, strict=True):
        gauge = screen["gauge"]
        assert gauge["x"]["value"] == stroke.gauging.x_mm
        assert gauge["x"]["texts"]["inch"] == format_length(stroke.gauging.x_mm, unit="inch", decimals=3)
        assert gauge["r"]["value"] == stroke.gauging.r_mm
        assert [finger["z"]["value"] for finger in gauge["fingers"]] == sorted(finger_places(plan, stroke))
        assert screen["depth"]["texts"]["mm"] == f"{stroke.depth_mm:.3f} mm"
        assert screen["target"]["texts"]["turned"] == f"{180.0 - stroke.target_included_deg:.1f}°"
        assert screen["bends"] == screen["read_angles"] == list(stroke.bend_ids)
        assert screen["operator_picture"].startswith("<svg")
        assert screen["section_picture"].startswith("<svg")
    stations = {station["number"]: station for row in page["set_ups"] for station in row["stations"]}
    for station in plan.stations:
        pieces = [piece for piece in stations[station.number]["pieces"] if piece["row"] == "punch"]
        assert [piece["label"] for piece in pieces] == [piece.label for piece in station.punch_pieces]
        at = station.left_end_z_mm
        for piece in pieces:
            assert piece["at"]["value"] == pytest.approx(at)
            at += piece["length"]["value"]
        assert stations[station.number]["punch_end"]["value"] == pytest.approx(at)
    legs = [leg["flange"] for screen in page["strokes"] for leg in screen["read_legs"]]
    assert sorted(legs) == sorted(leg.flange_id for leg in plan.legs)


@pytest.mark.origin("law", "a message sent twice changes nothing; changed words are kept beside the old")
def test_a_reading_is_kept_once(bench: TestClient, planned: str, plan: Plan) -> None:
    """201 for what is new, 200 for the very same, 201 again for other words under the same UUID; taken back it is gone."""
    bend, reading = plan.strokes[0].bend_id, str(uuid4())
    words = entry(piece=7, bends=[triple(bend, "90.4", "90,9", "90.2")], thickness="1,97")
    answers = [put(bench, planned, words, reading) for _ in range(3)]
    assert [answer.status_code for answer in answers] == [201, 200, 200]
    assert {answer.json()["version"] for answer in answers} == {1}
    read = {(item["of"], item["place"]): item["value"]["value"] for item in answers[0].json()["read"]}
    assert read == {
        (bend, "left"): 90.4,
        (bend, "centre"): 90.9,
        (bend, "right"): 90.2,
        ("thickness", "length"): 1.97,
    }
    later = {**words, "bends": [triple(bend, "90.4", "90.9", "90.3")], "taken_at": "2026-03-02T09:01:00+00:00"}
    assert put(bench, planned, later, reading).status_code == 201
    kept = [item for item in bench.get(f"{API}/jobs/{planned}/readings").json() if item["id"] == reading]
    assert [item["version"] for item in kept] == [2]
    assert kept[0]["typed"]["bends"][0]["right"] == "90.3"
    back = {**later, "bends": [], "thickness": "", "withdrawn": True, "taken_at": "2026-03-02T09:02:00Z"}
    assert put(bench, planned, back, reading).status_code == 201
    assert reading not in [item["id"] for item in bench.get(f"{API}/jobs/{planned}/readings").json()]


@pytest.mark.origin("practice", "shop records: 2 in 100 readings are typing slips such as 9.0 for 90")
def test_a_slip_is_kept_and_told(bench: TestClient, planned: str, plan: Plan) -> None:
    """A reading that looks like a slip is not thrown away, and told no more once it was confirmed."""
    bend = plan.strokes[0].bend_id
    words = entry(piece=8, bends=[triple(bend, "90.1", "9.0", "90.2")])
    answer = put(bench, planned, words)
    assert (answer.status_code, codes(answer)) == (201, ["T101"])
    assert "centre reading is 9 degrees" in answer.json()["findings"][0]["sentence"]
    assert codes(put(bench, planned, {**words, "confirmed": True})) == []
    leg = plan.legs[0]
    far = put(bench, planned, entry(piece=8, legs=[{"flange": leg.flange_id, "length": f"{leg.aimed_mm * 1.5:.1f}"}]))
    assert (far.status_code, codes(far)) == (201, ["T118"])


@pytest.mark.origin("law", "what cannot be used is refused with a sentence and nothing is kept")
def test_what_cannot_be_read_is_refused(bench: TestClient, planned: str, plan: Plan) -> None:
    """Unreadable words, bends and flanges the job does not have, strokes beyond the plan, nothing at all."""
    bend = plan.strokes[0].bend_id
    before = bench.get(f"{API}/jobs/{planned}/readings").json()
    wrong = {
        "Q102": entry(bends=[triple(bend, "ninety", "", "")]),
        "T103": entry(bends=[triple("zz", "90", "", "")]),
        "T102": entry(bends=[triple(bend, "180", "", "")], angle_kind="turned"),
        "B231": entry(stroke=99, bends=[triple(bend, "90", "", "")]),
        "B241": entry(bends=[triple(bend, " ", "", "")]),
        "B201": entry(bends=[], taken_at="yesterday"),
    }
    for code, words in wrong.items():
        answer = put(bench, planned, words)
        assert answer.status_code == (404 if code == "B231" else 422), code
        assert codes(answer) == [code]
    leg = put(bench, planned, entry(legs=[{"flange": "zz", "length": "12"}])).json()["findings"][0]
    assert plan.legs[0].flange_id in leg["sentence"]
    assert put(bench, planned, entry(thickness="2"), "no-uuid").status_code == 422
    assert bench.get(f"{API}/jobs/{planned}/readings").json() == before


@pytest.mark.origin("law", "the bench and the command work out the same from the same readings")
def test_corrections_agree_with_the_command(bench: TestClient, planned: str, plan: Plan, tmp_path: Path) -> None:
    """Depth, X and the blank as ``bendwright trial`` tells them; turned angles and inches mean the same as their twins."""
    first, second = plan.strokes[0], plan.strokes[1]
    legs = {leg.flange_id: leg.aimed_mm + 0.3 - 0.1 * i for i, leg in enumerate(plan.legs)}
    put(bench, planned, entry(bends=[triple(first.bend_id, "90.4", "90.9", "90.2")], thickness="1.97 mm"))
    turned = [triple(second.bend_id, "90.5", "", "90.7")]
    put(bench, planned, entry(stroke=2, bends=turned, angle_kind="turned", taken_at="2026-03-02T09:05:00Z"))
    inches = [{"flange": name, "length": f"{value / 25.4:.6f}"} for name, value in legs.items()]
    put(bench, planned, entry(stroke=2, legs=inches, unit="inch", taken_at="2026-03-02T09:06:00Z"))
    page = bench.get(f"{API}/jobs/{planned}/corrections").json()

    file = tmp_path / "plan.json"
    file.write_text(json.dumps(bench.app.state.place.store.job(planned).plan), encoding="utf-8")  # type: ignore[attr-defined]
    typed = [str(file), "--json", "--sheet", "1.97", "--bend", f"{first.bend_id}=90.4/90.9/90.2"]
    typed += ["--bend", f"{second.bend_id}=89.5//89.3"]
    for name, value in legs.items():
        typed += ["--leg", f"{name}={value / 25.4:.6f} in"]
    told = json.loads(CliRunner().invoke(trial, typed, catch_exceptions=False).output)

    depths = {bend["bend_id"]: bend["depth_mm"] for bend in told["bends"]}
    for change, stroke in zip(page["strokes"], (first, second), strict=True):
        moved = depths[stroke.bend_id]
        assert change["new_depth"]["value"] == pytest.approx(stroke.depth_mm + moved)
        assert change["depth"]["by"]["value"] == pytest.approx(abs(moved))
        assert change["depth"]["way"] == ("more" if moved > 0 else "less")
    offsets = {leg["flange_id"]: leg["x_offset_mm"] for leg in told["legs"]}
    for leg in page["legs"]:
        moved = offsets[leg["flange"]]
        assert (leg["x"] is None) == (moved is None)
        if moved is not None:
            stroke = next(item for item in plan.strokes if item.number == leg["stroke"])
            assert leg["new_x"]["value"] == pytest.approx(stroke.gauging.x_mm + moved)
    assert page["blank"]["error"]["value"] == pytest.approx(told["blank"]["error_mm"])
    assert page["blank"]["right"] is told["blank"]["right"]


@pytest.mark.origin("derived", "air bending: more depth closes the bend; mean error times mm per degree")
def test_too_open_asks_for_more_depth(bench: TestClient, planned: str, plan: Plan) -> None:
    """Half a degree too open at both ends: deeper by half the plan's own mm per degree; the last reading of a place counts."""
    stroke = plan.strokes[2]
    slip = entry(stroke=3, piece=3, bends=[triple(stroke.bend_id, "88.0", "90.5", "90.5")])
    put(bench, planned, slip)
    again = entry(stroke=3, piece=3, bends=[triple(stroke.bend_id, "90.5", "", "")], taken_at="2026-03-02T10:00:00Z")
    put(bench, planned, again)
    page = bench.get(f"{API}/jobs/{planned}/corrections", params={"piece": 3}).json()
    (change,) = page["strokes"]
    assert (change["stroke"], change["depth"]["way"]) == (3, "more")
    assert change["depth"]["by"]["value"] == pytest.approx(0.5 * stroke.mm_per_degree)
    assert change["left"]["way"] == change["right"]["way"] == "more"
    assert change["left"]["by"]["value"] == pytest.approx(change["right"]["by"]["value"])
    assert change["errors"][0]["error"] == {
        "way": "more",
        "by": {"kind": "plain", "value": pytest.approx(0.5), "texts": {"all": "0.50°"}, "band": None, "source": None},
    }
    assert bench.get(f"{API}/jobs/{planned}/corrections", params={"piece": 4}).json()["entries"] == 0


@pytest.mark.origin("law", "without a plan there is nothing to show")
def test_a_job_without_a_plan_says_so(bench: TestClient) -> None:
    """Floor, readings and corrections of a job that is only waiting."""
    job = bench.app.state.place.store.add_job(part={}, sheet={}, wishes={}, shop="saltmarsh")  # type: ignore[attr-defined]
    for path in ("floor", "readings", "corrections"):
        answer = bench.get(f"{API}/jobs/{job.id}/{path}")
        assert (answer.status_code, codes(answer)) == (422, ["B206"])
    assert codes(put(bench, job.id, entry(thickness="2"))) == ["B206"]
