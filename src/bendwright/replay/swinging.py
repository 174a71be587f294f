"""Does anything run into anything while a bend is made: part against tools and machine, part against itself?"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from bendwright.findings import Finding, found
from bendwright.replay.hung import Tool
from bendwright.replay.itself import pairs_of
from bendwright.replay.passing import TOLERANCE_MM, Sections, core
from bendwright.replay.saying import at_stroke
from bendwright.replay.solids import Array, cut_between, hull_rings, padded
from bendwright.replay.standing import Piece, Standing
from bendwright.replay.swing import Swing
from bendwright.said import phrase
from bendwright.stroke.result import Stroke

STANDS_MM = 0.05
ARC_STEPS = 91
OWN_STACK = ("punch", "die")


@dataclass(frozen=True, slots=True)
class Meeting:
    """A piece of the part and a tool: the corners of it within the tool's stretch of the bed (with room at stack ends or as long
    as the tool is), the least distance it must keep [mm]; negative = it may touch.
    """

    piece: Piece
    tool: Tool
    corners: Array
    least: float
    with_room: bool


def against_tools(stroke: Stroke, standing: Standing, tools: Sequence[Tool], swing: Swing) -> Iterator[Finding]:
    """V110 for what reaches into a tool, V111 for what stands too near a stack's end, V112 for a clearance stated too large."""
    meetings: list[Meeting] = []
    for piece in standing.pieces:
        corners = standing.beyond_the_arc(piece, swing)
        if len(corners):
            ends = float(corners[:, 2].min()), float(corners[:, 2].max())
            for tool in tools:
                meetings += _meetings(piece, corners, ends, tool, swing.t, stroke.clearance.mm)
    clouds = {id(meeting.corners): meeting.corners[:, :2] for meeting in meetings}
    rings = dict(zip(clouds, hull_rings(list(clouds.values())), strict=True))
    seen = [(meeting, ring) for meeting in meetings if (ring := rings[id(meeting.corners)]) is not None]
    if seen:
        yield from _failures(stroke, [meeting for meeting, _ in seen], [ring for _, ring in seen], swing)


def _meetings(
    piece: Piece, corners: Array, ends: tuple[float, float], tool: Tool, thickness: float, stated: float
) -> Iterator[Meeting]:
    room = 0.0 if piece.across else max(tool.room - TOLERANCE_MM, 0.0)
    if ends[0] >= tool.high_z + room or ends[1] <= tool.low_z - room:
        return
    least = stated - TOLERANCE_MM
    counts = least > 0.0 and not by_design(piece, tool, thickness)
    inside = ends[0] >= tool.low_z and ends[1] <= tool.high_z
    if counts and (inside or room == 0.0):
        yield Meeting(piece, tool, cut_between(corners, 2, tool.low_z, tool.high_z), least, False)
        return
    yield Meeting(piece, tool, cut_between(corners, 2, tool.low_z - room, tool.high_z + room), -TOLERANCE_MM, True)
    if counts and ends[0] < tool.high_z and ends[1] > tool.low_z:
        yield Meeting(piece, tool, cut_between(corners, 2, tool.low_z, tool.high_z), least, False)


def by_design(piece: Piece, tool: Tool, thickness: float) -> bool:
    """Pairs whose nearness is no clearance: legs and their tools, sheet across the line beside the bend and punch and die, what
    stands on the plane of the die, walls' arcs beside the stacks, tools of other stations.
    """
    if " of station " in tool.name or (piece.across and tool.role in OWN_STACK):
        return True
    if piece.leg:
        return tool.rises or tool.role == "punch"
    if piece.in_plane:
        return tool.role in OWN_STACK
    return tool.rises and bool(piece.corners[:, 1].min() >= -thickness - STANDS_MM)


