"""Punches, dies, clamps, ram, die holder, bed and gauge fingers as nodes, each stack at its place on the bed, piece beside piece.

All set-ups stand in one frame: die top of the first station y = 0. Stations of one set-up share a closed height, so a punch
hangs on its ram as high as its die's top lies.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon

from bendwright.drawing.glb import LINES, TRIANGLES, GlbFile, Indices
from bendwright.geometry.rigid import Array
from bendwright.plan.result import PickedPiece, Plan, Station
from bendwright.shop.brake import Brake
from bendwright.shop.tools import Die, Ear, Point, Punch

FINGER_MM = 12.0
FINGER_LONG_MM = 60.0
RAM_MM = 60.0
BED_MM = 40.0
BESIDE_MM = 60.0
SEEN_EDGE_DEG = 20.0


@dataclass(frozen=True, slots=True)
class ToolNodes:
    """Node numbers: ram and bed of every set-up, every finger; height of each station's die top over the first one's [mm]."""

    rams: dict[int, int]
    beds: dict[int, int]
    fingers: tuple[int, ...]
    tops_mm: dict[int, float]


@dataclass(frozen=True, slots=True)
class ToolLooks:
    """Materials by number: tools, machine, finger, lines."""

    tool: int
    machine: int
    finger: int
    line: int


def add_tools(
    file: GlbFile,
    plan: Plan,
    punches: Mapping[str, Punch],
    dies: Mapping[str, Die],
    brake: Brake | None,
    looks: ToolLooks,
) -> ToolNodes:
    """Add all nodes; clamps, ram, die holder and bed are drawn where the brake says how large they are."""
    first = dies[plan.stations[0].die_id].height_mm
    tops = {station.number: dies[station.die_id].height_mm - first for station in plan.stations}
    rams: dict[int, int] = {}
    beds: dict[int, int] = {}
    for set_up in dict.fromkeys(station.set_up for station in plan.stations):
        own = [station for station in plan.stations if station.set_up == set_up]
        upper, lower = [], []
        for station in own:
            place = [0.0, tops[station.number], station.left_end_z_mm]
            punch, die = punches[station.punch_id], dies[station.die_id]
            names = f"station {station.number} punch {punch.id}", f"station {station.number} die {die.id}"
            extras = {"station": station.number}
            mesh = _punch_stack(file, names[0], station, punch, looks)
            upper.append(file.add("nodes", {"name": names[0], "mesh": mesh, "translation": place, "extras": extras}))
            mesh = _stack(file, names[1], die.outline, [piece.length_mm for piece in station.die_pieces], looks)
            lower.append(file.add("nodes", {"name": names[1], "mesh": mesh, "translation": place, "extras": extras}))
        if brake is not None:
            shoulder = tops[own[0].number] + punches[own[0].punch_id].height_mm
            upper += _above(file, own, shoulder, brake, looks)
            lower += _below(file, own, -first, brake, looks)
        rams[set_up] = file.add("nodes", {"name": f"ram {set_up}", "children": upper, "extras": {"set_up": set_up}})
        beds[set_up] = file.add("nodes", {"name": f"bed {set_up}", "children": lower, "extras": {"set_up": set_up}})
    return ToolNodes(rams, beds, _fingers(file, plan, brake, looks), tops)


def _span(stations: Sequence[Station]) -> tuple[float, float]:
    """From end to end of a set-up's stacks along the bed, and a little more."""
    ends = [station.left_end_z_mm for station in stations]
    lengths = [max(s.length_mm, sum(piece.length_mm for piece in s.die_pieces)) for s in stations]
    return min(ends) - BESIDE_MM, max(end + length for end, length in zip(ends, lengths, strict=True)) + BESIDE_MM


