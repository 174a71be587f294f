"""Models asked with numbers they have no answer for: each finding with its exact sentence."""

from math import inf, nan

import pytest

from bendwright.findings import OutOfRangeError
from bendwright.mechanics.beam_deflection import PlateBeam, sag_at, sag_over_load
from bendwright.mechanics.bend_allowance import (
    din_6935_deduction_mm,
    k_factor_allowance_mm,
    k_from_coupon,
    setback_mm,
    table_k,
)
from bendwright.mechanics.bending_force import groover_line_load_kn_per_m
from bendwright.mechanics.hems import hem_deduction_mm
from bendwright.mechanics.inside_radius import air_bend_radius_mm
from bendwright.mechanics.loads import off_centre_shares
from bendwright.mechanics.moment_curvature import FlowCurve
from bendwright.mechanics.ram_depth import half_centre_distance_mm, ram_depth_mm

BEND = {"inside_radius_mm": 3.0, "thickness_mm": 2.0, "turned_deg": 90.0}
SHEET = {"thickness_mm": 2.0, "opening_mm": 16.0, "tensile_mpa": 400.0}
BEAM = PlateBeam(span_mm=2000.0, plate_thickness_mm=60.0, plate_height_mm=1000.0)
DEPTH = {"half_centre_mm": 4.0, "inside_radius_mm": 3.0, "thickness_mm": 2.0, "shoulder_radius_mm": 1.0}
STRIP = {"leg_a_mm": 52.9, "leg_b_mm": 51.0, "inside_radius_mm": 2.56, "thickness_mm": 2.0, "turned_deg": 90.0}

CASES = [
    (
        lambda: groover_line_load_kn_per_m(**SHEET | {"thickness_mm": 0.0}),
        "R101",
        "thickness_mm is 0; a number above 0 is needed.",
    ),
    (
        lambda: groover_line_load_kn_per_m(**SHEET | {"tensile_mpa": -5}),
        "R101",
        "tensile_mpa is -5; a number above 0 is needed.",
    ),
    (
        lambda: groover_line_load_kn_per_m(**SHEET | {"opening_mm": nan}),
        "R101",
        "opening_mm is nan; a number above 0 is needed.",
    ),
    (
        lambda: groover_line_load_kn_per_m(**SHEET | {"opening_mm": inf}),
        "R101",
        "opening_mm is inf; a number above 0 is needed.",
    ),
    (
        lambda: k_factor_allowance_mm(**BEND | {"inside_radius_mm": -1}, k_factor=0.4),
        "R102",
        "inside_radius_mm is -1; 0 or more is needed.",
    ),
    (lambda: k_factor_allowance_mm(**BEND, k_factor=1.2), "R103", "k_factor is 1.2; allowed is 0 to 1."),
    (
        lambda: k_factor_allowance_mm(**BEND | {"turned_deg": 400}, k_factor=0.4),
        "R103",
        "turned_deg is 400; allowed is 0 to 360.",
    ),
    (
        lambda: din_6935_deduction_mm(inside_radius_mm=3.0, thickness_mm=2.0, included_deg=181.0),
        "R103",
        "included_deg is 181; allowed is 0 to 180.",
    ),
    (
        lambda: setback_mm(**BEND | {"turned_deg": 180.0}, measured_to="mould_line"),
        "R104",
        "Legs of a bend turned 180 degrees were to be measured to the mould line; "
        "at 180 degrees and beyond the outer faces never meet.",
    ),
    (
        lambda: setback_mm(**BEND, measured_to="inside"),
        "R106",
        "measured_to is 'inside'; known are mould_line, outer_tangent.",
    ),
    (
        lambda: table_k(process="folding", hardness_class="soft", radius_over_thickness=1.0),
        "R106",
        "process is 'folding'; known are air, bottoming, coining.",
    ),
    (
        lambda: air_bend_radius_mm(family="lead", opening_mm=16.0, punch_radius_mm=1.0),
        "R106",
        "family is 'lead'; known are steel, galvanized, stainless, aluminium, copper, brass.",
    ),
    (
        lambda: half_centre_distance_mm(
            opening_mm=16.0, opening_measured="somewhere", die_angle_deg=88.0, shoulder_radius_mm=2.0
        ),
        "R106",
        "opening_measured is 'somewhere'; known are arc_tangents, sharp_corners.",
    ),
    (
        lambda: ram_depth_mm(loaded_turned_deg=120.0, **DEPTH),
        "R107",
        "At 120 degrees turned under load, inside radius 3 mm and thickness 2 mm leave no straight leg between the arc "
        "and the die shoulder (arm -2.392 mm).",
    ),
    (
        lambda: sag_over_load(beam=BEAM, load_kn=500.0, loaded_length_mm=2500.0),
        "R108",
        "The load covers 2500 mm, the distance between the supports is 2000 mm; "
        "the beam model has no overhanging load.",
    ),
    (
        lambda: sag_at(beam=BEAM, load_kn=500.0, loaded_length_mm=1000.0, from_middle_mm=600.0),
        "R103",
        "from_middle_mm is 600; allowed is -500 to 500.",
    ),
    (
        lambda: k_from_coupon(flat_length_mm=105.0, **STRIP),
        "R109",
        "The test strip gives K = 1.973; between 0 and 1 is possible.",
    ),
    (
        lambda: FlowCurve(law="swift", k_mpa=500.0, n=0.2),
        "R110",
        "e0_or_b is not known, but the flow curve 'swift' needs it.",
    ),
    (lambda: FlowCurve(law="hollomon", k_mpa=500.0), "R110", "n is not known, but the flow curve 'hollomon' needs it."),
    (
        lambda: FlowCurve(law="voce", k_mpa=500.0, e0_or_b=9.0),
        "R110",
        "yield_mpa is not known, but the flow curve 'voce' needs it.",
    ),
    (
        lambda: off_centre_shares(force_kn=100.0, eccentricity_mm=900.0, cylinder_distance_mm=1600.0),
        "R111",
        "The load stands 900 mm off centre, the cylinders 1600 mm apart; the load must stand between them.",
    ),
    (lambda: hem_deduction_mm(kind="open", thickness_mm=1.0), "R101", "gap_mm is nan; a number above 0 is needed."),
    (
        lambda: hem_deduction_mm(kind="teardrop", thickness_mm=1.0, gap_mm=4.0, leg_mm=2.5),
        "R101",
        "straight_of_leg_mm is -0.5; a number above 0 is needed.",
    ),
]


@pytest.mark.parametrize(("ask", "code", "sentence"), CASES)
def test_refused_with_one_sentence(ask, code, sentence):
    """No NaN, no zero, no traceback: OutOfRangeError with one finding that says what came and what is allowed."""
    with pytest.raises(OutOfRangeError) as caught:
        ask()
    (finding,) = caught.value.findings
    assert (finding.code, finding.severity, finding.sentence) == (code, "error", sentence)
    assert finding.cure


def test_all_wrong_numbers_are_said_at_once():
    """Two bad numbers, two findings."""
    with pytest.raises(OutOfRangeError) as caught:
        groover_line_load_kn_per_m(thickness_mm=-1.0, opening_mm=0.0, tensile_mpa=400.0)
    assert [finding.where for finding in caught.value.findings] == ["thickness_mm", "opening_mm"]
