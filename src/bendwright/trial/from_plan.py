"""The job a first piece is compared with, taken from its plan."""

from __future__ import annotations

from bendwright.plan.result import Plan
from bendwright.trial.readings import BendAim, Job, LegAim


def job_of_plan(plan: Plan, *, legs: tuple[LegAim, ...] = ()) -> Job:
    """Angles, springback, thickness and mm per degree of every air bend of the plan, with its stroke and the flanges given."""
    openings = {choice.die_id: choice.opening_mm for choice in plan.tool_choices}
    bends = tuple(
        BendAim(
            bend_id=name,
            included_deg=stroke.target_included_deg,
            springback_deg=stroke.springback_deg,
            thickness_mm=plan.sheet.thickness_mm,
            opening_mm=openings.get(stroke.die_id),
            mm_per_degree=stroke.mm_per_degree,
            ram_deg_per_mm=stroke.mechanics.ram_deg_per_mm if stroke.mechanics else None,
            stroke=stroke.number,
        )
        for stroke in plan.strokes
        if stroke.kind == "air_bend"
        for name in stroke.bend_ids
    )
    flanges = len({name for stroke in plan.strokes for name in stroke.bend_ids}) + 1
    return Job(bends=bends, legs=legs, flange_count=flanges)
