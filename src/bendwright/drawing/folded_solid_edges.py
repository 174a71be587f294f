"""Corners and edges of the folded sheet as the kernel's vertices and edges, each made once for all faces that meet there."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np
from OCP.BRep import BRep_Builder
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.Geom import Geom_Circle, Geom_Curve, Geom_Line
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.TopExp import TopExp
from OCP.TopoDS import TopoDS_Edge, TopoDS_Face, TopoDS_Vertex, TopoDS_Wire

from bendwright.drawing.folded_solid_curves import askew, space_spline
from bendwright.drawing.folded_solid_pieces import SNAP_MM, Bow, Level, Net, Piece, Side
from bendwright.drawing.folded_solid_places import FlatPlace, ZonePlace
from bendwright.geometry.rigid import Array
from bendwright.part.model import Point

TOLERANCE_MM = 1e-7
STRAIGHT_MM = 2e-5
SAMPLES = (0.0, *(i * 0.6180339887498949 % 1.0 for i in range(1, 24)), 1.0)
"""Where along an edge it is looked at: in no step that knots of a spline could fall in with."""
MARGIN = 3.0
Run = Literal["along", "round", "askew"]


@dataclass(frozen=True, slots=True)
class Made:
    """An edge made: the kernel's edge and the corner it begins at."""

    shape: Any
    start: int


@dataclass(frozen=True, slots=True)
class Use:
    """An edge in a loop of a face: forward or backward, with its curves on the surface (two for a seam, none on a plane)."""

    shape: Any
    forward: bool
    curves: tuple[Any, ...] = ()

    def turned(self) -> Use:
        """The same run through the other way."""
        return Use(self.shape, not self.forward, self.curves)


@dataclass(frozen=True, slots=True)
class Making:
    """The solid while it is made."""

    net: Net
    flats: dict[str, FlatPlace]
    zones: dict[str, ZonePlace]
    thickness_mm: float
    build: Any = field(default_factory=BRep_Builder)
    vertices: dict[tuple[Level, int], tuple[Any, Array]] = field(default_factory=dict)
    edges: dict[tuple[Level, int], Made] = field(default_factory=dict)
    uprights: dict[int, Any] = field(default_factory=dict)
    uses: Counter[int] = field(default_factory=Counter)
    faces: list[Any] = field(default_factory=list)

    def place(self, piece: Piece) -> FlatPlace | ZonePlace:
        """Where a piece lies."""
        return self.flats[piece.id] if piece.kind == "flat" else self.zones[piece.id]

    def corner(self, side: Side, *, end: bool) -> Point:
        """A side's start or end on the blank."""
        return self.net.corners[side.end if end else side.start]


def set_corner(making: Making, piece: Piece, corner: int, level: Level) -> None:
    """Make a corner of one face, where the piece puts it; what is there already stays."""
    key = (level, making.net.folded[level].corners[corner])
    if key in making.vertices:
        return
    spot = making.place(piece).at(making.net.corners[corner], level)
    vertex = TopoDS_Vertex()
    making.build.MakeVertex(vertex, point(spot), TOLERANCE_MM)
    making.vertices[key] = vertex, spot


def edge_of(making: Making, piece: Piece, side: Side, level: Level) -> tuple[Made, bool] | None:
    """The edge of a side on one face and whether the side runs along it; None where a sharp bend leaves only a point of it."""
    folded = making.net.folded[level]
    start, end = folded.corners[side.start], folded.corners[side.end]
    whole = side.bow is not None and side.start == side.end
    if start == end and not whole:
        return None
    key = (level, folded.edges[side.edge])
    if key not in making.edges:
        making.edges[key] = _made(making, piece, side, level)
    made = making.edges[key]
    return made, made.start == start and not whole


def upright(making: Making, corner: int) -> Any:
    """The edge through the sheet at a corner, from the bottom to the top face."""
    if corner not in making.uprights:
        ends = [making.net.folded[level].corners[corner] for level in ("bottom", "top")]
        making.uprights[corner] = _line(making, ("bottom", ends[0]), ("top", ends[1])).shape
    return making.uprights[corner]


def run_of(place: ZonePlace, start: Point, end: Point, bow: Bow | None) -> Run:
    """How a side of a bend runs: along its axis, round it, or askew to it."""
    (s0, w0), (s1, w1) = place.seen(start), place.seen(end)
    if bow is not None:
        return "askew"
    if abs(s1 - s0) <= (SNAP_MM if place.radius_mm == 0.0 else STRAIGHT_MM):
        return "round"
    return "along" if abs(w1 - w0) * place.tangent.line.zone_width_mm <= STRAIGHT_MM else "askew"


def bow_circle(making: Making, place: FlatPlace, bow: Bow, level: Level) -> gp_Ax2:
    """Axes of an arc on a flat; its middle lies at the parameter pi."""
    middle = bow.start_rad + 0.5 * bow.sweep_rad
    back = place.direction((-math.cos(middle), -math.sin(middle)))
    return gp_Ax2(point(place.at(bow.centre, level)), direction(place.up), direction(back))


