"""Which strokes do tools and machine allow, before any stack of pieces is chosen?"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
from shapely import Polygon, box

from bendwright.geometry.rigid import Array
from bendwright.mechanics.space import daylight_mm
from bendwright.plan.situation import Situation
from bendwright.plan.tables import GaugeTables, PunchTables
from bendwright.shop.brake import Brake
from bendwright.shop.tools import Punch
from bendwright.stroke.loads import punch_load_check

Flags = np.ndarray[Any, np.dtype[np.bool_]]
SELF_LEAST_MM = -0.02
FINGER_MM = 12.0


def free_daylight_mm(brake: Brake, punch_height_mm: float, die_height_mm: float) -> float | None:
    """Opening between punch tip and die top with the ram up [mm]; None when the machine's sheet is silent."""
    heights = (brake.open_height_mm, brake.die_holder_height_mm)
    if None in heights:
        return None
    return daylight_mm(
        open_height_mm=brake.open_height_mm or 0.0,
        punch_height_mm=punch_height_mm,
        die_height_mm=die_height_mm,
        holders_height_mm=(brake.die_holder_height_mm or 0.0) + (brake.punch_holder_height_mm or 0.0),
    )


def punch_suits(punch: Punch, situation: Situation, bend: int) -> str | None:
    """Why this punch cannot do this bend (None: it can): angle, line load, daylight, stroke."""
    verdict = situation.verdicts[bend]
    swing, die, brake = verdict.swing, situation.dies[bend], situation.brake
    if swing is None:
        return "the die forms no leg"
    if punch.kind == "flattening":
        return "a flattening tool does not air-bend"
    if punch.angle_deg > swing.sharpest_tool_deg + 1e-9:
        return f"punch angle {punch.angle_deg:g} above the loaded angle {swing.loaded_included_deg:.1f}"
    load = punch_load_check(swing.line_load, punch)
    if load.verdict == "no":
        return f"punch line load {load.value:.0f} kN/m above {load.limit:.0f}"
    free = free_daylight_mm(brake, punch.height_mm, die.height_mm)
    if free is not None and free <= situation.sheet.thickness_mm:
        return f"daylight {free:.1f} mm leaves no room for the sheet"
    if free is not None and brake.stroke_mm is not None:
        travel = free - situation.sheet.thickness_mm + swing.depth_mm
        if travel > brake.stroke_mm:
            return f"ram travel {travel:.1f} mm above the stroke {brake.stroke_mm:g} mm"
    return None


def general_permission(situation: Situation, gauges: GaugeTables, self_gap: Array) -> Flags:
    """Strokes [bend, side, mask] that gauge, flanges and the part itself allow, whatever the station."""
    n = len(situation.part.bends)
    masks = np.arange(1 << n)
    allowed = (gauges.best >= 0) & (self_gap >= SELF_LEAST_MM)[:, None, :]
    index = {bend.id: i for i, bend in enumerate(situation.part.bends)}
    for i in range(n):
        allowed[i, :, (masks >> i & 1) == 1] = False
        for leg in situation.legs[i]:
            if leg.far_bends and leg.outside_mm < situation.shortest_leg_mm(i) - 1e-9:
                for name in leg.far_bends:
                    allowed[i, :, (masks >> index[name] & 1) == 1] = False
    return allowed


def tool_permission(situation: Situation, table: PunchTables, gauges: GaugeTables) -> Flags:
    """Strokes [turned, plain 0 eared 1, bend, side, mask] that punch, ram, bed, fingers and daylight allow."""
    n = len(situation.dies)
    out = np.zeros((2, 2, n, 2, 1 << n), dtype=np.bool_)
    for bend in range(n):
        if punch_suits(table.punch, situation, bend) is not None:
            continue
        for side in (0, 1):
            passes = passes_under(situation, table, bend, side)
            for turned in (False, True):
                worst = table.worst[bend, :, orientation_of(turned, side)]
                fine = passes & (worst[:, 2] >= 0.0)
                fine &= finger_clear(situation, table.punch, gauges.value[bend, side], turned=turned)
                for eared in (0, 1):
                    out[int(turned), eared, bend, side] = fine & (worst[:, eared] >= 0.0)
    return out


def orientation_of(turned: bool, side: int) -> int:
    """Which way round (0, 1) the punch meets the part when its parent's (0) or child's (1) side is at the gauge."""
    return int(turned) if side == 1 else 1 - int(turned)


def standing_height_mm(situation: Situation, table: PunchTables, bend: int, side: int) -> Array:
    """Height [mm] of what lies behind the tools, for every mask: it must pass under the raised punch."""
    heights = table.sides[bend, :, side]
    return np.asarray(heights[:, 1] - np.minimum(heights[:, 0], -situation.blank.thickness_mm))


def passes_under(situation: Situation, table: PunchTables, bend: int, side: int) -> Flags:
    """Where the part can be put in from the front, 1 mm to spare; everywhere when the machine's sheet is silent."""
    free = free_daylight_mm(situation.brake, table.punch.height_mm, situation.dies[bend].height_mm)
    height = standing_height_mm(situation, table, bend, side)
    return np.ones(len(height), dtype=np.bool_) if free is None else np.asarray(height <= free - 1.0)


def finger_clear(situation: Situation, punch: Punch, values: Array, *, turned: bool) -> Flags:
    """Where the gauge finger stands clear of the punch when the punch first touches the sheet."""
    finger = situation.brake.gauge.finger_height_mm or FINGER_MM
    heights = np.round(values[:, 1] + finger - situation.blank.thickness_mm, 3)
    need = np.zeros(len(values))
    for height in np.unique(heights):
        need[heights == height] = punch_reach_mm(punch, float(height), turned=turned)
    return np.asarray(values[:, 0] >= need)


@lru_cache(maxsize=1024)
def punch_reach_mm(punch: Punch, height_mm: float, *, turned: bool) -> float:
    """How far the punch reaches toward the gauge [mm] up to a height above its tip."""
    if height_mm <= 0.0:
        return 0.0
    part = Polygon(punch.outline).intersection(box(-1e4, -1.0, 1e4, height_mm))
    if part.is_empty:
        return 0.0
    low, _, high, _ = part.bounds
    return float(-low if turned else high)
