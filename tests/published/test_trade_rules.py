"""Rules of the trade and plain statics: line-load limit, off-centre load, room, swing of the edge, hems, radius."""

from math import atan, cos, degrees, pi, radians, sin

import pytest

from bendwright.mechanics.hems import (
    PREBEND_INCLUDED_DEG,
    flattened_height_mm,
    hem_deduction_mm,
    minimum_hem_leg_mm,
    teardrop_turned_deg,
)
from bendwright.mechanics.inside_radius import RADIUS_OVER_OPENING, air_bend_radius_mm
from bendwright.mechanics.loads import off_centre_shares, sixty_percent_limit_kn_per_m
from bendwright.mechanics.minimum_flange import minimum_flange_mm
from bendwright.mechanics.space import box_punch_height_mm, daylight_mm, u_channel_clearance_mm, u_channel_height_mm
from bendwright.mechanics.whip import edge_speed_in_stroke_m_per_s, edge_speed_m_per_s


@pytest.mark.origin("printed", "magazine column: 66 tons, 80.75 in between frames -> 48.45 in -> 1.36 tons per inch")
def test_sixty_percent_rule_as_printed():
    """66/(0.6 x 80.75) = 1.3622."""
    kn_per_m_of_ton_per_inch = 8.896443 / 0.0254
    limit = sixty_percent_limit_kn_per_m(rated_force_kn=66.0 * 8.896443, between_frames_mm=80.75 * 25.4)
    assert limit / kn_per_m_of_ton_per_inch == pytest.approx(1.36, abs=0.005)


@pytest.mark.parametrize(("rated", "frames", "limit"), [(1000.0, 2600.0, 641.0), (2200.0, 3600.0, 1018.5)])
@pytest.mark.origin("derived", "rated force over 0.6 x distance between the frames")
def test_sixty_percent_rule(rated, frames, limit):
    """1000/(0.6 x 2.6) = 641; 2200/(0.6 x 3.6) = 1018.5."""
    assert sixty_percent_limit_kn_per_m(rated_force_kn=rated, between_frames_mm=frames) == pytest.approx(limit, abs=0.1)


@pytest.mark.origin("derived", "moments about the cylinders: F (1/2 -+ e/B)")
def test_off_centre_load():
    """400 kN, 500 mm right of the middle, cylinders 2500 apart: 120 and 280; mirrored, they change places."""
    case = {"force_kn": 400.0, "cylinder_distance_mm": 2500.0}
    assert off_centre_shares(**case, eccentricity_mm=500.0) == pytest.approx((120.0, 280.0))
    assert off_centre_shares(**case, eccentricity_mm=-500.0) == pytest.approx((280.0, 120.0))
    assert off_centre_shares(**case, eccentricity_mm=1250.0) == pytest.approx((0.0, 400.0))


@pytest.mark.parametrize(
    ("base", "leg", "half_width", "clearance", "height"),
    [
        (57.0, 48.5, 7.0, -0.99, 74.6),
        (57.0, 48.5, -18.0, 24.01, 74.6),
        (22.0, 10.5, 7.0, 1.13, 23.0),
        (17.0, 13.5, 7.0, -4.53, 21.6),
        (63.0, 38.0, 7.0, 10.68, 71.4),
    ],
)
@pytest.mark.origin("derived", "(b - h)/sqrt2 - s at height (b + h)/sqrt2")
def test_channel(base, leg, half_width, clearance, height):
    """Cable tray with straight punch and gooseneck, door return 25/12 and 20/15, lipped channel."""
    legs = {"inside_base_mm": base, "inside_leg_mm": leg}
    assert u_channel_clearance_mm(**legs, body_half_width_mm=half_width) == pytest.approx(clearance, abs=0.006)
    assert u_channel_height_mm(**legs) == pytest.approx(height, abs=0.06)


