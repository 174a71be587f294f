"""The machine in the film of a plan: the right way round, one set-up at a time, clamps and holders where they are known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from filmed import FROM_MM, at, film, machine

from bendwright.drawing.plan_glb import plan_glb
from bendwright.plan.result import ClampPlace
from out.glb_reader import check, corners, parse, state, worlds
from out.real_plans import prepared
from shop_talk import SHOP, example


@pytest.mark.origin("law", "tools of another set-up are away while one is worked with")
def test_one_set_up_at_a_time() -> None:
    """Punches and dies are there in the strokes of their set-up and nowhere else, in the clips and in the whole film."""
    _, plan, glb = film("hive_roof")
    set_ups = {station.number: station.set_up for station in plan.stations}
    assert len(set(set_ups.values())) == 2
    for stroke in plan.strokes:
        clip = glb.animation(f"stroke {stroke.number}")
        moments = [(f"stroke {stroke.number}", 0.5 * clip["extras"]["at_s"]["out"])]
        moments.append(("whole plan", clip["extras"]["starts_s"] + moments[0][1]))
        for name, seconds in moments:
            there = {int(node.split()[1]) for node in machine(glb, name, seconds) if node.startswith("station")}
            assert there == {number for number, set_up in set_ups.items() if set_up == set_ups[stroke.station]}


@pytest.mark.origin(
    "derived", "glTF: y up, metres, +z toward the viewer in front; machine: x away from the operator, z right"
)
def test_it_stands_the_right_way_round() -> None:
    """Die tops level in x and z, the fingers behind (-z), the bed's left end at smaller x, sizes in metres."""
    _, plan, glb = film("station_tray")
    moved = state(glb, glb.animation("stroke 1"), at(glb, plan.strokes[0], "down"))
    places = worlds(glb, moved)
    fingers = [corners(glb, glb.node(f"finger {n}"), moved, places[glb.node(f"finger {n}")]) for n in (1, 2)]
    assert fingers[0][:, 0].mean() < fingers[1][:, 0].mean()
    assert max(finger[:, 2].max() for finger in fingers) == pytest.approx(
        -plan.strokes[0].gauging.x_mm * FROM_MM, abs=1e-6
    )
    die = glb.node(f"station 1 die {plan.stations[0].die_id}")
    block = corners(glb, die, moved, places[die])
    assert block[:, 1].max() == pytest.approx(0.0, abs=1e-7)
    assert np.ptp(block[:, 0]) == pytest.approx(
        sum(p.length_mm for p in plan.stations[0].die_pieces) * FROM_MM, rel=1e-6
    )
    assert block[:, 0].min() == pytest.approx(plan.stations[0].left_end_z_mm * FROM_MM, rel=1e-6)


@pytest.mark.origin(
    "derived", "brake M4: clamps 127 high and 2 x 15 deep under the ram; holder 55 high and 40 wide on the bed"
)
def test_clamps_and_die_holder_are_shown() -> None:
    """Two clamps over the stack where the plan puts them, the ram on top of them, and the die on its holder."""
    part, plan = example("cable_tray"), prepared("cable_tray").plan
    places = (ClampPlace(length_mm=90.0, from_mm=5.0), ClampPlace(length_mm=40.0, from_mm=205.0))
    clamped = replace(plan, stations=tuple(replace(station, clamps=places) for station in plan.stations))
    cabinet, brake = SHOP.cabinet, SHOP.brakes["M4"]
    glb = parse(plan_glb(part, clamped, punches=cabinet.punches, dies=cabinet.dies, brake=brake))
    check(glb)
    stroke = plan.strokes[0]
    for moment in ("down", "loaded"):
        shown = machine(glb, f"stroke {stroke.number}", at(glb, stroke, moment))
        station = clamped.stations[stroke.station - 1]
        punch, clamps = (shown[f"station {station.number} {what}"] for what in (f"punch {station.punch_id}", "clamps"))
        ram = shown[f"ram beam {station.set_up}"]
        shoulder, left = punch[:, 1].max(), station.left_end_z_mm
        assert (clamps[:, 1].min(), clamps[:, 1].max()) == pytest.approx((shoulder, shoulder + 127.0), abs=1e-3)
        assert (clamps[:, 0].min(), clamps[:, 0].max()) == pytest.approx((-15.0, 15.0), abs=1e-3)
        ends = np.unique(np.round(clamps[:, 2] - left, 3))
        assert ends == pytest.approx([5.0, 95.0, 205.0, 245.0], abs=2e-3)
        assert ram[:, 1].min() == pytest.approx(shoulder + 127.0, abs=1e-3)
        die = shown[f"station {station.number} die {station.die_id}"]
        holder, bed = shown[f"die holder {station.set_up}"], shown[f"bed beam {station.set_up}"]
        foot = die[:, 1].min()
        assert (holder[:, 1].min(), holder[:, 1].max()) == pytest.approx((foot - 55.0, foot), abs=1e-3)
        assert np.ptp(holder[:, 0]) == pytest.approx(40.0, abs=1e-3)
        assert bed[:, 1].max() == pytest.approx(foot - 55.0, abs=1e-3)


@pytest.mark.origin("law", "what is not known is not drawn")
def test_unknown_holders_are_not_drawn() -> None:
    """M1: one rail of height 0 and a holder of unknown width: the ram stands on the punch, the bed under the die."""
    _, plan, glb = film("cable_tray")
    assert plan.brake_id == "M1"
    names = {node["name"] for node in glb.json["nodes"]}
    assert not {name for name in names if "clamps" in name or "die holder" in name}
    stroke = plan.strokes[0]
    shown = machine(glb, f"stroke {stroke.number}", at(glb, stroke, "loaded"))
    punch = shown[f"station {stroke.station} punch {stroke.punch_id}"]
    die = shown[f"station {stroke.station} die {stroke.die_id}"]
    assert shown["ram beam 1"][:, 1].min() == pytest.approx(punch[:, 1].max(), abs=1e-3)
    assert shown["bed beam 1"][:, 1].max() == pytest.approx(die[:, 1].min(), abs=1e-3)
