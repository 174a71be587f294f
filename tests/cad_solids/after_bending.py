"""What is done to a sheet after it is bent: holes drilled straight, countersinks, counterbores, broken edges, mitre cuts.

Each function gives the changed solid and the volume it takes away, worked out without the kernel.
"""

from __future__ import annotations

import math

import numpy as np
from bent_blank import BentBlank, Matrix, put
from flat_shapes import Point
from kernel_bending import BentSolid
from kernel_flat import edges_of, faces_of, shapes_in
from known import kernel_box
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import BRepBuilderAPI_Copy, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
from OCP.BRepFilletAPI import BRepFilletAPI_MakeChamfer
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCone, BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakePrism
from OCP.collections import IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Vec
from OCP.TopAbs import TopAbs_ShapeEnum
from OCP.TopoDS import TopoDS, TopoDS_Shape, TopoDS_Solid

BEYOND_MM = 0.5


def place_of(blank: BentBlank, bent: BentSolid, point: Point) -> Matrix:
    """Flat -> space of the flat piece a point of the flat lies in: the one reached from it without crossing a strip."""
    return min(bent.places, key=lambda place: (blank.strips_between(point, place[0]), math.dist(point, place[0])))[1]


def drilled(
    blank: BentBlank, bent: BentSolid, solid: TopoDS_Shape, at: Point, diameter_mm: float
) -> tuple[TopoDS_Solid, float]:
    """A round hole square to the flat piece it is in, drilled after bending; it may reach into a bend up to its inside
    radius, where the sheet it meets is sqrt((R + t)^2 - h^2) - sqrt(R^2 - h^2) thick, h beyond the tangent line.
    """
    t, r = blank.thickness_mm, 0.5 * diameter_mm
    place = place_of(blank, bent, at)
    rise, taken = 0.5 * t, math.pi * r * r * t
    nodes, weights = np.polynomial.legendre.leggauss(80)
    for strip in blank.strips:
        along, out = strip.seen(at)
        width = blank.width(strip)
        before = -out if out < 0.5 * width else out - width
        if before >= r or not -r < along < strip.length + r:
            continue
        assert r - before < strip.radius_mm, "reaches too far round the bend"
        u = 0.5 * (nodes + 1.0)
        h = (r - before) * (1.0 - u**2)
        chord = 2.0 * np.sqrt(np.maximum(0.0, r**2 - (h + before) ** 2))
        high = np.sqrt((strip.radius_mm + t) ** 2 - h**2) - np.sqrt(strip.radius_mm**2 - h**2)
        taken += float(np.sum(0.5 * weights * chord * (high - t) * 2.0 * u * (r - before)))
        rise = max(rise, 0.5 * t + strip.radius_mm - math.sqrt(strip.radius_mm**2 - (r - before) ** 2))
    low, high_end = put(place, [[*at, -rise - BEYOND_MM], [*at, rise + BEYOND_MM]])
    axes = gp_Ax2(gp_Pnt(*low), _direction(low, high_end))
    tool = BRepPrimAPI_MakeCylinder(axes, r, float(np.linalg.norm(high_end - low))).Shape()
    return cut(solid, tool), taken


def flat_share(blank: BentBlank, at: Point, diameter_mm: float) -> tuple[float, float]:
    """Area a hole drilled straight takes from the flat, between what it takes on the inner and on the outer side of a bend.

    A strip of the hole h beyond the tangent line meets the sheet's face of radius rho at asin(h / rho) round the bend, which is
    asin(h / rho) (R + K t) on the flat.
    """
    r = 0.5 * diameter_mm
    nodes, weights = np.polynomial.legendre.leggauss(80)
    least = most = math.pi * r * r
    for strip in blank.strips:
        width, out = blank.width(strip), strip.seen(at)[1]
        before = -out if out < 0.5 * width else out - width
        if before < r:
            u = 0.5 * (nodes + 1.0)
            h = (r - before) * (1.0 - u**2)
            chord = 2.0 * np.sqrt(np.maximum(0.0, r**2 - (h + before) ** 2))
            step = 0.5 * weights * chord * 2.0 * u * (r - before)
            least, most = (
                area + float(np.sum(step * (width / math.radians(strip.turned_deg) / np.sqrt(rho**2 - h**2) - 1.0)))
                for area, rho in ((least, strip.radius_mm + blank.thickness_mm), (most, strip.radius_mm))
            )
    return least, most