@pytest.mark.parametrize(("depth", "height"), [(53.5, 105.7), (74.3, 135.1)])
@pytest.mark.origin("derived", "sqrt2 h + w, w 30")
def test_box(depth, height):
    """Tray 55 and hive roof 75."""
    assert box_punch_height_mm(inside_depth_mm=depth, half_width_mm=30.0) == pytest.approx(height, abs=0.05)


@pytest.mark.origin("derived", "470 - 200 - 60 - 55 = 155")
def test_daylight():
    """A tall punch on a low die."""
    room = daylight_mm(open_height_mm=470.0, punch_height_mm=200.0, die_height_mm=60.0, holders_height_mm=55.0)
    assert room == 155.0


@pytest.mark.parametrize(("reach", "speed"), [(630.0, 1.05), (575.0, 0.958), (1850.0, 3.08)])
@pytest.mark.origin("derived", "at the start each leg turns at v/(V/2): V 12, 10 mm/s")
def test_edge_speed_at_the_start(reach, speed):
    """630 x 10/6 = 1050 mm/s."""
    found = edge_speed_m_per_s(reach_mm=reach, ram_speed_mm_per_s=10.0, half_centre_mm=6.0)
    assert found == pytest.approx(speed, abs=0.005)


@pytest.mark.origin(
    "derived", "l 500, 10 mm/s, dY/db 8.36 mm/rad -> 598 mm/s; sharp model V 12, t 1.5, 575 near 90 -> 0.58"
)
def test_edge_speed_in_the_stroke():
    """dY/db is 2 x mm per degree x 180/pi; at the start (Wc pi/360 mm per degree) both forms agree."""
    per_degree = 8.36 * pi / 360.0
    found = edge_speed_in_stroke_m_per_s(reach_mm=500.0, ram_speed_mm_per_s=10.0, mm_per_degree=per_degree)
    assert found == pytest.approx(0.598, abs=0.0005)
    near_90 = edge_speed_in_stroke_m_per_s(reach_mm=575.0, ram_speed_mm_per_s=10.0, mm_per_degree=0.0862)
    assert near_90 == pytest.approx(0.58, abs=0.005)
    start = edge_speed_in_stroke_m_per_s(reach_mm=630.0, ram_speed_mm_per_s=10.0, mm_per_degree=6.0 * pi / 360.0)
    assert start == pytest.approx(1.05, abs=1e-9)


@pytest.mark.origin("practice", "closed hem deduction 0.43 t; derived (2 - pi K) t")
def test_closed_hem():
    """K 0.5: 0.429 t; 0.300 for t 0.7."""
    assert hem_deduction_mm(kind="closed", thickness_mm=1.0) == pytest.approx(0.43, abs=0.001)
    assert hem_deduction_mm(kind="closed", thickness_mm=0.7) == pytest.approx(0.300, abs=0.0005)


@pytest.mark.origin("derived", "2 (R + t) - pi (R + K t), R = gap/2: gap 2, t 1, K 0.5 -> 4 - 1.5 pi = -0.712")
def test_open_hem():
    """A wide fold takes more sheet than the outside legs hold."""
    assert hem_deduction_mm(kind="open", thickness_mm=1.0, gap_mm=2.0) == pytest.approx(4.0 - 1.5 * pi, abs=1e-12)


@pytest.mark.origin("derived", "tip on the sheet: both tangents from it to the loop are equally long")
def test_teardrop_tip_touches_the_sheet():
    """Walk round the inner face: arc of radius R from the sheet, then the straight leg; it must end at height 0."""
    gap, leg, t = 4.0, 12.0, 1.0
    turned = radians(teardrop_turned_deg(gap_mm=gap, leg_mm=leg, thickness_mm=t))
    radius, straight = gap / 2.0, leg - gap / 2.0 - t
    height = radius * (1.0 - cos(turned)) + straight * sin(turned)
    assert height == pytest.approx(0.0, abs=1e-9)
    assert degrees(turned) == pytest.approx(180.0 + 2.0 * degrees(atan(2.0 / 9.0)))
    deduction = hem_deduction_mm(kind="teardrop", thickness_mm=t, gap_mm=gap, leg_mm=leg)
    assert deduction == pytest.approx(2.0 * (radius + t) - turned * (radius + 0.5 * t), abs=1e-12)


