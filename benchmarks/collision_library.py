"""Our collision kernels beside a general collision library, on the very same questions.

Poses: a piece of a part at a turned angle against a convex piece of a tool, and plates of the two sides against each other, along the
swings of example and random parts. Whole swings, what the planner asks: a piece of the part against a whole tool, the legs' own tools left
out; we answer once for the whole way with nothing missed in between, the library is asked every half degree until it meets
something and sees nothing between. Ours runs in one compiled loop, the library's bodies and placements are built beforehand;
timed are its placing and asking. Every verdict is compared.
Run: ``python benchmarks/collision_library.py`` (needs python-fcl, see ``pyproject.toml``, extra ``test``)
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from math import radians
from pathlib import Path
from typing import Any

import numpy as np
from numba import njit

ROOT = Path(__file__).parents[1]
sys.path[:0] = [str(ROOT / "tests" / "replay"), str(ROOT / "tests")]

from fcl_bodies import LONG_MM, REQUEST, Count, at, fcl, lifted, prism, situations, solid, tool_pieces  # noqa: E402
from planned import parts  # noqa: E402
from poses import GRAIN_MM, TOUCH_MM, ToolPose, kernel_numbers, kernel_rings, tool_poses  # noqa: E402

from bendwright.geometry.convex import pack  # noqa: E402
from bendwright.geometry.kernels import convex_gap, die_rise, swing_gap, swing_ring  # noqa: E402
from bendwright.geometry.pair_table import plates_apart  # noqa: E402
from bendwright.geometry.swing_clear import swing_meets  # noqa: E402
from bendwright.replay.hung import Tool  # noqa: E402
from bendwright.replay.solids import Array  # noqa: E402
from bendwright.replay.standing import Piece, Standing  # noqa: E402
from bendwright.replay.swing import Swing  # noqa: E402

STEP_RAD = radians(0.5)
POSES, SWINGS, PAIRS = 110, 20, 40


@njit(error_model="numpy")
def pose_gaps(sides, counts, tools, tool_counts, moving, numbers, turned, rounds):  # type: ignore[no-untyped-def]
    """Gap of every side's ring to its tool at its turned angle, all of it ``rounds`` times."""
    out = np.empty(len(sides))
    swung = np.empty_like(sides[0])
    lifted = np.empty_like(tools[0])
    for _ in range(rounds):
        for i in range(len(sides)):
            swing_ring(sides[i], counts[i], turned[i], numbers[i, 1], numbers[i, 2], swung)
            rise = 0.0
            if moving[i]:
                n = numbers[i]
                rise = die_rise(turned[i], n[1], n[2], n[3], n[4], n[5])
            for k in range(tool_counts[i]):
                lifted[k, 0] = tools[i, k, 0]
                lifted[k, 1] = tools[i, k, 1] + rise
            out[i] = convex_gap(swung, counts[i], lifted, tool_counts[i], 0.0)
    return out


@njit(error_model="numpy")
def swing_verdicts(sides, counts, tools, tool_counts, moving, numbers):  # type: ignore[no-untyped-def]
    """Whether every side's ring meets any piece of its tool during the whole swing."""
    out = np.empty(len(sides), dtype=np.bool_)
    for i in range(len(sides)):
        n = numbers[i]
        bend = (n[0], n[1], n[2], n[3], n[4], n[5])
        out[i] = swing_meets(sides[i], counts[i], tools[i], tool_counts[i], moving[i], bend, TOUCH_MM, GRAIN_MM)
    return out


@njit(error_model="numpy")
def pair_gaps(first, second, rounds):  # type: ignore[no-untyped-def]
    """Separation of plates, all of it ``rounds`` times."""
    out = np.empty(len(first))
    for _ in range(rounds):
        for i in range(len(first)):
            out[i] = plates_apart(first[i], second[i], 0.0)
    return out


def packed(poses: Sequence[ToolPose]) -> tuple[Any, ...]:
    """The poses as arrays for the compiled loops."""
    rings = [kernel_rings(pose.piece, pose.ring) for pose in poses]
    sides, counts = pack([side for side, _ in rings])
    tools, tool_counts = pack([tool for _, tool in rings])
    numbers = np.array([kernel_numbers(pose.swing) for pose in poses])
    return sides, counts, tools, tool_counts, np.array([pose.tool.rises for pose in poses]), numbers


