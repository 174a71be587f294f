"""Weather-station tray 180 x 120 with walls 55, corners open: which walls first, one stack for all."""

from __future__ import annotations

import pytest
from bend_sums import UnderPunch, deduction, line_load
from stories import (
    DEPTH_MM,
    LENGTH_MM,
    SHOP,
    TURN_DEG,
    check_of,
    order_of,
    part_of,
    plan_of,
    prepared,
    sentences,
    sheet_for,
)

from bendwright.findings import NotPossibleError
from bendwright.job import Wishes, check_order
from bendwright.plan.choose import Tooling, choose
from bendwright.plan.pins import held_to
from bendwright.plan.search import cheapest

TRAY = part_of("station_tray")
BEND = UnderPunch(t=1.5, radius=1.8, opening=12.0, shoulder=1.0, springback_deg=1.5)
JOB = {"tensile": "220", "brake_id": "M2"}
LONG_WALLS = {"b1", "b3"}
SHORT_WALLS = {"b2", "b4"}


@pytest.mark.origin(
    "derived",
    "V12, R = 0.15 V = 1.80: BD 2.783; 180 + 110 - 2 BD = 284.43, 120 + 110 - 2 BD = 224.43; X = 55 - BD/2 = 53.61",
)
def test_blank_and_gauge() -> None:
    """Every wall is gauged on its own free edge."""
    assert deduction(t=1.5, radius=1.8) == pytest.approx(2.783, abs=0.001)
    plan = plan_of(TRAY, "1.50", **JOB)
    assert (plan.blank.width_mm, plan.blank.height_mm) == pytest.approx((284.43, 224.43), abs=LENGTH_MM)
    for stroke in plan.strokes:
        assert stroke.gauging.kind == "edge"
        assert stroke.gauging.x_mm == pytest.approx(53.61, abs=LENGTH_MM)


@pytest.mark.origin(
    "derived",
    "inside 177 x 117: a 175 stack (1.0 a side) does the long walls last; the 120 long ones come first, overhanging",
)
def test_short_walls_first_and_one_stack_for_all() -> None:
    """100 + 40 + 20 + 15 = 175 with an ear piece used plainly or a plain hundred; plain pieces alone give 135 or 200."""
    plan = plan_of(TRAY, "1.50", **JOB)
    order = order_of(plan)
    assert set(order[:2]) == SHORT_WALLS
    assert set(order[2:]) == LONG_WALLS
    (station,) = plan.stations
    assert (station.punch_id, station.die_id) == ("P1", "V12")
    assert station.length_mm == pytest.approx(175.0)
    assert sorted(piece.length_mm for piece in station.punch_pieces) == [15.0, 20.0, 40.0, 100.0]
    assert any("ear" in piece.label for piece in station.punch_pieces)
    for stroke in plan.strokes[2:]:
        room = check_of(stroke.checks, "end clearance")
        assert room.value == pytest.approx(1.0, abs=LENGTH_MM)
        assert room.verdict == "ok"


@pytest.mark.origin("derived", "20 + 4 x 18 + three turns of 4 s, the gauge never moves: 104 s")
def test_time_of_a_piece() -> None:
    """The four walls want the same X."""
    plan = plan_of(TRAY, "1.50", **JOB)
    assert plan.times.cycle_s == pytest.approx(104.0)
    assert not any(stroke.handling.gauge_move for stroke in plan.strokes)


@pytest.mark.origin(
    "derived", "long walls first leave 117 inside for the short ones: a stack of 115, and 180 long needs 175 or more"
)
def test_the_reverse_order_needs_two_stacks() -> None:
    """It can be done, with a second station and walking."""
    sheet = sheet_for(TRAY, "1.50", tensile="220")
    order = ("b1", "b3", "b2", "b4")
    verdict = check_order(TRAY, sheet, SHOP, order, Wishes(brake_id="M2"))
    assert verdict.works
    assert verdict.cycle_s is not None
    assert verdict.cycle_s > verdict.best_cycle_s
    tooling = Tooling(
        dies=tuple(die for die in SHOP.cabinet.dies if die.id == "V12"),
        punches=SHOP.cabinet.punches,
        sheet=sheet,
        practice=SHOP.practice,
        brake=SHOP.brakes["M2"],
        bend_table=None,
    )
    tables = choose(TRAY, tooling, quantity=120).solution.tables
    ids = [bend.id for bend in TRAY.bends]
    reverse = cheapest(held_to(tables, [ids.index(name) for name in order]), quantity=120)
    assert reverse is not None
    short, long = sorted(station.punch_stack.length_mm for station in reverse.stations)
    assert 113.43 - 5.0 <= short <= 115.0
    assert long >= 173.43 - 5.0