def _above(file: GlbFile, stations: Sequence[Station], shoulder_mm: float, brake: Brake, looks: ToolLooks) -> list[int]:
    """What one set-up's punches hang on: clamps where the plan says they stand, and the ram (with its rail) over them."""
    nodes, foot, clamps = [], shoulder_mm, brake.punch_clamps
    if clamps is not None:
        foot += clamps.height_mm
        half = clamps.half_depth_mm
        ring = [(-half, shoulder_mm), (half, shoulder_mm), (half, foot), (-half, foot)]
        for station in stations:
            lefts = [station.left_end_z_mm + clamp.from_mm for clamp in station.clamps]
            prisms = [(ring, z, z + clamp.length_mm) for z, clamp in zip(lefts, station.clamps, strict=True)]
            if prisms:
                name = f"station {station.number} clamps"
                mesh = _prisms(file, name, prisms, looks.machine, looks.line)
                nodes.append(file.add("nodes", {"name": name, "mesh": mesh}))
    name = f"ram beam {stations[0].set_up}"
    return nodes + _beam(file, name, brake.ram_half_depth_mm, (foot, foot + RAM_MM), _span(stations), looks)


def _below(file: GlbFile, stations: Sequence[Station], top_mm: float, brake: Brake, looks: ToolLooks) -> list[int]:
    """What one set-up's dies stand on: the die holder where its height and width are known, and the bed."""
    nodes, span, set_up = [], _span(stations), stations[0].set_up
    high, wide = brake.die_holder_height_mm, brake.die_holder_width_mm
    if high and wide:
        nodes += _beam(file, f"die holder {set_up}", 0.5 * wide, (top_mm - high, top_mm), span, looks)
        top_mm -= high
    half = None if brake.table_width_mm is None else 0.5 * brake.table_width_mm
    return nodes + _beam(file, f"bed beam {set_up}", half, (top_mm - BED_MM, top_mm), span, looks)


def _beam(
    file: GlbFile, name: str, half: float | None, heights: Point, span: tuple[float, float], looks: ToolLooks
) -> list[int]:
    if half is None:
        return []
    ring = [(-half, heights[0]), (half, heights[0]), (half, heights[1]), (-half, heights[1])]
    mesh = _prisms(file, name, [(ring, span[0], span[1])], looks.machine, looks.line)
    return [file.add("nodes", {"name": name, "mesh": mesh})]


def _fingers(file: GlbFile, plan: Plan, brake: Brake | None, looks: ToolLooks) -> tuple[int, ...]:
    gauge = brake.gauge if brake else None
    high = (gauge.finger_height_mm if gauge else None) or FINGER_MM
    long = min((gauge.finger_length_mm if gauge else None) or FINGER_LONG_MM, FINGER_LONG_MM)
    half = 0.5 * ((gauge.finger_width_mm if gauge else None) or FINGER_MM)
    count = max(len(stroke.gauging.fingers_z_mm) for stroke in plan.strokes)
    if count == 0:
        return ()
    ring = [(0.0, 0.0), (long, 0.0), (long, high), (0.0, high)]
    mesh = _prisms(file, "finger", [(ring, -half, half)], looks.finger, looks.line)
    names = [f"finger {number}" for number in range(1, count + 1)]
    return tuple(file.add("nodes", {"name": name, "mesh": mesh}) for name in names)


def _punch_stack(file: GlbFile, name: str, station: Station, punch: Punch, looks: ToolLooks) -> int:
    sign = -1.0 if station.punch_turned else 1.0
    outline = [(sign * x, y) for x, y in punch.outline]
    if not any(_ear_of(piece, punch) for piece in station.punch_pieces):
        return _stack(file, name, outline, [piece.length_mm for piece in station.punch_pieces], looks)
    prisms, at = [], 0.0
    for piece in station.punch_pieces:
        ear, end = _ear_of(piece, punch), at + piece.length_mm
        if ear is None:
            prisms.append((outline, at, end))
        else:
            left = (ear.side == "left") != station.punch_turned
            body = (at + ear.overhang_mm, end) if left else (at, end - ear.overhang_mm)
            prisms += [(ring, at, end) for ring in _part_of(outline, -math.inf, ear.foot_height_mm)]
            prisms += [(ring, *body) for ring in _part_of(outline, ear.foot_height_mm, math.inf)]
        at = end
    return _prisms(file, name, prisms, looks.tool, looks.line)