def library_poses(poses: Sequence[ToolPose], turned: Sequence[Sequence[float]]) -> tuple[list[bool], float, int]:
    """Verdict of the library for every pose at any of its angles, its seconds (placing and asking), and how often it was asked."""
    bodies = [
        (fcl.CollisionObject(solid(p.piece.corners)), fcl.CollisionObject(prism(p.ring, -LONG_MM, LONG_MM)))
        for p in poses
    ]
    places = [[pose.placements(one) for one in own] for pose, own in zip(poses, turned, strict=True)]
    met, asked = [], 0
    start = time.process_time()
    for (part, tool), own in zip(bodies, places, strict=True):
        found = False
        for part_place, tool_place in own:
            part.setTransform(part_place)
            tool.setTransform(tool_place)
            asked += 1
            if fcl.collide(part, tool, REQUEST, fcl.CollisionResult()):
                found = True
                break
        met.append(found)
    return met, time.process_time() - start, asked


@dataclass(frozen=True)
class Swept:
    """A piece of the part and a whole tool: what the planner asks of every swing (legs and their own tools left out)."""

    piece: Piece
    rings: tuple[Array, ...]
    moving: bool
    swing: Swing

    def least_gap(self) -> float:
        """Smallest gap over the swing by the kernel that measures [mm], up to 1 mm."""
        seen = [kernel_rings(self.piece, ring) for ring in self.rings]
        rings, counts = pack([tool for _, tool in seen])
        numbers = kernel_numbers(self.swing)
        return float(swing_gap(seen[0][0], len(seen[0][0]), rings, counts, self.moving, numbers, 1.0, 0.005, 0.0)[0])


def swept_of(standing: Standing, swing: Swing, tools: Sequence[Tool]) -> list[Swept]:
    """Every piece against every tool of the station and machine."""
    met = [tool for tool in tools if " of station " not in tool.name]
    whole = [(tool, tuple(tool_pieces(tool))) for tool in met]
    return [
        Swept(piece, rings, tool.rises, swing)
        for piece in standing.pieces
        for tool, rings in whole
        if not (piece.in_plane and (tool.rises or tool.role == "punch"))
    ]


def packed_swings(swings: Sequence[Swept]) -> tuple[Any, ...]:
    """Whole tools as arrays for the compiled loop."""
    seen = [[kernel_rings(item.piece, ring) for ring in item.rings] for item in swings]
    sides, counts = pack([pairs[0][0] for pairs in seen])
    most, widest = max(len(pairs) for pairs in seen), max(len(tool) for pairs in seen for _, tool in pairs)
    tools, tool_counts = np.zeros((len(seen), most, widest, 2)), np.zeros((len(seen), most), dtype=np.int64)
    for i, pairs in enumerate(seen):
        rings, own = pack([tool for _, tool in pairs], width=widest)
        tools[i, : len(own)], tool_counts[i, : len(own)] = rings, own
    numbers = np.array([kernel_numbers(item.swing) for item in swings])
    return sides, counts, tools, tool_counts, np.array([item.moving for item in swings]), numbers


def library_swings(swings: Sequence[Swept]) -> tuple[list[bool], float, int]:
    """Verdict of the library for every swing, asked every half degree until something is met; seconds and calls."""
    met, asked, seconds = [], 0, 0.0
    for item in swings:
        part = fcl.CollisionObject(solid(item.piece.corners))
        tools = [fcl.CollisionObject(prism(ring, -LONG_MM, LONG_MM)) for ring in item.rings]
        turned = np.append(np.arange(0.0, item.swing.loaded, STEP_RAD), item.swing.loaded)
        rises = item.swing.rise(turned) if item.moving else np.zeros(len(turned))
        places = [
            (at(item.swing, float(a), front=item.piece.front), lifted(float(r)))
            for a, r in zip(turned, rises, strict=True)
        ]
        start = time.process_time()
        found = False
        for part_place, tool_place in places:
            part.setTransform(part_place)
            for tool in tools:
                tool.setTransform(tool_place)
                asked += 1
                found = found or bool(fcl.collide(part, tool, REQUEST, fcl.CollisionResult()))
            if found:
                break
        seconds += time.process_time() - start
        met.append(found)
    return met, seconds, asked


