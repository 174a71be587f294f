"""Mast foot bracket: t 10, 300 long. The total force looks harmless; line load and radius decide."""

from __future__ import annotations

import pytest
from bend_sums import UnderPunch, deduction, line_load, shortest_leg
from stories import DEPTH_MM, LENGTH_MM, TURN_DEG, check_of, part_of, plan_of, prepared, sentences

from bendwright.findings import NotPossibleError
from bendwright.plan.result import ToolChoice

BRACKET = part_of("thick_bracket")
JOB = {"tensile": "510"}
LIMITS = {"M1": 1000.0 / (0.6 * 2.6), "M3": 2200.0 / (0.6 * 3.6)}


def _choice(die_id: str) -> ToolChoice:
    plan = plan_of(BRACKET, "10", brake_id="M3", model="charts", **JOB)
    return next(choice for choice in plan.tool_choices if choice.die_id == die_id)


@pytest.mark.origin(
    "derived", "the wide die on the big brake: R 16 = 1.6 t, BD 20.27, 200 - BD = 179.73, short leg 80 - BD/2 = 69.87"
)
def test_the_plan() -> None:
    """V100 on M3 with the heavy punch; the smaller brakes are refused first."""
    plan = plan_of(BRACKET, "10", **JOB)
    (stroke,) = plan.strokes
    assert (plan.brake_id, stroke.die_id, stroke.punch_id) == ("M3", "V100", "P4")
    assert deduction(t=10.0, radius=16.0) == pytest.approx(20.27, abs=0.005)
    assert min(plan.blank.width_mm, plan.blank.height_mm) == pytest.approx(179.73, abs=LENGTH_MM)
    assert stroke.inside_radius_mm == pytest.approx(16.0)
    short, long = 80.0 - 20.27 / 2.0, 120.0 - 20.27 / 2.0
    assert min(abs(stroke.gauging.x_mm - short), abs(stroke.gauging.x_mm - long)) < LENGTH_MM
    assert short == pytest.approx(69.87, abs=0.01)
    assert plan.stations[0].length_mm == pytest.approx(300.0)


@pytest.mark.origin("derived", "678-714 kN/m, 0.3 m: 203-214 kN; 67-70 % of 1019, 714 of 1000 (die) and 1500 (punch)")
def test_loads_of_the_plan() -> None:
    """A tenth of the brake's force, seven tenths of its line load."""
    (stroke,) = plan_of(BRACKET, "10", model="charts", **JOB).strokes
    band = line_load(t=10.0, v=100.0, rm=510.0)
    assert (stroke.line_load_kn_per_m.low, stroke.line_load_kn_per_m.high) == pytest.approx(band, rel=0.01)
    assert band == pytest.approx((678.3, 714.0), rel=0.001)
    assert (stroke.force_kn.low, stroke.force_kn.high) == pytest.approx((203.5, 214.2), rel=0.01)
    assert check_of(stroke.loads, "machine total").percent == pytest.approx(9.7, abs=0.1)
    assert check_of(stroke.loads, "machine line load").percent == pytest.approx(70.1, abs=0.2)
    assert check_of(stroke.loads, "die line load").percent == pytest.approx(71.4, abs=0.2)
    assert check_of(stroke.loads, "punch line load").percent == pytest.approx(47.6, abs=0.2)


@pytest.mark.origin(
    "derived", "Y = 50 tan 45.5 - (16 + 10 + 8)(1/cos 45.5 - 1) = 36.37; stroke 225 - 10 + 36.37 = 251.4 of 300"
)
def test_depth_and_daylight() -> None:
    """The high block leaves 520 - 120 - 120 - 55 = 225; 12 x t would be another die."""
    plan = plan_of(BRACKET, "10", model="charts", **JOB)
    (stroke,) = plan.strokes
    bend = UnderPunch(t=10.0, radius=16.0, opening=100.0, shoulder=8.0, springback_deg=1.0)
    assert stroke.depth_mm == pytest.approx(bend.depth, abs=DEPTH_MM)
    assert stroke.loaded_included_deg == pytest.approx(89.0, abs=TURN_DEG)
    assert plan.stations[0].daylight_mm == pytest.approx(225.0)


