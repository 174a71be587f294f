"""What the operator's view is drawn from: where the sheet lies before each stroke, worked out from the blank alone."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from bendwright.job import prepare
from bendwright.plan.result import Plan
from bendwright.sheets.operator_picture import operator_svg, set_up_svg
from bendwright.sheets.operator_places import plates, pushed_edge
from bendwright.sheets.plan_words import set_ups
from bendwright.sheets.standing_pieces import standing_pieces
from bendwright.wanted.job_words import read_job

NOTHING = {
    "shop_name": None, "profile": None, "mirrored": False, "unit": "mm", "material": None, "thickness": None,
    "quantity": None, "readings": (), "tensile": None, "film": None, "grain": None, "batch": None, "brake": None,
    "die": None, "punch": None, "model": None, "pins": (), "bumps": (), "cure_seconds": 0.0,
}  # fmt: skip


@cache
def planned(name: str) -> Plan:
    """The plan of one of the examples."""
    job = read_job({**NOTHING, "part_file": Path(__file__).parents[2] / "examples" / "parts" / f"{name}.yaml"})
    return prepare(job.part, job.sheet, job.shop, job.wishes).plan


@pytest.mark.parametrize("name", ["station_tray", "instrument_rail", "stair_tread"])
@pytest.mark.origin(
    "law", "the sheet touches the fingers: what lies at the gauge lies at X, and the fingers stand beside it"
)
def test_the_sheet_reaches_its_fingers(name: str) -> None:
    """X comes from the plan's gauging, the place of the edge from folding the blank here: they meet at every stroke."""
    plan = planned(name)
    for stroke in plan.strokes:
        sheet = plates(plan, stroke)
        corners = np.vstack([plate.corners for plate in sheet])
        if stroke.gauging.kind == "edge":
            held = np.vstack([plate.corners for plate in sheet if plate.flange_id == stroke.gauging.flange_id])
            assert held[:, 1].max() == pytest.approx(stroke.gauging.x_mm, abs=1e-6)
        edge = pushed_edge(plan, stroke, sheet)
        assert edge is not None
        for z in stroke.gauging.fingers_z_mm:
            assert edge[0, 0] - 1e-6 <= z <= edge[1, 0] + 1e-6
        flat = np.abs(corners[:, 2] - 0.5 * plan.sheet.thickness_mm) < 1e-6
        assert corners[flat, 0].min() <= 0.01
        assert corners[flat, 0].max() >= stroke.bend_length_mm - 0.01


@pytest.mark.origin("derived", "a leg bent by 90 degrees stands as high as its flat length and the mean of the arc")
def test_bent_legs_stand_up() -> None:
    """Before the last stroke of the tray three walls stand 55 mm high, one still lies."""
    plan = planned("station_tray")
    sheet = plates(plan, plan.strokes[3])
    tops = {plate.flange_id: float(plate.corners[:, 2].max()) for plate in sheet if plate.flange_id}
    assert sorted(round(top, 1) for top in tops.values()) == [0.8, 0.8, 55.0, 55.0, 55.0]


@pytest.mark.parametrize("name", ["station_tray", "instrument_rail"])
@pytest.mark.origin("law", "the picture shows as many fingers as the plan has, and every piece that hangs")
def test_fingers_and_pieces_are_all_drawn(name: str) -> None:
    """Numbers in the pictures: fingers of the stroke; pieces of punch and die and the station."""
    plan = planned(name)
    for stroke in plan.strokes:
        drawn = operator_svg(plan, stroke)
        assert set(re.findall(r">(\d+)</text>", drawn)) == {str(i + 1) for i in range(len(stroke.gauging.fingers_z_mm))}
        assert "nan" not in drawn
    for row in set_ups(plan.stations):
        pieces = sum(len(station.punch_pieces) + len(station.die_pieces) for station in row)
        boxes = set_up_svg(row).count("<polygon") - sum(len(station.clamps) for station in row)
        assert boxes == pieces


@pytest.mark.origin("law", "pieces hang side by side without a gap")
def test_pieces_stand_side_by_side() -> None:
    """Each piece begins where its neighbour ends; the stack begins at the station's left end."""
    for station in planned("station_tray").stations:
        for row, stack in (("punch", station.punch_pieces), ("die", station.die_pieces)):
            pieces = [piece for piece in standing_pieces(station) if piece.row == row]
            assert [piece.length_mm for piece in pieces] == [piece.length_mm for piece in stack]
            ends = [station.left_end_z_mm, *(piece.at_mm + piece.length_mm for piece in pieces)]
            assert [piece.at_mm for piece in pieces] == pytest.approx(ends[:-1])
