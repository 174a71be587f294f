"""The arithmetic of the validation: limits, rounding, ranks, the Swift sheet's strength, the packaged tables."""

from __future__ import annotations

from itertools import pairwise
from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bendwright.mechanics.ram_depth import ram_depth_mm
from bendwright.validation.bend_points import bend_cases
from bendwright.validation.comparison import Comparison, Evidence, Limit, percent, shown, signed
from bendwright.validation.pages import all_evidence
from bendwright.validation.springback_factors import factor_rows, rank_correlation
from bendwright.validation.stroke_models import chained_stroke, die_and_sheet, mechanics_stroke
from bendwright.validation.stroke_summary import stroke_summary


def compared(ours, limit, outside=200.0):
    """One comparison."""
    return Comparison(model="m (how)", case="c", quantity="q", unit="mm", outside=outside, ours=ours, limit=limit)


@pytest.mark.origin("derived", "200 mm: 5 % are 10 mm")
def test_limits():
    """The end counts as within, on both sides; a share belongs to the outside value."""
    assert compared(210.0, Limit(0.05, relative=True)).within
    assert not compared(210.1, Limit(0.05, relative=True)).within
    assert compared(190.0, Limit(10.0)).within
    assert not compared(189.9, Limit(10.0)).within
    assert compared(190.0, Limit(10.0)).record_id == "m"


@pytest.mark.origin("derived", "210 against 200: +5.0 %, +10 mm")
def test_differences_in_words():
    """In percent where the limit is, else in the unit, with as many decimals as five digits of the value have."""
    assert compared(210.0, Limit(0.05, relative=True)).difference_text() == "+5.0 %"
    assert compared(210.0, Limit(1.0)).difference_text() == "+10.00"
    assert signed(-1e-12, like=0.5) == "0"
    assert percent(-1e-9) == "0.0 %"


@given(st.floats(1e-4, 1e6), st.sampled_from([1.0 - 1e-15, 1.0 + 1e-15]))
@pytest.mark.origin("law", "the last digits of a computer do not change a page")
def test_rounding_of_short_numbers(value, nudge):
    """A number of six digits is written the same when its last bits move, a tie at the sixth included."""
    value = float(f"{value:.6g}")
    assert shown(value) == shown(value * nudge)
    assert float(shown(value)) == pytest.approx(value, rel=6e-5)


@pytest.mark.origin("derived", "ranks 1 2.5 2.5 4 against 1 2 3 4: 4.5/sqrt(4.5 x 5) = 0.94868")
def test_rank_correlation():
    """Same order 1, opposite order -1, a tie shares its mean rank."""
    assert rank_correlation((1.0, 2.0, 3.0), (10.0, 20.0, 90.0)) == pytest.approx(1.0)
    assert rank_correlation((1.0, 2.0, 3.0), (3.0, 2.0, 1.0)) == pytest.approx(-1.0)
    assert rank_correlation((1.0, 2.0, 2.0, 4.0), (1.0, 2.0, 3.0, 4.0)) == pytest.approx(0.94868, abs=1e-5)


@pytest.mark.origin(
    "printed", "metal-trade table book, springback factor kR: nine materials, spring-hard stainless row"
)
def test_springback_table_is_a_trend():
    """The trend holds for all nine; the stainless row asks for a spring's yield, so it is no measure."""
    rows = {row.material: row for row in factor_rows()}
    assert len(rows) == 9
    assert all(row.trend_holds for row in rows.values())
    assert rows["X12CrNi18-8"].yield_mpa > 700
    assert abs(rows["DC01"].largest_difference) < 0.03 < abs(rows["CuZn33-R29"].largest_difference)


@pytest.mark.origin("derived", "greatest load of K (e0 + e)^n at e = n - e0: K n^n exp(e0 - n)")
def test_tensile_strength_of_the_flow_curve():
    """No engineering stress on the curve is larger."""
    for case in bend_cases():
        loads = [case.k_mpa * (case.eps0 + e) ** case.n * exp(-e) for e in (0.001 * i for i in range(600))]
        assert case.tensile_mpa == pytest.approx(max(loads), rel=1e-5)


