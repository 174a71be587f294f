"""How does the part stand around the pair that makes a jog in one stroke?

Seen as pressed hems are, but x runs to the gauge: the die's top at v = -t, the flange behind on the high land, that in front on the
low one. Start and end of the stroke count together; that the sheet tips between them by some degrees does not.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from bendwright.geometry.convex import convex_pieces
from bendwright.geometry.rigid import Array
from bendwright.part.blank_model import BendLine
from bendwright.part.fold import bend_axes
from bendwright.plan.flat_pair import FlatTools
from bendwright.plan.jogging import JogMade
from bendwright.plan.pair_shapes import TOUCH_MM, Shapes, pair_shapes
from bendwright.plan.situation import Situation
from bendwright.stroke.tooling import below_classes


def gauge_side(situation: Situation, leading: int) -> int:
    """The side of the leading bend that lies behind: that of the web. Beyond the bend that folds toward the punch the sheet is low,
    so it lies in front.
    """
    made = situation.jog_of(leading)
    assert made is not None
    return 1 if situation.part.bends[leading].child == made.jog.web else 0


def jog_line(situation: Situation, leading: int) -> BendLine:
    """The middle of a jog on the blank as a bend line: as wide as both bends and the web, direction that of the leading bend."""
    made = situation.jog_of(leading)
    assert made is not None
    other = made.jog.bends[1] if made.jog.bends[0] == leading else made.jog.bends[0]
    line, beyond = situation.lines[leading], situation.lines[other]
    axes = bend_axes(line)
    apart = float((bend_axes(beyond).middle - axes.middle) @ axes.outward)
    dx, dy = 0.5 * apart * float(axes.outward[0]), 0.5 * apart * float(axes.outward[1])
    return replace(
        line,
        start=(line.start[0] + dx, line.start[1] + dy),
        end=(line.end[0] + dx, line.end[1] + dy),
        zone_width_mm=abs(apart) + 0.5 * (line.zone_width_mm + beyond.zone_width_mm),
    )


def stepped(made: JogMade, side: int, behind: int, cloud: Array, thickness_mm: float) -> Array | None:
    """Corners of a body before and after the stroke, x to the gauge; None for sheet that only lies on its land. What lies across the line
    would be pressed as well.
    """
    sizes = made.once.sizes
    lies = cloud[:, 1].min() > -thickness_mm - TOUCH_MM and cloud[:, 1].max() < TOUCH_MM
    if lies and cloud[:, 0].min() > 0.5 * sizes.flat_mm - TOUCH_MM:
        return None
    way, down = (1.0, 0.0) if side == behind else (-1.0, made.step_mm)
    start = cloud * np.array([way, 1.0, 1.0])
    return np.vstack([start, start - np.array([way * 0.5 * sizes.extra_mm, down, 0.0])])


def jog_tools(situation: Situation, tools: FlatTools, step_mm: float) -> Shapes:
    """The pair and the machine, the punch's face as far down as the step."""
    die, *under = below_classes(situation.brake, tools.die)
    own = replace(die, pieces=tuple(convex_pieces(tools.die.outline)))
    thickness = situation.blank.thickness_mm
    return pair_shapes(situation.brake, tools, [own, *under], face_mm=-step_mm, thickness_mm=thickness)
