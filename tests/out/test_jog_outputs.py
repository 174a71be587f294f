"""A jog made in one stroke on everything that leaves the program: plan file, stroke table, terminal, picture, film, trial."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from bendwright.drawing.plan_file import plan_from_json, plan_to_json
from bendwright.drawing.plan_glb import plan_glb
from bendwright.drawing.plan_glb_motion import bending_of, reaches_of, sweep_of
from bendwright.drawing.plan_glb_part import placed_at
from bendwright.drawing.strokes_csv import strokes_csv
from bendwright.geometry.rigid import Rigid
from bendwright.job import Prepared, Wishes, prepare
from bendwright.part.fold import plate_corners
from bendwright.part.model import Part
from bendwright.sheets.section_picture import section_svg
from bendwright.sheets.terminal import plan_summary
from bendwright.trial.from_plan import job_of_plan
from shop_talk import SHOP, panel, profile, sheet

JOG = "40 u90 6 d90 50 x 300"
WEB_FIRST = """
material: S235JR
thickness: 1.5
panel:
  base: {width: 300, depth: 6}
  flanges:
    - {edge: front, leg: 40, direction: up}
    - {edge: back, leg: 50, direction: down}
"""


@cache
def _job(text: str) -> Prepared:
    part: Part = panel(text) if "panel" in text else profile(text)
    return prepare(part, sheet("S235JR", "1.5"), SHOP, Wishes(brake_id="M1", quantity=20))


@pytest.mark.origin("law", "what is written can be read, and says what was planned")
def test_plan_file_table_and_terminal() -> None:
    """The plan comes back from its file; table, terminal and picture name the stroke and tell no distance where nothing stands."""
    plan = _job(JOG).plan
    assert plan_from_json(plan_to_json(plan)) == plan
    assert "offset" in strokes_csv(plan)
    text = plan_summary(plan)
    assert "in one stroke; offset tools" in text
    assert "offset pair: step, radius of the jog" in text
    assert "500.0" not in text
    assert "<svg" in section_svg(plan.strokes[0])
    assert job_of_plan(plan).bends == ()


@pytest.mark.parametrize("text", [JOG, "40 d90 6 u90 50 x 300", WEB_FIRST])
@pytest.mark.origin(
    "derived", "the back stays on the high land at 0, the front ends at -4.5, the punch a sheet above it at -3"
)
def test_the_film_steps_the_sheet(text: str) -> None:
    """First flat against the finger, last with the front a step lower and both sides come in alike."""
    prepared = _job(text)
    plan, part = prepared.plan, prepared.part
    (stroke,) = plan.strokes
    punch, die = SHOP.cabinet.punch(stroke.punch_id), SHOP.cabinet.die(stroke.die_id)
    reaches = {name: reaches_of(stroke, part.bend(name), plan.blank, None) for name in stroke.bend_ids}
    bending = bending_of(stroke, reaches, die=die, left_mm=0.0, gauge_x_mm=stroke.gauging.x_mm)
    sweep = sweep_of(bending, part, plan.blank, punch, Rigid.identity(), np.zeros(3))
    boxes = []
    for root, at in ((sweep.first, 0), (sweep.last, -1)):
        placed = placed_at(part, plan.blank, {name: own[at] for name, own in reaches.items()})
        both = [root.after(placed[name]).points(plate_corners(plan.blank, name)) for name in _ends(part)]
        boxes.append(sorted(((c.min(axis=0), c.max(axis=0)) for c in both), key=lambda box: float(box[0][0])))
    (front, back), (low, high) = boxes
    assert [front[0][1], back[0][1], low[0][1], high[0][1]] == pytest.approx([0.0, 0.0, -4.5, 0.0], abs=1e-6)
    assert back[1][0] == pytest.approx(stroke.gauging.x_mm, abs=1e-6)
    assert low[0][0] - front[0][0] == pytest.approx(back[1][0] - high[1][0], abs=1e-6)
    assert sweep.tips_mm[[0, -1]] == pytest.approx([1.5, -3.0], abs=1e-6)
    assert plan_glb(part, plan, punches=(punch,), dies=(die,), brake=prepared.tooling.brake)[:4] == b"glTF"


def _ends(part: Part) -> list[str]:
    """The two flanges beyond the web."""
    return [f.id for f in part.flanges if sum(f.id in (b.parent, b.child) for b in part.bends) == 1]
