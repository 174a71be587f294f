"""What moved against the nominal sheet: the same strokes, worked out on the other sheet."""

from __future__ import annotations

import itertools

import pytest

from bendwright.job import Wishes, prepare
from bendwright.part.model import Part
from bendwright.plan.result import Plan
from shop_talk import SHOP, example, sheet


def _held(part: Part, plan: Plan) -> tuple[str, ...]:
    """Pins that settle order and gauge of every stroke of a plan."""
    order = [stroke.bend_ids[0] for stroke in plan.strokes]
    sides = {bend.id: {"parent": bend.parent, "child": bend.child} for bend in part.bends}
    before = [f"{one}<{other}" for one, other in itertools.pairwise(order)]
    return (
        *before,
        *(f"{stroke.bend_id}@{sides[stroke.bend_id][stroke.gauged_flange_side]}" for stroke in plan.strokes),
    )


@pytest.mark.origin("law", "the plan of the nominal sheet, searched with order and sides settled, has the same numbers")
@pytest.mark.parametrize(
    ("name", "nominal", "measured"), [("instrument_rail", "2", "1.93"), ("station_tray", "1.5", "1.56")]
)
def test_the_numbers_are_those_of_the_plan_on_nominal_sheet(name: str, nominal: str, measured: str) -> None:
    """Every stroke has its depth, force and X, and they agree with a plan prepared for the nominal sheet."""
    part = example(name)
    job = prepare(part, sheet(part.header.material, nominal, measured), SHOP)
    strokes = job.plan.strokes
    wishes = Wishes(brake_id=job.plan.brake_id, die_id=strokes[0].die_id, pins=_held(part, job.plan))
    other = {
        stroke.bend_id: stroke
        for stroke in prepare(part, sheet(part.header.material, nominal), SHOP, wishes).plan.strokes
    }
    rows = {str(row.what): row for row in job.moved}
    for stroke in strokes:
        there = other[stroke.bend_id]
        for what, here_value, there_value in (
            ("depth", stroke.depth_mm, there.depth_mm),
            ("force", stroke.force_kn.high, there.force_kn.high),
            ("X", stroke.gauging.x_mm, there.gauging.x_mm),
        ):
            row = rows[f"bend {stroke.bend_id} {what}"]
            assert (row.measured, row.nominal) == pytest.approx((here_value, there_value), abs=1e-9)
