"""Holes, slots and cut-outs beside bends: measured from the tangent, and the place where they would be clear."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from told import line_of, lines_of, looked_of, report_of, sheet_of

from bendwright.makeable.near_bends import moved, near_of
from bendwright.part.features import feature_shape
from bendwright.part.model import Circle, Cutout, Feature, Part, Slot
from flat_parts import bracket_with_window
from shop_talk import example, panel

FEW = settings(max_examples=20, deadline=None)


@pytest.mark.origin(
    "derived", "S235, V32: R 5.12, t 4: 18 - 6.5 - 9.12 = 2.38 = 0.6 t of 8; 18 + 5.62 = 23.62; V/2 16 from the line"
)
def test_the_bolt_holes_of_the_stair_tread() -> None:
    """Too near, over the die opening, and where they would be clear."""
    report = report_of(example("stair_tread"))
    line = line_of(report, "feature", "hole 'bolt'")
    assert line.value == pytest.approx(2.38, abs=0.005)
    assert line.limit == pytest.approx(8.0)
    assert line.verdict == "watch"
    assert len(line.places) == 2
    assert "0.6 t of 2 t" in line.note
    assert "7.72 mm from the bend line" in line.note
    assert line.fix is not None
    assert "move its centre to 23.62 mm" in line.fix.sentence
    assert line.fix.amount == pytest.approx(5.62, abs=0.005)


@pytest.mark.origin(
    "derived", "t 1.90, V16: 12 - 4.5 - (2.56 + 1.90) = 3.04 = 1.6 t; centre at 12 + 3.80 - 3.04 = 12.76"
)
def test_the_bolt_hole_of_the_mast_clamp() -> None:
    """Measured sheet; a metric hole on an inch drawing."""
    part = example("mast_clamp")
    report = report_of(part, sheet=sheet_of(part, "1.90 mm"), die_id="V16", brake_id="M2")
    line = line_of(report, "feature", "hole 'bolt' dia 9")
    assert line.value == pytest.approx(3.04, abs=0.005)
    assert "1.6 t of 2 t" in line.note
    assert line.fix is not None
    assert "12.76 mm from the outside" in line.fix.sentence


@pytest.mark.origin("derived", "aluminium 1.5, V12: R 1.80: 9 - 3 - 3.30 = 2.70 = 1.8 t, short of 3.00 by 0.30")
def test_the_drain_of_the_tray() -> None:
    """Flagged by three tenths of a millimetre."""
    line = line_of(report_of(example("station_tray")), "feature", "hole 'drain'")
    assert line.value == pytest.approx(2.70, abs=0.005)
    assert line.short_by == pytest.approx(0.30, abs=0.005)


def with_feature(feature: Feature) -> Part:
    """A base 120 x 80 with walls on two neighbouring edges, and one feature in the base."""
    part = panel(
        "material: S235JR\nthickness: 2\npanel:\n  base: {width: 120, depth: 80}\n  flanges:\n"
        "    - {edge: front, leg: 30, direction: up, turned: 90}\n"
        "    - {edge: right, leg: 30, direction: down, turned: 60, left: 20}\n"
    )
    base = replace(part.flanges[0], features=(feature,))
    return replace(part, flanges=(base, *part.flanges[1:]))


@st.composite
def features(draw: st.DrawFn) -> Feature:
    """A hole, a slot in any direction or a triangle, somewhere near the front bend."""
    centre = (draw(st.floats(20.0, 70.0)), draw(st.floats(8.0, 16.0)))
    kind = draw(st.sampled_from(["hole", "slot", "triangle"]))
    if kind == "hole":
        return Circle(centre=centre, diameter_mm=draw(st.floats(2.0, 9.0)))
    if kind == "slot":
        return Slot(centre=centre, length_mm=9.0, width_mm=3.0, axis_deg=draw(st.floats(0.0, 180.0)))
    r, turn = 4.0, draw(st.floats(0.0, 2.0))
    corners = [(centre[0] + r * math.cos(turn + k), centre[1] + r * math.sin(turn + k)) for k in (0.0, 2.1, 4.2)]
    return Cutout(points=tuple(corners))


@given(features())
@FEW
@pytest.mark.origin(
    "law",
    "what the cure moves by is what the rule lacks: moved so far, the feature keeps the rule, and less would not do",
)
def test_moved_by_the_proposed_amount_it_is_clear(feature: Feature) -> None:
    """The same feature, moved away from the bend by the amount of the fix, in a report of its own."""
    report = report_of(with_feature(feature), die_id="V16")
    lines = [line for line in lines_of(report, "feature", "to the tangent", "bend b1") if line.verdict != "ok"]
    assume(lines)
    (line,) = lines
    assert line.fix is not None
    assume("no room" not in line.fix.sentence)
    assert line.fix.amount is not None
    for share, kept in ((1.0, True), (0.98, False)):
        there = moved(feature, (0.0, share * line.fix.amount))
        again = report_of(with_feature(there), die_id="V16")
        bad = [item for item in lines_of(again, "feature", "to the tangent", "bend b1") if item.verdict != "ok"]
        assert (not bad) is kept


@given(features())
@FEW
@pytest.mark.origin("law", "named centre less half the size, set-back and rule is the clear sheet")
def test_the_named_centre_is_where_it_would_be_clear(feature: Feature) -> None:
    """Read out of the sentence: set there, the clear sheet is the rule (to the printed hundredth)."""
    report = report_of(with_feature(feature), die_id="V16")
    lines = [line for line in lines_of(report, "feature", "to the tangent", "bend b1") if line.verdict != "ok"]
    assume(lines)
    assert lines[0].fix is not None
    said = re.search(r"centre to ([\d.]+) mm", lines[0].fix.sentence)
    assume(said)
    assert said is not None
    centre = feature_shape(feature).centroid
    there = moved(feature, (0.0, float(said[1]) - centre.y))
    blank = looked_of(with_feature(there), die_id="V16").taken.blank  # type: ignore[union-attr]
    shape = feature_shape(next(flat for flat in blank.flats if flat.flange_id == "base").features[0])
    near = near_of(blank, blank.bend_lines[0], shape)  # type: ignore[arg-type]
    assert near.clear_mm == pytest.approx(4.0, abs=0.02)


@pytest.mark.origin(
    "derived",
    "flange 20: hole dia 8 centre 9 needs 9 + shift beyond 20 - 4 - ...: the other end of the flange is in the way",
)
def test_no_room_is_said() -> None:
    """A web of 22 between two bends: away from one is toward the other."""
    part = panel(
        "material: S235JR\nthickness: 2\npanel:\n  base: {width: 100, depth: 24}\n  flanges:\n"
        "    - {edge: front, leg: 30, direction: up, turned: 90}\n    - {edge: back, leg: 30, direction: up, turned: 90}\n"
    )
    base = replace(part.flanges[0], features=(Circle(centre=(50.0, 12.0), diameter_mm=10.0),))
    report = report_of(replace(part, flanges=(base, *part.flanges[1:])))
    bad = [line for line in lines_of(report, "feature", "hole") if line.verdict == "watch"]
    assert bad
    assert all(line.fix is not None and "no room to move it" in line.fix.sentence for line in bad)
    assert all("slit 2.0 x 14.0" in line.fix.sentence for line in bad if line.fix)


@pytest.mark.origin(
    "derived", "stretches 45, 15 and 33.3 of the bend; windows 20 and 6.67 (the triangle at half the zone)"
)
def test_a_bend_with_windows_is_in_stretches() -> None:
    """The narrowest stretch against two thicknesses; the half moon and the slot are measured as they are."""
    report = report_of(bracket_with_window())
    line = line_of(report, "feature", "stretches of the bend")
    assert line.value == pytest.approx(15.0)
    assert "windows 20.0, 6.7 mm" in line.what
    moon = line_of(report, "feature", "cut-out 'moon' 16.0 x 8.0")
    assert moon.value == pytest.approx(
        120.0 + 4.0 * math.tan(math.radians(30.0)) - 4.56 * math.tan(math.radians(30.0)) - 98.0, abs=0.01
    )
    slot = line_of(report, "feature", "slot 14 x 5")
    assert slot.value == pytest.approx(25.0 - (4.5 * 0.5 + 2.5) - 0.56, abs=0.01)