def countersunk(
    blank: BentBlank,
    bent: BentSolid,
    solid: TopoDS_Shape,
    at: Point,
    *,
    hole_mm: float,
    head_mm: float,
    top: bool = True,
) -> tuple[TopoDS_Solid, float]:
    """A 90 degree countersink with ``head_mm`` at the sheet's face, on a through hole."""
    out, taken = drilled(blank, bent, solid, at, hole_mm)
    depth = 0.5 * (head_mm - hole_mm)
    assert depth < blank.thickness_mm
    axes = _face_axes(blank, bent, at, top)
    tool = BRepPrimAPI_MakeCone(axes, 0.5 * head_mm, 0.5 * hole_mm, depth).Shape()
    frustum = math.pi * depth / 12.0 * (head_mm**2 + head_mm * hole_mm + hole_mm**2)
    return cut(out, tool), taken + frustum - math.pi / 4.0 * hole_mm**2 * depth


def counterbored(
    blank: BentBlank,
    bent: BentSolid,
    solid: TopoDS_Shape,
    at: Point,
    *,
    hole_mm: float,
    head_mm: float,
    depth_mm: float,
) -> tuple[TopoDS_Solid, float]:
    """A flat-bottomed wider hole on the top face, on a through hole."""
    out, taken = drilled(blank, bent, solid, at, hole_mm)
    tool = BRepPrimAPI_MakeCylinder(_face_axes(blank, bent, at, True), 0.5 * head_mm, depth_mm).Shape()
    return cut(out, tool), taken + math.pi / 4.0 * (head_mm**2 - hole_mm**2) * depth_mm


def broken_edge(
    blank: BentBlank,
    bent: BentSolid,
    solid: TopoDS_Shape,
    ends: tuple[Point, Point],
    size_mm: float,
    *,
    round_: bool,
    top: bool = True,
) -> tuple[TopoDS_Solid, float]:
    """A straight free edge of the top or bottom face (sheet on the left of its ends) chamfered at 45 degrees or rounded."""
    (x0, y0), (x1, y1) = ends
    side = 1.0 if top else -1.0
    length, z = math.dist(*ends), side * 0.5 * blank.thickness_mm
    place = place_of(blank, bent, (0.5 * (x0 + x1) - (y1 - y0) * 1e-3, 0.5 * (y0 + y1) + (x1 - x0) * 1e-3))
    inward = (-(y1 - y0) / length, (x1 - x0) / length)
    back = (x0 + size_mm * inward[0], y0 + size_mm * inward[1])
    corner, inside, under, inside_under, far = put(
        place, [[x0, y0, z], [*back, z], [x0, y0, z - side * size_mm], [*back, z - side * size_mm], [x1, y1, z]]
    )
    across = gp_Vec(*(far - corner))
    if not round_:
        return cut(solid, prism([corner, inside, under], across)), 0.5 * size_mm**2 * length
    bar = prism([corner, inside, inside_under, under], across)
    rod = BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(*inside_under), gp_Dir(across)), size_mm, length).Shape()
    taken = (1.0 - math.pi / 4.0) * size_mm**2 * length
    return cut(solid, BRepAlgoAPI_Cut(bar, rod).Shape()), taken


def chamfered_end(blank: BentBlank, bent: BentSolid, size_mm: float) -> tuple[TopoDS_Solid, float]:
    """A profile with the edges of its end x = 0 chamfered along both faces, through flats and bends.

    On a straight stretch a chamfer takes size^2 / 2; round a bend, by Pappus, the same section on the radius of its centroid,
    R + t - size/3 outside and R + size/3 inside: together size^2 / 2 (2 lengths + sum of a (2 R + t)).
    """
    ends = [face for face in faces_of(bent.solid) if abs(kernel_box(face)[:, 0]).max() < 1e-6]
    assert len(ends) == 1
    width = max(x for x, _ in blank.outline.corners())
    body = BRepPrimAPI_MakePrism(BRepBuilderAPI_Copy(ends[0]).Shape(), gp_Vec(width, 0, 0)).Shape()
    maker, known = BRepFilletAPI_MakeChamfer(body), IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher()
    for edge in edges_of(body):
        box = kernel_box(edge)
        across = float(np.linalg.norm(box[1] - box[0]))
        if abs(box[:, 0]).max() < 1e-6 and across > 1.01 * blank.thickness_mm and not known.Contains(edge):
            known.Add(edge)
            maker.Add(size_mm, edge)
    arcs = sum(math.radians(strip.turned_deg) * (2.0 * strip.radius_mm + blank.thickness_mm) for strip in blank.strips)
    flats = max(y for _, y in blank.outline.corners()) - sum(blank.width(strip) for strip in blank.strips)
    return _only_solid(maker.Shape()), 0.5 * size_mm**2 * (2.0 * flats + arcs)