@pytest.mark.origin("practice", "pre-bend to 30; shortest hem 4 t; flatten to 2 t + gap; V 6 at 30 needs 11.6")
def test_making_a_hem():
    """The pre-bend's own minimum flange often asks for more than 4 t."""
    assert minimum_flange_mm(opening_mm=6.0, included_deg=PREBEND_INCLUDED_DEG) == pytest.approx(11.6, abs=0.05)
    assert minimum_hem_leg_mm(thickness_mm=0.7) == pytest.approx(2.8)
    assert flattened_height_mm(thickness_mm=0.7) == pytest.approx(1.4)
    assert flattened_height_mm(thickness_mm=1.0, gap_mm=1.5) == pytest.approx(3.5)


@pytest.mark.parametrize(
    ("family", "opening", "nose", "radius"),
    [
        ("steel", 16.0, 0.8, 2.56),
        ("galvanized", 12.0, 0.8, 1.92),
        ("stainless", 12.0, 1.0, 2.52),
        ("aluminium", 20.0, 1.0, 2.80),
        ("copper", 10.0, 1.0, 1.50),
        ("brass", 10.0, 1.0, 1.50),
    ],
)
@pytest.mark.origin(
    "practice", "0.16 V mild and galvanised, 0.20-0.22 stainless, 0.13-0.15 aluminium, 0.15 copper, brass"
)
def test_inside_radius_by_family(family, opening, nose, radius):
    """Radius from the die, with a sentence saying so."""
    found, sentence = air_bend_radius_mm(family=family, opening_mm=opening, punch_radius_mm=nose)
    assert found == pytest.approx(radius)
    assert sentence == f"{RADIUS_OVER_OPENING[family]:g} x V {opening:g} mm (common practice for {family})"


@pytest.mark.origin("derived", "V 32: 0.16 V = 5.12; nose 6 is larger; the shop's own 0.15 V = 4.80")
def test_nose_and_own_ratio_beat_the_rule():
    """The nose wins when larger; the shop's ratio wins over the trade's."""
    radius, sentence = air_bend_radius_mm(family="steel", opening_mm=32.0, punch_radius_mm=6.0)
    assert (radius, sentence) == (6.0, "punch nose 6 mm, larger than 0.16 x V 32 mm")
    radius, sentence = air_bend_radius_mm(family="steel", opening_mm=32.0, punch_radius_mm=1.0, ratio=0.15)
    assert (radius, sentence) == (pytest.approx(4.8), "0.15 x V 32 mm (the shop's own value)")


CHART_RADII = [
    (8, 1.19), (10, 1.60), (12, 1.98), (14, 2.39), (16, 2.77), (18, 3.17), (20, 3.58), (25, 3.96), (32, 5.16),
    (40, 6.35), (50, 7.95), (63, 10.31), (80, 13.11), (100, 15.88), (125, 19.05), (160, 26.19), (200, 33.35),
    (250, 41.27),
]  # fmt: skip


@pytest.mark.parametrize(("opening", "radius"), CHART_RADII)
@pytest.mark.origin("printed", "inch force chart for mild steel, inside radius by die opening, steps of 1/64 in")
def test_inside_radius_of_an_inch_chart(opening, radius):
    """0.16 V within 1/64 in or 7 %: the chart's own numbers run from 0.149 to 0.179 V."""
    found, _ = air_bend_radius_mm(family="steel", opening_mm=opening, punch_radius_mm=0.0)
    assert found == pytest.approx(radius, abs=max(0.4, 0.07 * radius))
