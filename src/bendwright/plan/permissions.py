"""Which strokes do tools and machine allow, before any stack of pieces is chosen?"""

from __future__ import annotations

from bendwright.mechanics.space import daylight_mm
from bendwright.plan.situation import Situation
from bendwright.said import say
from bendwright.shop.brake import Brake
from bendwright.shop.tools import NOT_BENDING, Punch
from bendwright.stroke.loads import punch_load_check


def free_daylight_mm(brake: Brake, punch_height_mm: float, die_height_mm: float) -> float | None:
    """Opening between punch tip and die top with the ram up [mm]; None when the machine's sheet is silent."""
    heights = (brake.open_height_mm, brake.die_holder_height_mm)
    clamps = 0.0 if brake.punch_clamps is None else brake.punch_clamps.height_mm
    above = clamps if brake.above_punch_mm is None else brake.above_punch_mm
    if None in heights:
        return None
    return daylight_mm(
        open_height_mm=brake.open_height_mm or 0.0,
        punch_height_mm=punch_height_mm,
        die_height_mm=die_height_mm,
        holders_height_mm=(brake.die_holder_height_mm or 0.0) + above,
    )


def punch_suits(punch: Punch, situation: Situation, bend: int) -> str | None:
    """Why this punch cannot do this bend (None: it can): angle, line load, daylight, stroke."""
    verdict = situation.verdicts[bend]
    swing, die, brake = verdict.swing, situation.dies[bend], situation.brake
    if swing is None:
        return "the die forms no leg"
    if punch.kind in NOT_BENDING:
        return "a flattening tool does not air-bend"
    if punch.angle_deg > swing.sharpest_tool_deg + 1e-9:
        return say("order.punch_angle", angle_deg=punch.angle_deg, loaded_included_deg=swing.loaded_included_deg)
    load = punch_load_check(swing.line_load, punch)
    if load.verdict == "no":
        return say("order.punch_load", value=load.value, limit=load.limit)
    free = free_daylight_mm(brake, punch.height_mm, die.height_mm)
    if free is not None and free <= situation.sheet.thickness_mm:
        return say("order.no_daylight", free=free)
    if free is not None and brake.stroke_mm is not None:
        travel = free - situation.sheet.thickness_mm + swing.depth_mm
        if travel > brake.stroke_mm:
            return say("order.ram_travel", travel=travel, stroke_mm=brake.stroke_mm)
    return None