def _failures(stroke: Stroke, meetings: Sequence[Meeting], rings: Sequence[Array], swing: Swing) -> Iterator[Finding]:
    tools = {id(m.tool): m.tool for m in meetings}
    cores = {key: core(tool.shape) for key, tool in tools.items()}
    shapes = np.array([m.tool.shape if m.least > 0.0 else cores[id(m.tool)] for m in meetings], dtype=object)
    sections = Sections(
        swing,
        padded(rings),
        np.array([m.piece.front for m in meetings]),
        shapes,
        np.array([m.tool.rises for m in meetings]),
        np.array([max(m.least, 0.0) for m in meetings]),
    )
    nearest: tuple[float, Meeting] | None = None
    said: set[tuple[str, str]] = set()
    for number, turned in sections.too_near().items():
        meeting = meetings[number]
        finding = _collision(stroke, meeting, sections, number, turned)
        names = (meeting.piece.name, meeting.tool.name)
        if finding is not None and names not in said:
            said.add(names)
            yield finding
        if finding is None:
            gap = float(sections.nearest(number, turned))
            nearest = (gap, meeting) if nearest is None or gap < nearest[0] else nearest
    if nearest is not None:
        gap, meeting = nearest
        yield found(
            "V112",
            **at_stroke(stroke),
            stated=stroke.clearance.mm,
            gap=gap,
            piece=phrase(meeting.piece.name),
            tool=phrase(meeting.tool.name),
        )


def _collision(stroke: Stroke, meeting: Meeting, sections: Sections, number: int, turned: float) -> Finding | None:
    """V110 or V111; None where the piece only comes nearer than the clearance stated."""
    at = {**at_stroke(stroke), "piece": phrase(meeting.piece.name), "tool": phrase(meeting.tool.name)}
    tool, low, high = meeting.tool, float(meeting.piece.low[2]), float(meeting.piece.high[2])
    depth, worst = sections.depth(number, turned, meeting.tool.shape)
    if depth <= 0.0:
        return None
    beside = min(tool.high_z - low, high - tool.low_z) if meeting.with_room else depth
    if beside <= TOLERANCE_MM:
        return found("V111", room=-beside, asked=tool.room, **at)
    return found("V110", depth=min(depth, beside), turned=math.degrees(worst), **at)


def own_arc(stroke: Stroke, standing: Standing, tools: Sequence[Tool], swing: Swing) -> Iterator[Finding]:
    """V114 where the sheet being bent reaches into punch or die."""
    turned = np.linspace(0.0, swing.loaded, ARC_STEPS)
    arcs = swing.arc(turned)
    for tool in tools:
        touched = any(low < tool.high_z and high > tool.low_z for low, high in standing.spans)
        if tool.role not in OWN_STACK or not touched:
            continue
        seen = arcs.copy()
        seen[:, :, 1] -= swing.rise(turned)[:, None] if tool.rises else 0.0
        inner = core(tool.shape)
        shapely.prepare(inner)
        hits = np.flatnonzero(shapely.intersects(inner, shapely.polygons(seen)))
        if len(hits):
            first = math.degrees(turned[hits[0]])
            yield found("V114", **at_stroke(stroke), tool=phrase(tool.name), turned=first)
            return


def against_itself(stroke: Stroke, standing: Standing, swing: Swing) -> Iterator[Finding]:
    """V113 for pieces of the two sides that overlap somewhere along the swing."""
    sides = [[p.solid for p in standing.pieces if p.front == front] for front in (False, True)]
    pairs, chosen = pairs_of(swing, sides[0], sides[1], standing.joined)
    said: dict[tuple[str, str], tuple[float, float]] = {}
    for number, turned in pairs.overlaps().items():
        steps = np.append(np.linspace(0.0, swing.loaded, 61), turned)
        gaps = pairs.gaps(np.full(len(steps), number), steps)
        names = (chosen[number][0].owner, chosen[number][1].owner)
        worst = (-float(gaps.min()), float(steps[gaps.argmin()]))
        said[names] = max(said.get(names, worst), worst)
    for (back, front), (depth, turned) in said.items():
        at = at_stroke(stroke)
        yield found("V113", back=back, front=front, depth=depth, turned=math.degrees(turned), **at)
