"""Plane faces of the CAD kernel from loops, cut along lines, and walked from piece to piece."""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from bent_blank import BentBlank, Matrix
from flat_shapes import Arc, Line, Loop, Piece, Point, signed_area
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepAlgoAPI import BRepAlgoAPI_Splitter
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepTools import BRepTools, BRepTools_WireExplorer
from OCP.collections import Array1_gp_Pnt, IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher, List_TopoDS_Shape
from OCP.Geom import Geom_BezierCurve
from OCP.gp import gp_Ax2, gp_Circ, gp_Dir, gp_Pln, gp_Pnt, gp_Vec
from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Wire

INSIDE_MM = 1e-4


@dataclass(frozen=True)
class FlatFace:
    """One piece of the cut flat: its face, a point in it, its strip (None: stays flat), flat -> space of its near side, and
    which of its edges are rims of the sheet.
    """

    face: TopoDS_Face
    inside: Point
    strip: int | None
    turned_round: bool
    place: Matrix
    rims: tuple[TopoDS_Edge, ...]


def shapes_in(shape: TopoDS_Shape, kind: TopAbs_ShapeEnum) -> Iterator[TopoDS_Shape]:
    """Sub-shapes of a kind, as often as they occur."""
    explorer = TopExp_Explorer(shape, kind)
    while explorer.More():
        yield explorer.Current()
        explorer.Next()


def faces_of(shape: TopoDS_Shape) -> list[TopoDS_Face]:
    """The faces of a shape."""
    return [TopoDS.Face(one) for one in shapes_in(shape, TopAbs_ShapeEnum.TopAbs_FACE)]


def edges_of(shape: TopoDS_Shape) -> list[TopoDS_Edge]:
    """The edges of a shape."""
    return [TopoDS.Edge(one) for one in shapes_in(shape, TopAbs_ShapeEnum.TopAbs_EDGE)]


def wires_of(face: TopoDS_Face) -> list[TopoDS_Wire]:
    """The wires of a face, its outer one first."""
    outer = BRepTools.OuterWire_s(face)
    wires = [TopoDS.Wire(one) for one in shapes_in(face, TopAbs_ShapeEnum.TopAbs_WIRE)]
    return [outer, *(wire for wire in wires if not wire.IsSame(outer))]


def ordered_edges(wire: TopoDS_Wire, face: TopoDS_Face) -> list[TopoDS_Edge]:
    """The edges of a wire one after the other."""
    explorer = BRepTools_WireExplorer(wire, face)
    out = []
    while explorer.More():
        out.append(explorer.Current())
        explorer.Next()
    return out


def reversed_edge(edge: TopoDS_Edge) -> bool:
    """Whether the edge is run through backward."""
    return edge.Orientation() == TopAbs_Orientation.TopAbs_REVERSED


def point3(point: Point, z: float = 0.0) -> gp_Pnt:
    """A point of the plane in space."""
    return gp_Pnt(point[0], point[1], z)


def loop_wire(loop: Loop) -> TopoDS_Wire:
    """A closed wire in the plane z = 0."""
    if loop.whole_circle:
        arc = loop.pieces[0]
        assert isinstance(arc, Arc)
        ring = gp_Circ(gp_Ax2(point3(arc.centre), gp_Dir(0, 0, 1)), arc.radius)
        return BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(ring).Edge()).Wire()
    maker = BRepBuilderAPI_MakeWire()
    for piece in loop.pieces:
        maker.Add(_edge(piece))
    return maker.Wire()


def _edge(piece: Piece) -> TopoDS_Edge:
    start, end = point3(piece.start), point3(piece.end)
    if isinstance(piece, Line):
        return BRepBuilderAPI_MakeEdge(start, end).Edge()
    if isinstance(piece, Arc):
        up = 1.0 if piece.sweep_rad > 0.0 else -1.0
        ring = gp_Circ(gp_Ax2(point3(piece.centre), gp_Dir(0, 0, up)), piece.radius)
        return BRepBuilderAPI_MakeEdge(ring, start, end).Edge()
    poles = Array1_gp_Pnt(1, 4)
    for i, control in enumerate(piece.controls, 1):
        poles.SetValue(i, point3(control))
    return BRepBuilderAPI_MakeEdge(Geom_BezierCurve(poles)).Edge()


def plane_face(outline: Loop, openings: Sequence[Loop] = ()) -> TopoDS_Face:
    """The face in the plane z = 0, seen from above."""
    plane = gp_Pln(gp_Pnt(0, 0, 0), gp_Dir(0, 0, 1))
    outer = loop_wire(outline)
    if signed_area(outline.polygon()) < 0.0:
        outer.Reverse()
    maker = BRepBuilderAPI_MakeFace(plane, outer)
    for opening in openings:
        wire = loop_wire(opening)
        if signed_area(opening.polygon()) > 0.0:
            wire.Reverse()
        maker.Add(TopoDS.Wire(wire))
    return maker.Face()