@pytest.mark.origin("law", "springback is relaxed minus loaded; a deeper punch closes the bend")
def test_computed_bends_are_whole():
    """Every case has points in the order of their depth, and its angles belong together."""
    assert len(bend_cases()) >= 5
    assert len({case.name for case in bend_cases()}) == len(bend_cases())
    for case in bend_cases():
        points = case.points
        assert [p.depth_mm for p in points] == sorted(p.depth_mm for p in points)
        assert all(a.loaded_included_deg > b.loaded_included_deg for a, b in pairwise(points))
        for point in points:
            assert point.relaxed_included_deg - point.loaded_included_deg == pytest.approx(
                point.springback_deg, abs=2e-4
            )


@pytest.mark.origin("law", "round trip: the depth of the angle is the depth asked for")
def test_chain_solves_for_the_angle():
    """At every depth it reaches; past the end of the geometry it says nothing."""
    for case in bend_cases():
        for point in case.points:
            state = chained_stroke(case, point.depth_mm)
            assert state is not None
            back = ram_depth_mm(
                loaded_turned_deg=180.0 - state.loaded_included_deg,
                inside_radius_mm=state.inside_radius_mm,
                **die_and_sheet(case),
            )
            assert back == pytest.approx(point.depth_mm, abs=1e-9)
        assert chained_stroke(case, 20.0 * case.opening_mm) is None


@pytest.mark.origin("printed", "finite-element reference bends; models that leave out less come nearer")
def test_what_leaves_out_more_is_farther_off():
    """Arc and legs with hardening beat an arc alone and a sheet that does not harden; radii beat sharp corners."""
    worst = {}
    for evidence in all_evidence():
        for one in evidence.comparisons:
            worst[one.model] = max(worst.get(one.model, 0.0), abs(one.difference / one.outside) if one.outside else 0.0)
    assert worst["springback_air_bend"] < 0.2 < worst["springback_air_bend (arc alone)"]
    assert worst["springback_air_bend"] < worst["springback_air_bend (yield only)"]
    assert worst["depth_with_radii (radius there)"] < worst["depth_with_radii (radius from V)"]
    assert worst["depth_with_radii (radius from V)"] < worst["depth_sharp (from first touch)"]


@pytest.mark.origin("law", "the stroke model reaches every depth; nothing is said of a flat sheet or past the end")
def test_the_mechanics_answer_at_every_depth():
    """Every point of every case has an answer, with a force; 20 openings deep there is none."""
    for case in bend_cases():
        states = [mechanics_stroke(case, point.depth_mm) for point in case.points]
        assert all(state is not None and state.force_n_per_mm > 0.0 for state in states)
        assert mechanics_stroke(case, 20.0 * case.opening_mm) is None


@pytest.mark.origin(
    "derived", "differences 3, -4 and 0: rms sqrt(25/3) = 2.887; without the deep one sqrt(25/2) = 3.536"
)
def test_strokes_in_short():
    """Root mean square, the largest with its sign, and how many are within; the deep bend counts only among all."""
    angles = (150.0, 100.0, 60.0)
    comparisons = tuple(
        Comparison(
            model="m", case=f"{a}", quantity="relaxed included", unit="degrees", outside=a, ours=a + d, limit=Limit(3.0)
        )
        for a, d in zip(angles, (3.0, -4.0, 0.0), strict=True)
    )
    strokes = [
        Evidence(key="stroke_x", title="Stroke x", source="", kind="computed", weight="", comparisons=comparisons)
    ]
    _, _, text = stroke_summary(strokes)
    assert "| x | `m` | 2.887 (-4.000) | - | - | - | - | - | 2 of 3 |" in text
    assert "| **all, 80 to 160 degrees** | `m` | 3.536 (-4.000) | - | - | - | - | - | 1 of 2 |" in text
    assert stroke_summary([]) == []