@pytest.mark.parametrize(
    ("die", "load", "percent_m1", "flange"),
    [
        ("V50", (1357.0, 1836.0), (212.0, 286.0), 35.4),
        ("V63", (1077.0, 1324.0), (168.0, 207.0), 44.5),
        ("V80", (848.0, 956.0), (132.0, 149.0), 56.6),
    ],
)
@pytest.mark.origin(
    "derived", "loads in kN/m by both formulas, in percent of 1000/(0.6 x 2.6) = 641; shortest leg V/sqrt 2 at 90"
)
def test_the_narrow_dies(die: str, load: tuple[float, float], percent_m1: tuple[float, float], flange: float) -> None:
    """On the big brake the radius refuses them (0.16 V < 16), V50 and V63 their line load too; on M1 it is the load."""
    band = line_load(t=10.0, v=float(die[1:]), rm=510.0)
    assert band == pytest.approx(load, rel=0.001)
    assert tuple(100.0 * value / LIMITS["M1"] for value in band) == pytest.approx(percent_m1, abs=0.6)
    choice = _choice(die)
    assert choice.verdict == "refused"
    assert check_of(choice.checks, "least inside radius").limit == pytest.approx(16.0)
    assert check_of(choice.checks, "least inside radius").value == pytest.approx(0.16 * float(die[1:]))
    line = check_of(choice.checks, "machine line load")
    assert line.value == pytest.approx(band[1], rel=0.01)
    assert line.percent == pytest.approx(100.0 * band[1] / LIMITS["M3"], rel=0.01)
    assert line.verdict == ("ok" if die == "V80" else "no")
    leg = check_of(choice.checks, "minimum flange")
    assert leg.limit == pytest.approx(shortest_leg(v=float(die[1:]), included_deg=89.0), abs=LENGTH_MM)
    assert shortest_leg(v=float(die[1:]), included_deg=90.0) == pytest.approx(flange, abs=0.06)


@pytest.mark.origin(
    "derived", "V50 55 % of 1000 kN in total but 286 % of the line load; V63 207 %, V80 149 %, V100 111 %"
)
def test_m1_is_refused_by_the_line_load_of_every_die() -> None:
    """Judging by the total force would have broken the tools; the message names the load that says no."""
    assert 0.3 * line_load(t=10.0, v=50.0, rm=510.0)[1] / 1000.0 == pytest.approx(0.55, abs=0.005)
    with pytest.raises(NotPossibleError) as caught:
        plan_of(BRACKET, "10", brake_id="M1", model="charts", **JOB)
    text = str(caught.value)
    for die, percent in (("V50", 286.0), ("V63", 207.0), ("V80", 149.0), ("V100", 111.0)):
        own = text.split(f"{die}: ")[1].split("; V")[0]
        high = line_load(t=10.0, v=float(die[1:]), rm=510.0)[1]
        assert 100.0 * high / LIMITS["M1"] == pytest.approx(percent, abs=0.6)
        assert f"machine line load {high:.2f} against 641.03 kN/m" in own, own


@pytest.mark.origin("derived", "DIN 6935:1975 recommends 20 across the grain, the shop's own table 16")
def test_both_radii_are_said() -> None:
    """16 is allowed by the shop and below the standard's recommendation; V125 would be needed (shortest leg 88 > 80)."""
    found = prepared(BRACKET, "10", **JOB)
    assert any(
        "least inside radius 16.00 mm against 20.00 mm" in sentence and "DIN 6935:1975" in sentence
        for sentence in sentences(found, "K102")
    )
    assert shortest_leg(v=125.0, included_deg=90.0) == pytest.approx(88.4, abs=0.05)
    assert _choice("V100").verdict == "taken"
