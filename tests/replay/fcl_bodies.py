"""Bodies and verdicts of a general collision library, and poses along swings to ask it about.

The library's mesh mode sees surfaces only and misses a body wholly inside another; all bodies here are its convex solids.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import cache
from math import cos, sin
from typing import Any

import numpy as np
import pytest
import shapely
from planned import SHOP

from bendwright.geometry.convex import convex_pieces
from bendwright.part.model import Part
from bendwright.plan.result import Plan
from bendwright.replay.folding import Made, sheet_of
from bendwright.replay.hung import Bench, Tool
from bendwright.replay.solids import Array
from bendwright.replay.standing import Standing, stand
from bendwright.replay.swing import Swing, made_by, swing_of

fcl: Any = pytest.importorskip("fcl")
LONG_MM = 4000.0
FARTHEST_RAD = 2.7


def situations(
    part: Part, plan: Plan, draw: np.random.Generator, *, more: int
) -> Iterator[tuple[Standing, Swing, list[Tool]]]:
    """Every stroke as planned, and ``more`` times with other bends done before it and bent farther than asked, so that much runs
    into something.
    """
    sheet = sheet_of(part, plan.blank)
    bench = Bench(SHOP.cabinet, SHOP.brakes[plan.brake_id], 0.0)
    strokes = [stroke for stroke in plan.strokes if stroke.kind != "hem_flatten"]
    all_made = {name: made_by(stroke, name, sheet) for stroke in strokes for name in stroke.bend_ids}
    for number, stroke in enumerate(strokes):
        before: list[dict[str, Made]] = [{n: all_made[n] for one in strokes[:number] for n in one.bend_ids}]
        others = [name for name in all_made if name not in stroke.bend_ids]
        for _ in range(more):
            chosen = draw.random(len(others)) < 0.6
            before.append({name: all_made[name] for name, is_in in zip(others, chosen, strict=True) if is_in})
        for i, made in enumerate(before):
            standing, wrong = stand(stroke, sheet, made)
            if not wrong:
                swing = swing_of(stroke, sheet, SHOP.cabinet.die(stroke.die_id))
                swing = swing if i == 0 else replace(swing, loaded=max(swing.loaded, FARTHEST_RAD))
                yield standing, swing, bench.around(stroke, plan, standing.left)


def tool_pieces(tool: Tool) -> list[Array]:
    """The section of a tool as convex counter-clockwise rings, far ends cut off."""
    shape = tool.shape.intersection(shapely.box(-1500.0, -1500.0, 1500.0, 1500.0))
    return convex_pieces([(float(x), float(y)) for x, y in shapely.orient_polygons(shape).exterior.coords][:-1])


def solid(corners: Array) -> Any:
    """A convex solid of the library out of a ring and its fellow on the other face."""
    n = len(corners) // 2
    (ax, ay, az), (bx, by, bz) = (corners[1] - corners[0]).tolist(), (corners[2] - corners[1]).tolist()
    cx, cy, cz = (corners[n] - corners[0]).tolist()
    volume = (ay * bz - az * by) * cx + (az * bx - ax * bz) * cy + (ax * by - ay * bx) * cz
    order, faces = _faces(n)
    return fcl.Convex(np.ascontiguousarray(corners if volume > 0.0 else corners[order]), n + 2, faces)


@cache
def _faces(n: int) -> tuple[Any, Any]:
    """The order that turns both rings round, and the faces of a prism of n sides, seen from outside."""
    faces = [n, *range(n - 1, -1, -1), n, *range(n, 2 * n)]
    for i in range(n):
        j = (i + 1) % n
        faces += [4, i, j, n + j, n + i]
    return np.array([*range(n - 1, -1, -1), *range(2 * n - 1, n - 1, -1)]), np.array(faces)


def prism(ring: Array, low: float, high: float) -> Any:
    """A ring drawn out along the bed."""
    ends = [np.column_stack([ring, np.full(len(ring), z)]) for z in (low, high)]
    return solid(np.vstack(ends))


def at(swing: Swing, angle: float, *, front: bool) -> Any:
    """Placement of one side of the sheet at a turned angle [rad], as the library wants it."""
    sign = -1.0 if front else 1.0
    c, s = cos(angle / 2), sign * sin(angle / 2)
    turn = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    pivot = swing.pivot(np.array([angle]))[0] * [sign, 1.0]
    start = np.array([sign * swing.allowance / 2, 0.0, 0.0])
    return fcl.Transform(turn, np.array([*pivot, 0.0]) - turn @ start)


def lifted(rise: float) -> Any:
    """Placement of a tool that has risen."""
    return fcl.Transform(np.eye(3), np.array([0.0, rise, 0.0]))


REQUEST = fcl.CollisionRequest()


def meet(first: Any, second: Any) -> bool:
    """Do two placed bodies of the library meet?"""
    return bool(fcl.collide(first, second, REQUEST, fcl.CollisionResult()))


@dataclass
class Count:
    """What came out: verdicts that agree, lie within the tolerance, differ (with words)."""

    apart: int = 0
    together: int = 0
    marginal: int = 0
    differ: list[str] = field(default_factory=list)

    def note(self, ours_mm: float, theirs: bool, words: str, *, tolerance: float = 0.1) -> None:
        """One question: our gap [mm] (negative = overlap) and the library's verdict."""
        if abs(ours_mm) <= tolerance:
            self.marginal += 1
        elif (ours_mm < 0.0) != theirs:
            self.differ.append(f"{words}: {ours_mm:.3f} mm, library {'meets' if theirs else 'apart'}")
        elif theirs:
            self.together += 1
        else:
            self.apart += 1

    @property
    def asked(self) -> int:
        """Questions put to the library."""
        return self.apart + self.together + self.marginal + len(self.differ)

    def __str__(self) -> str:
        return (
            f"{self.asked} asked, {self.apart} apart, {self.together} meet, {self.marginal} within 0.1 mm, "
            f"{len(self.differ)} differ"
        )