def bow_parameters(bow: Bow) -> tuple[float, float]:
    """Parameters of an arc's start and end on the circle of ``bow_circle``."""
    return math.pi - 0.5 * bow.sweep_rad, math.pi + 0.5 * bow.sweep_rad


def _made(making: Making, piece: Piece, side: Side, level: Level) -> Made:
    corners = making.net.folded[level].corners
    ends = (level, corners[side.start]), (level, corners[side.end])
    place = making.place(piece)
    if isinstance(place, FlatPlace):
        if side.bow is None:
            return _line(making, *ends)
        first, last = bow_parameters(side.bow)
        circle = Geom_Circle(bow_circle(making, place, side.bow, level), side.bow.radius_mm)
        return _edge(making, circle, (first, last), ends)
    start, end = making.corner(side, end=False), making.corner(side, end=True)
    run = run_of(place, start, end, side.bow)
    if place.is_sharp(level) or run == "along":
        return _line(making, *ends)
    if run == "askew":
        item = askew(place, start, end, side.bow)
        return _edge(making, space_spline(item.controls(level), item.length_mm), (0.0, item.length_mm), ends)
    (s0, w0), (s1, w1) = place.seen(start), place.seen(end)
    centre = place.centre + 0.5 * (s0 + s1) * place.along
    axis = np.cross(place.first, place.second)
    circle = Geom_Circle(gp_Ax2(point(centre), direction(axis), direction(place.first)), place.radius_at(level))
    return _edge(making, circle, (w0 * place.turned_rad, w1 * place.turned_rad), ends)


def _line(making: Making, start: tuple[Level, int], end: tuple[Level, int]) -> Made:
    a, b = making.vertices[start][1], making.vertices[end][1]
    length = float(np.linalg.norm(b - a))
    return _edge(making, Geom_Line(point(a), direction((b - a) / length)), (0.0, length), (start, end))


def _edge(
    making: Making, curve: Geom_Curve, parameters: tuple[float, float], ends: Sequence[tuple[Level, int]]
) -> Made:
    """An edge on a curve, turned so that its parameter rises."""
    order = sorted(zip(parameters, ends, strict=True), key=lambda item: item[0])
    edge = TopoDS_Edge()
    making.build.MakeEdge(edge, curve, TOLERANCE_MM)
    off = [curve.Value(value).Distance(point(making.vertices[end][1])) for value, end in order]
    for (_, end), forward in zip(order, (True, False), strict=True):
        vertex = making.vertices[end][0]
        making.build.Add(edge, vertex if forward else vertex.Reversed())
    making.build.Range(edge, order[0][0], order[1][0])
    _allow(making, edge, max(off))
    return Made(edge, order[0][1][1])


def _allow(making: Making, edge: Any, off_mm: float) -> None:
    """Give an edge and its ends the tolerance for lying that far off, and more between the places looked at."""
    if off_mm <= 0.01 * TOLERANCE_MM:
        return
    tolerance = max(MARGIN * off_mm, 10.0 * TOLERANCE_MM)
    making.build.UpdateEdge(edge, tolerance)
    for vertex in (TopExp.FirstVertex_s(edge), TopExp.LastVertex_s(edge)):
        making.build.UpdateVertex(vertex, tolerance)


def _lay(making: Making, use: Use, surface: Any, face: Any) -> None:
    """Give an edge its curve on a surface (two for a seam), and the tolerance for how far the two lie apart."""
    making.build.UpdateEdge(use.shape, *use.curves, face, TOLERANCE_MM)
    curve = BRepAdaptor_Curve(use.shape)
    first, last = curve.FirstParameter(), curve.LastParameter()
    off = 0.0
    for share in SAMPLES:
        value = first + (last - first) * share
        spot = use.curves[0].Value(value)
        off = max(off, curve.Value(value).Distance(surface.Value(spot.X(), spot.Y())))
    _allow(making, use.shape, off)


def add_face(making: Making, surface: Any, loops: Sequence[Sequence[Use]], *, outward: bool) -> None:
    """A face whose loops run counter-clockwise seen from outside the sheet; ``outward``: so does the surface look."""
    face = TopoDS_Face()
    making.build.MakeFace(face, surface, TOLERANCE_MM)
    for loop in loops:
        wire = TopoDS_Wire()
        making.build.MakeWire(wire)
        for use in loop if outward else [use.turned() for use in reversed(loop)]:
            making.build.Add(wire, use.shape if use.forward else use.shape.Reversed())
            if use.curves and (len(use.curves) == 1 or use.forward):
                _lay(making, use, surface, face)
            making.uses[id(use.shape)] += 1
        wire.Closed(True)
        making.build.Add(face, wire)
    making.faces.append(face if outward else face.Reversed())


def point(spot: Array) -> gp_Pnt:
    """A point for the kernel."""
    return gp_Pnt(*(float(value) for value in spot))


def direction(way: Array) -> gp_Dir:
    """A direction for the kernel."""
    return gp_Dir(*(float(value) for value in way))
