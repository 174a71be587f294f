"""Bends pressed home and hems pressed flat, computed by finite elements, against the models of plastic hinges.

The rows come from ``benchmarks/finite_elements/pressed_home.py`` and ``hem_flat.py``: plane strain, Swift hardening, rigid
tools, friction 0.1; a sheet without Bauschinger effect. They know nothing of hinges.
"""

from __future__ import annotations

import pytest

from bendwright.mechanics.bottoming import (
    bottomed_springback_band_deg,
    bottoming_depth_mm,
    bottoming_model_band,
    one_hinge_line_load_kn_per_m,
)
from bendwright.mechanics.hem_flattening import (
    hem_flattening_model_band,
    leg_closing_line_load_kn_per_m,
    rolling_line_load_kn_per_m,
)
from bendwright.mechanics.ram_depth import contact_arm_mm
from bendwright.validation.pressed_comparisons import moment_n, rows_of

finite_elements = pytest.mark.origin("derived", "finite elements of a general-purpose solver, case by case in the data")


def rows(name):
    """The rows of a data file, with the case each belongs to."""
    return [{"case": case, **row} for case, row in rows_of(name)]


def band_at(row):
    """Band of the model at the inside radius really there; sheet thickness as bought."""
    radius = row["r_in_apex_loaded_mm"]
    return bottoming_model_band(
        moment_n=moment_n(row, radius),
        inside_radius_mm=radius,
        thickness_mm=row["thickness_mm"],
        turned_deg=180.0 - row["tool_angle_deg"],
        friction=row["mu"],
    )


PRESSED = rows("pressed_home.csv")
CASES = sorted({row["case"] for row in PRESSED})


def of(case):
    """Rows of one case: air bend, pressed between the flanks, beyond home."""
    own = [row for row in PRESSED if row["case"] == case]
    touched = next(i for i, row in enumerate(own) if row["included_loaded_deg"] < row["tool_angle_deg"])
    peak = max(row["force_N_per_mm"] for row in own[:touched])
    loads = [row["force_N_per_mm"] / peak for row in own]
    pressed = [row for row, load in zip(own, loads, strict=True) if 2.0 < load < 10.0]
    beyond = [row for row, load in zip(own, loads, strict=True) if load > 10.0]
    return peak, pressed, beyond


@pytest.mark.parametrize("case", CASES)
@finite_elements
def test_load_between_the_flanks(case):
    """From the moment the flanks press until the legs lie flat: inside the band at the radius reached then."""
    _, pressed, _ = of(case)
    assert len(pressed) >= 3
    for row in pressed:
        band = band_at(row)
        assert band.low < row["force_N_per_mm"] < band.high


@pytest.mark.parametrize("case", CASES)
@pytest.mark.origin("practice", "bottoming takes 3 to 5 air bends")
def test_home_takes_what_the_trade_says(case):
    """The last load before the tools are full is 5 air bends; a few hundredths further it is 20 and more."""
    peak, pressed, beyond = of(case)
    assert 4.5 < pressed[-1]["force_N_per_mm"] / peak < 5.5
    assert beyond[0]["force_N_per_mm"] / peak > 20.0
    assert beyond[0]["depth_mm"] - pressed[-1]["depth_mm"] < 0.05


@pytest.mark.parametrize("case", CASES)
@finite_elements
def test_depth_home(case):
    """The radius at home puts the depth by the closed form within 0.06 mm: the sheet is thinned to 0.93-0.96 t there."""
    _, pressed, _ = of(case)
    home = pressed[-1]
    depth = bottoming_depth_mm(
        die_angle_deg=home["tool_angle_deg"],
        half_centre_mm=home["V_between_arc_centres_mm"] / 2.0,
        inside_radius_mm=home["r_in_apex_loaded_mm"],
        thickness_mm=home["thickness_mm"],
        shoulder_radius_mm=home["die_shoulder_radius_mm"],
    )
    assert depth == pytest.approx(home["depth_mm"], abs=0.06)
    assert home["included_loaded_deg"] == pytest.approx(home["tool_angle_deg"], abs=0.05)


@pytest.mark.parametrize("case", CASES)
@finite_elements
def test_springs_inward(case):
    """On the way the bend comes out more closed than at home; home it lies inside the model's band, on the closed side."""
    _, pressed, _ = of(case)
    home, before = pressed[-1], pressed[:-1]
    tool = home["tool_angle_deg"]
    assert min(row["included_relaxed_deg"] for row in before) < home["included_relaxed_deg"] < tool
    shape = {"inside_radius_mm": home["r_in_apex_loaded_mm"], "thickness_mm": home["thickness_mm"]}
    band = bottomed_springback_band_deg(
        moment_n=moment_n(home, home["r_in_apex_loaded_mm"]),
        turned_deg=180.0 - tool,
        leg_arm_mm=contact_arm_mm(
            loaded_turned_deg=180.0 - tool,
            half_centre_mm=home["V_between_arc_centres_mm"] / 2.0,
            shoulder_radius_mm=home["die_shoulder_radius_mm"],
            **shape,
        ),
        youngs_modulus_mpa=home["E_MPa"],
        poisson=home["nu"],
        **shape,
    )
    assert band.low < home["included_relaxed_deg"] - tool < band.high


@pytest.mark.parametrize("case", CASES)
@finite_elements
def test_one_hinge_where_the_flanks_begin_to_press(case):
    """The first pressed row lies nearer to one hinge than to three."""
    _, pressed, _ = of(case)
    row = pressed[0]
    radius = row["r_in_apex_loaded_mm"]
    one = one_hinge_line_load_kn_per_m(
        moment_n=moment_n(row, radius),
        inside_radius_mm=radius,
        thickness_mm=row["thickness_mm"],
        turned_deg=180.0 - row["tool_angle_deg"],
    )
    assert row["force_N_per_mm"] == pytest.approx(one, rel=0.25)


HEMS = rows("hems_flat.csv")
CRUSHED = [pytest.param(row, id=f"{row['case']}, gap {row['gap_mm']:g}") for row in HEMS if row["gap_mm"] <= 1.4]


@pytest.mark.parametrize("row", CRUSHED)
@finite_elements
def test_crushed_hems(row):
    """Inside the band at every gap from 1.4 t down to 0.2 t, 9-19 % below its high end: the loop is rolled down."""
    tight = moment_n(row, row["gap_mm"] / 2.0)
    band = hem_flattening_model_band(
        moment_n=tight,
        loop_radius_mm=row["loop_radius_mm"],
        thickness_mm=row["thickness_mm"],
        leg_mm=row["leg_mm"],
        gap_mm=row["gap_mm"],
    )
    assert band.low < row["force_N_per_mm"] < band.high
    rolled = rolling_line_load_kn_per_m(moment_n=tight, thickness_mm=row["thickness_mm"], gap_mm=row["gap_mm"])
    assert 0.80 < row["force_N_per_mm"] / rolled < 0.92


@pytest.mark.parametrize("case", sorted({row["case"] for row in HEMS}))
@finite_elements
def test_swing_of_the_leg(case):
    """Before the bar reaches the loop: one hinge with the leg as its arm, within a third."""
    row = max((row for row in HEMS if row["case"] == case), key=lambda row: row["gap_mm"])
    leg = row["leg_mm"] + row["loop_radius_mm"] + row["thickness_mm"]
    swing = leg_closing_line_load_kn_per_m(moment_n=moment_n(row, row["loop_radius_mm"]), leg_mm=leg, included_deg=0.0)
    assert row["force_N_per_mm"] == pytest.approx(swing, rel=0.35)