@pytest.mark.origin(
    "derived", "sharp: sqrt2 x 53.5 + 30 = 105.7 of 120, 14.3 left, 10.1 square to the wall; at 88.5 loaded 9.28"
)
def test_depth_of_the_box() -> None:
    """The wall's top edge runs up beside the punch, under the ram: distance of the ram's edge from it."""
    needed = 53.5 * 2.0**0.5 + 30.0
    assert needed == pytest.approx(105.7, abs=0.05)
    room = BEND.room_under_ram(53.5, punch_height=120.0, half_depth=30.0)
    assert room == pytest.approx((120.0 - needed) / 2.0**0.5, abs=1.0)
    last = plan_of(TRAY, "1.50", **JOB).strokes[-1]
    assert last.clearance.against == "ram"
    assert last.clearance.mm == pytest.approx(room, abs=0.03)


@pytest.mark.origin("derived", "the deepest box of a 120 punch: (120 + sunk) cos 45.75 - 30 sin 45.75 + 1.5 outside")
def test_a_deeper_box_needs_a_taller_punch() -> None:
    """A little below the limit the slim punch still does it, a little above only another one."""
    deepest = 53.5 + BEND.room_under_ram(53.5, punch_height=120.0, half_depth=30.0) + 1.5
    for wall, fits in ((deepest - 0.2, True), (deepest + 0.2, False)):
        part = part_of("station_tray", ("leg: 55", f"leg: {wall:.2f}"))
        if fits:
            assert plan_of(part, "1.50", punch_id="P1", die_id="V12", **JOB).strokes[-1].clearance.mm < 0.4
            continue
        with pytest.raises(NotPossibleError, match=r"into the ram \(punch P1"):
            plan_of(part, "1.50", punch_id="P1", die_id="V12", **JOB)
        assert {s.punch_id for s in plan_of(part, "1.50", tensile="220", brake_id="M1").strokes} & {"P2", "P5"}


@pytest.mark.origin(
    "derived",
    "54.9-61.9 kN/m (1.33 Rm t2/V, (1 + 4t/V) Rm t2/V); walls really 180 - 2 x 3.3 and 120 - 2 x 3.3 long: 9.5-10.7, 6.2-7.0 kN",
)
def test_force_is_near_the_least_the_brake_holds() -> None:
    """3 % of 400 kN: the shorter walls need less than the 8 kN below which the machine may not hold the angle."""
    found = prepared(TRAY, "1.50", model="charts", **JOB)
    band = line_load(t=1.5, v=12.0, rm=220.0)
    assert band == pytest.approx((54.9, 61.9), rel=0.01)
    for stroke in found.plan.strokes:
        length = (180.0 if stroke.bend_id in LONG_WALLS else 120.0) - 2.0 * (1.8 + 1.5)
        assert stroke.line_load_kn_per_m.low == pytest.approx(band[0], rel=0.01)
        assert stroke.force_kn.low == pytest.approx(band[0] * length / 1000.0, rel=0.01)
        assert stroke.force_kn.high == pytest.approx(band[1] * length / 1000.0, rel=0.01)
        assert stroke.loaded_included_deg == pytest.approx(88.5, abs=TURN_DEG)
        assert stroke.depth_mm == pytest.approx(BEND.depth, abs=DEPTH_MM)
    assert any("least force" in sentence and "8.00 kN" in sentence for sentence in sentences(found, "K102"))


@pytest.mark.origin("derived", "drain 9 - 3 - 3.3 = 2.70 = 1.8 t; 2 t asks 3.00, so the centre at 9.30")
def test_the_drain_hole_is_flagged_by_three_tenths() -> None:
    """The rule is the shop's own 2 t."""
    found = prepared(TRAY, "1.50", **JOB)
    (near,) = [finding for finding in found.findings if finding.code == "M102"]
    assert "2.70 mm (1.8 t)" in near.sentence
    assert "9.30 mm" in near.cure


@pytest.mark.origin("practice", "film is not metal: it counts in the measured depth")
def test_film_is_said() -> None:
    """Film on both sides: measure with it in mind; the drawn visible side is both."""
    sheet = sheet_for(TRAY, "1.50", film="0.08", film_sides="both")
    from bendwright.job import prepare

    plan = prepare(TRAY, sheet, SHOP, Wishes(brake_id="M2")).plan
    assert any("Film" in caution for caution in plan.cautions)
