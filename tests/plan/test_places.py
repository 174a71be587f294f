"""Where stacks and fingers stand: nothing is pressed that is not to be bent, and fingers stand on the stop."""

from __future__ import annotations

import pytest

from bendwright.job import Wishes, prepare
from bendwright.plan.result import Plan
from bendwright.stroke.result import Stroke
from shop_talk import SHOP, panel, profile, sheet

DERIVED = pytest.mark.origin("derived", "positions of the typed flanges on one line, 1 mm of end clearance")


def plan_of(text: str, thickness: str = "1.5", **wishes: str) -> Plan:
    """A plan of a panel in DC01 on the first brake."""
    return prepare(panel(text), sheet("DC01", thickness), SHOP, Wishes(brake_id="M1", **wishes)).plan  # type: ignore[arg-type]


def reach(stroke: Stroke) -> tuple[float, float]:
    """Where the punch stack begins and ends, from the left end of its bend."""
    return stroke.stack_from_mm, stroke.stack_from_mm + stroke.stack_length_mm


@DERIVED
@pytest.mark.parametrize("second", ["up", "down"])
def test_a_flat_neighbour_on_the_same_line_is_not_pressed(second: str) -> None:
    """Two flanges on one edge, 2 mm apart: while the second lies flat the stack ends at most 1 mm beside the first."""
    text = (
        "panel:\n  base: {{width: 300, depth: 100}}\n  flanges:\n"
        "    - {{name: a, edge: front, leg: 30, direction: up, left: 0, right: 151}}\n"
        "    - {{name: b, edge: front, leg: 30, direction: {second}, left: 151, right: 0}}\n"
    )
    first = plan_of(text.format(second=second)).strokes[0]
    low, high = reach(first)
    ends = (-low, high - first.bend_length_mm)
    assert min(ends) <= 1.0 + 1e-6
    assert max(ends) >= 0.0


@DERIVED
def test_a_side_tab_does_not_crease_the_base() -> None:
    """The base lies 2.3 mm beside the tab's bend and across its line: the stack begins no farther out than 1.3 mm."""
    text = (
        "panel:\n  base: {width: 300, depth: 150}\n  flanges:\n    - edge: front\n      leg: 60\n      direction: up\n"
        "      left: 60\n      right: 60\n      flanges: [{edge: left, leg: 20, direction: up}]\n"
    )
    tab = next(stroke for stroke in plan_of(text, "1").strokes if stroke.bend_id == "b2")
    low, high = reach(tab)
    assert low >= -1.31 or high <= tab.bend_length_mm + 1.31


@DERIVED
@pytest.mark.parametrize("length", [30.0, 60.0, 90.0, 400.0])
def test_fingers_stand_on_the_stop(length: float) -> None:
    """Fingers 40 wide: two side by side need 85 mm; on a shorter edge one stands in its middle, whole where it fits."""
    plan = prepare(profile(f"60 u90 30 x {length:g}"), sheet(), SHOP, Wishes(brake_id="M1")).plan
    places = plan.strokes[0].gauging.fingers_z_mm
    assert len(places) == (2 if length >= 85.0 else 1)
    if len(places) == 1:
        assert places[0] == pytest.approx(length / 2.0)
    else:
        assert places[0] >= 20.0 - 1e-6
        assert places[-1] <= length - 20.0 + 1e-6
        assert places[1] - places[0] >= 45.0 - 1e-6


@DERIVED
def test_no_end_stays_uncovered_without_need() -> None:
    """Nothing stands beside a single bend: punch and die cover it from end to end."""
    for length in (215, 300, 477, 900):
        plan = prepare(profile(f"60 u90 30 x {length}"), sheet(), SHOP, Wishes(brake_id="M1")).plan
        stroke, station = plan.strokes[0], plan.stations[0]
        die = sum(piece.length_mm for piece in station.die_pieces)
        assert stroke.stack_from_mm <= 1e-6
        assert stroke.stack_from_mm + min(stroke.stack_length_mm, die) >= length - 1e-6