def plates_of(standing: Standing, swing: Swing, draw: np.random.Generator) -> list[tuple[Any, ...]]:
    """Plates of the two sides at random angles: both clouds as they stand, both bodies, both placements."""
    sides = [[p for p in standing.pieces if p.front == front and not p.solid.of_bend] for front in (False, True)]
    out = []
    for _ in range(PAIRS if all(sides) else 0):
        pair = [side[int(draw.integers(len(side)))] for side in sides]
        turned = float(draw.random()) * swing.loaded
        seen = [swing.swung(p.corners[None], np.array([turned]), front=np.array([p.front]))[0] for p in pair]
        if (
            np.maximum(seen[0].min(axis=0) - seen[1].max(axis=0), seen[1].min(axis=0) - seen[0].max(axis=0)).max()
            < 20.0
        ):
            out.append((*seen, *(solid(p.corners) for p in pair), *(at(swing, turned, front=p.front) for p in pair)))
    return out


def library_plates(plates: Sequence[tuple[Any, ...]]) -> tuple[list[bool], float]:
    """Verdicts of the library on plates, and its seconds."""
    bodies = [[fcl.CollisionObject(item[2]), fcl.CollisionObject(item[3])] for item in plates]
    met = []
    start = time.process_time()
    for (first, second), item in zip(bodies, plates, strict=True):
        first.setTransform(item[4])
        second.setTransform(item[5])
        met.append(bool(fcl.collide(first, second, REQUEST, fcl.CollisionResult())))
    return met, time.process_time() - start


def timed(function: Any, *arguments: Any) -> tuple[Any, float]:
    """Answer and seconds of a compiled function, compiled beforehand."""
    function(*arguments)
    start = time.process_time()
    answer = function(*arguments)
    return answer, time.process_time() - start


def told(what: str, count: Count, ours: float, theirs: float, *, number: int, asked: int) -> None:
    """One line of the table."""
    print(
        f"{what:24s} {number:7d} questions  ours {1e6 * ours / number:8.3f} us  library {1e6 * theirs / number:9.2f} us "
        f"({1e6 * theirs / asked:.1f} us a call, {asked} calls)  ratio {theirs / ours:6.0f}   {count}"
    )


def main() -> None:
    """Ask, time, compare, print."""
    draw = np.random.default_rng(7)
    poses: list[ToolPose] = []
    swings: list[Swept] = []
    plates: list[tuple[Any, ...]] = []
    for part, plan in parts(panels=16, profiles=40):
        for standing, swing, tools in situations(part, plan, draw, more=2):
            found = tool_poses(standing, swing, tools, draw, count=POSES)
            poses += found
            whole = swept_of(standing, swing, tools)
            swings += [whole[i] for i in draw.permutation(len(whole))[:SWINGS]]
            plates += plates_of(standing, swing, draw)
    rounds = 10
    gaps, ours = timed(pose_gaps, *packed(poses), np.array([pose.angle for pose in poses]), rounds)
    met, theirs, asked = library_poses(poses, [[pose.angle] for pose in poses])
    count = Count()
    for gap, found in zip(gaps, met, strict=True):
        count.note(float(gap), found, "pose") if gap < 0.0 else count.note(min(float(gap), 1.0), found, "pose")
    told("poses against tools", count, ours / rounds, theirs, number=len(poses), asked=asked)

    verdicts, ours = timed(swing_verdicts, *packed_swings(swings))
    met, theirs, asked = library_swings(swings)
    count = Count()
    for item, verdict, found in zip(swings, verdicts, met, strict=True):
        near = abs(item.least_gap()) <= 0.1
        count.note(0.0 if near else (-1.0 if verdict else 1.0), found, "swing")
    told("swings against tools", count, ours, theirs, number=len(swings), asked=asked)

    plates = [item for item in plates if len(item[0]) == len(item[1]) == 8]
    first, second = (np.ascontiguousarray(np.array([item[i] for item in plates])) for i in (0, 1))
    gaps, ours = timed(pair_gaps, first, second, rounds)
    met, theirs = library_plates(plates)
    count = Count()
    for gap, found in zip(gaps, met, strict=True):
        count.note(float(gap), found, "pair")
    told("plates of the two sides", count, ours / rounds, theirs, number=len(plates), asked=len(plates))
    for line in count.differ[:10]:
        print("   ", line)


if __name__ == "__main__":
    main()