def bevelled(
    blank: BentBlank, bent: BentSolid, solid: TopoDS_Shape, *, first_mm: float, per_y: float, per_z: float
) -> tuple[TopoDS_Solid, float]:
    """A profile with its end cut off along the plane x = first + per_y y + per_z z after bending: walls not square to the sheet.

    What goes is the section's area times the plane's x at the section's centroid, as long as the plane stays within the width.
    """
    reach = 1000.0

    def at(y: float, z: float) -> Matrix:
        return np.array([first_mm + per_y * y + per_z * z, y, z])

    sheet = prism(
        [at(-reach, -reach), at(reach, -reach), at(reach, reach), at(-reach, reach)], gp_Vec(-reach * 5, 0, 0)
    )
    moment, size = _section_moment(blank, bent)
    y, z = moment / size
    return cut(solid, sheet), size * (first_mm + per_y * y + per_z * z)


def _section_moment(blank: BentBlank, bent: BentSolid) -> tuple[Matrix, float]:
    """First moment (y, z) and area of a profile's section: rectangles and ring sectors."""
    t, top = blank.thickness_mm, max(y for _, y in blank.outline.corners())
    moment, size, place, y0 = np.zeros(2), 0.0, np.eye(4), 0.0
    for strip in (*blank.strips, None):
        y1 = strip.start[1] if strip else top
        moment += put(place, [[0.0, 0.5 * (y0 + y1), 0.0]])[0, 1:] * t * (y1 - y0)
        size += t * (y1 - y0)
        if strip:
            a, r = math.radians(strip.turned_deg), strip.radius_mm
            sign = 1.0 if strip.up else -1.0
            cube, square = ((r + t) ** 3 - r**3) / 3.0, ((r + t) ** 2 - r**2) / 2.0
            out, up = cube * (1 - math.cos(a)), sign * (square * a * (r + 0.5 * t) - cube * math.sin(a))
            axes = place[1:3, 1:3]
            origin = put(place, [[0.0, y1, 0.0]])[0, 1:]
            moment += origin * square * a + axes @ np.array([out, up])
            size += square * a
            place = place @ strip.motion(t, blank.width(strip))
            y0 = y1 + blank.width(strip)
    return moment, size


def prism(points: list[Matrix], along: gp_Vec) -> TopoDS_Shape:
    """A plane polygon in space, extruded."""
    maker = BRepBuilderAPI_MakePolygon()
    for point in points:
        maker.Add(gp_Pnt(*(float(value) for value in point)))
    maker.Close()
    return BRepPrimAPI_MakePrism(BRepBuilderAPI_MakeFace(maker.Wire(), True).Face(), along).Shape()


def cut(solid: TopoDS_Shape, tool: TopoDS_Shape) -> TopoDS_Solid:
    """The solid less the tool."""
    return _only_solid(BRepAlgoAPI_Cut(solid, tool).Shape())


def _only_solid(shape: TopoDS_Shape) -> TopoDS_Solid:
    solids = list(shapes_in(shape, TopAbs_ShapeEnum.TopAbs_SOLID))
    assert len(solids) == 1, len(solids)
    return TopoDS.Solid(solids[0])


def _direction(start: Matrix, end: Matrix) -> gp_Dir:
    return gp_Dir(*(float(value) for value in end - start))


def _face_axes(blank: BentBlank, bent: BentSolid, at: Point, top: bool) -> gp_Ax2:
    """Axes on the face at a point of the flat, pointing into the sheet."""
    place = place_of(blank, bent, at)
    half = 0.5 * blank.thickness_mm * (1.0 if top else -1.0)
    face, under = put(place, [[*at, half], [*at, -half]])
    return gp_Ax2(gp_Pnt(*face), _direction(face, under))
