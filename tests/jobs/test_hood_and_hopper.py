"""Weather hood bumped to R 150, hopper with skewed corners, the hem of the hive roof: numbers worked out by hand."""

from __future__ import annotations

import csv
import json
from math import atan2, cos, degrees, hypot, pi, radians, sin
from pathlib import Path
from typing import Any

import pytest
from bend_sums import deduction, line_load, shortest_leg

from bendwright.cli.app import run

SHOP = ["--shop", "saltmarsh"]
HOOD = [
    *("curve", "round", *SHOP, "--material", "DC01", "--thickness", "2", "--brake", "M1"),
    *("--radius", "150", "--front", "60", "--back", "60", "--length", "1000"),
]
HOPPER = ["corner", *SHOP, "--top", "400x400", "--bottom", "200x200", "--height", "500"]
ROOF = ["hem", *SHOP, "--material", "DX51D+Z", "--thickness", "0.7", "--brake", "M1", "--leg", "12"]


def answer(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> dict[str, Any]:
    """What the command says as data."""
    assert run([*arguments, "--json"]) == 0
    data: dict[str, Any] = json.loads(capsys.readouterr().out)
    return data


@pytest.mark.origin(
    "derived", "151 pi/2 = 237.19 + 120; 152 (1 - cos(45/22)) = 0.097, 21 hits 0.106; 237.19/22 = 10.78; 22 x 4 s"
)
def test_hood(capsys: pytest.CaptureFixture[str]) -> None:
    """Facets up to 0.1: 22 hits in V20, blank 357.19 (mould legs 212 each, deduction 66.81)."""
    hood = answer([*HOOD, "--facet", "0.1"], capsys)["curve"]
    assert hood["hits"] == 22
    assert hood["step_deg"] == pytest.approx(4.09, abs=0.005)
    assert hood["facet_mm"] == pytest.approx(0.097, abs=0.0005)
    assert hood["pitch_mm"] == pytest.approx(10.78, abs=0.005)
    assert hood["arc_mm"] == pytest.approx(237.19, abs=0.005)
    assert hood["blank_mm"] == pytest.approx(357.19, abs=0.005)
    assert 2.0 * 212.0 - hood["blank_mm"] == pytest.approx(66.81, abs=0.005)
    assert hood["tools"]["die"] == "V20"
    assert hood["seconds"] == 88.0
    assert answer([*HOOD, "--hits", "21"], capsys)["curve"]["facet_mm"] == pytest.approx(0.106, abs=0.0005)


@pytest.mark.origin("derived", "2 degrees: 45 hits, 237.19/45 = 5.27, V10; 152 (1 - cos 1) = 0.023; 45 x 4 = 180 s")
def test_hood_by_the_two_degree_rule(capsys: pytest.CaptureFixture[str]) -> None:
    """What the trade does when nothing is said."""
    hood = answer(HOOD, capsys)["curve"]
    assert hood["hits"] == 45
    assert hood["pitch_mm"] == pytest.approx(5.27, abs=0.005)
    assert hood["facet_mm"] == pytest.approx(0.023, abs=0.0005)
    assert hood["tools"]["die"] == "V10"
    assert hood["seconds"] == 180.0


@pytest.mark.origin(
    "derived", "lines 60 + (i - 1/2) 237.19/22 from the front, stop = blank - line; polygon of facets walked"
)
def test_hood_hit_by_hit(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Every line of the list, in the JSON and in the CSV; the last hit leaves the edge where the walk ends."""
    path = tmp_path / "hood.csv"
    hood = answer([*HOOD, "--facet", "0.1", "--csv", str(path)], capsys)["curve"]
    rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    assert len(rows) == len(hood["hit_list"]) == 22
    arc = 151.0 * pi / 2.0
    for number, (hit, row) in enumerate(zip(hood["hit_list"], rows, strict=True), 1):
        line = 60.0 + (number - 0.5) * arc / 22.0
        assert hit["from_front_mm"] == pytest.approx(line, abs=1e-6)
        assert hit["x_mm"] == pytest.approx(arc + 120.0 - line, abs=1e-6)
        assert float(row["X mm"]) == pytest.approx(arc + 120.0 - line, abs=0.006)
        assert float(row["depth mm"]) == pytest.approx(hit["depth_mm"], abs=0.0006)
    x = y = heading = 0.0
    for number in range(1, 23):
        heading += radians(90.0 / 22.0)
        length = arc / 22.0 if number < 22 else 60.0 + arc / 44.0
        x, y = x + length * cos(heading), y + length * sin(heading)
    last = hood["hit_list"][-1]
    assert (last["edge_in_front_mm"], last["edge_up_mm"]) == pytest.approx((x, y), abs=1e-6)


@pytest.mark.origin(
    "practice", "depth for 4 degrees lies far above what a share of a 90 degree bend would give: springback is large"
)
def test_hood_springs_back_much(capsys: pytest.CaptureFixture[str]) -> None:
    """More than a quarter of every hit opens again, several times the shop's 1 degree in 90; force of an air bend in V20."""
    data = answer([*HOOD, "--facet", "0.1"], capsys)["curve"]
    stroke = data["tools"]["stroke"]
    spring = stroke["loaded_turned_deg"] - stroke["turned_deg"]
    assert 1.0 < spring < 3.0
    assert spring / stroke["loaded_turned_deg"] > 0.2
    # straight legs over V20 alone: (V/2) tan(loaded/2) is the most it can be, the round arc takes some of it
    straight = 10.0 * sin(radians(stroke["loaded_turned_deg"]) / 2.0) / cos(radians(stroke["loaded_turned_deg"]) / 2.0)
    assert 0.75 * straight < stroke["depth_mm"] < straight
    band = data["tools"]["line_load_kn_per_m"]
    rm = 330.0
    assert run([*HOOD, "--facet", "0.1", "--tensile", "330", "--json"]) == 0
    band = json.loads(capsys.readouterr().out)["curve"]["tools"]["line_load_kn_per_m"]
    assert (band["low"], band["high"]) == pytest.approx(line_load(t=2.0, v=20.0, rm=rm), abs=0.05)


@pytest.mark.origin(
    "derived", "slope atan(100/500) 11.31; slant 509.90; fold 519.62; acos(sin^2) = 87.80; 300 tan 22.19 = 122.4"
)
def test_hopper(capsys: pytest.CaptureFixture[str]) -> None:
    """Four equal corners; split X on M2 only, else a tab as wide as the fingers are apart."""
    slant = hypot(100.0, 500.0)
    assert slant == pytest.approx(509.90, abs=0.005)
    skew = 2.0 * degrees(atan2(100.0, slant))
    data = answer([*HOPPER, "--brake", "M2"], capsys)
    assert [finding["code"] for finding in data["findings"]] == ["W151"]
    assert len(data["corners"]) == 4
    for one in data["corners"]:
        assert one["verdict"] == "ok"
        assert one["corner"]["turned_deg"] == pytest.approx(87.80, abs=0.005)
        assert one["corner"]["fold_mm"] == pytest.approx(519.62, abs=0.005)
        assert one["corner"]["to_top_edge_deg"] == pytest.approx([78.90, 78.90], abs=0.005)
        for gauged in one["gauging"]:
            assert gauged["skew_deg"] == pytest.approx(skew, abs=1e-6)
            assert gauged["taper_mm"] == pytest.approx(122.4, abs=0.05)


@pytest.mark.origin(
    "derived", "finger 40 wide: tab 340 long, 340 tan 22.19 = 138.7 higher at one end; M1 has no independent X"
)
def test_hopper_on_a_brake_that_cannot(capsys: pytest.CaptureFixture[str]) -> None:
    """M1: the tab is proposed."""
    data = answer([*HOPPER, "--brake", "M1"], capsys)
    assert [finding["code"] for finding in data["findings"]] == ["W151", "W150"]
    tab = data["corners"][0]["gauging"][0]["tab"]
    assert tab["far_mm"] - tab["near_mm"] == pytest.approx(138.7, abs=0.05)
    assert "122.4 mm" in data["findings"][1]["sentence"]


@pytest.mark.origin(
    "derived", "t 1, R 1.28, K 0.42, 87.80 degrees: BD 1.783; 90 degrees 1.890; V8 t 1 Rm 350: 58-66 kN/m, 30-34 kN"
)
def test_hopper_bend(capsys: pytest.CaptureFixture[str]) -> None:
    """The fold as an air bend in V8; the flat of a half is shorter by its deduction."""
    bend = ["bend", *SHOP, "--material", "DX51D+Z", "--thickness", "1", "--die", "V8", "--brake", "M2"]
    bend += ["--tensile", "350", "--length", "519.62"]
    bend += ["--model", "charts"]
    skewed = answer([*bend, "--turned", "87.80"], capsys)["bends"][0]
    assert skewed["bend_deduction_mm"] == pytest.approx(1.783, abs=0.001)
    assert skewed["bend_deduction_mm"] == pytest.approx(deduction(t=1.0, radius=1.28, turned_deg=87.80), abs=1e-4)
    assert answer(bend, capsys)["bends"][0]["bend_deduction_mm"] == pytest.approx(1.890, abs=0.001)
    assert skewed["force_kn"] == pytest.approx([30.2, 34.1], abs=0.1)
    corner = answer([*HOPPER, "--brake", "M2", "--deduction", "1.783"], capsys)["corners"][0]
    widest = max(x for x, _ in corner["flat_mm"]) - min(x for x, _ in corner["flat_mm"])
    assert widest == pytest.approx(2.0 * 400.0 * hypot(100.0, 500.0) / 519.6152 - 1.783, abs=0.001)


@pytest.mark.origin("derived", "(2 - pi/2) 0.7 = 0.300; 12 - 0.15 = 11.85; V6/(2 sin 15) = 11.6; 2 x 0.7 = 1.4")
def test_roof_hem(capsys: pytest.CaptureFixture[str]) -> None:
    """Closed hem 12: line 11.85 from the edge, leg just long enough for the acute V6, stop 1.4."""
    hem = answer(ROOF, capsys)["hem"]
    assert hem["deduction_mm"] == pytest.approx(0.300, abs=0.0005)
    assert hem["line_from_edge_mm"] == pytest.approx(11.85, abs=0.005)
    assert hem["prebend"]["included_deg"] == 30.0
    assert hem["prebend"]["shortest_leg_mm"] == pytest.approx(shortest_leg(v=6.0, included_deg=30.0), abs=0.005)
    assert hem["checks"][0]["verdict"] == "watch"
    assert hem["flattening"]["stop_mm"] == pytest.approx(1.4)
    assert hem["tools"] == {
        "acute_die": "V6-30",
        "acute_punch": "P3",
        "flat_punch": "P3-flat",
        "flat_die": "flat",
    }


@pytest.mark.origin("practice", "3 to 5 air bends; never below the air bend; a closed hem above an open one")
def test_roof_hem_loads(capsys: pytest.CaptureFixture[str]) -> None:
    """Model and rule side by side: the derived band meets the rule's, both lie above the pre-bend."""
    hem = answer(ROOF, capsys)["hem"]
    air, flat = hem["prebend"]["line_load_kn_per_m"], hem["flattening"]
    rule, model = flat["practice_kn_per_m"], flat["model_kn_per_m"]
    assert (rule["low"], rule["high"]) == pytest.approx((3.0 * air["low"], 5.0 * air["high"]))
    assert model["low"] > air["high"]
    assert model["low"] < rule["high"]
    assert rule["low"] < model["high"]
    opened = answer([*ROOF, "--kind", "open", "--gap", "2.5"], capsys)["hem"]["flattening"]
    assert opened["model_kn_per_m"]["high"] < model["low"]
    assert opened["stop_mm"] == pytest.approx(2.0 * 0.7 + 2.5)
    assert flat["squeezing_kn_per_m"] > 10.0 * model["high"]


@pytest.mark.origin("derived", "outside 75.2 + hem 12.3 - flat 86.9 = 0.6: the hem crept by 0.3; line 12 - 0.3 = 11.7")
def test_roof_hem_by_a_strip(capsys: pytest.CaptureFixture[str]) -> None:
    """The strip's own deduction, creep included."""
    assert answer([*ROOF, "--strip", "75.2/12.3/86.9"], capsys)["hem"]["strip_deduction_mm"] == pytest.approx(0.6)
    assert run([*ROOF, "--strip", "75.2/12.3/86.9"]) == 0
    assert "hem line by the strip      11.70" in capsys.readouterr().out


@pytest.mark.origin(
    "derived",
    "3-4-5 cone, half turn: 108 degrees; radii of the neutral face (100 + 0.4)/0.6 and + 100; area 100 x pi x 130.4",
)
def test_cone_of_the_rain_gauge(capsys: pytest.CaptureFixture[str]) -> None:
    """A funnel, half of it, t 1, K 0.5: t/2 cos f = 0.4."""
    arguments = ["curve", "cone", *SHOP, "--material", "DC01", "--thickness", "1", "--brake", "M2", "--turned", "180"]
    cone = answer([*arguments, "--small", "100", "--large", "160", "--height", "80", "--hits", "36"], capsys)["curve"]
    assert cone["flat"]["sector_deg"] == pytest.approx(108.0)
    assert (cone["flat"]["inner_mm"], cone["flat"]["outer_mm"]) == pytest.approx((100.4 / 0.6, 160.4 / 0.6))
    assert cone["pitches_mm"] == pytest.approx([100.4 * pi / 36.0, 160.4 * pi / 36.0])
    first, last = cone["strokes"][0], cone["strokes"][-1]
    assert first["depth_small_mm"] == first["depth_large_mm"]
    assert last["depth_small_mm"] >= last["depth_large_mm"]
    assert first["line"]["from_front_deg"] == pytest.approx(1.5)
    assert hypot(*last["line"]["large_end"]) == pytest.approx(160.4 / 0.6)
