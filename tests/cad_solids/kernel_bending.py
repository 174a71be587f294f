"""The bent solid of a ``BentBlank``, made with the CAD kernel face by face and sewn.

The flat is cut along the tangent lines. Flat pieces become prisms; in a strip every edge of the flat is laid on the inner and
outer cylinder (straight lines and rational curves keep their form in the cylinder's own coordinates) and joined by a plane or
ruled wall. Edges between two pieces get no wall. All outer faces are sewn to one solid.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from bent_blank import BentBlank, Matrix, Strip
from flat_shapes import Point
from kernel_flat import FlatFace, cut_flat, ordered_edges, reversed_edge, shapes_in, wires_of
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepBuilderAPI import (
    BRepBuilderAPI_MakeEdge,
    BRepBuilderAPI_MakeFace,
    BRepBuilderAPI_MakeSolid,
    BRepBuilderAPI_MakeWire,
    BRepBuilderAPI_Sewing,
    BRepBuilderAPI_Transform,
)
from OCP.BRepFill import BRepFill
from OCP.BRepLib import BRepLib
from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
from OCP.collections import Array1_double, Array1_gp_Pnt2d, Array1_int
from OCP.Geom import Geom_BSplineCurve, Geom_CylindricalSurface, Geom_TrimmedCurve
from OCP.Geom2d import Geom2d_BSplineCurve, Geom2d_Line
from OCP.GeomAbs import GeomAbs_CurveType
from OCP.GeomConvert import GeomConvert
from OCP.gp import gp_Ax3, gp_Dir, gp_Dir2d, gp_Pnt, gp_Pnt2d, gp_Trsf, gp_Vec
from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopoDS import TopoDS, TopoDS_Edge, TopoDS_Face, TopoDS_Shape, TopoDS_Solid

SEW_MM = 1e-5
APPROXIMATION_MM = 1e-7
SAME_MM = 1e-7


@dataclass(frozen=True)
class BentSolid:
    """The solid, and its flat pieces: a point of the flat in each with flat -> space, and all their corners in space."""

    solid: TopoDS_Solid
    places: tuple[tuple[Point, Matrix], ...]
    corners: Matrix


def bend(blank: BentBlank, *, merged: bool = True) -> BentSolid:
    """The solid of a bent blank; ``merged`` joins faces on the same surface, except where imprints ask for split ones."""
    pieces = cut_flat(blank)
    faces: list[TopoDS_Shape] = []
    for piece in pieces:
        if piece.strip is None:
            faces += _flat_faces(piece, blank.thickness_mm)
        else:
            faces += _Rolled(blank, piece).faces()
    solid = sewn_solid(faces)
    if merged and not blank.imprints:
        join = ShapeUpgrade_UnifySameDomain(solid, True, True, False)
        join.Build()
        solid = TopoDS.Solid(next(iter(shapes_in(join.Shape(), TopAbs_ShapeEnum.TopAbs_SOLID))))
    flats = [piece for piece in pieces if piece.strip is None]
    return BentSolid(solid, tuple((piece.inside, piece.place) for piece in flats), outer_corners(blank))


def outer_corners(blank: BentBlank) -> Matrix:
    """Corners of all flat pieces in space, both faces: of their outer rims, without those that only imprints make."""
    flats = [piece for piece in cut_flat(replace(blank, imprints=())) if piece.strip is None]
    return np.vstack([_corners(piece, blank.thickness_mm) for piece in flats])


def transformation(matrix: Matrix) -> gp_Trsf:
    """A rigid 4 x 4 matrix for the kernel."""
    out = gp_Trsf()
    out.SetValues(*(float(value) for value in matrix[:3, :].ravel()))
    return out


def sewn_solid(faces: list[TopoDS_Shape]) -> TopoDS_Solid:
    """Faces that enclose a body, sewn to one solid."""
    sewing = BRepBuilderAPI_Sewing(SEW_MM)
    for face in faces:
        sewing.Add(face)
    sewing.Perform()
    shells = list(shapes_in(sewing.SewedShape(), TopAbs_ShapeEnum.TopAbs_SHELL))
    assert len(shells) == 1, len(shells)
    assert sewing.NbFreeEdges() == 0, sewing.NbFreeEdges()
    solid = BRepBuilderAPI_MakeSolid(TopoDS.Shell(shells[0])).Solid()
    BRepLib.OrientClosedSolid_s(solid)
    return solid


def _corners(piece: FlatFace, thickness: float) -> Matrix:
    rows = []
    for edge in ordered_edges(wires_of(piece.face)[0], piece.face):
        curve = BRepAdaptor_Curve(edge)
        for at in (curve.FirstParameter(), curve.LastParameter()):
            point = curve.Value(at)
            rows += [(point.X(), point.Y(), sign * 0.5 * thickness) for sign in (-1, 1)]
    flat = np.unique(np.round(np.array(rows), 9), axis=0)
    out: Matrix = flat @ piece.place[:3, :3].T + piece.place[:3, 3]
    return out


def _flat_faces(piece: FlatFace, thickness: float) -> list[TopoDS_Shape]:
    """Under side, top side and rims of a flat piece at its place."""
    down = gp_Trsf()
    down.SetTranslation(gp_Vec(0, 0, -0.5 * thickness))
    under = BRepBuilderAPI_Transform(piece.face, down, True)
    prism = BRepPrimAPI_MakePrism(under.Shape(), gp_Vec(0, 0, thickness))
    faces = [prism.FirstShape(), prism.LastShape()]
    for rim in piece.rims:
        faces += list(prism.Generated(under.ModifiedShape(rim)))
    move = transformation(piece.place)
    return [BRepBuilderAPI_Transform(face, move, True).Shape() for face in faces]


class _Rolled:
    """One piece of a strip rolled round its axis."""

    def __init__(self, blank: BentBlank, piece: FlatFace) -> None:
        assert piece.strip is not None
        strip = blank.strips[piece.strip]
        self.piece, self.thickness = piece, blank.thickness_mm
        self.width = blank.width(strip)
        self.strip: Strip = strip.from_other_side(self.width) if piece.turned_round else strip
        self.sign = 1.0 if strip.up else -1.0
        self.frame: Matrix = piece.place @ self.strip.frame()
        self.neutral = strip.radius_mm + blank.k_factor * blank.thickness_mm
        along, up, origin = (self.frame[:3, i] for i in (1, 2, 3))
        centre = origin + self.sign * (strip.radius_mm + 0.5 * self.thickness) * up
        self.axes = gp_Ax3(gp_Pnt(*centre), gp_Dir(*(-self.sign * along)), gp_Dir(*(-self.sign * up)))

    def faces(self) -> list[TopoDS_Shape]:
        """Inner side (none when the inside is sharp), outer side and rims."""
        inner, outer = self.strip.radius_mm, self.strip.radius_mm + self.thickness
        faces: list[TopoDS_Shape] = [self._side(radius) for radius in (inner, outer) if radius > 0.0]
        return faces + [self._wall(edge, inner, outer) for edge in self.piece.rims]

    def _side(self, radius: float) -> TopoDS_Face:
        surface = Geom_CylindricalSurface(self.axes, radius)
        rows = []
        for wire in wires_of(self.piece.face):
            row = BRepBuilderAPI_MakeWire()
            for edge in ordered_edges(wire, self.piece.face):
                row.Add(self._laid(edge, surface))
            laid = row.Wire()
            if self.sign > 0.0:
                laid.Reverse()  # seen from outside the cylinder, the sheet's top face of a bend up is mirrored
            rows.append(laid)
        maker = BRepBuilderAPI_MakeFace(surface, rows[0], False)
        for inner in rows[1:]:
            maker.Add(inner)
        return maker.Face()

    def _flat_curve(self, edge: TopoDS_Edge) -> Geom_BSplineCurve:
        curve = BRepAdaptor_Curve(edge)
        trimmed = Geom_TrimmedCurve(curve.Curve().Curve(), curve.FirstParameter(), curve.LastParameter())
        return GeomConvert.CurveToBSplineCurve_s(trimmed)

    def _on_cylinder(self, point: gp_Pnt) -> Point:
        """Cylinder coordinates (turned angle [rad], distance along the axis) of a point of the flat."""
        along, out = self.strip.seen((point.X(), point.Y()))
        return out / self.neutral, -self.sign * along

    def _laid(self, edge: TopoDS_Edge, surface: Geom_CylindricalSurface) -> TopoDS_Edge:
        """An edge of the flat on one of the cylinders, run through the same way."""
        flat = self._flat_curve(edge)
        ends = [self._on_cylinder(flat.Pole(i)) for i in (1, flat.NbPoles())]
        if BRepAdaptor_Curve(edge).GetType() == GeomAbs_CurveType.GeomAbs_Line:
            (u0, v0), (u1, v1) = ends
            size = math.dist(*ends)
            line = Geom2d_Line(gp_Pnt2d(u0, v0), gp_Dir2d((u1 - u0) / size, (v1 - v0) / size))
            laid = BRepBuilderAPI_MakeEdge(line, surface, 0.0, size).Edge()
        else:
            laid = BRepBuilderAPI_MakeEdge(self._spline(flat), surface).Edge()
        BRepLib.BuildCurves3d_s(laid, APPROXIMATION_MM)
        if reversed_edge(edge):
            laid.Reverse()
        return laid

    def _spline(self, flat: Geom_BSplineCurve) -> Geom2d_BSplineCurve:
        """The curve of the flat in cylinder coordinates: an affine image has the same weights and knots."""
        poles, weights = Array1_gp_Pnt2d(1, flat.NbPoles()), Array1_double(1, flat.NbPoles())
        for i in range(1, flat.NbPoles() + 1):
            poles.SetValue(i, gp_Pnt2d(*self._on_cylinder(flat.Pole(i))))
            weights.SetValue(i, flat.Weight(i))
        knots, times = Array1_double(1, flat.NbKnots()), Array1_int(1, flat.NbKnots())
        for i in range(1, flat.NbKnots() + 1):
            knots.SetValue(i, flat.Knot(i))
            times.SetValue(i, flat.Multiplicity(i))
        return Geom2d_BSplineCurve(poles, weights, knots, times, flat.Degree())

    def _wall(self, edge: TopoDS_Edge, inner: float, outer: float) -> TopoDS_Face:
        """The rim over an edge of the flat, square to the sheet."""
        far = self._laid(edge, Geom_CylindricalSurface(self.axes, outer))
        near = self._laid(edge, Geom_CylindricalSurface(self.axes, inner)) if inner > 0.0 else None
        flat = self._flat_curve(edge)
        (u0, v0), (u1, v1) = (self._on_cylinder(flat.Pole(i)) for i in (1, flat.NbPoles()))
        straight = BRepAdaptor_Curve(edge).GetType() == GeomAbs_CurveType.GeomAbs_Line
        if not straight or (abs(u1 - u0) * outer > SAME_MM and abs(v1 - v0) > SAME_MM):
            assert near is not None, "a sharp bend takes rims along and across the bend line only"
            return BRepFill.Face_s(near, far)
        return self._plane_wall(near, far, (u0, v0), (u1, v1))

    def _plane_wall(self, near: TopoDS_Edge | None, far: TopoDS_Edge, first: Point, last: Point) -> TopoDS_Face:
        inner, outer = self.strip.radius_mm, self.strip.radius_mm + self.thickness
        sides = []
        for u, v in (first, last):
            sides.append(BRepBuilderAPI_MakeEdge(self._point(inner, u, v), self._point(outer, u, v)).Edge())
        row = BRepBuilderAPI_MakeWire()
        row.Add(far)
        row.Add(sides[1])
        if near is not None:
            row.Add(near)
        elif abs(first[1] - last[1]) > SAME_MM:
            row.Add(BRepBuilderAPI_MakeEdge(self._point(inner, *last), self._point(inner, *first)).Edge())
        row.Add(sides[0])
        return BRepBuilderAPI_MakeFace(row.Wire(), True).Face()

    def _point(self, radius: float, u: float, v: float) -> gp_Pnt:
        surface = Geom_CylindricalSurface(self.axes, max(radius, 1.0))
        point = surface.Value(u, v)
        if radius >= 1.0:
            return point
        axis = surface.Axis()
        foot = axis.Location().Translated(gp_Vec(axis.Direction()).Multiplied(v))
        return foot.Translated(gp_Vec(foot, point).Multiplied(radius))