def _ear_of(piece: PickedPiece, punch: Punch) -> Ear | None:
    """The ear of a picked piece, told by its label."""
    for owned in punch.pieces:
        if owned.ear is not None and piece.label == f"{owned.length_mm:g} ear {owned.ear.side}":
            return owned.ear
    return None


def _part_of(outline: Sequence[Point], low: float, high: float) -> list[list[Point]]:
    """What of an outline lies between two heights."""
    shape = Polygon(outline)
    x0, y0, x1, y1 = shape.bounds
    cut = shape.intersection(shapely.box(x0 - 1.0, max(low, y0), x1 + 1.0, min(high, y1)))
    parts = [part for part in getattr(cut, "geoms", [cut]) if isinstance(part, Polygon)]
    return [[(float(x), float(y)) for x, y in part.exterior.coords][:-1] for part in parts]


def _stack(file: GlbFile, name: str, outline: Sequence[Point], lengths: Sequence[float], looks: ToolLooks) -> int:
    ends = np.concatenate([[0.0], np.cumsum(lengths)])
    prisms = [(outline, float(low), float(high)) for low, high in itertools.pairwise(ends)]
    return _prisms(file, name, prisms, looks.tool, looks.line)


def _prisms(
    file: GlbFile, name: str, prisms: Sequence[tuple[Sequence[Point], float, float]], material: int, line: int
) -> int:
    """Prisms along z over outlines in x and y, as one mesh with the edges one sees."""
    points, triangles, lines, count = [], [], [], 0
    for outline, low, high in prisms:
        ring = np.array(shapely.geometry.polygon.orient(Polygon(outline)).exterior.coords)[:-1]
        n = len(ring)
        faces = _flat_triangles(ring)
        a, b = np.arange(n), (np.arange(n) + 1) % n
        near, far = count + n, count
        points += [np.column_stack([ring, np.full(n, low)]), np.column_stack([ring, np.full(n, high)])]
        triangles += [faces + near, faces[:, ::-1] + far]
        triangles += [np.stack([a + far, b + far, b + near], 1), np.stack([a + far, b + near, a + near], 1)]
        seen = _seen_corners(ring)
        lines += [np.stack([a, b], 1) + far, np.stack([a, b], 1) + near, np.stack([a[seen] + far, a[seen] + near], 1)]
        count += 2 * n
    shared = {"attributes": {"POSITION": file.positions(np.vstack(points))}}
    faces_row = {"indices": file.indices(np.vstack(triangles)), "mode": TRIANGLES, "material": material}
    lines_row = {"indices": file.indices(np.vstack(lines)), "mode": LINES, "material": line}
    return file.add("meshes", {"name": name, "primitives": [shared | faces_row, shared | lines_row]})


def _flat_triangles(ring: Array) -> Indices:
    """Triangles of an outline by its corners' numbers, counter-clockwise."""
    cut = shapely.get_coordinates(shapely.constrained_delaunay_triangles(Polygon(ring))).reshape(-1, 4, 2)[:, :3]
    numbers = np.argmin(np.abs(cut[:, :, None] - ring).sum(axis=3), axis=2)
    a, b, c = (ring[numbers[:, i]] for i in range(3))
    twice = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    return np.asarray(np.where((twice < 0.0)[:, None], numbers[:, ::-1], numbers), dtype=np.int64)


def _seen_corners(ring: Array) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Corners sharp enough for a line along the tool: arcs stand as many small ones."""
    ways = np.roll(ring, -1, axis=0) - ring
    headings = np.degrees(np.arctan2(ways[:, 1], ways[:, 0]))
    turned = (headings - np.roll(headings, 1) + 180.0) % 360.0 - 180.0
    return np.asarray(np.abs(turned) > SEEN_EDGE_DEG)