def cut_flat(blank: BentBlank) -> list[FlatFace]:
    """The flat cut along its tangent lines and imprints, walked from the root so that every piece knows its place."""
    lines = list(blank.imprints)
    for strip in blank.strips:
        width = blank.width(strip)
        lines += [(strip.start, strip.end), (strip.at(0.0, width), strip.at(strip.length, width))]
    whole = plane_face(blank.outline, blank.openings)
    faces = _split(whole, lines) if lines else [whole]
    insides = [inside_point(face) for face in faces]
    strips = [blank.strip_at(point) for point in insides]
    known = IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher()
    users: dict[int, list[int]] = {}
    edges = [[(known.Add(edge), edge) for edge in edges_of(face)] for face in faces]
    for number, row in enumerate(edges):
        for key, _ in row:
            users.setdefault(key, []).append(number)
    places = _walk(blank, insides, strips, list(users.values()))
    out = []
    for number, face in enumerate(faces):
        turned, place = places[number]
        rims = tuple(edge for key, edge in edges[number] if len(users[key]) == 1)
        out.append(FlatFace(face, insides[number], strips[number], turned, place, rims))
    return out


def _split(face: TopoDS_Face, lines: Sequence[tuple[Point, Point]]) -> list[TopoDS_Face]:
    args, tools = List_TopoDS_Shape(), List_TopoDS_Shape()
    args.Append(face)
    for start, end in lines:
        tools.Append(BRepBuilderAPI_MakeEdge(point3(start), point3(end)).Edge())
    splitter = BRepAlgoAPI_Splitter()
    splitter.SetArguments(args)
    splitter.SetTools(tools)
    splitter.Build()
    return faces_of(splitter.Shape())


def inside_point(face: TopoDS_Face) -> Point:
    """A point just inside the first edge of a plane face seen from above."""
    wire = BRepTools.OuterWire_s(face)
    longest, best = -1.0, (0.0, 0.0)
    for edge in ordered_edges(wire, face):
        curve = BRepAdaptor_Curve(edge)
        first, last = curve.FirstParameter(), curve.LastParameter()
        middle, along = gp_Pnt(), gp_Vec()
        curve.D1(0.5 * (first + last), middle, along)
        chord = curve.Value(first).Distance(curve.Value(last))
        if chord > longest:
            way = -1.0 if reversed_edge(edge) else 1.0
            size = math.hypot(along.X(), along.Y())
            step = way * INSIDE_MM / size
            longest, best = chord, (middle.X() - step * along.Y(), middle.Y() + step * along.X())
    return best


def _walk(
    blank: BentBlank, insides: Sequence[Point], strips: Sequence[int | None], shared: Sequence[Sequence[int]]
) -> dict[int, tuple[bool, Matrix]]:
    """Place of every piece: for strips the place of the side they are reached from, and whether that is their far side."""
    beside: dict[int, set[int]] = {}
    for users in shared:
        for one in users:
            beside.setdefault(one, set()).update(other for other in users if other != one)
    flats = [n for n, strip in enumerate(strips) if strip is None]
    first = min(flats, key=lambda n: (blank.strips_between(blank.root, insides[n]), math.dist(blank.root, insides[n])))
    places: dict[int, tuple[bool, Matrix]] = {first: (False, np.eye(4))}
    waiting = deque([first])
    while waiting:
        here = waiting.popleft()
        for there in sorted(beside.get(here, ())):
            if there not in places:
                places[there] = _step(blank, (insides[here], strips[here]), strips[there], places[here])
                waiting.append(there)
    assert len(places) == len(insides), "the strips do not hang together"
    return places


def _step(
    blank: BentBlank, here: tuple[Point, int | None], there: int | None, place: tuple[bool, Matrix]
) -> tuple[bool, Matrix]:
    """Place of a neighbour: a strip's is that of the sheet it is reached from, a flat piece's what lies beyond the strip."""
    turned, matrix = place
    inside, strip = here
    if strip == there:
        return turned, matrix
    if strip is not None:
        bend = blank.strips[strip]
        width = blank.width(bend)
        bend = bend.from_other_side(width) if turned else bend
        matrix = matrix @ bend.motion(blank.thickness_mm, width)
    if there is None:
        return False, matrix
    return blank.strips[there].seen(inside)[1] > 0.5 * blank.width(blank.strips[there]), matrix
