"""From the correction of a bend to what is turned at the brake: the two axes and the scale of the crown."""

from __future__ import annotations

from dataclasses import dataclass

from bendwright.shop.brake import Brake
from bendwright.shop.brake_bow import Pair
from bendwright.stroke.bow import give_of
from bendwright.stroke.crown_device import crown_lacks, setting_for
from bendwright.trial.axes import axis_changes_mm
from bendwright.trial.corrections import BendCorrection


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeChange:
    """Changes at the brake: depth of the left and the right axis (+ = deeper), height of the crown in its own middle, and
    the same on its scale. None = cannot be told, because of what ``unknown`` names.
    """

    y1_mm: float | None
    y2_mm: float | None
    crown_height_mm: float | None
    crown_divisions: float | None
    unknown: tuple[str, ...]


def brake_change(brake: Brake, correction: BendCorrection, *, bend_mm: Pair) -> BrakeChange:
    """What to turn so that the bend at ``bend_mm`` (from the left end of the bed) gets its depth, tilt and crown.

    The crown lifts the ends of the bend too, so the ram stays higher by that. A bend not read in its middle gets depth
    and tilt alone.
    """
    brake_give, unknown = give_of(brake), []
    setting = None
    if brake_give is None:
        unknown.append("bow of ram and bed")
    elif correction.crown_mm is not None:
        setting = setting_for(brake, brake_give.beams[-1], crown_mm=correction.crown_mm, bend_mm=bend_mm)
    unknown += crown_lacks(brake, None if brake_give is None else brake_give.beams[-1])
    left, right = correction.left_mm, correction.right_mm
    y1 = y2 = None
    if brake_give is not None and left is not None and right is not None:
        axes = brake_give.axes_mm
        middle = 0.5 * (axes[0] + axes[1])
        y1, y2 = axis_changes_mm(
            left_mm=left - (setting.left_lift_mm if setting else 0.0),
            right_mm=right - (setting.right_lift_mm if setting else 0.0),
            left_z_mm=bend_mm[0] - middle,
            right_z_mm=bend_mm[1] - middle,
            axes_distance_mm=axes[1] - axes[0],
        )
    return BrakeChange(
        y1_mm=y1,
        y2_mm=y2,
        crown_height_mm=setting.height_mm if setting else None,
        crown_divisions=setting.divisions if setting else None,
        unknown=tuple(unknown),
    )
